"""The cells of runs, read block by block, and the shoalest of them for each part."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Grid
from routecheck.survey.cells import Runs, spread
from routecheck.survey.track import Indexes

_CELLS_AT_ONCE = 1_000_000
Flags = NDArray[np.bool_]
Depths = NDArray[np.float32]


@dataclass(frozen=True, kw_only=True)
class Found:
    """What has been found so far, arrays (parts,)."""

    depth_m: NDArray[np.float32]
    column: Indexes
    row: Indexes
    any_invalid: NDArray[np.bool_]
    off_grid: NDArray[np.bool_]

    @classmethod
    def nothing(cls, count: int) -> Found:
        """Nothing yet."""
        return cls(
            depth_m=np.full(count, np.inf, dtype=np.float32),
            column=np.full(count, -1, dtype=np.intp),
            row=np.full(count, -1, dtype=np.intp),
            any_invalid=np.zeros(count, dtype=bool),
            off_grid=np.ones(count, dtype=bool),
        )

    def add(self, runs: Runs, columns: int, depth_m: Depths, valid: Flags | None) -> None:
        """Take in the cells of some runs, one run after the other; +inf where invalid."""
        count = runs.last - runs.first + 1
        starts = np.cumsum(count) - count
        if valid is not None:
            bad = np.concatenate([[0], np.cumsum(~valid)])
            self.any_invalid[runs.part[bad[starts + count] > bad[starts]]] = True
        of_run = least_of_groups(depth_m, starts, count)
        if not (of_run > -np.inf).all():
            raise ValueError("a grid gave a depth that is not finite as valid")
        of_part = np.full(len(self.depth_m), np.inf, dtype=np.float32)
        np.minimum.at(of_part, runs.part, of_run)
        # The first run of each part, as the grid is read, that holds its least depth.
        hits = np.flatnonzero((of_run == of_part[runs.part]) & (of_run < np.inf))
        run = hits
        if len(hits) > np.count_nonzero(of_part < np.inf):
            place = runs.row[hits] * columns + runs.first[hits]
            first = np.full(len(of_part), np.iinfo(np.intp).max)
            np.minimum.at(first, runs.part[hits], place)
            run = hits[place == first[runs.part[hits]]]
        # And in it the first cell.
        which, cell = spread(starts[run], starts[run] + count[run])
        same = depth_m[cell] == of_run[run][which]
        which, cell = which[same][::-1], cell[same][::-1]
        at = np.empty(len(run), dtype=np.intp)
        at[which] = cell  # of several, the one assigned last stays: the first cell
        part, row = runs.part[run], runs.row[run]
        column = runs.first[run] + at - starts[run]
        depth = of_part[part]
        was_place = self.row[part] * columns + self.column[part]
        better = (depth < self.depth_m[part]) | (
            (depth == self.depth_m[part]) & (row * columns + column < was_place)
        )
        part = part[better]
        self.depth_m[part] = depth[better]
        self.row[part], self.column[part] = row[better], column[better]


def least_of_groups(values: Depths, starts: Indexes, count: Indexes) -> Depths:
    """The least of each group; groups follow one another and none is empty."""
    if len(values) > 16 * len(starts):
        return np.asarray(np.minimum.reduceat(values, starts))
    # For short groups a table of the least of 2, 4, 8 … neighbours is several times faster.
    level = np.floor(np.log2(count)).astype(np.intp)
    table = np.empty((int(level.max()) + 1, len(values)), dtype=values.dtype)
    table[0] = values
    for power in range(1, len(table)):
        half = 1 << (power - 1)
        whole = len(values) - 2 * half + 1
        np.minimum(
            table[power - 1, :whole],
            table[power - 1, half : half + whole],
            out=table[power, :whole],
        )
    base = level * len(values) + starts
    flat = table.ravel()
    return np.minimum(flat.take(base), flat.take(base + count - (1 << level)))


def read_runs(grid: Grid, waiting: list[Runs], found: Found) -> None:
    """Read the cells of all runs, block by block, and take them in."""
    runs = waiting[0] if len(waiting) == 1 else Runs.joined(waiting)
    if not len(runs.part):
        return
    blocks = _Blocks(grid)
    block = runs.row // grid.block_rows * blocks.across + runs.first // grid.block_columns
    # Numbers of 16 bits are sorted several times faster.
    order = np.argsort(block.astype(np.uint16) if block.max() < 1 << 16 else block, kind="stable")
    runs, block = runs.some(order), block[order]
    total = np.cumsum(runs.last - runs.first + 1)
    cuts = np.searchsorted(total, np.arange(_CELLS_AT_ONCE, total[-1], _CELLS_AT_ONCE)) + 1
    edges = np.unique(np.concatenate([[0], cuts, [len(total)]])).tolist()
    for begin, end in pairwise(edges):
        here = runs.some(slice(begin, end))
        found.add(here, grid.columns, *_cells(blocks, here, block[begin:end]))


class _Blocks:
    """The blocks of a grid by number, row by row; holds on to the last one."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.across = -(-grid.columns // grid.block_columns)
        self._number, self._held = -1, (np.zeros((0, 0), np.float32), np.zeros((0, 0), np.bool_))
        self._whole: NDArray[np.bool_] | None = None

    def cells(self, number: int) -> tuple[Depths, Flags | None]:
        """(depth; valid, None where all are) of one block, along its rows, (cells,)."""
        if number != self._number:
            self._held = self._read(*divmod(number, self.across))
            self._number = number
        depth, valid = self._held
        # Grids without a gap may give the same array for many blocks.
        if valid is self._whole or valid.all():
            self._whole = valid
            return depth.ravel(), None
        return depth.ravel(), valid.ravel()

    def _read(self, block_row: int, block_column: int) -> tuple[Depths, Flags]:
        grid = self.grid
        depth, valid = grid.block(block_row, block_column)
        shape = (
            min(grid.block_rows, grid.rows - block_row * grid.block_rows),
            min(grid.block_columns, grid.columns - block_column * grid.block_columns),
        )
        if depth.shape != shape or valid.shape != shape:
            raise ValueError(f"block {block_row}, {block_column} is {depth.shape}, not {shape}")
        return depth, valid


def _cells(blocks: _Blocks, runs: Runs, block: Indexes) -> tuple[Depths, Flags | None]:
    """(depth, +inf where invalid; valid, None where all are) of the cells of runs, which are
    sorted by block."""
    grid = blocks.grid
    starts = np.flatnonzero(np.diff(block, prepend=-1))
    block_row, block_column = np.divmod(block[starts], blocks.across)
    # Cells of a block are numbered along its rows, from its first; a block at the edge is narrower.
    width = np.minimum(grid.block_columns, grid.columns - block_column * grid.block_columns)
    before = block_row * grid.block_rows * width + block_column * grid.block_columns
    size = np.diff(starts, append=len(block))
    begin = runs.row * np.repeat(width, size) + runs.first - np.repeat(before, size)
    count = runs.last - runs.first + 1
    ends = np.cumsum(count)
    step = np.ones(ends[-1], dtype=np.intp)
    step[0] = begin[0]
    step[ends[:-1]] = begin[1:] - begin[:-1] - count[:-1] + 1
    local = np.cumsum(step)
    depth, valid = np.empty(len(local), dtype=np.float32), None
    cuts = [*(ends - count)[starts].tolist(), len(local)]
    numbers = block[starts].tolist()
    for number, from_cell, to_cell in zip(numbers, cuts[:-1], cuts[1:], strict=True):
        depths, valids = blocks.cells(number)
        here = local[from_cell:to_cell]
        depths.take(here, out=depth[from_cell:to_cell], mode="clip")
        if valids is not None:
            if valid is None:
                valid = np.ones(len(local), dtype=bool)
            valids.take(here, out=valid[from_cell:to_cell], mode="clip")
    if valid is None or valid.all():
        return depth, None
    depth[~valid] = np.inf
    return depth, valid
