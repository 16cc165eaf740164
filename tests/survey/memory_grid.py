"""Grids in memory, and the corridor as a navigator would draw it, with no code of the survey's."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Geod, Transformer
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Problem
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import Source, SourceKind

GEOD = Geod(ellps="WGS84")
MERCATOR = Transformer.from_crs("EPSG:4326", "+proj=merc +ellps=WGS84", always_xy=True)
Floats = NDArray[np.float64]


class MemoryGrid:
    """A grid of `depth_m` (NaN: invalid), north up, whose first cell's centre is (x, y).

    In longitude and latitude, or in the plane of `epsg`. Counts how often a block is asked for.
    """

    def __init__(
        self,
        depth_m: NDArray[np.float64],
        *,
        x: float,
        y: float,
        dx: float,
        dy: float,
        epsg: int | None = None,
        reach: float = 0.5,
        block: tuple[int, int] = (16, 16),
    ) -> None:
        self.valid = np.isfinite(depth_m)
        self.depth = np.where(self.valid, depth_m, 0.0).astype(np.float32)
        self.rows, self.columns = depth_m.shape
        self.reach = reach
        self.block_rows, self.block_columns = block
        self.x, self.y, self.dx, self.dy = x, y, dx, dy
        self.asked: Counter[tuple[int, int]] = Counter()
        self.problems: tuple[Problem, ...] = ()
        turn = 0 if epsg else round(360.0 / dx)
        self.wraps_columns = turn if turn and self.columns >= turn else 0
        self.into = Transformer.from_crs(4326, epsg, always_xy=True) if epsg else None
        self.source = Source(
            id="memory",
            file="memory",
            sha256="",
            kind=SourceKind.GRID,
            format="memory",
            datum="LAT",
        )

    def bounds_deg(self) -> tuple[float, float, float, float]:
        column = np.linspace(-1.0, self.columns, 41)
        row = np.linspace(-1.0, self.rows, 41)
        lon, lat = self.to_position(*np.meshgrid(column, row))
        return float(lon.min()), float(lat.min()), float(lon.max()), float(lat.max())

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        if self.into is not None:
            x, y = self.into.transform(lon_deg, lat_deg)
        else:
            middle = self.x + self.dx * (self.columns - 1) / 2.0
            x, y = lon_deg + 360.0 * np.round((middle - lon_deg) / 360.0), lat_deg
        return (x - self.x) / self.dx, (self.y - y) / self.dy

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        x, y = self.x + column * self.dx, self.y - row * self.dy
        if self.into is None:
            return x, y
        lon, lat = self.into.transform(x, y, direction="INVERSE")
        return np.asarray(lon), np.asarray(lat)

    def block(
        self, block_row: int, block_column: int
    ) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
        self.asked[block_row, block_column] += 1
        rows = slice(block_row * self.block_rows, (block_row + 1) * self.block_rows)
        columns = slice(block_column * self.block_columns, (block_column + 1) * self.block_columns)
        return self.depth[rows, columns].copy(), self.valid[rows, columns].copy()

    def squares(self) -> NDArray[np.object_]:
        """Every cell's closed square, in cell coordinates, (rows, columns)."""
        column, row = np.meshgrid(np.arange(self.columns), np.arange(self.rows))
        near = self.reach
        return np.asarray(shapely.box(column - near, row - near, column + near, row + near))

    def in_cells(self, shape: BaseGeometry) -> BaseGeometry:
        """A finely cut lon/lat shape in cell coordinates; one turn for the whole shape."""
        lon_deg = float(shapely.get_coordinates(shape)[0, 0])
        middle = self.x + self.dx * (self.columns - 1) / 2.0
        turn = 0.0 if self.into else 360.0 * round((middle - lon_deg) / 360.0)

        def cells(at: Floats) -> Floats:
            if self.into is not None:
                return np.column_stack(self.to_cell(at[:, 0], at[:, 1]))
            return np.column_stack(
                [(at[:, 0] + turn - self.x) / self.dx, (self.y - at[:, 1]) / self.dy]
            )

        return shapely.transform(shape, cells)

    def brute_shoalest_m(self, shape: BaseGeometry, turns: Sequence[float] = (0.0,)) -> float:
        """The least depth of all cells whose closed square touches a lon/lat shape, else +inf."""
        touched = np.zeros((self.rows, self.columns), dtype=bool)
        for turn in turns:
            held = shapely.transform(
                self.in_cells(shape), lambda at, t=turn: at + np.array([t, 0.0])
            )
            shapely.prepare(held)
            touched |= shapely.intersects(held, self.squares())
        seen = touched & self.valid
        return float(self.depth[seen].min()) if seen.any() else float("inf")


def route_through(points: Sequence[tuple[float, float]]) -> Route:
    """A route of rhumb lines through (lon, lat)."""
    marks = [
        Waypoint(name=f"W{n}", lon_deg=float(lon), lat_deg=float(lat))
        for n, (lon, lat) in enumerate(points)
    ]
    return Route(
        name="r",
        file="",
        legs=tuple(Leg(number=n, start=marks[n - 1], end=marks[n]) for n in range(1, len(marks))),
    )


def rhumb_track(points: Sequence[tuple[float, float]], step_m: float) -> list[Floats]:
    """(n, 3) longitude (running on), latitude, course of each leg: straight on Mercator's chart."""
    tracks, lon_on = [], points[0][0]
    for (lon1, lat1), (lon2, lat2) in pairwise(points):
        dlon = (lon2 - lon1 + 180.0) % 360.0 - 180.0
        (x1, x2), (y1, y2) = MERCATOR.transform([0.0, dlon], [lat1, lat2])
        _, _, length_m = GEOD.inv(0.0, lat1, dlon, lat2)
        share = np.linspace(0.0, 1.0, max(3, int(np.ceil(length_m / step_m)) + 1))
        lon, lat = MERCATOR.transform(
            x1 + (x2 - x1) * share, y1 + (y2 - y1) * share, direction="INVERSE"
        )
        course = np.full(len(share), np.degrees(np.arctan2(x2 - x1, y2 - y1)))
        lon = lon_on + dlon * share if lat1 == lat2 else lon_on + np.asarray(lon)
        tracks.append(np.column_stack([lon, lat, course]))
        lon_on = float(lon[-1])
    return tracks


def true_corridors(
    points: Sequence[tuple[float, float]], half_width_m: float, step_m: float = 200.0
) -> list[BaseGeometry]:
    """Each leg's corridor by dense geodesic offsets, lon/lat running on."""
    tracks = rhumb_track(points, step_m)
    legs = []
    for number, track in enumerate(tracks):
        shapes = [_strip(track, half_width_m)]
        start, end = track[0], track[-1]
        if number == 0:
            shapes.append(_pie(start, start[2] + 90.0, start[2] + 270.0, half_width_m))
        else:
            shapes.append(_outside(start, tracks[number - 1][-1][2], start[2], half_width_m, 1))
        if number == len(tracks) - 1:
            shapes.append(_pie(end, end[2] - 90.0, end[2] + 90.0, half_width_m))
        else:
            shapes.append(_outside(end, end[2], tracks[number + 1][0][2], half_width_m, 0))
        whole = shapely.union_all(shapely.make_valid(np.array(shapes)))
        areas = shapely.get_parts(whole)
        legs.append(shapely.union_all(areas[shapely.get_dimensions(areas) == 2]))
    return legs


def _off(lon: Floats, lat: Floats, bearing: Floats, far_m: float) -> Floats:
    far_lon, far_lat, _ = GEOD.fwd(lon, lat, bearing, np.full(len(lon), far_m))
    return np.column_stack([lon + (far_lon - lon + 180.0) % 360.0 - 180.0, far_lat])


def _strip(track: Floats, half_width_m: float) -> BaseGeometry:
    lon, lat, course = track.T
    pieces = []
    port, starboard = (_off(lon, lat, course + side, half_width_m) for side in (-90.0, 90.0))
    middle = track[:, :2]
    # Cut at the track, so that the ends bend with the true perpendicular.
    for side in (port, starboard):
        rings = np.stack([middle[:-1], middle[1:], side[1:], side[:-1]], axis=1)
        pieces.extend(shapely.polygons(rings))
    return shapely.union_all(shapely.make_valid(np.array(pieces)))


def _pie(at: Floats, from_deg: float, to_deg: float, radius_m: float) -> BaseGeometry:
    bearing = np.linspace(from_deg, to_deg, 181)
    rim = _off(np.full(181, at[0]), np.full(181, at[1]), bearing, radius_m)
    return shapely.polygons(np.vstack([at[:2], rim]))


def _outside(at: Floats, in_deg: float, out_deg: float, radius_m: float, half: int) -> BaseGeometry:
    turn = (out_deg - in_deg + 180.0) % 360.0 - 180.0
    if turn == 0.0:
        return shapely.Point(at[:2])
    outer = in_deg + (-90.0 if turn > 0.0 else 90.0) + half * turn / 2.0
    return _pie(at, outer, outer + turn / 2.0, radius_m)
