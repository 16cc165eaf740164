"""Separation zones and lines: COLREG rule 10(b)(ii) and (e)."""

from __future__ import annotations

import pytest

from routecheck.checks.in_the_separation_zone import in_the_separation_zone
from routecheck.model.areas import AreaKind
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
