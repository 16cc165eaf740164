"""Tracks, routes and fairways that are used one way only."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding, courses_deg, off_flow_deg
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met

_AGAINST_DEG = 135.0


@check(
    name="against-one-way-traffic",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION},
)
def against_one_way_traffic(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track goes against a recommended track, route or fairway that is used one way.

    Rule      a one-way recommended track, recommended direction of traffic, deep-water or two-way
              route or fairway touched by the corridor, or within its position uncertainty, with
              the track over 135 degrees off its direction: caution; one-way without a direction
              charted: caution.
    Why       Those who follow the recommendation come from ahead.
    Examples  in words: a one-way recommended track followed backwards is a caution, followed
              forwards it says nothing
    Settings  cross_track, eta; the departure.
    Limits    Whether the boat follows the track or only crosses it is judged by the courses alone.
    Sources   IHO S-57 ed. 3.1, RECTRC, RCRTCL, RCTLPT, DWRTCL, DWRTPT, TWRTPT, FAIRWY with TRAFIC
              and ORIENT; IMO Res. A.572(14), definitions. The limit of 135 degrees: ours.
    """
    for met in view.areas:
        if Fault.ONE_WAY not in faults_of(met.object):
            continue
        finding = _finding(met, view, passage)
        if finding is not None:
            yield finding


def _finding(met: Met[Area], view: LegView, passage: Passage) -> Finding | None:
    called, flow_deg = area_called(met.object), met.object.orientation_deg
    if flow_deg is None:
        return area_finding(
            "against-one-way-traffic",
            met,
            view,
            passage,
            severity=Severity.CAUTION,
            title=f"{called}: one way, and which way is not charted",
            says="It is used one way only; the direction is not charted.",
            settle="look up the direction of the traffic",
        )
    course_deg = max(courses_deg(met, view), key=lambda c: off_flow_deg(c, flow_deg))
    off_deg = off_flow_deg(course_deg, flow_deg)
    if off_deg <= _AGAINST_DEG:
        return None
    return area_finding(
        "against-one-way-traffic",
        met,
        view,
        passage,
        severity=Severity.CAUTION,
        title=f"{called}: the track goes against its one way",
        says=(
            f"Course {course_deg:.0f}°, its direction {flow_deg:.0f}°: {off_deg:.0f}° off. "
            "Traffic comes from ahead."
        ),
        sums={"course_deg": course_deg, "orientation_deg": flow_deg, "off_flow_deg": off_deg},
    )
