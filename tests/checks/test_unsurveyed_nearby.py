"""Unsurveyed water that may reach into the corridor."""

from __future__ import annotations

import shapely

from routecheck.checks.unsurveyed_nearby import unsurveyed_nearby
from routecheck.model.chart import Severity
from routecheck.model.objects import Unsurveyed
from routecheck.model.view import Touch
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


def test_in_the_corridor_it_is_told_as_a_hole() -> None:
    assert run(unsurveyed_nearby, view(unsurveyed=(met(BAY, place()),))) == []
