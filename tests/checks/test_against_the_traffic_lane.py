"""Lanes of traffic separation schemes, by the angle between track and flow.

COLREG rule 10(b) and (c): with the flow, joining and leaving at a small angle, crossing as nearly
as practicable at right angles. The limits of 45 and 20 degrees are the check's own.
"""

from __future__ import annotations

import pytest

from routecheck.checks.against_the_traffic_lane import against_the_traffic_lane
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.view import TrackRun
from tests.checks.areaviews import across, area, beside, leg, near
from tests.checks.views import run

DANGER, CAUTION, NOTE = Severity.DANGER, Severity.CAUTION, Severity.NOTE
EAST = area(AreaKind.LANE, orientation_deg=90.0)


@pytest.mark.parametrize(
    ("course_deg", "severity"),
    [
        (90.0, None), (45.0, None), (135.0, None), (44.9, CAUTION), (150.0, CAUTION),
        (20.1, CAUTION), (20.0, NOTE), (0.0, NOTE), (180.0, NOTE), (200.0, NOTE), (340.0, NOTE),
        (339.9, DANGER), (200.1, DANGER), (270.0, DANGER),
    ],
)  # fmt: skip
def test_angles(course_deg: float, severity: Severity | None) -> None:
    """the track against a lane is a danger, at 60 degrees to it a caution, square across a note,
    with the flow nothing"""
    found = run(against_the_traffic_lane, leg(across(EAST, course_deg)))
    assert [f.severity for f in found] == ([severity] if severity else [])


@pytest.mark.parametrize("where", [beside, near])
def test_where_only_the_corridor_or_the_uncertainty_meets_it(where: object) -> None:
    (against,) = run(against_the_traffic_lane, leg(where(EAST, 270.0)))  # type: ignore[operator]
    assert against.severity is CAUTION and "stays out of the lane" in against.explanation
    with_it = run(against_the_traffic_lane, leg(where(EAST, 90.0)))  # type: ignore[operator]
    assert with_it == []


def test_square_across_within_the_uncertainty_says_nothing() -> None:
    assert run(against_the_traffic_lane, leg(near(EAST, 0.0))) == []


def test_a_lane_without_a_direction_is_not_assessed() -> None:
    blank = area(AreaKind.LANE)
    (finding,) = run(against_the_traffic_lane, leg(across(blank)))
    assert finding.severity is Severity.NOT_ASSESSED and finding.settle
    (belt,) = run(against_the_traffic_lane, leg(near(blank)))
    assert belt.severity is CAUTION


def test_the_worst_course_inside_counts() -> None:
    runs = (
        TrackRun(along_from_m=0.0, along_to_m=500.0, course_deg=80.0),
        TrackRun(along_from_m=900.0, along_to_m=950.0, course_deg=280.0),
        TrackRun(along_from_m=950.0, along_to_m=990.0, course_deg=10.0),
    )
    (finding,) = run(against_the_traffic_lane, leg(across(EAST, runs=runs)))
    assert finding.severity is DANGER
    assert finding.sums["off_flow_deg"] == pytest.approx(170.0)


def test_a_slant_is_worse_than_square_across() -> None:
    runs = (
        TrackRun(along_from_m=0.0, along_to_m=500.0, course_deg=0.0),
        TrackRun(along_from_m=500.0, along_to_m=950.0, course_deg=30.0),
    )
    (finding,) = run(against_the_traffic_lane, leg(across(EAST, runs=runs)))
    assert finding.severity is CAUTION
    assert finding.sums["course_deg"] == 30.0


@pytest.mark.parametrize(
    ("courses_deg", "worst_deg"),
    [((250.0, 275.0), 275.0), ((30.0, 40.0), 30.0), ((0.0, 15.0), 0.0), ((90.0, 0.0), 0.0)],
)
def test_of_two_alike_the_course_further_off_the_flow_is_told(
    courses_deg: tuple[float, ...], worst_deg: float
) -> None:
    for order in (courses_deg, courses_deg[::-1]):
        runs = tuple(
            TrackRun(along_from_m=500.0 * n, along_to_m=500.0 * n + 400.0, course_deg=course)
            for n, course in enumerate(order)
        )
        (finding,) = run(against_the_traffic_lane, leg(across(EAST, runs=runs)))
        assert finding.sums["course_deg"] == worst_deg
        assert finding.sums["orientation_deg"] == 90.0
