"""Seasonal marks: periods as in IHO S-57 ed. 3.1, PERSTA, PEREND, DATEND."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from routecheck.checks.mark_not_always_there import mark_not_always_there
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from tests.buoys import charts, mark, met, passage, view

SUMMER = {"PERSTA": "--0401", "PEREND": "--1201"}


def found(period: dict[str, str], at: datetime | None) -> list[Finding]:
    buoy = mark((-100.0, 0.0), "port-hand", "Deep", attributes=period)
    passes = met([(0.0, -500.0), (0.0, 500.0)], charts([buoy]))
    skipper = replace(passage(), leg_start=at, speed_kn=5.0)
    return list(mark_not_always_there(view(passes), skipper))


def test_out_of_season() -> None:
    """a summer buoy passed in January is a caution"""
    (one,) = found(SUMMER, datetime(2027, 1, 15, tzinfo=UTC))
    assert one.severity is Severity.CAUTION
    assert "1 April to 1 December" in one.explanation
    assert "Deep is not there" in one.title


@pytest.mark.parametrize("at", [None, datetime(2027, 7, 1, tzinfo=UTC)])
def test_in_season_or_no_time(at: datetime | None) -> None:
    """a summer buoy with no time of passing is a note"""
    (one,) = found(SUMMER, at)
    assert one.severity is Severity.NOTE


def test_withdrawn_for_good() -> None:
    (one,) = found({"DATEND": "20260301"}, datetime(2027, 7, 1, tzinfo=UTC))
    assert one.severity is Severity.CAUTION


def test_no_period() -> None:
    """a mark without a period is quiet"""
    assert found({}, datetime(2027, 1, 15, tzinfo=UTC)) == []
