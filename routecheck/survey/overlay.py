"""Overlays of areas that give areas: lines and points that the overlay leaves are dropped."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

NOTHING: BaseGeometry = shapely.Polygon()


def areal(shape: BaseGeometry) -> BaseGeometry:
    """The areas of a shape, as one valid polygon or multipolygon."""
    if shape.geom_type == "Polygon" and shape.is_valid:
        return shape
    parts = shapely.get_parts(shapely.make_valid(shape))
    while any(part.geom_type in ("GeometryCollection", "MultiPolygon") for part in parts):
        parts = shapely.get_parts(parts)
    areas = [part for part in parts if part.geom_type == "Polygon" and not part.is_empty]
    return shapely.union_all(areas) if areas else NOTHING


def union(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    """The union of areas."""
    held = [shape for shape in shapes if not shape.is_empty]
    if not held:
        return NOTHING
    try:
        return areal(shapely.union_all(held))
    except GEOSException:
        return areal(shapely.union_all([areal(shape) for shape in held]))


def both(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """What two areas share."""
    if one.is_empty or other.is_empty:
        return NOTHING
    try:
        return areal(one.intersection(other))
    except GEOSException:
        return areal(areal(one).intersection(areal(other)))


def less(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """What an area has beyond another."""
    if one.is_empty or other.is_empty:
        return one
    try:
        return areal(one.difference(other))
    except GEOSException:
        return areal(areal(one).difference(areal(other)))
