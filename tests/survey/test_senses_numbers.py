"""What the numbers of a run say at a pass: which of its marks count, and from how far.

Passes are given by hand, along a track northward from 30 km south of the origin.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from routecheck.model.objects import Mark, MarkKind
from routecheck.survey.minima import Minimum
from routecheck.survey.senses import Reasons
from tests.buoys import mark
from tests.survey.test_senses import passed, senses

P = MarkKind.PORT_HAND
AHEAD_M, ALONG_M = 5.0 * 1852.0, 10.0 * 1852.0

Row = tuple[list[Mark], dict[int, list[Minimum]]]


def row(numbers: Sequence[int | str], north_m: Sequence[float], cross_m: float = -100.0) -> Row:
    """Marks up the track's west side, and a pass of each."""
    marks = [
        mark((-100.0, y), P, f"Reach {number}") for number, y in zip(numbers, north_m, strict=True)
    ]
    return marks, {n: [passed(n, y, cross_m)] for n, y in enumerate(north_m)}


def said(held: Row, number: int = 0, within_m: float = 740.0, *, alone: bool = False) -> Reasons:
    """At the pass of one mark; `alone`: the track passes no other."""
    marks, minima = held
    at = minima[number][0]
    kept = {number: [at]} if alone else minima
    return senses(marks, kept, within_m=within_m).reasons(at, None, (), None)


def sense(found: Reasons) -> str | None:
    return found.grounds[0].sense.value if found.grounds else None


def numbers(found: Reasons) -> str:
    (ground,) = found.grounds
    return ground.text.removeprefix("the numbers ").split(" of the run")[0]


@pytest.mark.parametrize(
    ("far_m", "counts"), [(ALONG_M, True), (ALONG_M + 1.0, False), (ALONG_M - 1.0, True)]
)
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_ten_miles_along_the_track(far_m: float, way: float, *, counts: bool) -> None:
    """The marks stand more than five miles apart, so that no straight line joins them."""
    held = row([2, 4, 6], [0.0, way * 9400.0, way * far_m])
    assert sense(said(held)) == (("with" if way > 0 else "against") if counts else None)


def test_it_takes_three_that_are_passed() -> None:
    marks, minima = row([2, 4, 6], [-9400.0, 0.0, 9400.0])
    assert sense(said((marks, minima), 1)) == "with"
    minima[2] = [replace(minima[2][0], passed=False)]
    assert sense(said((marks, minima), 1)) is None
    del minima[2]
    assert sense(said((marks, minima), 1)) is None


@pytest.mark.parametrize(("far_m", "counts"), [(AHEAD_M - 2.0, True), (AHEAD_M + 2.0, False)])
def test_five_miles_where_the_track_is_prolonged(far_m: float, *, counts: bool) -> None:
    held = row([2, 4, 6], [0.0, 4000.0, far_m])
    found = said(held, alone=True)
    assert sense(found) == ("with" if counts else None)
    assert not found.followed_run and not found.beside_run
    assert sense(said(held)) == "with"  # all three passed


@pytest.mark.parametrize(
    ("course_deg", "found"),
    [
        (0.0, "with"),
        (59.0, "with"),
        (61.0, None),  # nearer to square than 30 degrees: abreast
        (90.0, None),
        (121.0, "against"),
        (180.0, "against"),
        (239.0, "against"),
        (241.0, None),
        (301.0, "with"),
    ],
)
@pytest.mark.parametrize("row_deg", [0.0, 90.0])
def test_prolonged_on_the_course_at_the_pass(
    course_deg: float, found: str | None, row_deg: float
) -> None:
    marks, minima = row([2, 4, 6], [0.0, 4000.0, 8000.0])
    if row_deg:
        marks = [mark((4000.0 * n, 0.0), P, m.name) for n, m in enumerate(marks)]
    at = replace(minima[0][0], course_deg=(course_deg + row_deg) % 360.0)
    assert sense(said((marks, {0: [at]}), alone=True)) == found


def test_where_enough_are_passed_it_is_not_prolonged() -> None:
    """They stand in order, but are passed out of it: nothing is said."""
    marks, minima = row([2, 4, 6], [0.0, 1000.0, 2000.0])
    minima[1] = [passed(1, 3000.0)]
    assert sense(said((marks, minima))) is None
    assert sense(said((marks, minima), alone=True)) == "with"


def test_two_neighbours_each_way_and_on_each_side() -> None:
    held = row(range(1, 13), [500.0 * n for n in range(12)])
    assert numbers(said(held, 5)) == "2, 3, 4, 5, 6, 7, 8, 9, 10"
    assert numbers(said(held, 0)) == "1, 2, 3, 4, 5"
    assert numbers(said(held, 11)) == "8, 9, 10, 11, 12"
    assert numbers(said(held, 5, alone=True)) == "2, 3, 4, 5, 6, 7, 8, 9, 10"


def test_neighbours_are_those_in_number_and_not_in_the_list() -> None:
    order = [9, 2, 7, 4, 1, 6, 8, 3, 10, 5]
    held = row(order, [500.0 * number for number in order])
    assert numbers(said(held, order.index(6))) == "2, 3, 4, 5, 6, 7, 8, 9, 10"
    assert numbers(said(held, order.index(6), alone=True)) == "2, 3, 4, 5, 6, 7, 8, 9, 10"
    assert numbers(said(held, order.index(1))) == "1, 2, 3, 4, 5"


def test_another_of_its_very_number_spoils_it() -> None:
    held = row([2, 4, 6, "4"], [0.0, 1000.0, 2000.0, 500.0])
    assert sense(said(held, 1)) is None
    assert sense(said(held, 0)) is None
    with_letter = row([2, 4, 6, "4A"], [0.0, 1000.0, 2000.0, 1500.0])
    assert numbers(said(with_letter, 1)) == "2, 4, 4A, 6"


def test_of_several_passes_the_nearest_along_counts() -> None:
    """There and back: on the way up the numbers rise, on the way down they fall."""
    marks, up = row([2, 4, 6], [0.0, 1000.0, 2000.0])
    both = {n: [up[n][0], passed(n, 6000.0 - 1000.0 * n)] for n in range(3)}
    for n in range(3):
        assert sense(said((marks, both), n)) == "with"
        down = {m: those[::-1] for m, those in both.items()}
        assert sense(said((marks, down), n)) == "against"


@pytest.mark.parametrize(("within_m", "followed"), [(100.0, True), (99.9, False)])
def test_a_run_is_followed_whose_marks_pass_within_reach(
    within_m: float, *, followed: bool
) -> None:
    found = said(row([2, 4, 6], [0.0, 1000.0, 2000.0]), within_m=within_m)
    assert (sense(found), found.followed_run) == ("with", followed)


def test_entrance_and_channel_may_part_two_runs_of_one_name() -> None:
    """All together hold number 4 twice; without the entrance's, the rest are in order."""
    marks, minima = row([2, 4, 6, "Entrance 4"], [0.0, 1000.0, 2000.0, 1500.0])
    found = said((marks, minima))
    assert sense(found) == "with" and found.followed_run
    assert found.grounds[0].text == "the numbers 2, 4, 6 of the run 'reach' ascend along the track"
    assert sense(said((marks, minima), 3)) is None  # the entrance alone are too few


def test_a_name_without_a_number_says_nothing() -> None:
    marks = [mark((-100.0, 500.0 * n), P, "Reach") for n in range(3)]
    assert sense(said((marks, {n: [passed(n, 500.0 * n)] for n in range(3)}))) is None


def beside(order: Sequence[int], cross_m: Sequence[float], at: int = 0) -> bool:
    marks, minima = row(order, [1000.0 * number for number in order])
    for n, metres in enumerate(cross_m):
        minima[n] = [replace(minima[n][0], cross_m=metres)]
    found = said((marks, minima), at)
    assert found.followed_run
    return found.beside_run


@pytest.mark.parametrize(
    ("order", "cross_m", "found"),
    [
        ([1, 2, 3, 4], [300.0] * 4, True),
        ([1, 2, 3, 4], [-300.0] * 4, True),
        ([1, 2, 3, 4], [0.0, 300.0, 300.0, 300.0], True),  # on the track: told as to starboard
        ([1, 2, 3, 4], [-300.0, 300.0, -300.0, 300.0], False),
        ([1, 2, 3, 4], [300.0, 300.0, 300.0, -1.0], False),
        ([1, 3, 5, 7], [300.0] * 4, False),  # one edge alone
        ([1, 3, 5, 2], [300.0] * 4, False),  # one mark of the other
        ([2, 4, 6, 1], [300.0] * 4, False),
    ],
)
def test_beside_the_whole_channel(order: list[int], cross_m: list[float], *, found: bool) -> None:
    assert beside(order, cross_m) is found


def test_beside_it_at_the_nearest_pass_of_each() -> None:
    marks, minima = row([1, 2, 3, 4], [1000.0, 2000.0, 3000.0, 4000.0], 300.0)
    minima[3] += [passed(3, 9000.0, -300.0), passed(3, 1500.0, -300.0, passed=False)]
    assert said((marks, minima)).beside_run
    minima[3] = [passed(3, -7000.0, -300.0), passed(3, 4000.0, 300.0)]
    assert said((marks, minima)).beside_run
    minima[3] = [passed(3, 9000.0, 300.0), passed(3, 4000.0, -300.0)]
    assert not said((marks, minima)).beside_run


def test_beside_a_channel_that_is_not_followed_says_nothing() -> None:
    """Mark 1 itself passes out of reach of the gates; the rest of its channel within it."""
    marks, minima = row([1, 2, 3, 4, 5], [1000.0, 2000.0, 3000.0, 4000.0, 5000.0], 300.0)
    assert said((marks, minima)).beside_run
    minima[0] = [passed(0, 1000.0, 900.0)]
    found = said((marks, minima))
    assert (sense(found), found.followed_run, found.beside_run) == ("with", False, False)
