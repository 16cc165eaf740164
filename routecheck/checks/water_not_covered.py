"""Gaps: water of the corridor that no source covers well enough to be judged."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import Gap, LegView


@check(
    name="water-not-covered",
    group="coverage",
    needs=(),
    gives={Severity.NOT_ASSESSED},
)
def water_not_covered(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Water that no chart covers well enough to be judged.

    Rule      any part of the corridor without a charted depth from an adequate source, or
              without a chart that shows dangers and marks: not assessed, with the reason.
    Why       What nobody charted may be anything; silence would read as deep water.
    Examples  found: 99 99
              quiet: 99999
    Settings  coarsest_grid, smallest_scale, cross_track.
    Limits    Gaps narrower than 0.2 m between two charted edges are taken as rounding.
    Sources   IHO S-57 ed. 3.1, M_COVR, UNSARE; IMO Res. MSC.232(82), 11.2 (largest scale).
    """
    grouped: dict[tuple[str, str], list[Gap]] = {}
    for gap in view.gaps:
        grouped.setdefault((gap.why, gap.settle), []).append(gap)
    for (why, settle), gaps in grouped.items():
        lead = gaps[0]
        layers = [gap.layer for gap in gaps]
        what = _what(layers)
        yield Finding(
            check="water-not-covered",
            severity=Severity.NOT_ASSESSED,
            title=f"{what} not assessed: {why}",
            explanation=(
                f"{what[0].upper() + what[1:]} could not be judged on {lead.area_m2:,.0f} m² "
                f"of the corridor, {lead.along_from_m:.0f} m to {lead.along_to_m:.0f} m along "
                f"the leg: {why}."
            ),
            leg=view.leg.number,
            object_key=f"{'+'.join(layers)}/{why}",
            cls="coverage",
            along_m=lead.along_from_m,
            along_to_m=lead.along_to_m,
            cross_m=lead.cross_m,
            lon_deg=lead.lon_deg,
            lat_deg=lead.lat_deg,
            sums={"not_seen_m2": lead.area_m2},
            source=lead.source,
            rests_on="the coverage of the charts given",
            settle=settle,
        )


def _what(layers: list[Layer]) -> str:
    words = [_WORDS[layer] for layer in layers]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


_WORDS = {
    Layer.DEPTH: "depth",
    Layer.DANGERS: "underwater dangers",
    Layer.LAND: "land",
    Layer.MARKS: "marks",
    Layer.OVERHEAD: "overhead clearance",
    Layer.AREAS: "regulated areas",
}
