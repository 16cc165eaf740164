"""Corridors in a grid's own plane of columns and rows."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Grid
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.survey.cells import least, most
from routecheck.survey.parts import STRETCH_M
from routecheck.survey.track import Indexes

_LONGEST_STEP_M = 20.0 * STRETCH_M
_EARTH_M = 6.35e6
_ROUNDING = 1e-6


@dataclass(frozen=True, kw_only=True, eq=False)
class Images:
    """Quadrilaterals in cell coordinates; one that lies across the seam of a round-the-earth grid
    stands here twice. Arrays (m,) and (4, m); `part` ascends and counts the parts asked for."""

    part: Indexes
    column: Floats
    row: Floats
    off_grid: NDArray[np.bool_]
    """Of each part asked for, (n,): some of it lies beyond the grid's edge."""


class GridPlane:
    """The plane of one grid."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.west_deg, self.south_deg, self.east_deg, self.north_deg = grid.bounds_deg()
        # Area-registered cells reach to their own edge; nodes hold nothing beyond the outermost.
        rim = 0.5 if grid.reach <= 0.5 else 0.0
        self.low = -rim
        self.high_column, self.high_row = grid.columns - 1 + rim, grid.rows - 1 + rim

    @cached_property
    def cell_sides_m(self) -> tuple[float, float]:
        """(smaller, larger) side of a cell in the grid's middle, metres."""
        column, row = (self.grid.columns - 1) / 2.0, (self.grid.rows - 1) / 2.0
        lon, lat = self.grid.to_position(
            np.array([column, column + 1.0, column]), np.array([row, row, row + 1.0])
        )
        # By the radii in the middle: a few numbers, where a geodesic would take longer.
        east_m = np.radians(wrap180_deg(lon[1:] - lon[0])) * parallel_radius_m(lat[0])
        north_m = np.radians(lat[1:] - lat[0]) * meridian_radius_m(lat[0])
        sides = np.hypot(east_m, north_m)
        return float(sides.min()), float(sides.max())

    def step_m(self, widest_m: float) -> float:
        """How long the stretches of a corridor are whose greater half-width is `widest_m`.

        0.05 nmi, or 0.1 for cells larger than that. Of cells over 0.1 nmi, which cannot show a
        danger anyway, three or the half-width, whichever is more, up to 1 nmi. Always a whole
        multiple of `STRETCH_M`.
        """
        wanted_m = self.cell_sides_m[1]
        if wanted_m > 2.0 * STRETCH_M:
            wanted_m = min(max(3.0 * wanted_m, widest_m), _LONGEST_STEP_M)
        return max(1.0, float(np.ceil(wanted_m / STRETCH_M - 1e-9))) * STRETCH_M

    def slack(self, step_m: float, lat_deg: Floats) -> float:
        """By how much, in cells, the edges of parts may lie inside of the true corridor."""
        if step_m <= STRETCH_M:
            return _ROUNDING
        # A straight edge leaves the rhumb line by s**2 tan(lat) / (8 R).
        steepest = np.tan(np.radians(min(89.0, float(np.abs(lat_deg).max()))))
        return _ROUNDING + float(step_m**2 * steepest / (8.0 * _EARTH_M) / self.cell_sides_m[0])

    def near(self, lon_deg: Floats, lat_deg: Floats) -> NDArray[np.bool_]:
        """Parts, corners (4, n), that may touch the grid, by its bounds, (n,)."""
        west, east = least(lon_deg), most(lon_deg)
        near = (most(lat_deg) >= self.south_deg) & (least(lat_deg) <= self.north_deg)
        # The first whole turn by which the part's east end is not west of the grid.
        turned = west + 360.0 * np.ceil((self.west_deg - east) / 360.0)
        return np.asarray(near & (turned <= self.east_deg))

    @cached_property
    def turn_columns(self) -> float:
        """Columns in a full turn of longitude where columns run with longitude, else 0.

        Also 0 for a grid that leaves so wide a gap that no part of a corridor bridges it.
        """
        if self.grid.wraps_columns:
            return float(self.grid.wraps_columns)
        if self.east_deg - self.west_deg < 300.0:
            return 0.0
        lon = (self.west_deg + self.east_deg) / 2.0 + np.array([-60.0, 0.0, 60.0])
        column, row = self.grid.to_cell(lon, np.full(3, (self.south_deg + self.north_deg) / 2.0))
        if not (np.isfinite(column).all() and np.isfinite(row).all()):
            return 0.0
        step, other = float(column[1] - column[0]), float(column[2] - column[1])
        straight = abs(step - other) < 1e-6 * abs(step) and float(np.ptp(row)) < 1e-6
        return 6.0 * abs(step) if straight else 0.0  # a step is 60 degrees

    @cached_property
    def runs_with_lonlat(self) -> bool:
        """Whether columns and rows are straight in longitude and latitude."""
        columns, rows = self.grid.columns - 1.0, self.grid.rows - 1.0
        # The corners, and the middles of the edges and of the whole.
        column = columns * np.array([0.0, 0.5, 1.0, 0.0, 0.5, 1.0, 0.0, 0.5, 1.0])
        row = rows * np.array([0.0, 0.0, 0.0, 0.5, 0.5, 0.5, 1.0, 1.0, 1.0])
        lon, lat = (part.reshape(3, 3) for part in self.grid.to_position(column, row))
        bends = [np.diff(lon, axis=0), np.diff(lon, axis=1), np.diff(lat, axis=0), np.diff(lat)]
        return max(float(np.ptp(side)) for side in bends) < 1e-9

    def images(self, lon_deg: Floats, lat_deg: Floats) -> Images:
        """Corners (4, n) of parts in cell coordinates."""
        column, row = self.grid.to_cell(lon_deg, lat_deg)
        here = np.isfinite(most(np.abs(column)) + most(np.abs(row)))
        part = np.arange(len(here))
        if not here.all():
            # Too far off for the grid's projection: nowhere near the grid.
            part, column, row = part[here], column[:, here], row[:, here]
        off_grid = np.ones(len(here), dtype=bool)
        off_rows = (least(row) < self.low) | (most(row) > self.high_row)
        turn = self.turn_columns
        if turn:
            # The corners of one part within one turn of each other.
            column = column + turn * np.round((column[:1] - column) / turn)
        west, east = least(column), most(column)
        off_columns = (west < self.low) | (east > self.high_column)
        if turn and off_columns.any():
            part, column, row = self._turned(part, column, row, west, east)
            if self.high_column - self.low >= turn - 1e-6 or self.grid.wraps_columns:
                off_columns[:] = False
        off_grid[here] = off_rows | off_columns
        return Images(part=part, column=column, row=row, off_grid=off_grid)

    def _turned(
        self, part: Indexes, column: Floats, row: Floats, west: Floats, east: Floats
    ) -> tuple[Indexes, Floats, Floats]:
        """Parts as they stand, and once more a turn off where that touches the grid."""
        turn, room = self.turn_columns, self.grid.reach + 1.0
        parts, columns, rows = [], [], []
        for shift in (-turn, 0.0, turn):
            meets = (east + shift >= -room) & (west + shift <= self.grid.columns - 1 + room)
            parts.append(part[meets])
            columns.append(column[:, meets] + shift)
            rows.append(row[:, meets])
        every = np.concatenate(parts)
        order = np.argsort(every, kind="stable")
        column, row = np.concatenate(columns, axis=1), np.concatenate(rows, axis=1)
        return every[order], column[:, order], row[:, order]

    def positions(
        self, column: Indexes, row: Indexes, near_lon_deg: Floats
    ) -> tuple[Floats, Floats]:
        """(longitude within half a turn of `near_lon_deg`, latitude) of cells, (m,)."""
        lon, lat = self.grid.to_position(column.astype(float), row.astype(float))
        return lon + 360.0 * np.round((near_lon_deg - lon) / 360.0), lat
