"""Where a grid's cells lie: columns and rows to longitude and latitude, and back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.geodesic import geodesic_inverse

if TYPE_CHECKING:
    from pyproj import CRS

_NO_PLACE = "give a file with its coordinate system and corner, such as a GeoTIFF"
_SAME_DEG = 1e-9
_SMALLEST_M = 0.01
Turn = Callable[[Floats, Floats], tuple[Floats, Floats]]


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
        raise BadInput(file=file, wrong="it does not say where on the earth it lies", do=_NO_PLACE)
    if not all(np.isfinite(corner)):
        raise BadInput(file=file, wrong="its corner or cell size is not a number", do=_NO_PLACE)
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
        turn, to_system, to_earth = _system(file, system, _lattice(centred, columns, rows))
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


def _system(
    file: str, wkt: str, lattice: tuple[Floats, Floats]
) -> tuple[float, Turn | None, Turn | None]:
    """(full turn in x, from and to longitude and latitude) of a coordinate system.

    No turning at all where longitudes and latitudes of `lattice` are WGS 84's as they stand.
    """
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        crs = _horizontal(CRS.from_user_input(wkt))
    except CRSError as error:
        raise BadInput(
            file=file, wrong=f"its coordinate system cannot be understood ({error})"
        ) from None
    if not (crs.is_geographic or crs.is_projected):
        raise BadInput(
            file=file,
            wrong=f"its coordinate system ({crs.name}) is not tied to the earth",
            do=_NO_PLACE,
        )
    turn = 0.0
    if crs.is_geographic:
        factor = crs.axis_info[0].unit_conversion_factor if crs.axis_info else np.pi / 180.0
        turn = float(2.0 * np.pi / factor)
    both = _Both(crs)
    if crs.is_geographic and abs(turn - 360.0) < 1e-9 and both.leaves(*lattice):
        return 360.0, None, None
    return turn, both.to_system, both.to_earth


def _horizontal(crs: CRS) -> CRS:
    """The horizontal part of a system that has heights too."""
    if crs.is_compound:
        return _horizontal(crs.sub_crs_list[0])
    return crs


@dataclass(eq=False)
class _Both:
    """From WGS 84 and back, made anew in another process."""

    crs: CRS
    _made: dict[int, object] = field(default_factory=dict, repr=False)

    def _transform(self, x: Floats, y: Floats, direction: str) -> tuple[Floats, Floats]:
        from pyproj import Transformer

        made = self._made.get(0)
        if made is None:
            made = self._made[0] = Transformer.from_crs("EPSG:4326", self.crs, always_xy=True)
        assert isinstance(made, Transformer)
        out = made.transform(x, y, direction=direction)
        return np.asarray(out[0], dtype=float), np.asarray(out[1], dtype=float)

    def to_system(self, lon: Floats, lat: Floats) -> tuple[Floats, Floats]:
        return self._transform(lon, lat, "FORWARD")

    def to_earth(self, x: Floats, y: Floats) -> tuple[Floats, Floats]:
        return self._transform(x, y, "INVERSE")

    def leaves(self, x: Floats, y: Floats) -> bool:
        """Whether positions are the same in both."""
        lon, lat = self.to_earth(x, y)
        same = (np.abs(wrap180_deg(lon - x)) < _SAME_DEG) & (np.abs(lat - y) < _SAME_DEG)
        return bool(same.all())

    def __getstate__(self) -> dict[str, object]:
        return {"crs": self.crs.to_wkt(), "_made": {}}

    def __setstate__(self, state: dict[str, object]) -> None:
        from pyproj import CRS

        self.crs = CRS.from_wkt(str(state["crs"]))
        self._made = {}
