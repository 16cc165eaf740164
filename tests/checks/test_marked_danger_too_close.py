"""Clearance from marks that stand on a danger (IALA Recommendation R1001)."""

from __future__ import annotations

from routecheck.checks.marked_danger_too_close import marked_danger_too_close
from routecheck.model.chart import Severity
from tests.buoys import charts, mark, met, passage, view


def severities(kind: str, off_m: float) -> list[Severity]:
    passes = met([(0.0, -3000.0), (0.0, 3000.0)], charts([mark((off_m, 0.0), kind)]))
    return [f.severity for f in marked_danger_too_close(view(passes), passage())]


def test_in_the_corridor() -> None:
    """an isolated danger mark in the corridor is a danger"""
    assert severities("isolated-danger", 50.0) == [Severity.DANGER]
    assert severities("isolated-danger", -15.0) == [Severity.DANGER]


def test_near() -> None:
    # 185.2 m wanted, and the buoy's place is known to 20 m.
    assert severities("isolated-danger", 205.0) == [Severity.CAUTION]


def test_far() -> None:
    """an isolated danger mark far off is quiet"""
    assert severities("isolated-danger", 206.0) == []


def test_emergency_wreck() -> None:
    """an emergency wreck mark within mark_far is a caution"""
    assert severities("emergency-wreck", 500.0) == [Severity.CAUTION]
    assert severities("emergency-wreck", 200.0) == [Severity.DANGER]


def test_emergency_wreck_charted_beyond_far_that_may_stand_within() -> None:
    # Found by the campaign on 2026-11-25: 755 m off by the chart, known to 20 m, 740.8 m wanted.
    assert severities("emergency-wreck", 755.0) == [Severity.CAUTION]
    assert severities("emergency-wreck", 762.0) == []
