"""Ferries: CATFRY 1 moves freely, 2 runs on a cable, 3 on ice (IHO S-57, attribute 25)."""

from __future__ import annotations

import pytest

from routecheck.checks.ferry_route import ferry_route
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import LINE, across, area, leg, near
from tests.checks.views import run


@pytest.mark.parametrize(
    ("kinds", "severity", "near_by"),
    [
        ((1,), Severity.NOTE, None),
        ((2,), Severity.CAUTION, Severity.CAUTION),
        ((3,), Severity.CAUTION, Severity.CAUTION),
        ((), Severity.CAUTION, Severity.CAUTION),
        ((1, 2), Severity.CAUTION, Severity.CAUTION),
    ],
)
def test_by_kind(kinds: tuple[int, ...], severity: Severity, near_by: Severity | None) -> None:
    """a cable ferry across the corridor is a caution, a free one a note"""
    thing = area(AreaKind.FERRY, categories=kinds, geometry=LINE)
    assert [f.severity for f in run(ferry_route, leg(across(thing)))] == [severity]
    expected = [near_by] if near_by else []
    assert [f.severity for f in run(ferry_route, leg(near(thing)))] == expected


def test_words() -> None:
    (finding,) = run(ferry_route, leg(across(area(AreaKind.FERRY, categories=(2,), name="Ness"))))
    assert finding.title == "cable ferry route Ness"
    assert "cable or chain" in finding.explanation


@pytest.mark.parametrize(("kinds", "said"), [((1,), False), ((3,), False), ((), True)])
def test_a_kind_that_is_not_charted_is_said_to_be_so(kinds: tuple[int, ...], said: bool) -> None:
    (finding,) = run(ferry_route, leg(across(area(AreaKind.FERRY, categories=kinds))))
    assert ("What kind of ferry is not charted" in finding.explanation) is said
