"""Marks in the corridor, or closer than their position is known."""

from __future__ import annotations

import pytest

from routecheck.checks.mark_too_close_to_call import mark_too_close_to_call
from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Mark
from tests.buoys import charts, mark, met, passage, view, zone


def found(one: Mark, width_m: float = 5.0) -> list[Finding]:
    passes = met([(0.0, -3000.0), (0.0, 3000.0)], charts([one], [zone(0.0)]), width_m=width_m)
    return list(mark_too_close_to_call(view(passes, width_m), passage()))


def test_floating() -> None:
    """a buoy 10 m off the track has no certain side"""
    for east_m in (-10.0, 10.0):  # the right and the wrong side by the chart
        (one,) = found(mark((east_m, 0.0), "port-hand", "Deep"))
        assert one.severity is Severity.CAUTION
        assert "no certain side" in one.explanation
    assert found(mark((-21.0, 0.0), "port-hand", "Deep")) == []


def test_fixed_marks_are_known_better() -> None:
    beacon = mark((-10.0, 0.0), "port-hand", floating=False, position_uncertainty_m=1.0)
    assert found(beacon) == []
    assert len(found(beacon, width_m=20.0)) == 1


def test_corridor_laps_over() -> None:
    """a rightly passed mark inside the corridor is a caution"""
    (one,) = found(mark((-60.0, 0.0), "port-hand", "Deep"), width_m=60.0)
    assert one.severity is Severity.CAUTION and "corridor" in one.explanation
    assert one.sums["side_required"] == one.sums["side_passed"] == "port"


def test_outside_the_corridor() -> None:
    """a rightly passed mark outside the corridor is quiet"""
    assert found(mark((-61.0, 0.0), "port-hand", "Deep"), width_m=60.0) == []


@pytest.mark.parametrize(
    ("floating", "severity"), [(True, Severity.NOTE), (False, Severity.CAUTION)]
)
@pytest.mark.parametrize("kind", ["special", "safe-water"])
def test_marks_without_a_side(kind: str, floating: bool, severity: Severity) -> None:
    (one,) = found(mark((40.0, 0.0), kind, floating=floating), width_m=50.0)
    assert one.severity is severity


def test_a_wrong_mark_in_the_corridor_is_the_other_checks() -> None:
    passes = met(
        [(0.0, -3000.0), (0.0, 3000.0)],
        charts([mark((40.0, 0.0), "port-hand")], [zone(0.0)]),
    )
    assert list(mark_too_close_to_call(view(passes), passage())) == []
    assert len(list(wrong_side_of_mark(view(passes), passage()))) == 1
