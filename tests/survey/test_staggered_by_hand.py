"""Gates of staggered marks, mark by mark: which edge, how wide, crossed where, and how it bends."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.survey.edges import Edges
from routecheck.survey.markset import mark_set
from routecheck.survey.minima import Minimum, minima, near_lines
from routecheck.survey.runs import Runs
from routecheck.survey.staggered import Staggered, staggered_gates
from tests.buoys import HERE, Place, Spot, chart, mark
from tests.survey.tracks import chain

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
REACH_M = 2500.0
Where = Mapping[str, Place]


def marked(where: Where, spot: Spot = HERE) -> list[Mark]:
    """Names ending in an odd number (or beginning with p) are port-hand marks."""
    made = []
    for name, place in where.items():
        last = name.split()[-1].rstrip("abc")
        port = int(last) % 2 == 1 if last.isdigit() else name.startswith("p")
        made.append(mark(place, P if port else S, name if last.isdigit() else name[1:], spot=spot))
    return made


def gates(
    where: Where,
    track: Sequence[Place],
    *,
    spot: Spot = HERE,
    rows: Mapping[str, tuple[Sense, bool]] | None = None,
) -> dict[str, list[tuple[str, str, Staggered]]]:
    """By mark: the two marks of the other edge, and the gate; along the track. `rows` says what
    the edges of the channel tell at a mark, and whether it is firm."""
    marks, names = marked(where, spot), list(where)
    held = mark_set(ChartSet(charts=(chart(marks),)))
    lines = chain(track, spot=spot)
    near = near_lines(lines, held, REACH_M)
    by_mark = minima(lines, near, REACH_M, np.zeros(len(marks)))
    met = [m for those in by_mark.values() for m in those]
    edges: dict[Minimum, Edges] = {}
    for name, (sense, firm) in (rows or {}).items():
        for one in by_mark[names.index(name)]:
            ground = Ground(kind=GroundKind.EDGES, sense=sense, text="rows")
            edges[one] = Edges(ground=ground, firm=firm)
    kinds = {n: m.kind for n, m in enumerate(marks)}
    found = staggered_gates(lines, near, held, kinds, Runs(marks), met, edges)
    made: dict[str, list[tuple[str, str, Staggered]]] = {}
    for one in sorted(found, key=lambda m: m.route_along_m):
        gate = found[one]
        made.setdefault(names[one.mark], []).append((names[gate.first], names[gate.second], gate))
    return made


def ends(found: dict[str, list[tuple[str, str, Staggered]]]) -> dict[str, list[tuple[str, str]]]:
    return {name: [(first, second) for first, second, _ in those] for name, those in found.items()}


REACH: dict[str, Place] = {
    "R 1": (-150.0, 0.0),
    "R 2": (150.0, 600.0),
    "R 3": (-150.0, 1000.0),
    "R 4": (150.0, 1500.0),
    "R 5": (-150.0, 2000.0),
}
UP = [(40.0, -1000.0), (40.0, 3000.0)]


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize("spot", [HERE, Spot(180.0, 50.0, 75.0)])
def test_square_across_to_the_other_edge(spot: Spot, *, back: bool) -> None:
    """300 m wide, inward to the scene's north, the boat 190 m from the port-hand side."""
    found = gates(REACH, UP[::-1] if back else UP, spot=spot)
    assert (
        ends(found)
        == {
            "R 2": [("R 1", "R 3")],
            "R 3": [("R 2", "R 4")],
            "R 4": [("R 3", "R 5")],
        }
        or back
    )
    assert {name for name in found} == {"R 2", "R 3", "R 4"}
    names = list(REACH)
    for name, ((first, _, gate),) in found.items():
        crossing, pair = gate.crossing, gate.crossing.pair
        assert crossing.between and crossing.abreast
        assert pair.width_m == pytest.approx(300.0, abs=0.05)
        off_deg = (pair.direction_deg - spot.turn_deg + 180.0) % 360.0 - 180.0
        assert off_deg == pytest.approx(0.0, abs=0.03)
        assert crossing.share == pytest.approx(190.0 / 300.0, abs=2e-3)
        port, starboard = (name, first) if name == "R 3" else (first, name)
        assert (pair.port_hand, pair.starboard_hand) == (names.index(port), names.index(starboard))
        north_m = REACH[name][1]
        along_m = 3000.0 - north_m if back else north_m + 1000.0
        assert crossing.route_along_m == pytest.approx(along_m, abs=0.5)
        assert (name == "R 3") is (gate.bend_m is not None)


def moved(**places: Place) -> dict[str, Place]:
    """The reach with some marks elsewhere, or further ones (`_4` for "R 4")."""
    return {**REACH, **{f"R {name[1:]}": place for name, place in places.items()}}


@pytest.mark.parametrize(
    ("where", "found"),
    [
        (REACH, {"R 2", "R 3", "R 4"}),
        # 3 to starboard of the line from 2 to 4; both these still stand to starboard of theirs.
        (moved(_3=(160.0, 1000.0)), {"R 2", "R 4"}),
        (moved(_3=(0.0, 1000.0)), {"R 2", "R 3", "R 4"}),
        # 4 to port of the line from 3 to 5; the square from 3 to that from 2 to 4 is 89 m long.
        (moved(_4=(-300.0, 1500.0)), {"R 2"}),
    ],
)
def test_a_mark_stands_on_its_side_of_the_other_edge(where: Where, found: set[str]) -> None:
    assert set(gates(where, UP)) == found


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (("R 1", "R 4", "R 5"), {"R 4"}),
        (("R 1", "R 4", "R 7"), {"R 4"}),  # three numbers off at either side
        (("R 1", "R 4", "R 9"), set()),
        (("R 1", "R 6", "R 7"), set()),
        (("R 1", "R 2", "R 1"), set()),  # one number twice is no edge
        (("R 3", "R 2", "R 3a"), {"R 2"}),
        (("R 1", "Q 2", "R 3"), set()),  # of another run
    ],
)
def test_no_further_than_three_numbers(names: tuple[str, str, str], found: set[str]) -> None:
    first, own, second = names
    where = {first: (-150.0, 0.0), own: (150.0, 600.0)}
    if second == first:
        marks = [("R 1", (-150.0, 0.0)), ("R 2", (150.0, 600.0)), ("R 01", (-150.0, 1000.0))]
        where = dict(marks)
    else:
        where[second] = (-150.0, 1000.0)
    assert set(gates(where, UP)) == found


@pytest.mark.parametrize(
    ("north_m", "found"),
    [(1.0, True), (999.0, True), (-2.0, False), (1002.0, False)],
)
def test_the_foot_of_the_square_falls_on_the_edge(north_m: float, *, found: bool) -> None:
    where = {"R 1": (-150.0, 0.0), "R 2": (150.0, north_m), "R 3": (-150.0, 1000.0)}
    assert bool(gates(where, UP)) is found


@pytest.mark.parametrize(("long_m", "found"), [(3702.0, True), (3706.0, False)])
def test_an_edge_of_two_miles_at_most(long_m: float, *, found: bool) -> None:
    where = {"R 1": (-150.0, 0.0), "R 2": (150.0, 1800.0), "R 3": (-150.0, long_m)}
    assert bool(gates(where, [(40.0, -500.0), (40.0, 4500.0)])) is found


@pytest.mark.parametrize(("east_m", "found"), [(-1701.0, True), (-1703.0, False)])
def test_a_gate_of_a_mile_at_most(east_m: float, *, found: bool) -> None:
    """To the mark at 150 m east: 1851 and 1853 m."""
    where = {"R 1": (east_m, 0.0), "R 2": (150.0, 600.0), "R 3": (east_m, 1000.0)}
    assert bool(gates(where, UP)) is found


def test_of_two_edges_the_nearer_one() -> None:
    """2 stands 300 m off the line from 1 to 3, and 295.9 m off that from 3 to 5, which bends."""
    where = {
        "R 1": (-150.0, 0.0),
        "R 3": (-150.0, 1000.0),
        "R 5": (100.0, 2000.0),
        "R 2": (150.0, 980.0),
    }
    ((first, second, gate),) = gates(where, UP)["R 2"]
    assert (first, second) == ("R 3", "R 5")
    # 305000 m2 over the length of (250, 1000).
    assert gate.crossing.pair.width_m == pytest.approx(305000.0 / math.hypot(250, 1000), abs=0.01)


ROWS: dict[str, Place] = {
    "pa": (-150.0, 0.0),
    "sb": (150.0, 600.0),
    "pc": (-150.0, 1000.0),
    "sd": (150.0, 1500.0),
    "pe": (-150.0, 2000.0),
}
WITH, AGAINST = (Sense.WITH, True), (Sense.AGAINST, True)


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ({}, {}),
        ({"pc": WITH}, {"pc": [("sb", "sd")]}),
        ({"sb": WITH}, {"sb": [("pa", "pc")]}),
        ({"pc": AGAINST}, {}),  # then the starboard-hand marks would be left to port
        ({"pc": (Sense.WITH, False)}, {}),
        ({"pa": WITH, "pe": WITH}, {}),  # no mark of the other hand before it, or after it
        ({"sb": WITH, "pc": WITH, "sd": WITH},
         {"sb": [("pa", "pc")], "pc": [("sb", "sd")], "sd": [("pc", "pe")]}),
    ],
)  # fmt: skip
@pytest.mark.parametrize("back", [False, True])
def test_by_the_track_where_the_rows_tell(
    rows: Mapping[str, tuple[Sense, bool]],
    found: dict[str, list[tuple[str, str]]],
    *,
    back: bool,
) -> None:
    """Going back, the last before is what was the first after, and the sense is the other one."""
    if back:
        turned = {Sense.WITH: Sense.AGAINST, Sense.AGAINST: Sense.WITH}
        rows = {name: (turned[sense], firm) for name, (sense, firm) in rows.items()}
        found = {name: [pair[::-1] for pair in pairs] for name, pairs in found.items()}
    assert ends(gates(ROWS, UP[::-1] if back else UP, rows=rows)) == found


@pytest.mark.parametrize(("north_m", "found"), [(-2700.0, True), (-2710.0, False)])
def test_marks_along_the_track_within_two_miles(north_m: float, *, found: bool) -> None:
    """3704 m along from the mark at 1000 m; but then the line is no longer than that."""
    where = {"sb": (150.0, north_m), "pc": (-150.0, 1000.0), "sd": (150.0, 1003.0)}
    track = [(0.0, -3500.0), (0.0, 3000.0)]
    assert bool(gates(where, track, rows={"pc": WITH})) is found


def test_a_mark_passed_twice_is_no_edge() -> None:
    """Round the port-hand mark and back: the same mark stands before it and after it."""
    where = {"sb": (150.0, 600.0), "pc": (-150.0, 1000.0)}
    back = [(0.0, -1000.0), (0.0, 1500.0), (-300.0, 1500.0), (-300.0, 800.0), (0.0, 0.0)]
    assert gates(where, back, rows={"pc": WITH}) == {}


def bend(own: Sequence[Place], edge_m: float = 800.0, track: Sequence[Place] = UP) -> float | None:
    """Of the gate of the middle one of three port-hand marks, its edge from y 600 to 600 + that."""
    where = {
        "R 1": own[0], "R 3": own[1], "R 2": (150.0, 600.0), "R 4": (150.0, 600.0 + edge_m),
        "R 5": own[2],
    }  # fmt: skip
    ((_, _, gate),) = gates(where, track)["R 3"]
    return gate.bend_m


@pytest.mark.parametrize(
    ("own", "edge_m", "bend_m"),
    [
        ([(-150.0, 200.0), (-150.0, 1000.0), (-150.0, 2000.0)], 800.0, 0.0),
        # 800 m north, then 800 m turned by 30 degrees either way: 400 tan(15 deg).
        ([(-150.0, 200.0), (-150.0, 1000.0), (250.0, 1692.8)], 800.0, 107.18),
        ([(-150.0, 200.0), (-150.0, 1000.0), (-550.0, 1692.8)], 800.0, 107.18),
        ([(-550.0, 307.2), (-150.0, 1000.0), (-150.0, 1900.0)], 800.0, 107.18),
        # The marks either side together 500 m apart, the edge 800 m long: as much more.
        ([(-150.0, 750.0), (-150.0, 1000.0), (-25.0, 1216.5)], 800.0, 107.18 * 800.0 / 500.0),
        # A right angle or more tells nothing.
        ([(-150.0, 200.0), (-150.0, 1000.0), (-1000.0, 990.0)], 800.0, None),
        ([(-150.0, 200.0), (-150.0, 1000.0), (-1000.0, 1030.0)], 800.0,
         400.0 * math.tan(math.atan2(850.0, 30.0) / 2.0)),
    ],
)  # fmt: skip
def test_how_far_the_other_edge_may_bulge(
    own: list[Place], edge_m: float, bend_m: float | None
) -> None:
    """Half the edge times the tangent of half the turn of the mark's own edge."""
    found = bend(own, edge_m)
    assert found == (None if bend_m is None else pytest.approx(bend_m, abs=0.2))


@pytest.mark.parametrize(
    "turning", [[(40.0, 1450.0), (382.0, 2389.7)], [(40.0, 1450.0), (-302.0, 2389.7)]]
)
def test_a_track_that_turns_between_the_marks_bends_as_well(turning: list[Place]) -> None:
    """The marks in line, the track turned by 20 degrees between the last two: 400 tan(10 deg)."""
    own = [(-150.0, 200.0), (-150.0, 1000.0), (-150.0, 1800.0)]
    found = bend(own, track=[(40.0, -1000.0), *turning])
    assert found == pytest.approx(400.0 * math.tan(math.radians(10.0)), abs=0.2)


def test_another_of_its_very_number_is_no_neighbour_on_its_edge() -> None:
    where = {**REACH, "R 03": (-250.0, 1100.0), "R 2": (150.0, 600.0), "R 4": (150.0, 1500.0)}
    for order in (list(where), list(where)[::-1]):
        ((_, _, gate),) = gates({name: where[name] for name in order}, UP)["R 3"]
        assert gate.bend_m == pytest.approx(0.0, abs=0.01)


def test_it_belongs_to_the_pass_where_it_is_crossed() -> None:
    """Up the channel and back outside of it: each pass has the crossing beside it."""
    track = [(40.0, -1000.0), (40.0, 5000.0), (-250.0, 5000.0), (-250.0, -1000.0)]
    found = gates(REACH, track)
    for name in ("R 2", "R 3", "R 4"):
        (_, _, up), (_, _, down) = found[name]
        north_m = REACH[name][1]
        assert up.crossing.route_along_m == pytest.approx(north_m + 1000.0, abs=0.5)
        assert down.crossing.route_along_m == pytest.approx(11290.0 - north_m, abs=0.5)
        assert up.crossing.between and not down.crossing.between
    far = [(40.0, -1000.0), (40.0, 5000.0), (-600.0, 5000.0), (-600.0, -1000.0)]
    assert [len(those) for those in gates(REACH, far).values()] == [1, 1, 1]


def test_a_line_that_is_not_crossed_squarely_is_no_gate() -> None:
    slanting = [(-1500.0, -200.0), (1500.0, 2200.0)]  # 51 degrees from the channel
    assert gates(REACH, slanting) == {}


def test_only_marks_that_are_passed_have_a_gate() -> None:
    """The track ends before them."""
    assert gates(REACH, [(40.0, -1000.0), (40.0, 700.0)]).keys() == {"R 2"}
