"""Gates of staggered marks: alternate marks of either hand, none of them abreast of another."""

from __future__ import annotations

import pytest

from routecheck.checks.outside_the_gate import outside_the_gate
from routecheck.checks.port_side_of_the_fairway import port_side_of_the_fairway
from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import Fault
from routecheck.model.objects import Mark
from routecheck.model.passes import MarkPass
from tests.buoys import HERE, Place, Spot, charts, judged, mark, met, passage, view, zone

STEP_M = 926.0  # half a mile
HALF_M = 150.0


def staggered(
    *,
    numbers: bool = True,
    spot: Spot = HERE,
    half_m: float = HALF_M,
    count: int = 8,
    east: float = 0.0,
) -> list[Mark]:
    """Northward from seaward: odd numbers port-hand to the west, even ones starboard-hand."""
    made = []
    for n in range(count):
        port = n % 2 == 0
        place = (east + (-half_m if port else half_m), n * STEP_M)
        name = f"Reach {n + 1}" if numbers else ("" if n else "First")
        made.append(mark(place, "port-hand" if port else "starboard-hand", name, spot=spot))
    return made


def bulge(at: int, east_m: float, keep_m: float = 0.0) -> list[Place]:
    """A track along the channel, pushed to `east_m` abreast of the mark at `at` only."""
    north = at * STEP_M
    return [
        (keep_m, -2000.0),
        (keep_m, north - 420.0),
        (east_m, north - 120.0),
        (east_m, north + 120.0),
        (keep_m, north + 420.0),
        (keep_m, 8 * STEP_M + 2000.0),
    ]


def by_name(passes: list[MarkPass], name: str) -> MarkPass:
    (one,) = [p for p in passes if p.mark.name == name]
    return one


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("spot", [HERE, Spot(179.99, 75.0, 33.0), Spot(0.0, -40.0, 211.0)])
def test_between_the_two_edges(back: bool, spot: Spot) -> None:
    track = [(40.0, north_m) for north_m in range(-2000, 10000, 500)]  # rhumb lines bend
    found = met(track[::-1] if back else track, charts(staggered(spot=spot)), spot=spot)
    assert len(found) == 8
    gates = {p.mark.name: p.gate for p in found}
    # The first and the last have no mark of the other hand beyond them.
    assert {name for name, gate in gates.items() if gate is None} == {"Reach 1", "Reach 8"}
    for name, gate in gates.items():
        if gate is None:
            continue
        number = int(name.split()[1])
        assert gate.between and gate.staggered
        assert {gate.partner_name, gate.edge_name} == {f"Reach {number - 1}", f"Reach {number + 1}"}
        assert gate.width_m == pytest.approx(2 * HALF_M, abs=1.0)
        assert gate.off_middle_m == pytest.approx(-40.0 if back else 40.0, abs=1.0)
    assert {judged(p).outcome for p in found} == {MarkOutcome.RIGHT}


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("numbers", [False, True])
def test_outside_a_mark_of_a_staggered_channel(back: bool, numbers: bool) -> None:
    """outside a mark of a staggered channel is told with the marks of its other edge"""
    track = bulge(3, HALF_M + 90.0)
    held = charts(staggered(numbers=numbers), [zone(0.0, "A")])
    passes = met(track[::-1] if back else track, held)
    findings = list(outside_the_gate(view(passes), passage()))
    (one,) = findings
    assert one.severity is Severity.DANGER
    assert one.sums["gate_width_m"] == pytest.approx(300.0, abs=0.5)
    assert one.sums["gate_outside_m"] == pytest.approx(90.0, abs=0.5)
    if numbers:
        passed, proper = ("starboard", "port") if back else ("port", "starboard")
        assert one.title.startswith(f"starboard-hand mark Reach 4 left to {passed}, outside its")
        assert one.title.endswith(f"its side is {proper}")
        assert "Reach 3" in one.title and "Reach 5" in one.title
        assert "its gate with the other edge, between Reach" in one.explanation
    assert [p for p in passes if judged(p).fault is Fault.WRONG_SIDE] == []


def test_well_outside_is_told_where_the_mark_alone_might_be_another_channels() -> None:
    """Beyond mark_near, with no numbers: a caution by itself, a danger by the gate."""
    passes = met(bulge(3, HALF_M + 250.0), charts(staggered(numbers=False), [zone(0.0, "A")]))
    told = [p for p in passes if judged(p).severity is Severity.DANGER]
    assert len({p.mark.key for p in told}) == 1
    assert judged(told[0]).fault is Fault.OUTSIDE_GATE


@pytest.mark.parametrize("numbers", [False, True])
@pytest.mark.parametrize("east", [-700.0, 700.0])
def test_a_neighbouring_channel_makes_no_gate(numbers: bool, east: float) -> None:
    """The next channel's nearer edge stands 400 m off this one's, on the side it should not be."""
    theirs = [
        mark(
            (east + (-HALF_M if n % 2 == 0 else HALF_M), n * STEP_M + 300.0),
            "port-hand" if n % 2 == 0 else "starboard-hand",
            f"Other {n + 1}" if numbers else "",
        )
        for n in range(8)
    ]
    held = charts(staggered(numbers=numbers) + theirs, [zone(0.0, "A")])
    passes = met([(0.0, -2000.0), (0.0, 9500.0)], held)
    assert len(passes) > 8
    assert [p for p in passes if judged(p).fault is Fault.OUTSIDE_GATE] == []
    if not numbers:
        assert [p for p in passes if judged(p).severity is Severity.DANGER] == []


def test_one_edge_alone_makes_no_gate() -> None:
    one_edge = [m for m in staggered() if m.kind.value == "port-hand"]
    passes = met([(0.0, -2000.0), (0.0, 9500.0)], charts(one_edge, [zone(0.0, "A")]))
    assert [p.gate for p in passes] == [None] * 4


def test_numbers_of_another_run_make_no_gate() -> None:
    mixed = [
        mark(
            (-HALF_M if n % 2 == 0 else HALF_M, n * STEP_M),
            "port-hand" if n % 2 == 0 else "starboard-hand",
            f"{'Left' if n % 2 == 0 else 'Right'} {n + 1}",
        )
        for n in range(8)
    ]
    passes = met([(0.0, -2000.0), (0.0, 9500.0)], charts(mixed, [zone(0.0, "A")]))
    assert {p.gate for p in passes} == {None}


def test_the_middle_between_staggered_edges() -> None:
    """in a staggered channel the middle is half-way from a mark to the other edge"""
    held = charts(staggered(), [zone(0.0, "A")])
    to_port = met([(-60.0, -2000.0), (-60.0, 9500.0)], held)
    (note,) = port_side_of_the_fairway(view(to_port), passage())
    assert note.severity is Severity.NOTE
    assert note.sums["off_middle_m"] == pytest.approx(-60.0, abs=0.5)
    assert "to port of the middle between Reach" in note.title and "the edge from" in note.title
    assert len(note.evidence) == 3  # the marks at the ends of either edge tell no bend
    to_starboard = met([(60.0, -2000.0), (60.0, 9500.0)], held)
    assert list(port_side_of_the_fairway(view(to_starboard), passage())) == []


@pytest.mark.parametrize("numbers", [False, True])
def test_beyond_the_other_edge_where_no_mark_stands(numbers: bool) -> None:
    """Out between two starboard-hand marks and in again before the next, all passed rightly."""
    passes = met(bulge(4, HALF_M + 100.0), charts(staggered(numbers=numbers), [zone(0.0, "A")]))
    assert [p for p in passes if judged(p).severity is Severity.DANGER] == []
    (one,) = outside_the_gate(view(passes), passage())
    assert one.severity is Severity.CAUTION
    assert "it is passed rightly" in one.explanation
    assert "100 m beyond that edge" in one.explanation
    if numbers:
        assert one.title == (
            "beyond the edge from Reach 4 to Reach 6 of the channel of port-hand mark Reach 5"
        )


def test_beyond_an_edge_whose_marks_are_told_it_is_not_told_twice() -> None:
    places = [(HALF_M + 60.0, -2000.0), (HALF_M + 60.0, 9500.0)]
    passes = met(places, charts(staggered(), [zone(0.0, "A")]))
    findings = list(outside_the_gate(view(passes), passage()))
    assert {f.severity for f in findings} == {Severity.DANGER}
    assert {p.mark.name for p in passes if judged(p).outcome is MarkOutcome.WRONG} == {
        f"Reach {n}" for n in (2, 4, 6, 8)
    }
