"""Pooled cells against every cell of the grid; where a better grid counts; where they are drawn."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.model.picture import CellState
from routecheck.survey.picture_grids import (
    _blocks,
    _lattice,
    _leave_to_better,
    _pooled,
    _positions,
    _Window,
)
from tests.survey.memory_grid import Floats, MemoryGrid

EMPTY, PARTLY, WHOLE = (int(state) for state in CellState)


def window(row_from: int, row_to: int, column_from: int, column_to: int) -> _Window:
    return _Window(row_from=row_from, row_to=row_to, column_from=column_from, column_to=column_to)


def brute(
    held: MemoryGrid, one: _Window, factor: int, blocks: set[tuple[int, int, int]]
) -> tuple[list[list[float]], list[list[int]]]:
    """Depth and state of each pooled cell, from every decoded cell one by one."""
    cells = []
    for block_row, block_column, start in blocks:
        depth, valid = held.block(block_row, block_column)
        for (i, j), good in np.ndenumerate(valid):
            if good:
                cells.append((block_row * held.block_rows + i, start + j, float(depth[i, j])))
    near = 1 if held.reach > 0.5 else 0
    depths, states = [], []
    for top in range(one.row_from, one.row_to + 1, factor):
        depths.append([])
        states.append([])
        for left in range(one.column_from, one.column_to + 1, factor):
            # A pooled cell holds what the window has of its rows and columns.
            low, right = min(top + factor - 1, one.row_to), min(left + factor - 1, one.column_to)
            met = [
                d
                for r, c, d in cells
                if top - near <= r <= low + near and left - near <= c <= right + near
            ]
            own = sum(top <= r <= low and left <= c <= right for r, c, _ in cells)
            state = WHOLE if own == factor * factor else PARTLY if met else EMPTY
            depths[-1].append(min(met) if met else 0.0)
            states[-1].append(state)
    return depths, states


def noise(rows: int, columns: int, holes: float) -> np.ndarray:
    dice = np.random.default_rng(rows * 100 + columns)
    depth = np.round(dice.permutation(rows * columns).reshape(rows, columns) / 8.0 - 9.0, 3)
    depth[dice.random((rows, columns)) < holes] = np.nan
    depth[2:8, 4:10] = np.nan
    return depth


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("factor", [1, 2, 3])
@pytest.mark.parametrize(
    "one", [window(0, 11, 0, 16), window(1, 9, 3, 13), window(4, 4, 6, 6), window(3, 10, 8, 16)]
)
def test_pooled_against_every_cell(reach: float, factor: int, one: _Window) -> None:
    held = MemoryGrid(noise(12, 17, 0.3), x=10.0, y=60.0, dx=1.0, dy=1.0, reach=reach, block=(5, 4))
    blocks = _blocks(held, [one])
    depth, state = _pooled(held, one, factor, blocks)
    depths, states = brute(held, one, factor, blocks)
    assert state.tolist() == states
    assert depth.tolist() == depths
    assert depth.dtype == np.float32 and state.dtype == np.uint8


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("one", [window(1, 8, 12, 26), window(1, 8, -6, 5)])
def test_pooled_over_the_seam(reach: float, one: _Window) -> None:
    """Nineteen of twenty columns round the earth: one column is missing at the seam."""
    held = MemoryGrid(
        noise(12, 19, 0.1), x=-171.0, y=60.0, dx=18.0, dy=1.0, reach=reach, block=(5, 4)
    )
    held.wraps_columns = 20
    blocks = _blocks(held, [one])
    depth, state = _pooled(held, one, 2, blocks)
    depths, states = brute(held, one, 2, blocks)
    assert (depth.tolist(), state.tolist()) == (depths, states)
    assert {0, 1, 2} >= set(state.ravel().tolist()) > {1}


def test_blocks_that_do_not_meet_the_window_change_nothing() -> None:
    held = MemoryGrid(noise(12, 17, 0.0), x=10.0, y=60.0, dx=1.0, dy=1.0, block=(5, 4))
    one = window(0, 4, 0, 3)
    few = _pooled(held, one, 2, _blocks(held, [one]))
    every = _pooled(held, one, 2, _blocks(held, [window(0, 11, 0, 16)]))
    assert few[0].tolist() == every[0].tolist() and few[1].tolist() == every[1].tolist()


def better_of(
    held: MemoryGrid, state: list[list[int]], there: _Window, step: int
) -> tuple[Any, Any, _Window, int]:
    return held, SimpleNamespace(state=np.array(state, dtype=np.uint8)), there, step


def square(x: float = 10.5, y: float = 59.5, step: float = 1.0, size: int = 12) -> MemoryGrid:
    return MemoryGrid(np.full((size, size), 9.0), x=x, y=y, dx=step, dy=step)


def left(
    held: MemoryGrid, one: _Window, factor: int, shape: tuple[int, int], *better: Any
) -> list[list[int]]:
    state = np.full(shape, WHOLE, dtype=np.uint8)
    _leave_to_better(held, one, factor, state, better)
    return state.tolist()


def test_cells_are_left_to_a_better_grid_where_that_is_whole() -> None:
    """The same cells: what is whole in the better one is emptied, and nothing beside it."""
    dice = np.random.default_rng(3)
    theirs = dice.choice([EMPTY, PARTLY, WHOLE, WHOLE], (6, 7))
    found = left(
        square(), window(2, 7, 3, 9), 1, (6, 7),
        better_of(square(), theirs.tolist(), window(2, 7, 3, 9), 1),
    )  # fmt: skip
    assert found == np.where(theirs == WHOLE, EMPTY, WHOLE).tolist()


@pytest.mark.parametrize(("factor", "step"), [(2, 1), (1, 2), (3, 2), (2, 3)])
def test_all_of_a_pooled_cells_corners_and_its_middle_must_be_held(factor: int, step: int) -> None:
    """Windows that begin at different cells; a pooled cell is looked up at five points."""
    dice = np.random.default_rng(factor * 10 + step)
    one, there = window(2, 10, 1, 9), window(1, 9, 3, 11)
    count = -(-9 // factor)
    theirs = dice.random((-(-9 // step), -(-9 // step))) > 0.2

    def whole_at(row: float, column: float) -> bool:
        i, j = int((row - 1) // step), int((column - 3) // step)
        inside = 0 <= i < len(theirs) and 0 <= j < len(theirs)
        return inside and bool(theirs[i, j])

    within = [(0.01, 0.01), (0.01, 0.99), (0.99, 0.01), (0.99, 0.99), (0.5, 0.5)]
    expected = [
        [
            EMPTY
            if all(whole_at(2 + (i + a) * factor, 1 + (j + b) * factor) for a, b in within)
            else WHOLE
            for j in range(count)
        ]
        for i in range(count)
    ]
    state = np.where(theirs, WHOLE, PARTLY).tolist()
    found = left(square(), one, factor, (count, count), better_of(square(), state, there, step))
    assert found == expected
    assert {EMPTY, WHOLE} == {value for row in expected for value in row}


def test_of_several_better_grids_each_takes_what_it_holds() -> None:
    one = window(0, 1, 0, 3)
    first = better_of(square(), [[WHOLE, PARTLY, EMPTY, PARTLY]] * 2, one, 1)
    second = better_of(square(), [[EMPTY, EMPTY, WHOLE, EMPTY]] * 2, one, 1)
    assert left(square(), one, 1, (2, 4), first, second) == [[EMPTY, WHOLE, EMPTY, WHOLE]] * 2
    assert left(square(), one, 1, (2, 4)) == [[WHOLE] * 4] * 2


def test_cells_that_the_better_grids_projection_does_not_hold_stay() -> None:
    class Partly(MemoryGrid):
        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return np.where(lon_deg > 13.0, np.inf, column), np.where(lat_deg < 58.0, np.nan, row)

    better = Partly(np.full((12, 12), 9.0), x=10.5, y=59.5, dx=1.0, dy=1.0)
    one = window(0, 3, 0, 4)
    found = left(square(), one, 1, (4, 5), better_of(better, [[WHOLE] * 5] * 4, one, 1))
    assert found == [[EMPTY] * 3 + [WHOLE] * 2] * 2 + [[WHOLE] * 5] * 2


class Wrapping(MemoryGrid):
    """Longitudes come back from -180 to 180, each by itself."""

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        lon, lat = super().to_position(column, row)
        return (lon + 180.0) % 360.0 - 180.0, lat


def around(west: float, east: float) -> Any:
    return SimpleNamespace(window_deg=(west, 0.0, east, 10.0))


@pytest.mark.parametrize("turn", [-360.0, 0.0, 360.0])
def test_positions_run_on_in_the_turn_of_the_route(turn: float) -> None:
    held = Wrapping(np.full((5, 9), 9.0), x=176.0, y=60.0, dx=1.0, dy=2.0)
    column, row = np.meshgrid(np.arange(9.0), np.arange(5.0))
    lon, lat = _positions(held, column, row, around(170.0 + turn, 200.0 + turn))
    assert lon.tolist() == (176.0 + turn + column).tolist()
    assert lat.tolist() == (60.0 - 2.0 * row).tolist()
    # Of a route on the other side of the turn the nearer whole turn is taken.
    lon, _ = _positions(held, column, row, around(-10.0, 30.0))
    assert lon[0, 0] == 176.0
    lon, _ = _positions(held, column, row, around(-30.0, 10.0))
    assert lon[0, 0] == -184.0


def test_of_a_straight_grid_four_corners_are_enough() -> None:
    """Three rows and two columns of pooled cells, each of four by four, from row 2, column 5."""
    held = MemoryGrid(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    lon, lat = _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))
    assert lon.tolist() == [[12.25, 16.25], [12.25, 16.25]]
    assert lat.tolist() == [[59.625, 59.625], [56.625, 56.625]]


class Bent(MemoryGrid):
    """Bends of either coordinate along columns or rows, in degrees half-way."""

    bend = (0.0, 0.0, 0.0, 0.0)

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        lon, lat = super().to_position(column, row)
        across = 1.0 - ((column - 8.5) / 4.0) ** 2  # from 4.5 to 12.5, and 1 in the middle
        down = 1.0 - ((row - 7.5) / 6.0) ** 2
        a, b, c, d = self.bend
        return lon + a * across + b * down, lat + c * across + d * down


@pytest.mark.parametrize("which", range(4))
@pytest.mark.parametrize("size_deg", [9e-8, 1.5e-7, -9e-8, -1.5e-7, 0.01])
def test_of_a_bent_grid_as_many_as_keep_it_true(which: int, size_deg: float) -> None:
    """As straight as a ten-millionth of a degree (a centimetre) it is drawn by its corners."""
    held = Bent(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    held.bend = tuple(size_deg if n == which else 0.0 for n in range(4))  # type: ignore[assignment]
    one = window(2, 12, 5, 11)
    lon, lat = _lattice(held, one, 4, (3, 2), around(0.0, 20.0))
    if abs(size_deg) < 1e-7:
        assert lon.shape == lat.shape == (2, 2)
        return
    column, row = np.meshgrid(np.linspace(4.5, 12.5, 13), np.linspace(1.5, 13.5, 13))
    expected = held.to_position(column, row)
    assert lon.shape == lat.shape == (13, 13)
    assert np.abs(lon - expected[0]).max() < 1e-12 and np.abs(lat - expected[1]).max() < 1e-12


def test_a_skewed_grid_is_straight_and_a_twisted_one_is_not() -> None:
    class Skewed(MemoryGrid):
        twist = 0.0

        def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
            lon, lat = super().to_position(column, row)
            return lon + 0.125 * row, lat + 0.25 * column + self.twist * column * row

    held = Skewed(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    lon, lat = _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))
    assert lon.tolist() == [[12.4375, 16.4375], [13.9375, 17.9375]]
    assert lat.tolist() == [[60.75, 62.75], [57.75, 59.75]]
    # Twisted, each row and column is straight still, and four corners tell it all.
    held.twist = 0.01
    assert _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))[0].shape == (2, 2)
