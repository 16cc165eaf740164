"""Gaps of the coverage."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.water_not_covered import water_not_covered
from routecheck.model.chart import Severity
from routecheck.model.objects import Layer
from tests.sketch import passage, view_of


def test_a_gap_is_not_assessed_and_says_how_large() -> None:
    (one,) = water_not_covered(view_of("99 9"), passage())
    assert one.severity is Severity.NOT_ASSESSED
    assert one.sums["not_seen_m2"] == 100.0 * 100.0
    assert "nothing is charted here" in one.title


def test_gaps_of_one_reason_are_one_finding_and_of_two_are_two() -> None:
    view = view_of("99 9")
    gap = view.gaps[0]
    other = replace(gap, layer=Layer.LAND)
    assert len(list(water_not_covered(replace(view, gaps=(gap, other)), passage()))) == 1
    why = replace(other, why="the cell is compiled at 1:1,500,000")
    assert len(list(water_not_covered(replace(view, gaps=(gap, why)), passage()))) == 2
