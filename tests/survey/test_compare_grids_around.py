"""What a grid holds in the place of another's cell, against every cell one by one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.compare_grids import _around
from tests.survey.memory_grid import MemoryGrid
from tests.survey.test_along_grids import INF, profile
from tests.survey.test_compare_grids import CELL, odd, ours, theirs


def brute(
    grid: MemoryGrid, column: float, row: float, half: float
) -> tuple[list[float], list[tuple[int, int]]]:
    """(valid depths, cells) whose centres are no more than `half` cells off, all turns over."""
    turn = grid.wraps_columns
    cells = [
        (r, c)
        for r in range(grid.rows)
        for c in range(grid.columns)
        if abs(r - row) <= half
        and any(abs(c + k * turn - column) <= half for k in ((-1, 0, 1) if turn else (0,)))
        and grid.valid[r, c]
    ]
    return [float(grid.depth[cell]) for cell in cells], cells


SIZES = [
    # Our cells, theirs, how far theirs reach; how far off a cell may be to share the place.
    (222.0, 222.0, 0.5, 0.5),
    (222.0, 222.0, 1.0, 1.0),
    (666.0, 222.0, 0.5, 1.5),
    (888.0, 222.0, 0.5, 2.0),
    (100.0, 222.0, 1.0, 1.0),
    (99_000.0, 222.0, 0.5, 12.0),  # no more than 24 cells across
    (5328.0, 222.0, 0.5, 12.0),
    (5106.0, 222.0, 0.5, 11.5),
    (None, 222.0, 0.5, 0.5),
    (None, 222.0, 0.0, 0.0),
    (3.0, None, 0.5, 1.5),  # of a size that nobody states: a metre
]


@pytest.mark.parametrize(("mine_m", "cell_m", "reach", "half"), SIZES)
def test_what_lies_in_the_place_of_a_cell(
    mine_m: float | None, cell_m: float | None, reach: float, half: float
) -> None:
    dice = np.random.default_rng(5)
    depth = dice.permutation(770).reshape(11, 70) / 7.0
    depth[dice.random((11, 70)) < 0.3] = np.nan
    other = theirs(depth, reach=reach, resolution_m=cell_m)
    mine: Any = ours([9.0], [10.0], resolution_m=mine_m).grid
    column = np.concatenate([[10.0, 10.5, 0.0, 69.0, -0.5, 69.5, 33.0], dice.uniform(-2, 72, 9)])
    row = np.concatenate([[5.0, 5.5, 0.0, 10.0, 10.5, -0.5, 3.0], dice.uniform(-2, 12, 9)])
    grid: Any = other.grid
    lon, lat = grid.to_position(column, row)
    found = _around(mine, other, lon, lat)
    column, row = grid.to_cell(lon, lat)
    for n in range(len(lon)):
        held, _ = brute(grid, column[n], row[n], half)
        assert found.low_m[n] == min(held, default=INF)
        assert found.high_m[n] == max(held, default=-INF)
        assert found.off_m[n] == 0.0


@pytest.mark.parametrize(
    ("column", "row", "expected"),
    [(10.0, 5.0, {(5, 10)}), (10.5, 5.0, {(5, 10), (5, 11)}), (11.5, 5.0, {(5, 11), (5, 12)}),
     (10.0, 4.5, {(4, 10), (5, 10)}), (10.0, 5.5, {(5, 10), (6, 10)}), (-0.5, 5.0, {(5, 0)}),
     (10.25, 4.75, {(5, 10)}), (10.0, 10.5, {(10, 10)})],
)  # fmt: skip
def test_half_way_between_cells_both_share_the_place(
    column: float, row: float, expected: set[tuple[int, int]]
) -> None:
    """Cells of a degree, so that halves are exact; depths are 100 row + column."""
    r, c = np.mgrid[0:11, 0:20]
    grid: Any = MemoryGrid(100.0 * r + c, x=0.0, y=10.0, dx=1.0, dy=1.0, block=(4, 6))
    grid.source = replace(grid.source, resolution_m=222.0)
    other = LegGrid(grid=grid, profile=profile([]), coarse=False)
    mine: Any = ours([9.0], [10.0]).grid
    found = _around(mine, other, np.array([column]), np.array([10.0 - row]))
    depths = [100.0 * a + b for a, b in expected]
    assert (found.low_m.tolist(), found.high_m.tolist()) == ([min(depths)], [max(depths)])


def test_round_the_earth_there_is_no_edge() -> None:
    depth = np.arange(40.0).reshape(2, 20)
    grid: Any = MemoryGrid(depth, x=-171.0, y=9.0, dx=18.0, dy=18.0, block=(1, 7))
    grid.source = replace(grid.source, resolution_m=222.0)
    other = LegGrid(grid=grid, profile=profile([]), coarse=False)
    mine: Any = ours([9.0], [10.0], resolution_m=666.0).grid
    lon, lat = np.array([-179.0, 179.0, 9.0]), np.array([8.0, -8.0, 9.0])
    found = _around(mine, other, lon, lat)
    column, row = grid.to_cell(lon, lat)
    for n in range(3):
        held, _ = brute(grid, column[n], row[n], 1.5)
        assert (found.low_m[n], found.high_m[n]) == (min(held), max(held))
    assert found.high_m[0] - found.low_m[0] > 30.0  # columns 19, 0 and 1


STATED = Quality(name="stated", vertical_m=0.5, vertical_share=0.02)
SHARE_ONLY = Quality(name="share", vertical_m=None, vertical_share=0.02)
CELLS = replace(STATED, by_cell=True)


@pytest.mark.parametrize(
    ("quality", "beside", "expected"),
    [
        (UNKNOWN_QUALITY, None, 0.0),
        (SHARE_ONLY, None, 0.6),
        (STATED, None, 0.5 + 0.02 * 30.0),
        (CELLS, None, 0.0),
        (CELLS, odd(5, 34, 2.5, 0.3), 2.5),
        (CELLS, odd(5, 60, 2.5, 0.3), 0.3),
        (STATED, odd(5, 34, 2.5, 0.3), 2.5),
        (STATED, 0.3, 0.5 + 0.02 * 30.0),
        (CELLS, np.nan, 0.0),
    ],
)
def test_the_worst_uncertainty_of_their_cells(
    quality: Quality, beside: Any, expected: float
) -> None:
    """Cells of -30 to 20 m (a drying height has its share, too) and a hole of great uncertainty."""
    depth = odd(5, 34, -30.0)
    depth[5, 35] = np.nan
    if isinstance(beside, np.ndarray):
        beside[5, 35] = 99.0
    other = theirs(depth, beside=beside, reach=1.0, quality=quality)
    mine: Any = ours([9.0], [10.0]).grid
    found = _around(mine, other, np.array([10.0 + 24 * CELL]), np.array([0.0]))
    assert found.off_m.tolist() == pytest.approx([expected], abs=1e-6)
    assert (found.low_m.tolist(), found.high_m.tolist()) == ([-30.0], [20.0])
