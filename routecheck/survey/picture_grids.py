"""Depth grids for a map: pooled to their shoalest, block by block, within a limit of size.

A pooled cell is no deeper than the shoalest grid cell in it; where part of it has no depth, it
says so. Of two grids the better one counts, as in the survey.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Grid
from routecheck.model.picture import CellState, WaterGrid
from routecheck.nav.angles import Floats
from routecheck.survey.local import on_chart_datum
from routecheck.survey.settings import SurveySettings
from routecheck.survey.surroundings import Surroundings

MOST_CELLS = 160_000
"""Pooled cells of one grid; three times as many at most where it is drawn in pieces."""
MOST_DECODED = 80_000_000
"""Grid cells that are decoded for the picture at most."""
_BOX_STEPS = 5
_LATTICE = 13
_STRAIGHT_DEG = 1e-7
# Just inside a pooled cell's corners, and its middle: (share of its rows, of its columns).
_WITHIN = ((0.001, 0.001), (0.001, 0.999), (0.999, 0.001), (0.999, 0.999), (0.5, 0.5))

Blocks = set[tuple[int, int, int]]
"""(block row, block column, column at which the block starts, unwrapped)."""


@dataclass(frozen=True, kw_only=True)
class _Window:
    """Rows and columns of a grid near the route; columns may run on past the grid's edge."""

    row_from: int
    row_to: int
    column_from: int
    column_to: int


def water_grids(
    grids: Sequence[Grid], around: Surroundings, settings: SurveySettings
) -> tuple[tuple[WaterGrid, ...], list[str]]:
    """(pooled grids, remarks on what was left out); `grids` the best first."""
    made: list[WaterGrid] = []
    better: list[tuple[Grid, WaterGrid, _Window, int]] = []
    remarks: list[str] = []
    for grid in grids:
        windows = _windows(grid, around)
        if not windows:
            continue
        if len(_blocks(grid, windows)) * grid.block_rows * grid.block_columns > MOST_DECODED:
            remarks.append(f"{grid.source.id} is too large round this route to be drawn.")
            continue
        groups = _groups_of(windows)
        most = MOST_CELLS * min(len(groups), 3) // len(groups)
        for group in groups:
            whole = _whole(group)
            factor = _factor(whole, most)
            depth, state = _pooled(grid, whole, factor, _blocks(grid, group))
            coarse = settings.too_coarse(grid.source)
            _leave_to_better(grid, whole, factor, state, better)
            if not state.any():
                continue
            one = _drawn(grid, depth, state, _lattice(grid, whole, factor, state.shape, around))
            made.append(replace(one, coarse=coarse))
            if not coarse:
                better.append((grid, one, whole, factor))
    return tuple(made), remarks


def _drawn(
    grid: Grid,
    depth: NDArray[np.float32],
    state: NDArray[np.uint8],
    lattice: tuple[Floats, Floats],
) -> WaterGrid:
    shift_m, datum = on_chart_datum(grid.source, grid.source.datum, 0.0)
    quality = grid.source.quality
    return WaterGrid(
        charted_depth_m=np.where(state == CellState.EMPTY, 0.0, depth + shift_m).astype("f4"),
        state=state,
        lon_deg=lattice[0],
        lat_deg=lattice[1],
        datum=datum,
        source=grid.source.id,
        vertical_fixed_m=quality.vertical_m,
        vertical_share=quality.vertical_share,
    )


def _groups_of(windows: Sequence[_Window]) -> list[list[_Window]]:
    """Neighbours along the route that one array holds without much empty room: a long passage
    is drawn in several, or a pooled cell would be miles wide."""
    groups: list[list[_Window]] = []
    for window in windows:
        if groups:
            joined = [*groups[-1], window]
            cells = _cells(_whole(joined))
            if cells <= MOST_CELLS or cells <= 1.5 * sum(_cells(one) for one in joined):
                groups[-1] = joined
                continue
        groups.append([window])
    return groups


def _cells(window: _Window) -> int:
    rows = window.row_to - window.row_from + 1
    return rows * (window.column_to - window.column_from + 1)


def _windows(grid: Grid, around: Surroundings) -> list[_Window]:
    """For every box near the route, the grid's rows and columns that it meets."""
    found = []
    share = np.linspace(0.0, 1.0, _BOX_STEPS)
    for west, south, east, north in around.boxes_deg:
        lon, lat = np.meshgrid(west + share * (east - west), south + share * (north - south))
        columns, rows = grid.to_cell(lon, lat)
        good = np.isfinite(columns) & np.isfinite(rows)
        if not good.any():
            continue
        columns, rows = columns[good], rows[good]
        if grid.wraps_columns:
            turn = grid.wraps_columns
            columns = columns[0] + (columns - columns[0] + turn / 2.0) % turn - turn / 2.0
        row_from, row_to = int(np.floor(rows.min())) - 1, int(np.ceil(rows.max())) + 1
        column_from, column_to = int(np.floor(columns.min())) - 1, int(np.ceil(columns.max())) + 1
        row_from, row_to = max(0, row_from), min(grid.rows - 1, row_to)
        if not grid.wraps_columns:
            column_from, column_to = max(0, column_from), min(grid.columns - 1, column_to)
        if row_from <= row_to and column_from <= column_to:
            found.append(
                _Window(
                    row_from=row_from, row_to=row_to, column_from=column_from, column_to=column_to
                )
            )
    return _run_on(grid, found)


def _run_on(grid: Grid, windows: list[_Window]) -> list[_Window]:
    """Windows of a grid round the earth, moved by whole turns so that each lies by the last."""
    if not grid.wraps_columns or not windows:
        return windows
    made = [windows[0]]
    for window in windows[1:]:
        turns = round((made[-1].column_from - window.column_from) / grid.wraps_columns)
        shift = turns * grid.wraps_columns
        made.append(
            _Window(
                row_from=window.row_from,
                row_to=window.row_to,
                column_from=window.column_from + shift,
                column_to=window.column_to + shift,
            )
        )
    return made


def _whole(windows: Sequence[_Window]) -> _Window:
    return _Window(
        row_from=min(w.row_from for w in windows),
        row_to=max(w.row_to for w in windows),
        column_from=min(w.column_from for w in windows),
        column_to=max(w.column_to for w in windows),
    )


def _blocks(grid: Grid, windows: Sequence[_Window]) -> Blocks:
    found: Blocks = set()
    for window in windows:
        rows = range(window.row_from // grid.block_rows, window.row_to // grid.block_rows + 1)
        column = window.column_from
        while column <= window.column_to:
            turns, inside = (
                divmod(column, grid.wraps_columns) if grid.wraps_columns else (0, column)
            )
            if inside >= grid.columns:  # a seam of the full turn that the grid does not hold
                column += grid.wraps_columns - inside
                continue
            block = inside // grid.block_columns
            start = turns * (grid.wraps_columns or grid.columns) + block * grid.block_columns
            found.update((row, block, start) for row in rows)
            column = start + min(grid.block_columns, grid.columns - block * grid.block_columns)
    return found


def _factor(window: _Window, most: int) -> int:
    return max(1, int(np.ceil(np.sqrt(_cells(window) / most))))


def _pooled(
    grid: Grid, window: _Window, factor: int, blocks: Blocks
) -> tuple[NDArray[np.float32], NDArray[np.uint8]]:
    rows = -(-(window.row_to - window.row_from + 1) // factor)
    columns = -(-(window.column_to - window.column_from + 1) // factor)
    depth = np.full((rows, columns), np.inf, dtype=np.float32)
    seen = np.zeros((rows, columns), dtype=np.int32)
    # The value of a node holds as far as its neighbours, half a cell beyond its own drawn cell.
    shifts = (-1, 0, 1) if grid.reach > 0.5 else (0,)
    for block_row, block_column, start in sorted(blocks):
        values, valid = grid.block(block_row, block_column)
        held = np.where(valid, values, np.float32(np.inf)).astype(np.float32)
        row = block_row * grid.block_rows + np.arange(held.shape[0])
        column = start + np.arange(held.shape[1])
        for row_shift in shifts:
            for column_shift in shifts:
                r, c, kept = _groups(row + row_shift, column + column_shift, window, factor)
                if not kept:
                    continue
                part = held[r.inside][:, c.inside]
                least = np.minimum.reduceat(np.minimum.reduceat(part, r.first, 0), c.first, 1)
                cell = np.ix_(r.group, c.group)
                depth[cell] = np.minimum(depth[cell], least)
        r, c, kept = _groups(row, column, window, factor)
        if kept:
            part = valid[r.inside][:, c.inside].astype(np.int32)
            seen[np.ix_(r.group, c.group)] += np.add.reduceat(
                np.add.reduceat(part, r.first, 0), c.first, 1
            )
    state = np.where(seen > 0, CellState.PARTLY, CellState.EMPTY).astype(np.uint8)
    state[seen >= factor * factor] = CellState.WHOLE
    reached = (state == CellState.EMPTY) & np.isfinite(depth)
    state[reached] = CellState.PARTLY
    return np.where(state == CellState.EMPTY, np.float32(0.0), depth), state


@dataclass(frozen=True, kw_only=True)
class _Groups:
    inside: NDArray[np.bool_]
    first: NDArray[np.intp]
    group: NDArray[np.intp]


def _groups(
    rows: NDArray[np.intp], columns: NDArray[np.intp], window: _Window, factor: int
) -> tuple[_Groups, _Groups, bool]:
    r = _grouped(rows, window.row_from, window.row_to, factor)
    c = _grouped(columns, window.column_from, window.column_to, factor)
    return r, c, bool(len(r.group) and len(c.group))


def _grouped(index: NDArray[np.intp], first: int, last: int, factor: int) -> _Groups:
    inside = (index >= first) & (index <= last)
    group = (index[inside] - first) // factor
    starts = np.flatnonzero(np.diff(group, prepend=-1))
    return _Groups(inside=inside, first=starts, group=group[starts])


def _positions(
    grid: Grid, columns: Floats, rows: Floats, around: Surroundings
) -> tuple[Floats, Floats]:
    lon, lat = grid.to_position(columns, rows)
    lon = np.unwrap(np.asarray(lon, dtype=float), period=360.0, axis=-1)
    middle = (around.window_deg[0] + around.window_deg[2]) / 2.0
    turns = np.round((middle - float(np.mean(lon))) / 360.0)
    return lon + 360.0 * turns, np.asarray(lat, dtype=float)


def _lattice(
    grid: Grid, window: _Window, factor: int, shape: tuple[int, int], around: Surroundings
) -> tuple[Floats, Floats]:
    """Positions over the pooled cells' outer edges, as few as keep the drawing true."""
    row = window.row_from - 0.5 + np.linspace(0.0, shape[0] * factor, _LATTICE)
    column = window.column_from - 0.5 + np.linspace(0.0, shape[1] * factor, _LATTICE)
    lon, lat = _positions(grid, *np.meshgrid(column, row), around)
    share = np.linspace(0.0, 1.0, _LATTICE)
    for values in (lon, lat):
        corners = values[[0, 0, -1, -1], [0, -1, 0, -1]].reshape(2, 2)
        top = corners[0, 0] + share * (corners[0, 1] - corners[0, 0])
        bottom = corners[1, 0] + share * (corners[1, 1] - corners[1, 0])
        flat = top[None, :] + share[:, None] * (bottom - top)[None, :]
        if np.abs(flat - values).max() > _STRAIGHT_DEG:
            return lon, lat
    return lon[[0, -1]][:, [0, -1]], lat[[0, -1]][:, [0, -1]]


def _leave_to_better(
    grid: Grid,
    window: _Window,
    factor: int,
    state: NDArray[np.uint8],
    better: Sequence[tuple[Grid, WaterGrid, _Window, int]],
) -> None:
    """Empty the pooled cells that lie wholly where a better grid holds depths throughout."""
    for other, drawn, there, step in better:
        inside = np.ones(state.shape, dtype=bool)
        for row_share, column_share in _WITHIN:
            row = window.row_from - 0.5 + (np.arange(state.shape[0]) + row_share) * factor
            column = window.column_from - 0.5 + (np.arange(state.shape[1]) + column_share) * factor
            c, r = other.to_cell(*grid.to_position(*np.meshgrid(column, row)))
            known = np.isfinite(c) & np.isfinite(r)
            r = np.floor((np.where(known, r, -1e9) + 0.5 - there.row_from) / step).astype(int)
            c = np.floor((np.where(known, c, -1e9) + 0.5 - there.column_from) / step).astype(int)
            ok = (r >= 0) & (c >= 0) & (r < drawn.state.shape[0]) & (c < drawn.state.shape[1])
            whole = np.zeros(state.shape, dtype=bool)
            whole[ok] = drawn.state[r[ok], c[ok]] == CellState.WHOLE
            inside &= whole
        state[inside] = CellState.EMPTY
