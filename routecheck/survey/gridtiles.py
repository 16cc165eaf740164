"""Where a grid holds depths, by tiles of its cells: whole, in part, or not at all."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Grid
from routecheck.survey.overlay import union

MOST_CELLS = 20_000_000
"""A larger grid is not read through only to be looked at."""
_TILES = 96
"""Along the longer side."""


@dataclass(frozen=True, kw_only=True)
class Tiles:
    """Lon/lat. `unseen` where the grid is too large to be read through."""

    full: BaseGeometry
    part: BaseGeometry
    unseen: bool = False


def tiles_of(grid: Grid) -> Tiles:
    """The tiles of a grid in which every cell, and in which only some, hold a depth."""
    unseen = grid.rows * grid.columns > MOST_CELLS
    longer = max(grid.rows, grid.columns)
    down = min(grid.rows, max(1, round(_TILES * grid.rows / longer)))
    across = min(grid.columns, max(1, round(_TILES * grid.columns / longer)))
    row_edges = -(-np.arange(down + 1) * grid.rows // down)
    column_edges = -(-np.arange(across + 1) * grid.columns // across)
    share = np.ones((down, across)) if unseen else _filled(grid, row_edges, column_edges)
    return Tiles(
        full=_shape(grid, share >= 1.0, row_edges, column_edges),
        part=_shape(grid, (share > 0.0) & (share < 1.0), row_edges, column_edges),
        unseen=unseen,
    )


def _filled(grid: Grid, row_edges: NDArray[np.intp], column_edges: NDArray[np.intp]) -> NDArray:  # type: ignore[type-arg]
    """The share of valid cells in each tile; 1.0 only where all are."""
    held = np.zeros((len(row_edges) - 1, len(column_edges) - 1), dtype=np.int64)
    blocks_down = -(-grid.rows // grid.block_rows)
    blocks_across = -(-grid.columns // grid.block_columns)
    for i in range(blocks_down):
        for j in range(blocks_across):
            _, valid = grid.block(i, j)
            rows = i * grid.block_rows + np.arange(valid.shape[0])
            columns = j * grid.block_columns + np.arange(valid.shape[1])
            down = np.searchsorted(row_edges, rows, side="right") - 1
            across = np.searchsorted(column_edges, columns, side="right") - 1
            by_row = np.add.reduceat(valid.astype(np.int64), _starts(down), axis=0)
            sums = np.add.reduceat(by_row, _starts(across), axis=1)
            held[np.ix_(np.unique(down), np.unique(across))] += sums
    whole = np.outer(np.diff(row_edges), np.diff(column_edges))
    return np.where(held == whole, 1.0, np.minimum(held / whole, 0.999))


def _starts(groups: NDArray[np.intp]) -> NDArray[np.intp]:
    return np.flatnonzero(np.concatenate([[True], np.diff(groups) > 0]))


def _shape(
    grid: Grid,
    wanted: NDArray[np.bool_],
    row_edges: NDArray[np.intp],
    column_edges: NDArray[np.intp],
) -> BaseGeometry:
    """The union of tiles, each row's runs as one strip."""
    column, row = np.meshgrid(column_edges - 0.5, row_edges - 0.5)
    lon, lat = grid.to_position(column, row)
    strips = []
    for i, flags in enumerate(wanted):
        ends = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
        for first, last in zip(ends[::2], ends[1::2], strict=True):
            top = np.column_stack([lon[i, first : last + 1], lat[i, first : last + 1]])
            low = np.column_stack([lon[i + 1, first : last + 1], lat[i + 1, first : last + 1]])
            strips.append(shapely.Polygon(np.concatenate([top, low[::-1]])))
    return union(strips)
