"""Which cells of a grid convex quadrilaterals touch: exact, closed edges, arrays throughout.

A cell is the square `reach` either side of its centre, in cell coordinates. A quadrilateral cut
to the band of one row spans an interval of columns, since it is convex; the row's cells that
touch that interval are exactly the row's cells that touch the quadrilateral.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from routecheck.nav.angles import Floats
from routecheck.survey.track import Indexes

_BANDS_AT_ONCE = 1 << 16
_TALLEST = 1 << 14


def least(corners: Floats) -> Floats:
    """Of each column of (4, n)."""
    a, b, c, d = corners
    return np.asarray(np.minimum(np.minimum(a, b), np.minimum(c, d)))


def most(corners: Floats) -> Floats:
    """Of each column of (4, n)."""
    a, b, c, d = corners
    return np.asarray(np.maximum(np.maximum(a, b), np.maximum(c, d)))


@dataclass(frozen=True, kw_only=True, eq=False)
class Runs:
    """n runs of cells, each in one row and one block: arrays (n,), ends included.

    `part` is the number of the quadrilateral.
    """

    part: Indexes
    row: Indexes
    first: Indexes
    last: Indexes

    def some(self, which: slice | Indexes) -> Runs:
        """Those at some indexes."""
        return Runs(
            part=self.part[which],
            row=self.row[which],
            first=self.first[which],
            last=self.last[which],
        )

    def of(self, whose: Indexes) -> Runs:
        """The same runs, with part numbers looked up."""
        return Runs(part=whose[self.part], row=self.row, first=self.first, last=self.last)

    @classmethod
    def joined(cls, runs: Sequence[Runs]) -> Runs:
        """All, one after the other."""
        return cls(
            part=np.concatenate([some.part for some in runs]),
            row=np.concatenate([some.row for some in runs]),
            first=np.concatenate([some.first for some in runs]),
            last=np.concatenate([some.last for some in runs]),
        )


def spread(start: Indexes, stop: Indexes) -> tuple[Indexes, Indexes]:
    """(which of the ranges, value) of every whole number in the ranges start..stop - 1."""
    count = np.maximum(stop - start, 0)
    which = np.repeat(np.arange(len(count)), count)
    return which, np.arange(len(which)) + (start - np.cumsum(count) + count).take(which)


def touched_runs(
    column: Floats,
    row: Floats,
    *,
    reach: float,
    slack: float,
    rows: int,
    columns: int,
    block_columns: int,
) -> Iterator[Runs]:
    """The cells of the grid that the quadrilaterals touch, a batch at a time.

    `column` and `row` are the corners, (4, n), in order round each; `slack` is added outward, in
    cells, so that rounding never loses a touch.
    """
    # The slack of a band is more than rounding can move a crossing along a flat edge.
    grow = reach + slack
    low = np.clip(np.ceil(least(row) - grow), 0, rows).astype(np.intp)
    high = np.clip(np.floor(most(row) + grow), -1, rows - 1).astype(np.intp)
    high[(most(column) + grow < 0.0) | (least(column) - grow > columns - 1)] = -1
    edges = [_Edge.between(column[i], row[i], column[i - 3], row[i - 3]) for i in range(4)]
    for part, from_row, to_row in _batches(low, high + 1):
        which, band = spread(from_row, to_row)
        which = part[which]
        left, right = np.full(len(band), np.inf), np.full(len(band), -np.inf)
        upper = np.asarray(band - grow, dtype=np.float64)
        lower = np.asarray(band + grow, dtype=np.float64)
        for edge in edges:
            edge.widen(which, upper, lower, left, right)
        met = left <= right
        if not met.all():
            which, band, left, right = which[met], band[met], left[met], right[met]
        first = np.maximum(np.ceil(left - grow), 0.0).astype(np.intp)
        last = np.minimum(np.floor(right + grow), columns - 1.0).astype(np.intp)
        yield _by_block(which, band, first, last, block_columns)


@dataclass(frozen=True, kw_only=True, eq=False)
class _Edge:
    """One edge of n quadrilaterals, from its upper end (the lower row) to its lower end."""

    top: Floats
    bottom: Floats
    top_x: Floats
    slope: Floats

    @classmethod
    def between(cls, x0: Floats, y0: Floats, x1: Floats, y1: Floats) -> _Edge:
        swap = y1 < y0
        top, bottom = np.where(swap, y1, y0), np.where(swap, y0, y1)
        top_x = np.where(swap, x1, x0)
        rise = bottom - top
        # A level edge gives its first corner; the next edge begins at the other one.
        slope = (np.where(swap, x0, x1) - top_x) / np.where(rise > 0.0, rise, np.inf)
        return cls(top=top, bottom=bottom, top_x=top_x, slope=slope)

    def widen(
        self, which: Indexes, upper: Floats, lower: Floats, left: Floats, right: Floats
    ) -> None:
        """Stretch left and right, in place, to where the edge runs in each band."""
        top, bottom = self.top.take(which), self.bottom.take(which)
        top_x, slope = self.top_x.take(which), self.slope.take(which)
        outside = (bottom < upper) | (top > lower)
        enters = (np.maximum(upper, top) - top) * slope + top_x
        leaves = (np.minimum(lower, bottom) - top) * slope + top_x
        np.minimum(left, np.where(outside, np.inf, np.minimum(enters, leaves)), out=left)
        np.maximum(right, np.where(outside, -np.inf, np.maximum(enters, leaves)), out=right)


def _batches(low: Indexes, stop: Indexes) -> Iterator[tuple[Indexes, Indexes, Indexes]]:
    """(part, first row, row after the last) in batches of bounded size, empty ones left out."""
    if (stop - low > _TALLEST).any():
        pieces = np.maximum(-(-(stop - low) // _TALLEST), 0)
        part, number = spread(np.zeros_like(pieces), pieces)
        from_row = low[part] + number * _TALLEST
        to_row = np.minimum(from_row + _TALLEST, stop[part])
    else:
        part = np.flatnonzero(stop > low)
        from_row, to_row = low[part], stop[part]
    if not len(part):
        return
    total = np.cumsum(to_row - from_row)
    cuts = np.searchsorted(total, np.arange(_BANDS_AT_ONCE, total[-1], _BANDS_AT_ONCE)) + 1
    edges = np.unique(np.concatenate([[0], cuts, [len(part)]]))
    for begin, end in pairwise(edges.tolist()):
        yield part[begin:end], from_row[begin:end], to_row[begin:end]


def _by_block(
    part: Indexes, row: Indexes, first: Indexes, last: Indexes, block_columns: int
) -> Runs:
    """Runs cut where they pass from one block of columns to the next; empty ones left out."""
    full = first <= last
    if not full.all():
        # Beyond the grid's edge a run's last cell lies before its first.
        part, row, first, last = part[full], row[full], first[full], last[full]
    from_block = first // block_columns
    to_block = last // block_columns
    across = np.flatnonzero(from_block != to_block)
    runs = Runs(part=part, row=row, first=first, last=last)
    if not len(across):
        return runs
    which, block = spread(from_block[across] + 1, to_block[across] + 1)
    which = across[which]
    rest = Runs(
        part=part[which],
        row=row[which],
        first=block * block_columns,
        last=np.minimum(last[which], (block + 1) * block_columns - 1),
    )
    last[across] = (from_block[across] + 1) * block_columns - 1
    return Runs.joined([runs, rest])
