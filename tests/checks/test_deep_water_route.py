"""Routes that are made for big ships."""

from __future__ import annotations

from routecheck.checks.deep_water_route import deep_water_route
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import across, area, leg, near
from tests.checks.views import run


def test_a_note() -> None:
    """a two-way deep-water route across the corridor is a note"""
    for kind in (AreaKind.DEEP_WATER_ROUTE, AreaKind.TWO_WAY_ROUTE):
        (finding,) = run(deep_water_route, leg(across(area(kind, orientation_deg=145.0))))
        assert finding.severity is Severity.NOTE


def test_one_way_is_told_elsewhere_and_a_note_needs_the_corridor() -> None:
    one_way = area(AreaKind.DEEP_WATER_ROUTE, one_way=True, orientation_deg=145.0)
    assert run(deep_water_route, leg(across(one_way))) == []
    assert run(deep_water_route, leg(near(area(AreaKind.TWO_WAY_ROUTE)))) == []
