"""Keeping to starboard in a fairway (COLREG 1972, rule 9(a))."""

from __future__ import annotations

import pytest

from routecheck.checks.port_side_of_the_fairway import port_side_of_the_fairway
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from tests.buoys import charts, mark, met, passage, view, zone


def found(east_m: float, back: bool = False, stated: bool = True) -> list[Finding]:
    gates = [
        mark((-150.0, 0.0), "port-hand", "Left"),
        mark((150.0, 0.0), "starboard-hand", "Right"),
        mark((-100.0, 1500.0), "port-hand", "Far left"),
        mark((100.0, 1500.0), "starboard-hand", "Far right"),
    ]
    if not stated:
        gates = gates[:2]  # two gates in a row would tell the direction by themselves
    places = [(east_m, -3000.0), (east_m, 3000.0)]
    passes = met(places[::-1] if back else places, charts(gates, [zone(0.0)] if stated else []))
    return list(port_side_of_the_fairway(view(passes), passage()))


@pytest.mark.parametrize("back", [False, True])
def test_to_port_of_the_middle(back: bool) -> None:
    """through a gate well to port of the middle is a note"""
    (one,) = found(40.0 if back else -40.0, back)
    assert one.severity is Severity.NOTE
    assert one.sums["off_middle_m"] == pytest.approx(-40.0, abs=0.2)
    assert one.cross_m == 0.0  # the gate's line is met on the track
    assert len(one.evidence) == 1  # the other gate of the leg


@pytest.mark.parametrize("back", [False, True])
def test_to_starboard_of_the_middle(back: bool) -> None:
    """through a gate to starboard of the middle is quiet"""
    assert found(-40.0 if back else 40.0, back) == []


def test_within_the_error_of_the_marks_there_is_nothing_to_say() -> None:
    assert found(-19.0) == []
    assert len(found(-21.0)) == 1


def test_outside() -> None:
    """outside a gate is for another check to tell"""
    assert found(-200.0) == []


def test_where_the_direction_is_not_known_there_is_no_proper_side() -> None:
    assert found(-40.0, stated=False) == []


@pytest.mark.parametrize("east_m", [-60.0, 60.0])
def test_staggered(east_m: float) -> None:
    """in a staggered channel the middle is half-way from a mark to the other edge"""
    hands = ("port-hand", "starboard-hand")
    marks = [
        mark((300.0 * (n % 2) - 150.0, 926.0 * n), hands[n % 2], f"Reach {n + 1}") for n in range(6)
    ]
    passes = met([(east_m, -2000.0), (east_m, 7000.0)], charts(marks, [zone(0.0, "A")]))
    notes = list(port_side_of_the_fairway(view(passes), passage()))
    assert [n.sums["off_middle_m"] for n in notes] == ([-60.0] if east_m < 0.0 else [])
