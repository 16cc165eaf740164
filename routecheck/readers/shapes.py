"""Geometries from WKB, mended where they are broken, with a word on each one that was.

A broken ring must not lose its layer, and mending must not lose water or land: where a ring crosses
itself there are two ways to read it, and the shape kept is what either of them covers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Shapes = NDArray[np.object_]
Bounds = tuple[float, float, float, float]
_WIDEST_STEP_DEG = 180.0


@dataclass(frozen=True, kw_only=True)
class Flaw:
    """What was wrong with the geometry of one row. `bounds` None: it could be anywhere."""

    row: int
    wrong: str
    bounds: Bounds | None
    lost: bool = False
    """Nothing of it could be kept."""
    missing: bool = False
    """There was no geometry in the first place."""


def shapes_of(
    wkb: Sequence[bytes | None], move: Callable[[Shapes], Shapes] | None = None
) -> tuple[Shapes, list[Flaw]]:
    """Valid geometries on the earth, longitudes from -180 to 180, None where none could be kept.

    `move` brings them to longitude and latitude where they come on another system.
    """
    raw = np.empty(len(wkb), dtype=object)
    raw[:] = wkb
    with np.errstate(invalid="ignore"):
        shapes, flaws = _parsed(raw)
        if move is not None:
            shapes = move(shapes)
            _moved_bounds(shapes, flaws)
        flaws += _missing(shapes, {flaw.row for flaw in flaws})
        flaws += _off_the_earth(shapes)
        flaws += _mended(shapes, {flaw.row for flaw in flaws})
    return shapes, sorted(flaws, key=lambda flaw: flaw.row)


def _moved_bounds(shapes: Shapes, flaws: list[Flaw]) -> None:
    for number, flaw in enumerate(flaws):
        if flaw.bounds is not None:
            flaws[number] = replace(flaw, bounds=shapes[flaw.row].bounds)


def areal(shape: BaseGeometry) -> BaseGeometry | None:
    """The polygons in a geometry as one, None where there are none."""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape
    if shape.geom_type != "GeometryCollection":
        return None
    parts = [p for p in shapely.get_parts(shape) if p.geom_type in ("Polygon", "MultiPolygon")]
    return shapely.union_all(parts) if parts else None


def _parsed(raw: Shapes) -> tuple[Shapes, list[Flaw]]:
    try:
        return shapely.from_wkb(raw), []
    except (shapely.errors.GEOSException, ValueError):
        pass
    shapes = np.empty(len(raw), dtype=object)
    flaws = []
    for row, one in enumerate(raw):
        try:
            shapes[row] = shapely.from_wkb(one)
        except (shapely.errors.GEOSException, ValueError):
            try:
                shapes[row] = shapely.from_wkb(one, on_invalid="fix")
            except (shapely.errors.GEOSException, ValueError):
                shapes[row] = None
            if shapes[row] is None or shapes[row].is_empty:
                flaws.append(
                    Flaw(row=row, wrong="its shape cannot be read", bounds=None, lost=True)
                )
                shapes[row] = None
            else:
                wrong = "a ring of it is not closed; it was closed with a straight line"
                flaws.append(Flaw(row=row, wrong=wrong, bounds=shapes[row].bounds))
    return shapes, flaws


def _missing(shapes: Shapes, told: set[int]) -> list[Flaw]:
    """Rows without geometry; empty ones become None too."""
    gone = shapely.is_missing(shapes) | shapely.is_empty(shapes)
    shapes[gone] = None
    return [
        Flaw(row=int(row), wrong="it has no place", bounds=None, lost=True, missing=True)
        for row in np.flatnonzero(gone)
        if int(row) not in told
    ]


def _off_the_earth(shapes: Shapes) -> list[Flaw]:
    """Rows with coordinates that are no position, or a side that goes half round the earth."""
    flaws = []
    points, rows = shapely.get_coordinates(shapes, return_index=True)
    off = ~((np.abs(points[:, 0]) <= 180.0) & (np.abs(points[:, 1]) <= 90.0))
    for row in np.unique(rows[off]):
        wrong = "it lies outside ±180° of longitude or ±90° of latitude"
        flaws.append(Flaw(row=int(row), wrong=wrong, bounds=None, lost=True))
        shapes[row] = None
    step = np.abs(np.diff(points[:, 0])) > _WIDEST_STEP_DEG
    for row in np.unique(rows[1:][step & (rows[1:] == rows[:-1])]):
        shape = shapes[row]
        if shape is None or not _jumps(shape):
            continue
        south, north = shape.bounds[1], shape.bounds[3]
        wrong = (
            "a side of it goes more than half round the earth, and it is not cut at the "
            "antimeridian as RFC 7946, 3.1.9, has it"
        )
        flaws.append(
            Flaw(row=int(row), wrong=wrong, bounds=(-180.0, south, 180.0, north), lost=True)
        )
        shapes[row] = None
    return flaws


def _jumps(shape: BaseGeometry) -> bool:
    """Whether one line or ring (not the step from one part to the next) goes half round."""
    for part in shapely.get_parts(shapely.get_rings(shape)) if areal(shape) else _lines(shape):
        west_east = shapely.get_coordinates(part)[:, 0]
        wide = np.abs(np.diff(west_east))
        # From edge to edge of a map of the whole world is no jump.
        if ((wide > _WIDEST_STEP_DEG) & (wide < 360.0)).any():
            return True
    return False


def _lines(shape: BaseGeometry) -> Any:
    return [part for part in shapely.get_parts(shape) if part.geom_type == "LineString"]


def _mended(shapes: Shapes, told: set[int]) -> list[Flaw]:
    flaws = []
    for row in np.flatnonzero(~shapely.is_valid(shapes) & ~shapely.is_missing(shapes)):
        shape = shapes[row]
        reason = shapely.is_valid_reason(shape)
        one = shapely.make_valid(shape)
        # Crossed rings read the other way: what lies inside twice is in, not out.
        other = shapely.make_valid(shape, method="structure", keep_collapsed=False)
        whole = shapely.union(one, other)
        shapes[row] = whole if not whole.is_empty else None
        if int(row) in told:
            continue
        doubt = shapely.symmetric_difference(one, other)
        words, _, point = reason.partition("[")
        flaws.append(
            Flaw(
                row=int(row),
                wrong=f"its shape is broken ({words.strip().lower()}) and was mended",
                bounds=shape.bounds if doubt.is_empty and not point else _place(doubt, point),
                lost=shapes[row] is None,
            )
        )
    return flaws


def _place(doubt: BaseGeometry, point: str) -> Bounds:
    """Where the two readings differ, else the point that GEOS names."""
    if not doubt.is_empty:
        return doubt.bounds
    lon, _, lat = point.rstrip("]").partition(" ")
    return float(lon), float(lat), float(lon), float(lat)
