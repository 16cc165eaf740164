"""Separation zones and lines: COLREG rule 10(b)(ii) and (e)."""

from __future__ import annotations

import pytest

from routecheck.checks.in_the_separation_zone import in_the_separation_zone
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.view import TrackRun
from tests.checks.areaviews import LINE, across, area, beside, leg, near
from tests.checks.views import run

ZONE = area(AreaKind.SEPARATION_ZONE)
WEST = area(AreaKind.LANE, orientation_deg=270.0, key="cell/LANE/2")


def test_crossed_and_along() -> None:
    """a leg that runs along inside a separation zone is a danger, one that crosses it a caution"""
    (crossed,) = run(in_the_separation_zone, leg(across(ZONE)))
    assert crossed.severity is Severity.CAUTION
    whole = (TrackRun(along_from_m=0.0, along_to_m=7000.0, course_deg=90.0),)
    (inside,) = run(in_the_separation_zone, leg(across(ZONE, runs=whole)))
    assert inside.severity is Severity.DANGER and "runs along in it" in inside.title


@pytest.mark.parametrize(
    ("course_deg", "severity"),
    [(90.0, Severity.DANGER), (270.0, Severity.DANGER), (46.0, Severity.DANGER),
     (44.0, Severity.CAUTION), (0.0, Severity.CAUTION), (180.0, Severity.CAUTION)],
)  # fmt: skip
def test_the_axis_of_a_lane_on_the_leg(course_deg: float, severity: Severity) -> None:
    found = run(in_the_separation_zone, leg(across(ZONE, course_deg), across(WEST, course_deg)))
    assert [f.severity for f in found] == [severity]


def test_beside_and_near() -> None:
    for where in (beside, near):
        (finding,) = run(in_the_separation_zone, leg(where(ZONE)))
        assert finding.severity is Severity.CAUTION
        assert "edge of the corridor" in finding.title


def test_a_separation_line() -> None:
    line = area(AreaKind.SEPARATION_LINE, geometry=LINE)
    point = (TrackRun(along_from_m=100.0, along_to_m=100.0, course_deg=90.0),)
    (finding,) = run(in_the_separation_zone, leg(across(line, runs=point), across(WEST)))
    assert finding.severity is Severity.CAUTION and "crossed by the track" in finding.title


def inside(*runs: tuple[float, float, float]) -> tuple[TrackRun, ...]:
    return tuple(TrackRun(along_from_m=a, along_to_m=b, course_deg=c) for a, b, c in runs)


def severity(*runs: tuple[float, float, float], lane: Area | None = WEST) -> str:
    others = [across(lane)] if lane is not None else []
    (finding,) = run(in_the_separation_zone, leg(across(ZONE, runs=inside(*runs)), *others))
    return finding.severity


@pytest.mark.parametrize(
    ("runs", "lane", "expected"),
    [
        # On a leg of 7,000 m all but a metre of it is the whole leg, on whatever course.
        (((0.0, 6999.0, 0.0),), None, "danger"),
        (((0.0, 6998.9, 0.0),), None, "caution"),
        (((0.0, 3000.0, 0.0), (3001.0, 7000.0, 0.0)), None, "danger"),
        # Less than a metre of track in it is none.
        (((100.0, 101.0, 90.0),), WEST, "danger"),
        (((100.0, 100.9, 90.0),), WEST, "caution"),
        (((100.0, 101.05, 90.0),), WEST, "danger"),
        # Within 45 degrees of the axis, either way; one course of several is enough.
        (((100.0, 900.0, 135.0),), WEST, "caution"),
        (((100.0, 900.0, 134.0),), WEST, "danger"),
        (((100.0, 900.0, 315.0),), WEST, "caution"),
        (((100.0, 900.0, 312.0),), WEST, "danger"),
        (((100.0, 900.0, 222.0),), WEST, "caution"),
        (((100.0, 900.0, 45.0),), WEST, "caution"),
        (((100.0, 900.0, 0.0), (900.0, 950.0, 95.0)), WEST, "danger"),
        # Only lanes have an axis, and only those whose direction is charted.
        (((100.0, 900.0, 90.0),), area(AreaKind.LANE, key="cell/LANE/3"), "caution"),
        (((100.0, 900.0, 90.0),), area(AreaKind.FAIRWAY, orientation_deg=90.0), "caution"),
    ],
)
def test_along_or_across(
    runs: tuple[tuple[float, float, float], ...], lane: Area | None, expected: str
) -> None:
    assert severity(*runs, lane=lane) == expected


def test_any_lane_of_the_leg_gives_the_axis() -> None:
    north = area(AreaKind.LANE, orientation_deg=0.0, key="cell/LANE/4")
    along = across(ZONE, runs=inside((100.0, 900.0, 90.0)))
    for lanes in ((north, WEST), (WEST, north)):
        (finding,) = run(in_the_separation_zone, leg(along, *(across(lane) for lane in lanes)))
        assert finding.severity is Severity.DANGER
    # A separation line is crossed, however far the track runs beside it.
    line = across(area(AreaKind.SEPARATION_LINE, geometry=LINE), runs=inside((0.0, 7000.0, 90.0)))
    (finding,) = run(in_the_separation_zone, leg(line, across(WEST)))
    assert finding.severity is Severity.CAUTION
