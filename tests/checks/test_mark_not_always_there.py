"""Seasonal marks: periods as in IHO S-57 ed. 3.1, PERSTA, PEREND, DATEND."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from routecheck.checks.mark_not_always_there import mark_not_always_there
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from tests.buoys import charts, mark, met, passage, view
from tests.checks.markviews import leg_with, mark_pass, stands_at_mark

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


def test_what_is_told() -> None:
    mets = [
        mark_pass(name="None"),
        mark_pass(name="Summer", distance_m=123.46, attributes=SUMMER),
        mark_pass(name="Gone", attributes={"DATSTA": "20200101", "DATEND": "20260301"}),
    ]
    found = list(mark_not_always_there(leg_with(*mets), passage()))
    assert [(one.severity, one.title) for one in found] == [
        ("note", "special mark Summer is there for a part of the year"),
        ("note", "special mark Gone is there for a part of the year"),
    ]
    assert "taken as there" in found[0].explanation
    assert "since 1 January 2020, until 1 March 2026" in found[1].explanation
    assert found[0].sums == {"distance_m": 123.5}
    assert found[0].rests_on == "period as in cell"
    stands_at_mark(found[0], mets[1])
    july = replace(passage(), leg_start=datetime(2027, 7, 1, tzinfo=UTC), speed_kn=5.0)
    there, gone = mark_not_always_there(leg_with(*mets), july)
    assert there.explanation.startswith("Charted as there")
    assert (gone.severity, gone.title) == (
        "caution",
        "special mark Gone is not there at that time of year",
    )


@pytest.mark.parametrize("along_m", [0.0, 500.0])
def test_the_time_is_that_of_passing_the_mark(along_m: float) -> None:
    """At 5 kn 500 m take 3 min 14 s; the first of December is over in the last zone of time at
    12:00 UTC on the second."""
    noon = datetime(2027, 12, 2, 11, 58, tzinfo=UTC)
    by = replace(passage(), leg_start=noon, speed_kn=5.0)
    by = replace(by, boat=replace(by.boat, margins=replace(by.boat.margins, eta_s=0.0)))
    (one,) = mark_not_always_there(leg_with(mark_pass(attributes=SUMMER, along_m=along_m)), by)
    assert one.severity == ("caution" if along_m else "note")
