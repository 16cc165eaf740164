"""Which parts of several grids count along a leg, on hand-made parts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.survey.along_grids import LegGrid, _replaced, which_count
from tests.survey.test_along_grids import INF, leg_grid, profile

BETTER = [
    # Intervals that fail, and which of 0-100 … 400-500 they take part in, ends included.
    ([], [True, True, True, True, True]),
    ([(120.0, 130.0)], [True, False, True, True, True]),
    ([(100.0, 100.0)], [False, False, True, True, True]),
    ([(50.0, 450.0)], [False, False, False, False, False]),
    # A long one that begins before a short one reaches farther than it.
    ([(310.0, 320.0), (10.0, 250.0), (20.0, 30.0)], [False, False, False, False, True]),
    ([(-90.0, -50.0), (600.0, 700.0)], [True, True, True, True, True]),
    ([(-90.0, 0.0), (500.0, 700.0)], [False, True, True, True, False]),
]


@pytest.mark.parametrize(("fails", "replaced"), BETTER)
@pytest.mark.parametrize("why", ["invalid", "off"])
def test_a_better_grid_stands_in_where_it_is_whole(
    fails: list[tuple[float, float]], replaced: list[bool], why: str
) -> None:
    spans = [*fails, (0.0, 500.0)]  # and one that is whole, along all of the leg
    better = profile(
        [9.0] * len(spans),
        from_m=[a for a, _ in spans],
        to_m=[b for _, b in spans],
        **{why: list(range(len(fails)))},  # type: ignore[arg-type]
    )
    found = _replaced(leg_grid(profile([9.0] * 5)), leg_grid(better))
    assert found.tolist() == replaced


def test_a_better_grid_that_comes_nowhere_near_stands_in_for_nothing() -> None:
    found = _replaced(leg_grid(profile([9.0] * 3)), leg_grid(profile([])))
    assert found.tolist() == [False] * 3


def counts(*grids: LegGrid, covered: tuple[int, ...] = ()) -> list[list[bool]]:
    """Of grids of four parts; the parts `covered` lie in the cover of an adequate chart."""
    held = np.isin(np.arange(4), covered)
    return [found.tolist() for found in which_count(grids, [held] * len(grids))]


def one(
    cell_m: float | None = 50.0,
    *,
    coarse: bool = False,
    datum: str = "LAT",
    depth_m: tuple[float, ...] = (9.0, 9.0, 9.0, 9.0),
    invalid: tuple[int, ...] = (),
) -> LegGrid:
    held = profile(
        list(depth_m), from_m=[0, 110, 220, 330], to_m=[100, 210, 320, 430], invalid=list(invalid)
    )
    return leg_grid(held, coarse=coarse, datum=datum, resolution_m=cell_m)


ALL, NONE = [True] * 4, [False] * 4


def test_parts_without_a_depth_never_count() -> None:
    assert counts(one(depth_m=(9.0, INF, 9.0, INF))) == [[True, False, True, False]]


def test_an_adequate_chart_takes_all_from_a_coarse_grid_and_nothing_from_another() -> None:
    assert counts(one(), covered=(1, 2)) == [ALL]
    assert counts(one(coarse=True), covered=(1, 2)) == [[True, False, False, True]]


def test_a_better_and_finer_grid_takes_the_place_of_a_worse_one() -> None:
    assert counts(one(50.0), one(60.0)) == [ALL, NONE]
    assert counts(one(50.0, invalid=(1,)), one(60.0)) == [ALL, [False, True, False, False]]
    # A rougher one may miss what the finer shows; the worse one never takes from the better.
    assert counts(one(60.0), one(50.0)) == [ALL, ALL]
    # Whose cells' size nobody knows is as rough as can be.
    assert counts(one(None), one(50.0)) == [ALL, ALL]
    assert counts(one(50.0), one(None)) == [ALL, NONE]
    # On a datum that cannot clear it takes nothing.
    assert counts(one(50.0, datum="MSL"), one(60.0)) == [ALL, ALL]


def dated(cell_m: float | None, issued: str = "", vertical_m: float | None = None) -> LegGrid:
    made = one(cell_m)
    quality = replace(made.grid.source.quality, vertical_m=vertical_m)
    source = replace(made.grid.source, issued=issued, quality=quality)
    made.grid.source = source  # type: ignore[misc]
    return made


def test_of_two_grids_that_nothing_ranks_both_count() -> None:
    assert counts(one(50.0), one(50.0)) == [ALL, ALL]
    # The same step in degrees, a little further north.
    assert counts(one(50.0), one(50.4)) == [ALL, ALL]
    assert counts(one(50.0), one(51.0)) == [ALL, NONE]
    assert counts(dated(50.0, "2027-05-14"), dated(50.0, "2027-05-14")) == [ALL, ALL]
    assert counts(dated(50.0, "2027-05-14"), dated(50.0, "2026-05-14")) == [ALL, NONE]
    assert counts(dated(50.0, "2027-05-14"), dated(50.0)) == [ALL, NONE]
    assert counts(dated(50.0, vertical_m=0.1), dated(50.0, vertical_m=0.2)) == [ALL, NONE]


def test_of_better_quality_and_rougher_takes_nothing() -> None:
    """It may miss what the finer one shows. Cells of unknown size are as rough as can be."""
    good, worse = {"vertical_m": 0.1}, {"vertical_m": 0.2}
    assert counts(dated(60.0, **good), dated(50.0, **worse)) == [ALL, ALL]
    assert counts(dated(None, **good), dated(50.0, **worse)) == [ALL, ALL]
    assert counts(dated(50.0, **good), dated(None, **worse)) == [ALL, NONE]
    assert counts(dated(60.0, **good), dated(60.0, **worse)) == [ALL, NONE]


def test_any_grid_that_clears_takes_the_place_of_a_coarse_one_wherever_it_ranks() -> None:
    assert counts(one(60.0), one(200.0, coarse=True)) == [ALL, NONE]
    assert counts(one(200.0, coarse=True), one(60.0)) == [NONE, ALL]
    assert counts(one(30.0, coarse=True), one(60.0)) == [NONE, ALL]
    # Coarse ones take nothing from each other.
    assert counts(one(200.0, coarse=True), one(300.0, coarse=True)) == [ALL, ALL]
    assert counts(one(60.0, datum="MSL"), one(200.0, coarse=True)) == [ALL, ALL]


def test_of_three_grids_each_may_take_a_part() -> None:
    first, second = one(50.0, invalid=(0, 1)), one(55.0, invalid=(1, 2))
    assert counts(first, second, one(60.0)) == [
        ALL,
        [True, True, False, False],
        [False, True, False, False],
    ]
