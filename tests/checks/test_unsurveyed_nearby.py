"""Unsurveyed water that may reach into the corridor."""

from __future__ import annotations

import pytest
import shapely

from routecheck.checks.unsurveyed_nearby import unsurveyed_nearby
from routecheck.model.chart import Severity
from routecheck.model.objects import Layer, Unsurveyed
from routecheck.model.view import UNSURVEYED, Gap, Touch
from tests.checks.views import met, place, run, view

BAY = Unsurveyed(
    key="cell/UNSARE/1", cls="UNSARE", source="cell", geometry=shapely.box(10.0, 50.0, 10.1, 50.1)
)


def test_within_the_position_uncertainty() -> None:
    """an unsurveyed area 10 m outside the corridor on a chart of 1:50,000 is a caution"""
    # 0.5 mm at 1:50,000 is 25 m: common practice
    where = place(cross_m=110.0, touch=Touch.BELT, belt_m=25.0)
    (finding,) = run(unsurveyed_nearby, view(unsurveyed=(met(BAY, where),)))
    assert finding.severity is Severity.CAUTION
    assert "25 m" in finding.explanation


def hole(from_m: float, to_m: float, why: str = UNSURVEYED) -> Gap:
    return Gap(
        layer=Layer.DANGERS, why=why, along_from_m=from_m, along_to_m=to_m, area_m2=9.0,
        lon_deg=10.0, lat_deg=50.0, cross_m=0.0,
    )  # fmt: skip


def test_in_the_corridor_it_is_told_as_a_hole() -> None:
    # It lies from 100 to 110 m along the leg.
    for gap in (hole(50.0, 200.0), hole(110.0, 120.0), hole(90.0, 100.0)):
        assert run(unsurveyed_nearby, view(unsurveyed=(met(BAY, place()),), gaps=(gap,))) == []


@pytest.mark.parametrize(
    "gaps", [(), (hole(111.0, 200.0),), (hole(0.0, 99.0),), (hole(50.0, 200.0, "no chart"),)]
)
def test_what_is_too_narrow_to_be_a_hole_is_told_here(gaps: tuple[Gap, ...]) -> None:
    (finding,) = run(unsurveyed_nearby, view(unsurveyed=(met(BAY, place()),), gaps=gaps))
    assert finding.severity is Severity.CAUTION
    assert finding.explanation == "By a hair only: less than it is drawn to."
