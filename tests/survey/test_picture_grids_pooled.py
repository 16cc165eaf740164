"""Pooled cells against every cell of the grid, and where a better grid counts instead."""

from __future__ import annotations

import warnings
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.model.picture import CellState
from routecheck.survey.picture_grids import _blocks, _leave_to_better, _pooled, _Window
from tests.survey.memory_grid import Floats, MemoryGrid
from tests.survey.test_picture_grids_windows import window

EMPTY, PARTLY, WHOLE = (int(state) for state in CellState)


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
@pytest.mark.parametrize(
    ("one", "there"),
    [(window(2, 10, 1, 9), window(1, 9, 3, 11)), (window(1, 9, 3, 11), window(2, 10, 1, 9))],
)
def test_all_of_a_pooled_cells_corners_and_its_middle_must_be_held(
    one: _Window, there: _Window, factor: int, step: int
) -> None:
    """Windows that begin at different cells; a pooled cell is looked up at five points."""
    dice = np.random.default_rng(factor * 10 + step)
    count = -(-9 // factor)
    theirs = dice.random((-(-9 // step), -(-9 // step))) > 0.2

    def whole_at(row: float, column: float) -> bool:
        i, j = int((row - there.row_from) // step), int((column - there.column_from) // step)
        inside = 0 <= i < len(theirs) and 0 <= j < len(theirs)
        return inside and bool(theirs[i, j])

    within = [(0.01, 0.01), (0.01, 0.99), (0.99, 0.01), (0.99, 0.99), (0.5, 0.5)]
    expected = [
        [
            EMPTY
            if all(
                whole_at(one.row_from + (i + a) * factor, one.column_from + (j + b) * factor)
                for a, b in within
            )
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
    # Broader than high, and higher than broad, beneath what is larger both ways.
    broad = better_of(square(), [[WHOLE] * 4] * 2, one, 1)
    assert left(square(), window(0, 4, 0, 4), 1, (5, 5), broad) == (
        [[EMPTY] * 4 + [WHOLE]] * 2 + [[WHOLE] * 5] * 3
    )
    high = better_of(square(), [[WHOLE] * 2] * 4, window(0, 3, 0, 1), 1)
    assert left(square(), window(0, 4, 0, 4), 1, (5, 5), high) == (
        [[EMPTY] * 2 + [WHOLE] * 3] * 4 + [[WHOLE] * 5]
    )


def test_cells_that_the_better_grids_projection_does_not_hold_stay() -> None:
    class Partly(MemoryGrid):
        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return np.where(lon_deg > 13.0, np.inf, column), np.where(lat_deg < 58.0, np.nan, row)

    better = Partly(np.full((12, 12), 9.0), x=10.5, y=59.5, dx=1.0, dy=1.0)
    one = window(0, 3, 0, 4)
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # numpy's: a number that is not finite has no whole one
        found = left(square(), one, 1, (4, 5), better_of(better, [[WHOLE] * 5] * 4, one, 1))
    assert found == [[EMPTY] * 3 + [WHOLE] * 2] * 2 + [[WHOLE] * 5] * 2
