"""Whether chart cells cover a place and all that lies within a distance of it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart
from routecheck.nav.angles import Floats
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.survey.overlay import less, union
from routecheck.survey.plane import Shapes

_TURNS_DEG = (-360.0, 0.0, 360.0)
"""Longitudes may be written either way round."""
_SIDES = 32
"""Of the polygon that is drawn round a circle: at its corners half a per cent wider."""
_HAIR_DEG = 1e-6
"""Half the width of a gap between cells that is none: a tenth of a metre of latitude."""
_MORE_M = 0.3
"""Looked at beyond the distance: more than what is no gap takes off."""


def covered_around(
    cells: Sequence[Chart], lon_deg: Floats, lat_deg: Floats, off_m: Floats
) -> NDArray[np.bool_]:
    """Whether the coverage of some cells together holds each place and all within `off_m` of it.

    Arrays have shape (n,); distances of a few miles.
    """
    covered = _covered(cells, lon_deg, lat_deg)
    some = np.flatnonzero(covered)
    if len(some):
        discs = _discs(lon_deg[some], lat_deg[some], off_m[some])
        covered[some] = shapely.is_empty(shapely.buffer(_beyond(cells, discs), -_HAIR_DEG))
    return covered


def _covered(cells: Sequence[Chart], lon_deg: Floats, lat_deg: Floats) -> NDArray[np.bool_]:
    """Whether the coverage of any of some cells holds each place."""
    covered = np.zeros(len(lon_deg), dtype=bool)
    for cell in cells:
        held, not_held = _areas(cell, covered=True), _areas(cell, covered=False)
        covered |= _within(held, lon_deg, lat_deg) & ~_within(not_held, lon_deg, lat_deg)
    return covered


def _areas(cell: Chart, *, covered: bool) -> list[BaseGeometry]:
    return [area.geometry for area in cell.coverage if area.covered is covered]


def _within(shapes: Sequence[BaseGeometry], lon_deg: Floats, lat_deg: Floats) -> NDArray[np.bool_]:
    """Which points touch any of the shapes, whichever way round these write their longitudes."""
    inside = np.zeros(len(lon_deg), dtype=bool)
    for shape in shapes:
        shapely.prepare(shape)
        for turn_deg in _TURNS_DEG:
            inside |= shapely.intersects_xy(shape, lon_deg + turn_deg, lat_deg)
    return inside


def _discs(lon_deg: Floats, lat_deg: Floats, radius_m: Floats) -> Shapes:
    """Polygons drawn round circles, lon/lat, (n,)."""
    course = (np.arange(_SIDES) + 0.5) * (2.0 * np.pi / _SIDES)
    corner_m = ((radius_m + _MORE_M) / np.cos(np.pi / _SIDES))[:, np.newaxis]
    up_deg = np.degrees(corner_m / meridian_radius_m(lat_deg)[:, np.newaxis])
    right_deg = np.degrees(corner_m / parallel_radius_m(lat_deg)[:, np.newaxis])
    lon = lon_deg[:, np.newaxis] + right_deg * np.sin(course)
    lat = lat_deg[:, np.newaxis] + up_deg * np.cos(course)
    return np.asarray(shapely.polygons(np.stack([lon, lat], axis=2)), dtype=object)


def _beyond(cells: Sequence[Chart], discs: Shapes) -> Shapes:
    """What of each disc no cell's coverage holds."""
    left = discs.copy()
    tree = shapely.STRtree(discs)
    for cell in cells:
        held = _areas(cell, covered=True)
        if not held:
            continue
        west, south, east, north = shapely.total_bounds(held)
        for turn_deg in _TURNS_DEG:
            near = tree.query(shapely.box(west + turn_deg, south, east + turn_deg, north))
            if not len(near):
                continue
            cover = less(union(held), union(_areas(cell, covered=False)))
            cover = translate(cover, xoff=turn_deg)
            shapely.prepare(cover)
            for index in near[~shapely.is_empty(left[near])]:
                whole = cover.covers(left[index])
                left[index] = shapely.Polygon() if whole else less(left[index], cover)
    return left
