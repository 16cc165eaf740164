"""Areas that ships should keep out of."""

from __future__ import annotations

from routecheck.checks.area_to_be_avoided import area_to_be_avoided
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from tests.checks.areaviews import across, area, beside, leg, near
from tests.checks.views import run


def one(*restrictions: int, status: tuple[int, ...] = ()) -> list[Finding]:
    thing = area(AreaKind.RESTRICTED, *restrictions, status=status)
    return run(area_to_be_avoided, leg(across(thing)))


def test_recommended_and_mandatory() -> None:
    """an area to be avoided across the corridor is a caution, a mandatory one a danger"""
    assert [f.severity for f in one(14)] == [Severity.CAUTION]
    assert [f.severity for f in one(14, status=(9,))] == [Severity.DANGER]


def test_one_member_of_the_list_is_enough_and_the_graver_restriction_goes_elsewhere() -> None:
    assert len(one(1, 3, 14)) == 1
    assert one(7, 14) == one(1) == []


def test_a_mandatory_one_is_told_beside_another_restriction() -> None:
    for other in (8, 42, 99):
        assert [f.severity for f in one(other, 14, status=(9,))] == [Severity.DANGER]
        assert one(other, 14) == []


def test_the_corridor_and_the_position_uncertainty() -> None:
    thing = area(AreaKind.RESTRICTED, 14, status=(9,))
    assert [f.severity for f in run(area_to_be_avoided, leg(beside(thing)))] == [Severity.DANGER]
    assert [f.severity for f in run(area_to_be_avoided, leg(near(thing)))] == [Severity.CAUTION]
