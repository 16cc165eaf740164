"""Water that was surveyed long ago."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(name="old-survey", group="depth", needs=(), gives={Severity.NOTE})
def old_survey(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The depths come from an old survey.

    Rule      the survey of a quality zone, or of a source without any, that the corridor rests on
              ended before oldest_survey: a note, one a leg and source, that names the oldest.
    Why       Lead lines miss what lies between the casts, and the bed may have moved since.
    Examples  in words: a zone surveyed in 1939 is a note with oldest_survey = 1970
              in words: a zone surveyed in 1970 is none
    Settings  oldest_survey.
    Limits    Surveys without a date. How good a survey was is in its quality, which counts apart.
    Sources   IHO S-57 ed. 3.1, M_QUAL with SURSTA and SUREND; the year is common practice.
    """
    by_source: dict[str, list[int]] = {}
    for index, run in enumerate(view.old_surveys):
        by_source.setdefault(run.source.id, []).append(index)
    for source, indexes in by_source.items():
        runs = [view.old_surveys[index] for index in indexes]
        lead = min(runs, key=lambda run: (run.year, run.along_from_m))
        later = sorted({run.year for run in runs} - {lead.year})
        more = f" Other parts of it: {', '.join(map(str, later))}." if later else ""
        yield Finding(
            check="old-survey",
            severity=Severity.NOTE,
            title=f"surveyed in {lead.year} ({source})",
            explanation=(
                f"The survey under a part of this leg ended in {lead.year}, before "
                f"{passage.boat.margins.oldest_survey_year:.0f}: dangers between its soundings may "
                f"not be charted, and the bed may have moved.{more}"
            ),
            leg=view.leg.number,
            object_key=source,
            cls="M_QUAL",
            along_m=min(run.along_from_m for run in runs),
            along_to_m=max(run.along_to_m for run in runs),
            cross_m=lead.cross_m,
            lon_deg=lead.lon_deg,
            lat_deg=lead.lat_deg,
            sums={"surveyed_year": float(lead.year)},
            source=source,
            rests_on=source,
        )
