"""Which marks face each other: who is whose nearest, and the pair's width and direction."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.objects import Mark, MarkKind
from routecheck.survey.gates import Pair, crossings, facing_pairs
from routecheck.survey.markset import MarkSet, mark_set
from routecheck.survey.minima import near_lines
from routecheck.survey.runs import Runs
from tests.buoys import HERE, Place, Spot, chart, mark
from tests.survey.tracks import chain

P, S, N = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND, MarkKind.NORTH
LATERAL, PREFERRED = MarkKind.LATERAL, MarkKind.PREFERRED_TO_PORT


def at(east_m: float, north_m: float, kind: MarkKind, name: str = "", spot: Spot = HERE) -> Mark:
    return mark((east_m, north_m), kind, name, spot=spot)


def held(marks: Sequence[Mark]) -> MarkSet:
    return mark_set(ChartSet(charts=(chart(marks),)))


def paired(marks: Sequence[Mark], wanted: Sequence[int] | None = None) -> dict[int, Pair]:
    kinds = {n: m.kind for n, m in enumerate(marks) if m.kind is not N}
    asked = range(len(marks)) if wanted is None else wanted
    return facing_pairs(held(marks), kinds, list(asked), Runs(marks))


def partners(marks: Sequence[Mark], wanted: Sequence[int] | None = None) -> dict[int, int]:
    return {here: pair.partner(here) for here, pair in paired(marks, wanted).items()}


@pytest.mark.parametrize(
    "spot", [Spot(10.0, 0.0), Spot(180.0, 54.0, 33.0), Spot(0.0, -60.0, 260.0)]
)
@pytest.mark.parametrize("turned", [False, True])
def test_width_and_direction(spot: Spot, *, turned: bool) -> None:
    """300 m apart; inward (R1001: port-hand marks to port) is the scene's north or south."""
    west, east = (S, P) if turned else (P, S)
    found = paired([at(-150.0, 0.0, west, spot=spot), at(150.0, 0.0, east, spot=spot)])
    assert list(found) == [0, 1] and found[1].partner(1) == 0
    assert found[1].width_m == pytest.approx(300.0, abs=1e-3)
    assert (found[0].port_hand, found[0].starboard_hand) == ((1, 0) if turned else (0, 1))
    assert found[0].width_m == pytest.approx(300.0, abs=1e-3)
    inward_deg = (spot.turn_deg + (180.0 if turned else 0.0)) % 360.0
    off_deg = (found[0].direction_deg - inward_deg + 180.0) % 360.0 - 180.0
    assert off_deg == pytest.approx(0.0, abs=0.01)
    assert 0.0 <= found[0].direction_deg < 360.0


@pytest.mark.parametrize(
    ("kinds", "found"),
    [
        ((P, S), {0: 1, 1: 0}),
        ((P, P), {}),
        ((P, LATERAL), {}),
        ((LATERAL, S), {}),
        ((PREFERRED, S), {}),
        ((N, S), {}),
    ],
)
def test_only_plain_marks_of_opposite_hands(
    kinds: tuple[MarkKind, MarkKind], found: dict[int, int]
) -> None:
    assert partners([at(-150.0, 0.0, kinds[0]), at(150.0, 0.0, kinds[1])]) == found


def test_each_the_others_nearest_of_the_other_hand() -> None:
    """A third nearer to one of them takes it away; those of the same hand do not count."""
    marks = [at(-150.0, 0.0, P), at(150.0, 0.0, S), at(-150.0, 50.0, P), at(200.0, 300.0, S)]
    assert partners(marks) == {0: 1, 1: 0}
    nearer = [*marks, at(160.0, -100.0, S), at(-140.0, 10.0, P)]
    assert partners(nearer) == {5: 1, 1: 5}


def test_the_partner_need_not_be_asked_for() -> None:
    marks = [at(-150.0, 0.0, P), at(150.0, 0.0, S), at(900.0, 0.0, P)]
    assert partners(marks, [0]) == {0: 1}
    assert partners(marks, [1]) == {1: 0}
    assert partners(marks, [2]) == {}  # its nearest has a nearer one
    assert partners(marks, []) == {}


@pytest.mark.parametrize(("width_m", "found"), [(1851.0, 2), (1853.0, 0), (1.0, 2)])
def test_a_mile_wide_at_most(width_m: float, found: int) -> None:
    assert len(partners([at(0.0, 0.0, P), at(width_m, 0.0, S)])) == found


def test_two_on_one_spot_face_nowhere() -> None:
    assert partners([at(0.0, 0.0, P), at(0.0, 0.0, S)]) == {}


def test_of_two_just_as_near_the_first_counts() -> None:
    """At one distance to the last bit, either side of the mark along the equator."""
    marks = [at(0.0, 0.0, P), at(100.0, 0.0, S), at(-100.0, 0.0, S)]
    kinds = {n: m.kind for n, m in enumerate(marks)}
    for step in (2.0**-10, -(2.0**-10)):
        places = MarkSet(
            marks=tuple(marks),
            sources=held(marks).sources,
            lon_deg=np.array([0.0, step, -step]),
            lat_deg=np.zeros(3),
        )
        for order in ([0, 1, 2], [2, 1, 0]):
            found = facing_pairs(places, kinds, order, Runs(marks))
            assert {here: pair.partner(here) for here, pair in found.items()} == {0: 1, 1: 0}
    swapped = {0: S, 1: P, 2: P}
    found = facing_pairs(places, swapped, [0], Runs(marks))
    assert found[0].port_hand == 1


@pytest.mark.parametrize(
    ("first", "second", "found"),
    [
        ("Reach 3", "Reach 6", 2),
        ("Reach 6", "Reach 3", 2),
        ("Reach 3", "Reach 7", 0),
        ("Reach 7", "Reach 3", 0),
        ("Reach 3", "Perch", 0),
        ("Perch", "Reach 3", 0),
        ("Stump", "Perch", 2),
    ],
)
def test_numbers_no_more_than_three_apart(first: str, second: str, found: int) -> None:
    assert len(partners([at(-150.0, 0.0, P, first), at(150.0, 0.0, S, second)])) == found


def crossed(track: list[Place], marks: list[Mark], reach_m: float) -> list[tuple[float, float]]:
    """(share, along the route) of each crossing of the one pair."""
    chart_marks = held(marks)
    pairs = sorted(set(paired(marks).values()))
    lines = chain(track)
    near = near_lines(lines, chart_marks, reach_m)
    found = crossings(lines, near, chart_marks, pairs)
    assert list(found) == pairs
    return [(c.share, c.route_along_m) for pair in pairs for c in found[pair]]


PAIR = [at(-150.0, 0.0, P), at(150.0, 0.0, S)]


@pytest.mark.parametrize(("east_m", "share"), [(-290.0, -140.0 / 300.0), (290.0, 440.0 / 300.0)])
def test_it_is_enough_that_the_track_comes_near_one_of_the_two(east_m: float, share: float) -> None:
    ((found, along_m),) = crossed([(east_m, -800.0), (east_m, 900.0)], PAIR, 200.0)
    assert found == pytest.approx(share, abs=1e-4)
    assert along_m == pytest.approx(800.0, abs=0.01)
    assert crossed([(0.0, -800.0), (0.0, 900.0)], PAIR, 100.0) == []


def test_every_crossing_in_order_along_the_track() -> None:
    to_and_fro = [(-60.0, -500.0), (-60.0, 500.0), (90.0, 500.0), (90.0, -500.0)]
    found = crossed(to_and_fro, PAIR, 2000.0)
    assert [share for share, _ in found] == pytest.approx([0.3, 0.8], abs=1e-4)
    assert [along_m for _, along_m in found] == pytest.approx([500.0, 1650.0], abs=0.01)


def test_the_crossings_of_each_pair_by_themselves() -> None:
    marks = [*PAIR, at(-100.0, 3000.0, P), at(100.0, 3000.0, S), at(5000.0, 0.0, P),
             at(5100.0, 0.0, S)]  # fmt: skip
    chart_marks = held(marks)
    pairs = sorted(set(paired(marks).values()))
    lines = chain([(30.0, -1000.0), (30.0, 4000.0)])
    found = crossings(lines, near_lines(lines, chart_marks, 1000.0), chart_marks, pairs)
    by_port = {pair.port_hand: [c.share for c in those] for pair, those in found.items()}
    assert by_port == {
        0: pytest.approx([0.6], abs=1e-4),
        2: pytest.approx([0.65], abs=1e-4),
        4: [],
    }
