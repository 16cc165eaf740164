"""What separates the lanes of a traffic separation scheme."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import (
    area_called,
    area_finding,
    courses_deg,
    off_flow_deg,
    track_inside_m,
)
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met

_ALONG_DEG = 45.0
_WHOLE_M = 1.0


@check(
    name="in-the-separation-zone",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.DANGER, Severity.CAUTION},
)
def in_the_separation_zone(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track is in a traffic separation zone, or crosses a separation line.

    Rule      a separation zone in which the whole leg lies, or in which the track runs within 45
              degrees of the axis of a lane that this leg meets too: danger. Crossed otherwise, or
              only touched by the corridor, or within its position uncertainty: caution. A
              separation line crossed or touched: caution.
    Why       Only who crosses the scheme, fishes or is in immediate danger may be there.
    Examples  in words: a leg that runs along inside a separation zone is a danger, one that crosses
              it a caution
    Settings  cross_track, eta; the departure.
    Limits    The axis of a zone is known only from lanes on the same leg. Fishing is not known.
    Sources   COLREG rule 10(b)(ii) and (e) (33 CFR 83.10); IHO S-57 ed. 3.1, TSEZNE, TSELNE. The
              limit of 45 degrees: ours.
    """
    for met in view.areas:
        if Fault.SEPARATION not in faults_of(met.object):
            continue
        along = met.object.kind is AreaKind.SEPARATION_ZONE and _along(met, view)
        called = area_called(met.object)
        says = (
            "Nobody may be in it but to cross the scheme, square to its lanes, to fish, or in "
            "immediate danger."
        )
        if met.object.kind is AreaKind.SEPARATION_LINE:
            says = "It parts traffic that goes opposite ways: cross it only square, or not at all."
        finding = area_finding(
            "in-the-separation-zone",
            met,
            view,
            passage,
            severity=Severity.DANGER if along else Severity.CAUTION,
            title=f"{called}: the track runs along in it" if along else _title(met, called),
            says=says,
        )
        if finding is not None:
            yield finding


def _title(met: Met[Area], called: str) -> str:
    if met.runs:
        return f"{called}: crossed by the track"
    return f"{called} at the edge of the corridor"


def _along(met: Met[Area], view: LegView) -> bool:
    """Whether the track goes along in the zone, and does not cross it."""
    if track_inside_m(met) < _WHOLE_M:
        return False
    if track_inside_m(met) >= view.length_m - _WHOLE_M:
        return True
    axes = [
        lane.object.orientation_deg
        for lane in view.areas
        if lane.object.kind is AreaKind.LANE and lane.object.orientation_deg is not None
    ]
    offs = [off_flow_deg(course, axis) for course in courses_deg(met, view) for axis in axes]
    return any(min(off, 180.0 - off) < _ALONG_DEG for off in offs)
