"""Shapes and grids packed for a page: small whole numbers, deflated, as text.

A number is a variable-length integer of 7 bits a byte, the lowest first, after the sign has gone
to the last bit (2n for n >= 0, -2n - 1 below); positions are differences in steps of 1e-6 degree
from the last point of the shape. `assets/unpack.js` is the other half.

stream  areas, ground, grids, each led by its count
area    layer * 8 + band, source, datum, depth stated 0 or 1, depth [cm], tide [cm], uncertainty
        [cm + 1 or 0], polygons: count, then for each its rings: count, then for each its points:
        count, then differences
ground  structure 0 or 1, then parts: kind 0 point, 1 line, 2 ring; points, differences
grid    rows, columns, source, datum, fixed uncertainty [cm + 1 or 0], share [1e-4], tide's
        uncertainty [cm + 1], lattice (m, n), tiles (cells a side, rows, columns), tide by tile
        [cm], positions of the lattice as differences, then row by row and cell by cell: layer *
        8 + band (-1: none), partly 0 or 1, and depth [cm] as differences, each a list of its own
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.picture import CellState, GroundShape
from routecheck.writers.drawing.water import TILE, PaintedArea, PaintedGrid

STEP_DEG = 1e-6
_DEEPEST_M = 12_000.0
Whole = NDArray[np.int64]
Index = dict[str, int]


def varints(values: Whole) -> bytes:
    """Whole numbers as variable-length integers.

    >>> varints(np.array([0, -1, 64])).hex()
    '00018001'
    """
    zigzag = np.where(values >= 0, values * 2, -values * 2 - 1).astype(np.uint64)
    if not len(zigzag):
        return b""
    lengths = np.ones(len(zigzag), dtype=np.int64)
    for power in range(1, 9):
        lengths += zigzag >= np.uint64(1) << np.uint64(7 * power)
    ends = np.cumsum(lengths)
    out = np.zeros(int(ends[-1]), dtype=np.uint8)
    starts = ends - lengths
    for place in range(int(lengths.max())):
        here = lengths > place
        part = (zigzag[here] >> np.uint64(7 * place)) & np.uint64(127)
        more = np.where(lengths[here] > place + 1, np.uint64(128), np.uint64(0))
        out[starts[here] + place] = (part | more).astype(np.uint8)
    return out.tobytes()


def _centimetres(value_m: float) -> int:
    """Rounded down, so that a depth never gains."""
    return int(np.floor(np.clip(value_m, -_DEEPEST_M, _DEEPEST_M) * 100.0 + 1e-6))


def _optional(value_m: float | None) -> int:
    return 0 if value_m is None else int(np.ceil(min(value_m, _DEEPEST_M) * 100.0 - 1e-6)) + 1


def _steps(positions: NDArray[np.float64]) -> Whole:
    return np.round(positions / STEP_DEG).astype(np.int64)


class _Stream:
    """Whole numbers in a row."""

    def __init__(self) -> None:
        self.parts: list[Whole] = []

    def put(self, *values: int) -> None:
        self.parts.append(np.array(values, dtype=np.int64))

    def put_all(self, values: Whole) -> None:
        self.parts.append(values.astype(np.int64).ravel())

    def ring(self, coordinates: NDArray[np.float64], *, closed: bool) -> None:
        points = _steps(coordinates[:-1] if closed else coordinates)
        if len(points) > 1:
            moving = np.ones(len(points), dtype=bool)
            moving[1:] = (np.diff(points, axis=0) != 0).any(axis=1)
            points = points[moving]
        self.put(len(points))
        self.put_all(np.diff(points, axis=0, prepend=np.zeros((1, 2), dtype=np.int64)))

    def text(self) -> str:
        flat = np.concatenate(self.parts) if self.parts else np.zeros(0, dtype=np.int64)
        return base64.b64encode(zlib.compress(varints(flat), 9)).decode("ascii")


def _polygons(shape: BaseGeometry) -> list[shapely.Polygon]:
    parts = shapely.get_parts(shapely.get_parts(shape))
    kept = [p for p in parts if shapely.get_dimensions(p) == 2 and not p.is_empty]
    return list(shapely.orient_polygons(np.array(kept, dtype=object))) if kept else []


def _area(stream: _Stream, one: PaintedArea, sources: Index, datums: Index) -> None:
    depth_m = one.area.charted_depth_m
    stream.put(
        one.layer * 8 + int(one.band),
        sources.setdefault(one.area.source, len(sources)),
        datums.setdefault(one.area.datum, len(datums)),
        0 if depth_m is None else 1,
        0 if depth_m is None else _centimetres(depth_m),
        _centimetres(one.tide_m),
        _optional(one.uncertainty_m),
    )
    polygons = _polygons(one.area.geometry)
    stream.put(len(polygons))
    for polygon in polygons:
        rings = [polygon.exterior, *polygon.interiors]
        stream.put(len(rings))
        for ring in rings:
            stream.ring(shapely.get_coordinates(ring), closed=True)


def _ground(stream: _Stream, one: GroundShape) -> None:
    parts: list[tuple[int, NDArray[np.float64]]] = []
    for part in shapely.get_parts(shapely.get_parts(one.geometry)):
        kind = int(shapely.get_dimensions(part))
        if kind == 2:
            polygon = shapely.orient_polygons(part)
            rings = (polygon.exterior, *polygon.interiors)
            parts += [(2, shapely.get_coordinates(ring)) for ring in rings]
        elif kind >= 0:
            parts.append((kind, shapely.get_coordinates(part)))
    stream.put(int(one.structure), len(parts))
    for kind, coordinates in parts:
        stream.put(kind)
        stream.ring(coordinates, closed=kind == 2)


def _grid(stream: _Stream, one: PaintedGrid, sources: Index, datums: Index) -> None:
    grid = one.grid
    stream.put(
        *grid.state.shape,
        sources.setdefault(grid.source, len(sources)),
        datums.setdefault(grid.datum, len(datums)),
        _optional(grid.vertical_fixed_m),
        int(np.ceil(grid.vertical_share * 1e4 - 1e-6)),
        _optional(one.tide_uncertainty_m),
        *grid.lon_deg.shape,
        TILE,
        *one.tide_m.shape,
    )
    stream.put(*(_centimetres(height_m) for height_m in one.tide_m.ravel().tolist()))
    lattice = np.stack([grid.lon_deg.ravel(), grid.lat_deg.ravel()], axis=1)
    stream.put_all(np.diff(_steps(lattice), axis=0, prepend=np.zeros((1, 2), dtype=np.int64)))
    empty = one.layers == 255
    look = np.where(empty, -1, one.layers.astype(np.int64) * 8 + one.bands)
    stream.put_all(np.diff(look.ravel(), prepend=0))
    partly = (grid.state == CellState.PARTLY) & ~empty
    stream.put_all(np.diff(partly.ravel().astype(np.int64), prepend=0))
    deepest = np.clip(grid.charted_depth_m.astype(float), -_DEEPEST_M, _DEEPEST_M)
    depth = np.where(empty, 0, np.floor(deepest * 100.0 + 1e-3).astype(np.int64))
    stream.put_all(np.diff(depth.ravel(), prepend=0))


def packed_water(
    areas: Sequence[PaintedArea], ground: Iterable[GroundShape], grids: Sequence[PaintedGrid]
) -> tuple[str, list[str], list[str]]:
    """(base64 text of the deflated stream, names of the sources, names of the datums)."""
    stream = _Stream()
    sources: Index = {}
    datums: Index = {}
    stream.put(len(areas))
    for area in areas:
        _area(stream, area, sources, datums)
    shapes = list(ground)
    stream.put(len(shapes))
    for shape in shapes:
        _ground(stream, shape)
    stream.put(len(grids))
    for grid in grids:
        _grid(stream, grid, sources, datums)
    return stream.text(), list(sources), list(datums)
