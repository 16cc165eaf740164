"""Where a grid's cells lie: columns and rows to longitude and latitude, and back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.geodesic import geodesic_inverse
from routecheck.readers.gridsystem import NO_PLACE, Turn, turns_of

_SMALLEST_M = 0.01


@dataclass(frozen=True, kw_only=True, eq=False)
class GridPlace:
    """The place of a grid of `columns` x `rows` whose cell centres lie at
    x = a column + b row + c, y = d column + e row + f in a coordinate system."""

    columns: int
    rows: int
    affine: tuple[float, float, float, float, float, float]
    turn: float
    """A full turn in x for a system of longitude and latitude, 0 for a projected one."""
    to_system: Turn | None
    """(longitude, latitude) to (x, y), None where they are the same."""
    to_earth: Turn | None
    assumed: str = ""
    """What had to be taken for granted."""

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        """(column, row) of positions, any shape; longitudes a whole turn off are the same."""
        a, b, c, d, e, f = self.affine
        x, y = np.asarray(lon_deg, dtype=float), np.asarray(lat_deg, dtype=float)
        if self.to_system is not None:
            x, y = self.to_system(wrap180_deg(x), y)
        if self.turn:
            x = x + self.turn * np.round((self._middle[0] - x) / self.turn)
        if b == 0.0 and d == 0.0:
            return (x - c) / a, (y - f) / e
        x, y, size = x - c, y - f, a * e - b * d
        return (e * x - b * y) / size, (a * y - d * x) / size

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        """(longitude, latitude) of cell coordinates, any shape. Straight in longitude and
        latitude where the grid is: longitudes may then lie beyond 180."""
        a, b, c, d, e, f = self.affine
        column, row = np.asarray(column, dtype=float), np.asarray(row, dtype=float)
        x, y = a * column + b * row + c, d * column + e * row + f
        return (x, y) if self.to_earth is None else self.to_earth(x, y)

    def lattice(self) -> tuple[Floats, Floats]:
        """Some x and y all over the grid, in its own system."""
        return _lattice(self.affine, self.columns, self.rows)

    @cached_property
    def _middle(self) -> tuple[float, float]:
        a, b, c, d, e, f = self.affine
        column, row = (self.columns - 1) / 2.0, (self.rows - 1) / 2.0
        return a * column + b * row + c, d * column + e * row + f

    @cached_property
    def wraps_columns(self) -> int:
        """Columns of a full turn of longitude where the grid goes round the earth, else 0."""
        a, b, _, d, _, _ = self.affine
        if not self.turn or b != 0.0 or d != 0.0:
            return 0
        turn = self.turn / abs(a)
        whole = round(turn)
        return whole if abs(turn - whole) < 1e-3 and self.columns >= whole else 0

    @cached_property
    def cell_sides_m(self) -> tuple[float, float]:
        """(smaller, larger) side of a cell in the grid's middle, metres."""
        column, row = (self.columns - 1) / 2.0, (self.rows - 1) / 2.0
        lon, lat = self.to_position(
            np.array([column, column + 1.0, column]), np.array([row, row, row + 1.0])
        )
        _, sides = geodesic_inverse(lon[0], lat[0], lon[1:], lat[1:])
        return float(sides.min()), float(sides.max())

    def bounds_deg(self, reach: float) -> tuple[float, float, float, float]:
        """(west, south, east, north) that hold the grid and `reach` cells round it."""
        column = np.linspace(-reach, self.columns - 1 + reach, 65)
        row = np.linspace(-reach, self.rows - 1 + reach, 65)
        lon, lat = self.to_position(*np.meshgrid(column, row))
        if self.to_earth is None:
            return float(lon.min()), float(lat.min()), float(lon.max()), float(lat.max())
        return _bounds(lon, lat, self._poles(reach))

    def _poles(self, reach: float) -> tuple[bool, bool]:
        """Whether the grid holds the south and the north pole."""
        column, row = self.to_cell(np.zeros(2), np.array([-90.0, 90.0]))
        held = (np.abs(column - (self.columns - 1) / 2.0) <= self.columns / 2.0 + reach) & (
            np.abs(row - (self.rows - 1) / 2.0) <= self.rows / 2.0 + reach
        )
        return bool(held[0]), bool(held[1])


def _bounds(
    lon: Floats, lat: Floats, poles: tuple[bool, bool]
) -> tuple[float, float, float, float]:
    """Bounds of a lattice of positions, with room for what lies between them."""
    known = np.isfinite(lon) & np.isfinite(lat)
    lon, lat = np.where(known, lon, np.nan), np.where(known, lat, np.nan)
    south, north = float(np.nanmin(lat)), float(np.nanmax(lat))
    middle = float(lon[32, 32]) if known[32, 32] else float(lon[known][0])
    off = wrap180_deg(np.where(known, lon, middle) - middle)
    west, east = middle + float(off.min()), middle + float(off.max())
    room = 0.05 * max(north - south, east - west)
    south = -90.0 if poles[0] else max(-90.0, south - room)
    north = 90.0 if poles[1] else min(90.0, north + room)
    if any(poles) or east - west > 300.0 or not known.all():
        return -180.0, south, 180.0, north
    return west - room, south, east + room, north


def place_of(
    file: str,
    *,
    columns: int,
    rows: int,
    corner: tuple[float, float, float, float, float, float],
    system: str | None,
    by_names: bool,
) -> GridPlace:
    """The place of a grid from its corner transform (of the first cell's outer corner) and the
    WKT of its coordinate system, or from the names of its axes if those are lon and lat.

    Raises BadInput where a grid has no place on the earth.
    """
    a, b, c, d, e, f = corner
    if corner == (1.0, 0.0, 0.0, 0.0, 1.0, 0.0) or a * e - b * d == 0.0:
        raise BadInput(file=file, wrong="it does not say where on the earth it lies", do=NO_PLACE)
    if not all(np.isfinite(corner)):
        raise BadInput(file=file, wrong="its corner or cell size is not a number", do=NO_PLACE)
    centred = (a, b, c + (a + b) / 2.0, d, e, f + (d + e) / 2.0)
    assumed = ""
    if system is None:
        if not by_names:
            raise BadInput(
                file=file,
                wrong="it states no coordinate system",
                do="give one in the file (for .asc and .tif a .prj file beside it may do)",
            )
        assumed = "states no coordinate system: its longitudes and latitudes are taken as WGS 84"
        turn, to_system, to_earth = 360.0, None, None
    else:
        turn, to_system, to_earth, assumed = turns_of(
            file, system, _lattice(centred, columns, rows)
        )
    place = GridPlace(
        columns=columns,
        rows=rows,
        affine=centred,
        turn=turn,
        to_system=to_system,
        to_earth=to_earth,
        assumed=assumed,
    )
    _refuse_off_the_earth(file, place)
    return place


def _refuse_off_the_earth(file: str, place: GridPlace) -> None:
    lon, lat = place.to_position(
        np.array([(place.columns - 1) / 2.0, 0.0]), np.array([(place.rows - 1) / 2.0, 0.0])
    )
    west, south, east, north = place.bounds_deg(0.5) if np.isfinite(lon[0]) else (0, 99, 0, 99)
    middle_is_off = not (np.isfinite(lon[0]) and abs(lat[0]) <= 90.0 and abs(lon[0]) <= 540.0)
    if middle_is_off or south < -90.5 or north > 90.5 or east - west > 361.0:
        raise BadInput(
            file=file,
            wrong="by its corner, cell size and coordinate system it lies off the earth",
            do="check the coordinate system that it states",
        )
    smallest_m = place.cell_sides_m[0]
    if not smallest_m >= _SMALLEST_M:
        raise BadInput(
            file=file,
            wrong=f"its cells are {smallest_m:.2g} m wide, finer than anything surveyed",
            do="check its cell size and coordinate system",
        )


def _lattice(
    affine: tuple[float, float, float, float, float, float], columns: int, rows: int
) -> tuple[Floats, Floats]:
    """Some x and y all over a grid."""
    a, b, c, d, e, f = affine
    column, row = np.meshgrid(np.linspace(0, columns - 1, 5), np.linspace(0, rows - 1, 5))
    return a * column + b * row + c, d * column + e * row + f
