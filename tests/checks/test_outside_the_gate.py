"""The gate check."""

from __future__ import annotations

from routecheck.checks.outside_the_gate import outside_the_gate
from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import BuoyageZone
from tests.buoys import charts, mark, met, passage, view, zone

GATE = [mark((-150.0, 0.0), "port-hand", "Left"), mark((150.0, 0.0), "starboard-hand", "Right")]


def found(east_m: float, zones: list[BuoyageZone]) -> list[Finding]:
    passes = met([(east_m, -3000.0), (east_m, 3000.0)], charts(GATE, zones))
    seen = view(passes)
    # What is told as a gate is not told again as a wrong side.
    assert [f for f in wrong_side_of_mark(seen, passage()) if f.severity is Severity.DANGER] == []
    return list(outside_the_gate(seen, passage()))


def test_outside_with_the_stated_direction() -> None:
    """outside a gate, going with the stated direction, is a danger"""
    for direction_deg in (0.0, 180.0):  # whichever way it runs, one of the two is right
        for east_m in (300.0, 420.0):
            findings = found(east_m, [zone(direction_deg, "A")])
            if direction_deg == 0.0:
                (one,) = findings
                assert one.severity is Severity.DANGER
                assert one.title == "outside the gate of starboard-hand mark Right and Left"
                assert one.sums["gate_width_m"] == 300.0
                assert one.sums["gate_outside_m"] == east_m - 150.0
            else:  # against it Right is left to port, as it should be: Left is the wrong one
                assert findings == []


def test_outside_with_nothing_else_to_go_by() -> None:
    """outside a pair with nothing else to go by is a caution"""
    (one,) = found(400.0, [])
    assert one.severity is Severity.CAUTION
    assert "inferred" in one.explanation


def test_between() -> None:
    """between the marks of a gate there is nothing to say"""
    assert found(0.0, [zone(0.0, "A")]) == []
    assert found(0.0, []) == []


def test_further_off_it_is_another_channel() -> None:
    assert found(500.0, [zone(0.0, "A")]) == []


def test_staggered() -> None:
    """outside a mark of a staggered channel is told with the marks of its other edge"""
    hands = ("port-hand", "starboard-hand")
    marks = [
        mark((300.0 * (n % 2) - 150.0, 926.0 * n), hands[n % 2], f"Reach {n + 1}") for n in range(6)
    ]
    track = [(0.0, -2000.0), (0.0, 1000.0), (240.0, 2700.0), (240.0, 2860.0), (0.0, 4600.0)]
    passes = met(track, charts(marks, [zone(0.0, "A")]))
    (one,) = outside_the_gate(view(passes), passage())
    assert one.severity is Severity.DANGER
    assert one.title == (
        "starboard-hand mark Reach 4 left to port, outside its gate with the edge from Reach 3 "
        "to Reach 5: its side is starboard"
    )
    assert one.sums["gate_outside_m"] == 90.0
