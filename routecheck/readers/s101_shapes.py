"""The shapes of an S-101 cell's features, put together from its points, curves and surfaces.

Composite curves may hold composite curves, so what they unfold to is counted and bounded: a file
of a few kilobytes must not become gigabytes. Structure: IHO S-100 edition 5.0.0, part 7.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.readers.iso8211 import Damaged
from routecheck.readers.s101_cell import (
    CLOUD,
    COMPOSITE,
    CURVE,
    POINT,
    REVERSE,
    SURFACE,
    Cell,
    Feature,
    Key,
)

MOST_VERTICES = 3_000_000
"""Of all shapes of a cell together, each use of a curve counted."""
_DEEPEST = 8
"""Composite curves within composite curves."""
_INTERIOR = 2
Floats = NDArray[np.float64]


class _LostError(Exception):
    """A shape that cannot be had, in words."""


@dataclass(kw_only=True)
class Shape:
    """What a feature's place comes to. `wkb` None: nothing, or nothing that can be had."""

    wkb: bytes | None = None
    wrong: str = ""
    """What is wrong with it, "" where nothing is."""
    bounds: tuple[float, float, float, float] | None = None
    parts: list[Key] = field(default_factory=list)
    """The points and curves that it stands on."""


@dataclass(kw_only=True)
class _Line:
    xy: Floats
    parts: list[Key]
    wrong: str = ""


class Builder:
    """Builds the shapes of one cell."""

    def __init__(self, cell: Cell) -> None:
        self._cell = cell
        x0, y0, z0 = cell.origin
        fx, fy, fz = cell.factors
        self._shift, self._scale = np.array([x0, y0, z0]), np.array([fx, fy, fz], dtype=float)
        self._lines: dict[Key, _Line] = {}
        self._surfaces: dict[int, tuple[BaseGeometry, list[Key], str]] = {}
        self._left = MOST_VERTICES

    def shape(self, feature: Feature) -> Shape:
        """The shape of a feature. Raises Damaged where the cell unfolds to too much."""
        shape = Shape()
        if not feature.places:
            return shape
        made: list[BaseGeometry] = []
        try:
            for kind, rcid, orientation in feature.places:
                made += self._part(kind, rcid, orientation == REVERSE, shape)
        except _LostError as error:
            shape.wrong = f"{error} and was left out"
            return shape
        whole = made[0] if len(made) == 1 else _gathered(made)
        if whole.is_empty:
            shape.wrong = "it has no place and was left out"
            return shape
        shape.wkb, shape.bounds = shapely.to_wkb(whole), whole.bounds
        return shape

    def _part(self, kind: int, rcid: int, back: bool, shape: Shape) -> list[BaseGeometry]:
        if kind == POINT:
            shape.parts.append((kind, rcid))
            if -rcid - 1 in self._cell.clouds:
                return self._cloud(-rcid - 1)
            return [shapely.Point(self._points([rcid])[0])]
        if kind == CLOUD:
            shape.parts.append((kind, rcid))
            return self._cloud(rcid)
        if kind in (CURVE, COMPOSITE):
            line = self._line((kind, rcid), 0)
            self._spend(len(line.xy))
            shape.parts += line.parts
            shape.wrong = shape.wrong or line.wrong
            return [shapely.LineString(line.xy[::-1] if back else line.xy)]
        if kind == SURFACE:
            area, parts, wrong = self._surface(rcid)
            self._spend(int(shapely.get_num_coordinates(area)))
            shape.parts += parts
            shape.wrong = shape.wrong or wrong
            return [area]
        raise _LostError(f"its place is a record of an unknown kind ({kind})")

    def _spend(self, vertices: int) -> None:
        self._left -= vertices
        if self._left < 0:
            raise Damaged(f"its shapes unfold to over {MOST_VERTICES} vertices")

    def _degrees(self, stored: Any) -> Floats:
        """(lon, lat) in degrees, or (lon, lat, depth), from (lat, lon) or (lat, lon, depth)."""
        raw: Floats = np.array(stored, dtype=float)
        raw[:, [0, 1]] = raw[:, [1, 0]]
        wide = raw.shape[1]
        turned: Floats = raw / self._scale[:wide] + self._shift[:wide]
        return turned

    def _points(self, numbers: list[int]) -> Floats:
        try:
            return self._degrees([self._cell.points[number] for number in numbers])
        except KeyError as error:
            raise _LostError(f"it stands on a point ({error.args[0]}) that is missing") from None

    def _cloud(self, rcid: int) -> list[BaseGeometry]:
        held = self._cell.clouds.get(rcid)
        if held is None or not held[1]:
            raise _LostError(f"its soundings (record {rcid}) are missing")
        self._spend(len(held[1]))
        xyz = self._degrees(held[1])
        return [shapely.Point(xyz[0]) if len(xyz) == 1 else shapely.MultiPoint(xyz)]

    def _line(self, key: Key, depth: int) -> _Line:
        known = self._lines.get(key)
        if known is None:
            if depth > _DEEPEST:
                raise _LostError(f"it is made of curves more than {_DEEPEST} deep")
            known = self._curve(key[1]) if key[0] == CURVE else self._composite(key[1], depth)
            self._lines[key] = known
        return known

    def _curve(self, rcid: int) -> _Line:
        curve = self._cell.curves.get(rcid)
        if curve is None:
            raise _LostError(f"a curve of it ({rcid}) is missing")
        # TOPI: 1 where it begins, 2 where it ends, 3 both.
        first = [number for number, role in curve.ends if role in (1, 3)]
        last = [number for number, role in curve.ends if role in (2, 3)]
        if len(first) != 1 or len(last) != 1:
            raise _LostError(f"a curve of it ({rcid}) does not say where it begins and ends")
        start, end = self._points(first), self._points(last)
        between = [self._degrees(curve.between)] if curve.between else []
        self._spend(len(curve.between) + 2)
        bent = "its side is an arc, which was drawn as straight lines" if curve.bent else ""
        return _Line(xy=np.concatenate([start, *between, end]), parts=[(CURVE, rcid)], wrong=bent)

    def _composite(self, rcid: int, depth: int) -> _Line:
        pieces: list[Floats] = []
        parts: list[Key] = []
        wrong = ""
        for kind, number, orientation in self._cell.composites.get(rcid, ()):
            if kind not in (CURVE, COMPOSITE):
                raise _LostError(f"a part of its curve {rcid} is no curve")
            line = self._line((kind, number), depth + 1)
            self._spend(len(line.xy))
            xy = line.xy[::-1] if orientation == REVERSE else line.xy
            wrong = wrong or line.wrong
            if pieces:
                if (pieces[-1][-1] == xy[0]).all():
                    xy = xy[1:]
                else:
                    wrong = "the parts of its curve do not join"
            pieces.append(xy)
            parts += line.parts
        if not pieces:
            raise _LostError(f"a curve of it ({rcid}) is missing")
        if len(parts) > MOST_VERTICES:
            raise Damaged("its curves unfold to too many parts")
        return _Line(xy=np.concatenate(pieces), parts=parts, wrong=wrong)

    def _surface(self, rcid: int) -> tuple[BaseGeometry, list[Key], str]:
        known = self._surfaces.get(rcid)
        if known is None:
            known = self._surfaces[rcid] = self._rings(rcid)
        return known

    def _rings(self, rcid: int) -> tuple[BaseGeometry, list[Key], str]:
        rings: dict[bool, list[Floats]] = {False: [], True: []}
        parts: list[Key] = []
        wrong, open_at, was = "", np.empty((0, 2)), False
        for kind, number, orientation, usage, _ in self._cell.surfaces.get(rcid, ()):
            if kind not in (CURVE, COMPOSITE):
                raise _LostError(f"a ring of its surface {rcid} is no curve")
            line = self._line((kind, number), 0)
            self._spend(len(line.xy))
            xy = line.xy[::-1] if orientation == REVERSE else line.xy
            wrong = wrong or line.wrong
            parts += line.parts
            inner = usage == _INTERIOR
            if len(open_at) and (inner is not was or (open_at[-1] != xy[0]).any()):
                wrong = _close(rings[was], open_at)
                open_at = xy
            else:
                open_at = np.concatenate([open_at[:-1], xy]) if len(open_at) else xy
            was = inner
            if len(open_at) > 3 and (open_at[0] == open_at[-1]).all():
                rings[inner].append(open_at)
                open_at = np.empty((0, 2))
        if len(open_at):
            wrong = _close(rings[was], open_at)
        if not rings[False]:
            raise _LostError(f"its surface {rcid} has no outline")
        shells, holes = rings[False], rings[True]
        if len(shells) == 1:
            return shapely.Polygon(shells[0], holes), parts, wrong
        whole: BaseGeometry = shapely.MultiPolygon([shapely.Polygon(shell) for shell in shells])
        for hole in holes:
            whole = shapely.make_valid(whole).difference(shapely.make_valid(shapely.Polygon(hole)))
        return whole, parts, wrong


def _close(rings: list[Floats], xy: Floats) -> str:
    if len(xy) >= 3:
        rings.append(xy)
    return "a ring of it is not closed; it was closed with a straight line"


def _gathered(made: list[BaseGeometry]) -> BaseGeometry:
    """Several shapes as one, of one kind where they are of one."""
    parts = shapely.get_parts(np.array(made, dtype=object)).tolist()
    kinds = {one.geom_type for one in parts}
    if kinds == {"Point"}:
        return shapely.MultiPoint(parts)
    if kinds == {"LineString"}:
        return shapely.MultiLineString(parts)
    if kinds == {"Polygon"}:
        return shapely.MultiPolygon(parts)
    return shapely.GeometryCollection(parts)
