"""Lanes of traffic separation schemes: with the flow, square across, or wrong."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding, courses_deg, off_flow_deg
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check, code_of
from routecheck.model.view import LegView, Met, Touch

JOINS_DEG = 45.0
SQUARE_DEG = 20.0


@check(
    name="against-the-traffic-lane",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED, Severity.NOTE},
)
def against_the_traffic_lane(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track goes against a traffic lane, or crosses it at a slant.

    Rule      with a = angle between the track in the lane and the lane's direction (ORIENT):
              a > 110 degrees: danger, against the flow; 45 < a < 70: caution, neither with the
              flow nor square across; 70 to 110: note, crosses as nearly square as can be drawn;
              a <= 45: nothing, with the flow, joining or leaving. Where only the corridor meets
              the lane, or only its position uncertainty: the same, a danger being a caution. A
              lane without a direction: not assessed; only within its uncertainty: caution.
    Why       Ships meet head on, and watch-keepers look for nothing there.
    Examples  in words: the track against a lane is a danger, at 60 degrees to it a caution, square
              across a note, with the flow nothing
    Settings  cross_track, eta; the departure.
    Limits    Crossing is judged by the track; the rule goes by the heading, which differs in a
              stream. Whether a lane need be crossed at all.
    Sources   COLREG rule 10(b) and (c) (33 CFR 83.10); IHO S-57 ed. 3.1, TSSLPT with ORIENT. The
              limits of 45 and 20 degrees: ours.
    """
    for met in view.areas:
        if Fault.LANE not in faults_of(met.object):
            continue
        finding = _finding(met, view, passage)
        if finding is not None:
            yield finding


def _finding(met: Met[Area], view: LegView, passage: Passage) -> Finding | None:
    area, near = met.object, met.place.touch is Touch.BELT
    called, flow_deg = area_called(area), area.orientation_deg
    if flow_deg is None:
        return area_finding(
            "against-the-traffic-lane",
            met,
            view,
            passage,
            severity=Severity.CAUTION if near else Severity.NOT_ASSESSED,
            title=f"{called}: its direction is not charted",
            says="Which way its traffic goes is not charted: the track was not held against it.",
            settle="look up the direction of the lane",
        )
    course_deg = min(courses_deg(met, view), key=lambda c: _rank(off_flow_deg(c, flow_deg)))
    off_deg = off_flow_deg(course_deg, flow_deg)
    severity, what, says = _judged(off_deg)
    if severity is None:
        return None
    if not met.runs:
        severity = Severity.CAUTION if severity is Severity.DANGER else severity
        says += " The track itself stays out of the lane."
    return area_finding(
        "against-the-traffic-lane",
        met,
        view,
        passage,
        severity=severity,
        title=f"{called}: {what}",
        says=f"Course {course_deg:.0f}°, lane {flow_deg:.0f}°: {off_deg:.0f}° off. {says}",
        sums={"course_deg": course_deg, "orientation_deg": flow_deg, "off_flow_deg": off_deg},
    )


def _rank(off_deg: float) -> tuple[int, float]:
    """The worst first: against the flow, then a slant, then square across."""
    return code_of(_judged(off_deg)[0]), -off_deg


def _judged(off_deg: float) -> tuple[Severity | None, str, str]:
    if off_deg <= JOINS_DEG:
        return None, "", ""
    if off_deg < 90.0 - SQUARE_DEG:
        says = "Go with the flow, or cross on a heading as nearly square to it as can be."
        return Severity.CAUTION, "the track crosses it at a slant", says
    if off_deg <= 90.0 + SQUARE_DEG:
        says = "Crossed square: give way to what follows the lane, and do not impede it."
        return Severity.NOTE, "the track crosses it square", says
    return Severity.DANGER, "the track goes against it", "Traffic comes from ahead."
