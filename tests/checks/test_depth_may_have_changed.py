"""Dumping grounds and sand waves. CATDPG 5 is spoil (IHO S-57, attribute 23)."""

from __future__ import annotations

import pytest

from routecheck.checks.depth_may_have_changed import depth_may_have_changed
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import across, area, leg, near
from tests.checks.views import run


def test_spoil() -> None:
    """a spoil ground across the corridor is a caution"""
    ground = area(AreaKind.DUMPING_GROUND, categories=(5,))
    for where in (across, near):
        (finding,) = run(depth_may_have_changed, leg(where(ground)))
        assert finding.severity is Severity.CAUTION
        assert "Spoil is dumped here" in finding.explanation


def test_other_grounds_and_moving_sand() -> None:
    (mute,) = run(depth_may_have_changed, leg(across(area(AreaKind.DUMPING_GROUND))))
    assert "not charted" in mute.explanation
    (sand,) = run(depth_may_have_changed, leg(across(area(AreaKind.SAND_WAVES))))
    assert "Sand waves move" in sand.explanation


@pytest.mark.parametrize(
    ("category", "what"),
    # IHO S-57 ed. 3.1, attribute 23 (CATDPG).
    [(2, "Chemical"), (3, "Nuclear"), (4, "Explosives"), (5, "Spoil"), (6, "Vessels")],
)
def test_what_was_dumped(category: int, what: str) -> None:
    ground = area(AreaKind.DUMPING_GROUND, categories=(category,))
    (finding,) = run(depth_may_have_changed, leg(across(ground)))
    assert what in finding.explanation
