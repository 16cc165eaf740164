"""The shoalest cell of runs, against a plain look at every cell of every run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from routecheck.survey import gather
from routecheck.survey.cells import Runs
from routecheck.survey.gather import Found, least_of_groups, read_runs
from tests.survey.memory_grid import MemoryGrid

PARTS = 6
Run = tuple[int, int, int, int]


def runs(*given: Run) -> Runs:
    """(part, row, first, last) each."""
    held = np.array(given, dtype=np.intp).reshape(-1, 4)
    return Runs(part=held[:, 0], row=held[:, 1], first=held[:, 2], last=held[:, 3])


def grid_of(depth_m: np.ndarray, block: tuple[int, int] = (3, 4)) -> MemoryGrid:
    return MemoryGrid(depth_m, x=0.0, y=0.0, dx=0.1, dy=0.1, block=block)


@dataclass
class Expected:
    depth_m: list[float]
    row: list[int]
    column: list[int]
    any_invalid: list[bool]


def looked_at(grid: MemoryGrid, given: list[Run]) -> Expected:
    """Of several cells of one depth the first, row by row."""
    made = Expected([np.inf] * PARTS, [-1] * PARTS, [-1] * PARTS, [False] * PARTS)
    for part in range(PARTS):
        cells = sorted({(r, c) for p, r, a, b in given if p == part for c in range(a, b + 1)})
        made.any_invalid[part] = any(not grid.valid[cell] for cell in cells)
        seen = [(float(grid.depth[cell]), cell) for cell in cells if grid.valid[cell]]
        if seen:
            made.depth_m[part], (made.row[part], made.column[part]) = min(seen)
    return made


def in_blocks(given: list[Run], block_columns: int) -> list[Run]:
    """Runs cut where they pass from one block of columns to the next."""
    return [
        (part, row, max(first, k * block_columns), min(last, (k + 1) * block_columns - 1))
        for part, row, first, last in given
        for k in range(first // block_columns, last // block_columns + 1)
    ]


def read(grid: MemoryGrid, *waiting: list[Run]) -> Found:
    found = Found.nothing(PARTS)
    cut = [runs(*in_blocks(one, grid.block_columns)) for one in waiting]
    read_runs(grid, cut, found)
    return found


def agrees(found: Found, expected: Expected) -> bool:
    return (
        found.depth_m.tolist() == expected.depth_m
        and found.row.tolist() == expected.row
        and found.column.tolist() == expected.column
        and found.any_invalid.tolist() == expected.any_invalid
    )


def some_runs(rng: np.random.Generator, rows: int, columns: int, count: int) -> list[Run]:
    made = []
    for _ in range(count):
        first = int(rng.integers(0, columns))
        last = int(rng.integers(first, min(columns, first + 7)))
        made.append((int(rng.integers(0, PARTS)), int(rng.integers(0, rows)), first, last))
    return made


@pytest.mark.parametrize("holes", [0.0, 0.2, 1.0])
@pytest.mark.parametrize("block", [(3, 4), (1, 1), (7, 11), (16, 16), (2, 5)])
def test_equal_to_a_look_at_every_cell(block: tuple[int, int], holes: float) -> None:
    """Grids of 7 rows by 11 columns, whose blocks at the edges are smaller; few depths, so that
    there are ties."""
    rng = np.random.default_rng(block[0] * 100 + int(holes * 10))
    for count in (1, 3, 12, 60):
        depth = rng.integers(-1, 4, (7, 11)).astype(float)
        depth[rng.random((7, 11)) < holes] = np.nan
        grid = grid_of(depth, block)
        given = some_runs(rng, 7, 11, count)
        assert agrees(read(grid, given), looked_at(grid, given))
        assert max(grid.asked.values()) == 1
        # In two heaps, or one after the other, it is the same.
        assert agrees(read(grid, given[: count // 2], given[count // 2 :]), looked_at(grid, given))
        found = Found.nothing(PARTS)
        for one in ([*given], given[::-1], given[count // 2 :]):
            read_runs(grid, [runs(*in_blocks(one, block[1]))], found)
            assert agrees(found, looked_at(grid, given))


def test_in_small_batches_it_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(5)
    depth = rng.integers(-1, 4, (7, 11)).astype(float)
    depth[rng.random((7, 11)) < 0.1] = np.nan
    given = some_runs(rng, 7, 11, 40)
    for most in (1, 2, 7, 10_000):
        monkeypatch.setattr(gather, "_CELLS_AT_ONCE", most)
        grid = grid_of(depth)
        assert agrees(read(grid, given), looked_at(grid, given))
        assert max(grid.asked.values()) == 1  # a block that two batches need is read once


def test_what_was_found_before_stays_where_it_is_shoaler() -> None:
    depth = np.full((7, 11), 9.0)
    depth[2, 3], depth[4, 6], depth[1, 1], depth[5, 5] = 2.0, 1.0, 2.0, 2.0
    grid = grid_of(depth)
    found = Found.nothing(PARTS)
    steps: list[tuple[Run, tuple[float, int, int]]] = [
        ((0, 2, 0, 3), (2.0, 2, 3)),
        ((0, 0, 0, 3), (2.0, 2, 3)),  # deeper
        ((0, 5, 5, 7), (2.0, 2, 3)),  # as deep, further on
        ((0, 1, 0, 3), (2.0, 1, 1)),  # as deep, before it
        ((0, 4, 4, 7), (1.0, 4, 6)),  # shoaler
        ((0, 1, 0, 3), (1.0, 4, 6)),
    ]
    for run, (depth_m, row, column) in steps:
        read_runs(grid, [runs(run)], found)
        assert (found.depth_m[0], found.row[0], found.column[0]) == (depth_m, row, column)
    assert not found.any_invalid.any() and found.off_grid.all()
    assert np.isinf(found.depth_m[1:]).all() and (found.row[1:] == -1).all()
    assert (found.column[1:] == -1).all()


def test_the_first_of_like_depths_whichever_was_found_first() -> None:
    depth = np.full((7, 11), 9.0)
    depth[2, 9] = depth[1, 5] = 2.0
    for order in (((0, 2, 8, 10), (0, 1, 4, 7)), ((0, 1, 4, 7), (0, 2, 8, 10))):
        grid, found = grid_of(depth), Found.nothing(PARTS)
        for run in order:
            read_runs(grid, [runs(run)], found)
        assert (found.row[0], found.column[0]) == (1, 5)


def test_nothing_to_read() -> None:
    grid = grid_of(np.full((7, 11), 9.0))
    assert agrees(read(grid, []), looked_at(grid, []))
    assert agrees(read(grid, [], []), looked_at(grid, []))
    assert not grid.asked


def test_more_blocks_than_a_number_of_16_bits_counts() -> None:
    """300 x 300 blocks of one cell: numbers 0 and 65,536 are one where 16 bits are kept."""
    depth = np.full((300, 300), 9.0)
    row, column = divmod(65_536, 300)
    depth[row, column] = 1.0
    grid = grid_of(depth, (1, 1))
    given = [(0, 0, 0, 0), (1, row, column, column), (2, 0, 0, 0), (3, row, column, column)]
    found = read(grid, given)
    assert agrees(found, looked_at(grid, given))
    assert set(grid.asked.values()) == {1}


@pytest.mark.parametrize("bad", [np.nan, -np.inf])
def test_a_depth_that_is_not_finite_is_refused(bad: float) -> None:
    grid = grid_of(np.full((7, 11), 9.0))
    grid.depth[2, 3] = bad  # and called valid
    with pytest.raises(ValueError, match="not finite"):
        read(grid, [(0, 2, 0, 3)])
    assert read(grid, [(0, 1, 0, 3)]).depth_m[0] == 9.0


@pytest.mark.parametrize("which", ["depth", "valid", "rows", "columns"])
def test_a_block_of_another_shape_is_refused(which: str) -> None:
    grid = grid_of(np.full((7, 11), 9.0))
    if which in ("rows", "columns"):
        setattr(grid, which, getattr(grid, which) + 1)  # more than its blocks hold
        last = (0, 6, 8, 10)
    else:
        setattr(grid, which, getattr(grid, which)[:, :-1])
        last = (0, 6, 8, 10)
    with pytest.raises(ValueError, match="block 2, 2 is"):
        read(grid, [last])
    assert read(grid, [(0, 0, 0, 3)]).depth_m[0] == 9.0  # another block is as it ought to be


def test_the_least_of_groups() -> None:
    rng = np.random.default_rng(3)
    for count in (
        np.array([1]), np.array([1, 1, 1]), np.array([2, 1, 3, 4, 5, 7, 8, 9, 15, 16, 17]),
        np.array([100, 40]), np.array([33]), rng.integers(1, 30, 50), rng.integers(10, 40, 20),
    ):  # fmt: skip
        starts = np.cumsum(count) - count
        values = rng.permutation(int(count.sum())).astype(np.float32)
        expected = [values[s : s + n].min() for s, n in zip(starts, count, strict=True)]
        assert least_of_groups(values, starts, count).tolist() == expected
        descending = -np.arange(len(values), dtype=np.float32)
        last = [-float(s + n - 1) for s, n in zip(starts, count, strict=True)]
        assert least_of_groups(descending, starts, count).tolist() == last
        assert least_of_groups(-descending, starts, count).tolist() == [float(s) for s in starts]
