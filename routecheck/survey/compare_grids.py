"""Where two depth grids differ by more than their uncertainties."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Grid
from routecheck.model.view import Disagreement
from routecheck.nav.angles import Floats
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.local import on_chart_datum, usable_datum
from routecheck.survey.plane import ChunkPlane

_WIDEST_CELLS = 24
_PARTS_AT_ONCE = 2_000


@dataclass(frozen=True, kw_only=True)
class _Range:
    """What a grid holds round some places, arrays (n,); +inf to -inf where it holds nothing."""

    low_m: Floats
    high_m: Floats
    off_m: Floats


def grids_differ(plane: ChunkPlane, one: LegGrid, other: LegGrid) -> list[Disagreement]:
    """The widest difference of `other` from the shoalest cells of `one` in a chunk, each way.

    The shoalest cell of every part of `one` is held against all cells of `other` that share its
    place; within their range, and the uncertainties of both, they agree.
    """
    ours, theirs = one.grid.source, other.grid.source
    if not (usable_datum(ours) and usable_datum(theirs)):
        return []
    profile = one.profile
    here = one.within(plane.from_m, plane.to_m) & np.isfinite(profile.charted_depth_m)
    found: list[Disagreement] = []
    every = np.flatnonzero(here)
    for begin in range(0, len(every), _PARTS_AT_ONCE):
        index = every[begin : begin + _PARTS_AT_ONCE]
        cell_m, _ = on_chart_datum(ours, ours.datum, 0.0)
        depth_m = profile.charted_depth_m[index] + cell_m
        around = _around(one.grid, other, profile.lon_deg[index], profile.lat_deg[index])
        room_m = one.off_m[index] + around.off_m
        with np.errstate(invalid="ignore"):
            below, above = around.low_m - depth_m, depth_m - around.high_m
        for width, ours_shoaler in ((below, True), (above, False)):
            wide = np.isfinite(width) & (width > room_m)
            if not wide.any():
                continue
            k = int(np.flatnonzero(wide)[np.argmax(width[wide])])
            i = int(index[k])
            lon, lat = float(profile.lon_deg[i]), float(profile.lat_deg[i])
            along, cross = plane.chunk.frame.to_frame(lon, lat)
            mine = float(depth_m[k])
            found.append(
                Disagreement(
                    shoaler=ours if ours_shoaler else theirs,
                    deeper=theirs if ours_shoaler else ours,
                    shoaler_depth_m=mine if ours_shoaler else float(around.high_m[k]),
                    deeper_depth_m=float(around.low_m[k]) if ours_shoaler else mine,
                    uncertainty_m=float(room_m[k]),
                    along_m=min(max(float(along) + plane.from_m, 0.0), plane.corridor.length_m),
                    cross_m=float(cross),
                    lon_deg=float((lon + 180.0) % 360.0 - 180.0),
                    lat_deg=lat,
                )
            )
    return found


def _around(grid: Grid, other: LegGrid, lon_deg: Floats, lat_deg: Floats) -> _Range:
    """What `other` holds in the place of cells of `grid`."""
    theirs = other.grid
    mine_m = grid.source.resolution_m or 0.0
    cell_m = theirs.source.resolution_m or 1.0
    half = min(max(theirs.reach, 0.5 * mine_m / cell_m), _WIDEST_CELLS / 2.0)
    column, row = theirs.to_cell(lon_deg, lat_deg)
    steps = np.arange(-np.ceil(half), np.ceil(half) + 1.0)
    across, down = (grid_.ravel() for grid_ in np.meshgrid(steps, steps))
    columns = np.rint(column)[:, None] + across
    rows = np.rint(row)[:, None] + down
    near = (np.abs(columns - column[:, None]) <= half) & (np.abs(rows - row[:, None]) <= half)
    if theirs.wraps_columns:
        columns = np.mod(columns, theirs.wraps_columns)
    inside = near & (columns >= 0) & (columns < theirs.columns) & (rows >= 0) & (rows < theirs.rows)
    shift_m, _ = on_chart_datum(theirs.source, theirs.source.datum, 0.0)
    depth_m, valid = _cells(theirs, rows, columns, inside)
    off_m = np.zeros(depth_m.shape)
    quality = theirs.source.quality
    if not quality.by_cell:
        off_m += (quality.vertical_m or 0.0) + quality.vertical_share * np.abs(depth_m)
    beside: Grid | None = getattr(theirs, "uncertainty", None)
    if beside is not None:
        less_m, _ = _cells(beside, rows, columns, inside)
        off_m = np.maximum(off_m, -less_m)
    return _Range(
        low_m=np.where(valid, depth_m, np.inf).min(axis=1) + shift_m,
        high_m=np.where(valid, depth_m, -np.inf).max(axis=1) + shift_m,
        off_m=np.where(valid, off_m, 0.0).max(axis=1),
    )


def _cells(
    grid: Grid, rows: Floats, columns: Floats, inside: NDArray[np.bool_]
) -> tuple[Floats, NDArray[np.bool_]]:
    """(value, whether valid) of cells, shape of `rows`; 0 where invalid."""
    value, valid = np.zeros(rows.shape), np.zeros(rows.shape, dtype=bool)
    at = np.nonzero(inside)
    row, column = rows[at].astype(np.intp), columns[at].astype(np.intp)
    across = -(-grid.columns // grid.block_columns)
    block = row // grid.block_rows * across + column // grid.block_columns
    for number in np.unique(block).tolist():
        mine = np.flatnonzero(block == number)
        block_row, block_column = divmod(number, across)
        held, there = grid.block(block_row, block_column)
        r = row[mine] - block_row * grid.block_rows
        c = column[mine] - block_column * grid.block_columns
        put = (at[0][mine], at[1][mine])
        value[put], valid[put] = np.where(there[r, c], held[r, c], 0.0), there[r, c]
    return value, valid
