"""Edges of a channel between marks of one hand, and where a track crosses them; drawn by hand."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import EdgeCrossed
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import mark_passes
from tests.buoys import HERE, Place, Spot, charts, mark, met, route

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND


def at(east_m: float, north_m: float, kind: MarkKind, name: str = "", spot: Spot = HERE) -> Mark:
    return mark((east_m, north_m), kind, name, spot=spot)


def crossed(
    track: Sequence[Place], marks: Sequence[Mark], *, far_m: float = 740.0, spot: Spot = HERE
) -> list[tuple[str, EdgeCrossed]]:
    """The edges crossed, each with the mark whose pass holds it."""
    found = met(list(track), charts(marks), far_m=far_m, spot=spot)
    return [(p.mark.name or p.mark.key, edge) for p in found for edge in p.edges]


def row(
    numbers: Sequence[int | str], kind: MarkKind = P, east_m: float = 0.0, **more: Spot
) -> list[Mark]:
    """Northward, 400 m apart."""
    return [
        at(east_m, 400.0 * n, kind, f"Reach {number}", **more) for n, number in enumerate(numbers)
    ]


ACROSS = [(-600.0, 500.0), (600.0, 500.0)]  # 100 m north of the second mark of a row


@pytest.mark.parametrize("spot", [HERE, Spot(180.0, 54.0, 250.0)])
def test_an_edge_in_numbers(spot: Spot) -> None:
    """Eastward over port-hand marks 3 and 5, seen along rising numbers: into the channel."""
    ((name, edge),) = crossed(ACROSS, row([1, 3, 5], spot=spot), spot=spot)
    assert name == "Reach 3"  # 100 m off, Reach 5 is 300
    assert (edge.first_name, edge.second_name) == ("Reach 3", "Reach 5")
    assert edge.first_key.endswith("Reach 3@0,400") and edge.second_key.endswith("Reach 5@0,800")
    assert edge.hand is P and edge.numbered
    assert edge.length_m == pytest.approx(400.0, abs=0.01)
    assert edge.off_nearer_m == pytest.approx(100.0, abs=0.2)
    lon, lat = spot.at((0.0, 500.0))
    assert (edge.lon_deg - lon + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-5)
    assert edge.lat_deg == pytest.approx(lat, abs=1e-5)


@pytest.mark.parametrize(
    ("kind", "numbers", "back", "enters"),
    [
        (P, [1, 3, 5], False, True),
        (P, [1, 3, 5], True, False),
        (P, [5, 3, 1], False, False),
        (S, [2, 4, 6], False, False),
        (S, [2, 4, 6], True, True),
        (S, [6, 4, 2], False, True),
    ],
)
def test_into_the_channel_or_out_of_it(
    kind: MarkKind, numbers: list[int], *, back: bool, enters: bool
) -> None:
    """Numbered from seaward the channel lies to starboard of port-hand marks."""
    track = ACROSS[::-1] if back else ACROSS
    ((_, edge),) = crossed(track, row(numbers, kind))
    assert edge.enters is enters
    assert edge.first_name == f"Reach {sorted(numbers[1:])[0]}"


@pytest.mark.parametrize(
    ("north_m", "name", "off_m"),
    [
        (410.0, "Reach 3", 10.0),
        (599.0, "Reach 3", 199.0),
        (601.0, "Reach 5", 199.0),
        (790.0, "Reach 5", 10.0),
    ],
)
def test_it_is_told_with_the_nearer_mark(north_m: float, name: str, off_m: float) -> None:
    ((found, edge),) = crossed([(-600.0, north_m), (600.0, north_m)], row([1, 3, 5]))
    assert found == name
    assert edge.off_nearer_m == pytest.approx(off_m, abs=0.05)


def test_beyond_its_marks_it_is_not_crossed() -> None:
    for north_m in (-10.0, 810.0):
        assert crossed([(-600.0, north_m), (600.0, north_m)], row([1, 3, 5])) == []


def test_only_the_next_number_of_its_side_makes_an_edge() -> None:
    """Number 3 stands apart: between 1 and 5 there is none, whatever stands where."""
    marks = [
        at(0.0, 0.0, P, "Reach 1"),
        at(0.0, 400.0, P, "Reach 5"),
        at(-500.0, 200.0, P, "Reach 3"),
    ]
    track = [(-100.0, 200.0), (600.0, 200.0)]
    assert crossed(track, marks) == []
    assert len(crossed(track, marks[:2])) == 1
    # A number of the other side in between does not matter; one of another run neither.
    other = [at(-500.0, 200.0, S, "Reach 3"), at(-500.0, 250.0, P, "Strait 3")]
    assert len(crossed(track, [*marks[:2], *other])) == 1


def test_a_letter_is_a_number_of_its_own() -> None:
    ((_, edge),) = crossed(ACROSS, row([1, "3", "3A", 5]))
    assert (edge.first_name, edge.second_name) == ("Reach 3", "Reach 3A")
    ((_, edge),) = crossed([(-600.0, 900.0), (600.0, 900.0)], row([1, "3", "3A", 5]))
    assert (edge.first_name, edge.second_name) == ("Reach 3A", "Reach 5")


def test_two_of_one_number_make_no_edge() -> None:
    """The highest of the run, so that no other follows: each of them follows 1, not the other."""
    ((_, edge),) = crossed(ACROSS, row([1, 5, "05"]))
    assert (edge.first_name, edge.second_name) == ("Reach 1", "Reach 05")


def test_no_edge_between_two_runs_or_two_hands() -> None:
    two_runs = [at(0.0, 400.0, P, "Reach 3"), at(0.0, 800.0, P, "Strait 5")]
    two_hands = [at(0.0, 400.0, P, "Reach 3"), at(0.0, 800.0, S, "Reach 5")]
    one_bare = [at(0.0, 400.0, P, "Reach 3"), at(0.0, 800.0, P, "Perch")]
    cardinal = [at(0.0, 400.0, MarkKind.WEST), at(0.0, 800.0, MarkKind.WEST)]
    preferred = [at(0.0, 400.0, MarkKind.PREFERRED_TO_PORT, "Reach 3"),
                 at(0.0, 800.0, MarkKind.PREFERRED_TO_PORT, "Reach 5")]  # fmt: skip
    for marks in (two_runs, two_hands, one_bare, cardinal, preferred):
        assert crossed(ACROSS, marks) == []


@pytest.mark.parametrize(("apart_m", "found"), [(1478.0, 1), (1482.0, 0)])
def test_no_longer_than_twice_the_reach(apart_m: float, found: int) -> None:
    marks = [at(0.0, 0.0, P, "Reach 3"), at(0.0, apart_m, P, "Reach 5")]
    assert len(crossed([(-600.0, 700.0), (600.0, 700.0)], marks)) == found


def test_the_mark_at_the_other_end_where_the_nearer_is_not_met() -> None:
    """Crossed on a narrow leg, 880 m from one mark, which is too far off for that leg; the other
    is met on the next leg, which is 900 m wide."""
    marks = [at(0.0, 0.0, P, "Reach 3"), at(0.0, 1790.0, P, "Reach 5")]
    legs = route([(-2000.0, 880.0), (600.0, 880.0), (600.0, 3000.0)])
    both = corridors(legs, ((50.0, 50.0), (900.0, 900.0)))
    found = mark_passes(both, charts(marks), far_m=740.0)
    assert found[1] == ()
    (one,) = found[2]
    assert one.mark.name == "Reach 5"
    assert [edge.off_nearer_m for edge in one.edges] == pytest.approx([880.0], abs=0.05)


def test_there_and_back_each_crossing_with_its_own_pass() -> None:
    track = [(-600.0, 500.0), (600.0, 500.0), (600.0, 450.0), (-600.0, 450.0)]
    found = crossed(track, row([1, 3, 5]))
    assert [edge.enters for _, edge in found] == [True, False]
    assert [edge.off_nearer_m for _, edge in found] == pytest.approx([100.0, 50.0], abs=0.05)
    passes = met(track, charts(row([1, 3, 5])))
    legs = [(p.leg, len(p.edges)) for p in passes if p.mark.name == "Reach 3"]
    assert legs == [(1, 1), (3, 1)]


def channel(
    *, port_m: Sequence[float], starboard_m: Sequence[float], half_m: float = 100.0
) -> list[Mark]:
    """Unnumbered marks at these distances up a channel, port-hand to the west."""
    return [at(-half_m, y, P) for y in port_m] + [at(half_m, y, S) for y in starboard_m]


GATES = channel(port_m=[0.0, 800.0], starboard_m=[0.0, 800.0])
OUT_WEST = [(0.0, 300.0), (-600.0, 300.0)]


def hands(found: list[tuple[str, EdgeCrossed]]) -> list[tuple[str, bool]]:
    return [(edge.hand.value, edge.enters) for _, edge in found]


@pytest.mark.parametrize(
    ("track", "found"),
    [
        (OUT_WEST, [("port-hand", False)]),
        (OUT_WEST[::-1], [("port-hand", True)]),
        ([(0.0, 300.0), (600.0, 300.0)], [("starboard-hand", False)]),
        ([(600.0, 300.0), (0.0, 300.0)], [("starboard-hand", True)]),
        ([(-600.0, 300.0), (600.0, 300.0)], [("port-hand", True), ("starboard-hand", False)]),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_without_numbers_two_gates_make_two_edges(
    track: list[Place], found: list[tuple[str, bool]], *, turned: bool
) -> None:
    """Whichever of the two marks comes first in the chart."""
    marks = GATES[::-1] if turned else GATES
    edges = crossed(track, marks)
    assert sorted(hands(edges)) == sorted(found)
    for _, edge in edges:
        assert not edge.numbered
        assert edge.length_m == pytest.approx(800.0, abs=0.01)
        assert edge.off_nearer_m == pytest.approx(300.0, abs=0.01)


@pytest.mark.parametrize("spot", [Spot(10.0, 50.0, 40.0), Spot(180.0, -30.0, 260.0)])
def test_without_numbers_on_any_course(spot: Spot) -> None:
    marks = [at(east, y, P if east < 0.0 else S, spot=spot)
             for east in (-100.0, 100.0) for y in (0.0, 800.0)]  # fmt: skip
    for track, enters in ((OUT_WEST, False), (OUT_WEST[::-1], True)):
        assert hands(crossed(track, marks, spot=spot)) == [("port-hand", enters)]


def test_without_numbers_both_must_face_a_mark() -> None:
    assert crossed(OUT_WEST, channel(port_m=[0.0, 800.0], starboard_m=[0.0])) == []
    assert crossed(OUT_WEST, channel(port_m=[0.0, 800.0], starboard_m=[800.0])) == []
    assert crossed(OUT_WEST, channel(port_m=[0.0, 800.0], starboard_m=[])) == []


def test_a_mark_of_the_other_hand_between_them_does_not_matter() -> None:
    lone = at(50.0, 400.0, S)
    assert hands(crossed(OUT_WEST, [*GATES, lone])) == [("port-hand", False)]


def test_without_numbers_they_must_face_the_same_side() -> None:
    one_turned = [at(-100.0, 0.0, P), at(100.0, 0.0, S), at(-100.0, 800.0, P), at(-300.0, 800.0, S)]
    assert crossed(OUT_WEST, one_turned) == []


@pytest.mark.parametrize(("beyond_m", "found"), [(115.0, 1), (116.0, 0)])
@pytest.mark.parametrize("end", [0.0, 800.0])
def test_nearly_square_to_the_edge(beyond_m: float, end: float, found: int) -> None:
    """200 m across and 200 / tan 60 = 115.5 m along: the line across stands at 60 degrees."""
    along = [0.0, 800.0]
    along[0 if end == 0.0 else 1] += beyond_m if end else -beyond_m
    assert len(crossed(OUT_WEST, channel(port_m=[0.0, 800.0], starboard_m=along))) == found


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ((-110.0, 400.0), 0),  # between the two
        ((-100.0 - 395.0, 400.0), 0),  # in the circle over 800 m, whose radius is 400
        ((-100.0 - 405.0, 400.0), 1),
        ((-100.0 - 190.0, 50.0), 0),  # 196 m and 774 m off: 196**2 + 774**2 < 800**2
        ((-100.0 - 200.0, 50.0), 1),
    ],
)
def test_a_third_of_their_hand_between_them(place: Place, found: int) -> None:
    third = [at(*place, P), at(place[0] - 150.0, place[1], S)]
    edges = crossed([(0.0, 300.0), (-200.0, 300.0)], [*GATES, *third])
    lengths = [edge.length_m for _, edge in edges]
    assert sum(abs(length_m - 800.0) < 1.0 for length_m in lengths) == found


def test_an_edge_may_be_very_short() -> None:
    short = channel(port_m=[0.0, 0.8], starboard_m=[0.0, 0.8])
    assert hands(crossed([(0.0, 0.4), (-600.0, 0.4)], short)) == [("port-hand", False)]


def test_two_on_one_spot_make_no_edge() -> None:
    doubled = channel(port_m=[0.0, 0.0], starboard_m=[0.0, 0.0])
    assert crossed([(0.0, 0.0), (-600.0, 0.0)], doubled) == []
