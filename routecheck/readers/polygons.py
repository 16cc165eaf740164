"""Polygons of GeoJSON as shapes, refused where it is not certain what they hold."""

from __future__ import annotations

from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.readers.geojson import Feature

MOST_POSITIONS = 100_000


def polygon_of(feature: Feature) -> BaseGeometry:
    """The Polygon or MultiPolygon of a feature, longitudes from -180 to 180.

    Raises BadInput for another geometry, an open or crossed ring, and a ring that jumps over
    the antimeridian: RFC 7946, 3.1.9, has such a polygon cut in two there.
    """
    if feature.type == "Polygon":
        parts = [feature.coordinates]
    elif feature.type == "MultiPolygon":
        parts = feature.listed(feature.coordinates, "the polygons")
    else:
        raise feature.bad(f"it is a {feature.type or 'feature without geometry'}, not a Polygon")
    if not parts:
        raise feature.bad("it has no polygon")
    count = [0]
    polygons = []
    for number, part in enumerate(parts, start=1):
        where = f"polygon {number}" if len(parts) > 1 else ""
        rings = [_ring(feature, ring, where, count) for ring in feature.listed(part, "a polygon")]
        if not rings:
            raise feature.bad("it has no ring", where)
        polygons.append(shapely.Polygon(rings[0], rings[1:]))
    shape: BaseGeometry = polygons[0] if len(polygons) == 1 else shapely.MultiPolygon(polygons)
    if not shape.is_valid:
        why = shapely.is_valid_reason(shape).replace("[", " at ").replace("]", "")
        raise feature.bad(f"its rings cross or overlap ({why})", do="draw it again")
    return shape


def _ring(feature: Feature, ring: Any, where: str, count: list[int]) -> list[tuple[float, float]]:
    positions = feature.listed(ring, "a ring")
    count[0] += len(positions)
    if count[0] > MOST_POSITIONS:
        raise feature.bad(f"it has more than {MOST_POSITIONS} positions", where)
    found = []
    for number, value in enumerate(positions, start=1):
        place = ", ".join(part for part in (where, f"position {number}") if part)
        found.append(feature.position(value, place))
        if number > 1 and abs(found[-1][0] - found[-2][0]) > 180.0:
            raise feature.bad(
                "its ring jumps over the antimeridian",
                place,
                "cut it in two there (RFC 7946, 3.1.9)",
            )
    if len(found) < 4 or found[0] != found[-1]:
        raise feature.bad("its ring is not closed: the last position must be the first", where)
    return found
