"""Marks that are there for a season, or until a date."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markfinding import mark_called
from routecheck.model.objects import Layer, Mark
from routecheck.model.passage import Passage
from routecheck.model.passes import MarkPass
from routecheck.model.period import Period, in_force
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="mark-not-always-there",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.CAUTION},
)
def mark_not_always_there(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A mark near the track is charted for a season only, or for a time that is over.

    Rule      the time of passing lies outside the mark's period (either way by the ETA's
              uncertainty): caution; inside it, or with no time known: a note.
    Why       Where the mark should be there may be nothing, and what it marks is still there.
    Examples  in words: a summer buoy passed in January is a caution
              in words: a summer buoy with no time of passing is a note
              in words: a mark without a period is quiet
    Settings  eta, mark_far, cross_track.
    Limits    Marks are laid and lifted by weather and ice, not by the calendar.
    Sources   IHO S-57 ed. 3.1, attributes PERSTA, PEREND, DATSTA, DATEND.
    """
    for met in view.marks:
        period = _period(met.mark)
        if not period.stated:
            continue
        force = in_force(period, passage, along_from_m=met.along_m, along_to_m=met.along_m)
        yield _finding(met, view, force.text, Severity.NOTE if force.counts else Severity.CAUTION)


def _period(mark: Mark) -> Period:
    def text(name: str) -> str:
        return str(mark.attributes.get(name, ""))

    return Period(
        date_start=text("DATSTA"),
        date_end=text("DATEND"),
        season_start=text("PERSTA"),
        season_end=text("PEREND"),
    )


def _finding(met: MarkPass, view: LegView, text: str, severity: Severity) -> Finding:
    said = text.replace("In force", "Charted as there").replace(
        "it counts as in force", "taken as there"
    )
    gone = severity is Severity.CAUTION
    return Finding(
        check="mark-not-always-there",
        severity=severity,
        title=f"{mark_called(met)} "
        + ("is not there at that time of year" if gone else "is there for a part of the year"),
        explanation=said,
        leg=view.leg.number,
        object_key=met.mark.key,
        cls=met.mark.cls,
        along_m=met.along_m,
        cross_m=met.cross_m,
        lon_deg=met.mark.lon_deg,
        lat_deg=met.mark.lat_deg,
        sums={"distance_m": round(met.distance_m, 1)},
        source=met.mark.source,
        rests_on=f"period as in {met.mark.source}",
    )
