"""Long edges of shapes cut into short ones, without losing any of the shape.

GEOS mends a polygon that cutting has made cross itself by a rounding, and may keep a splinter of it
and drop the rest (seen with GEOS 3.14). What has changed its area is cut again ring by ring.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Shapes = NDArray[np.object_]
_ROUNDING = 1e-9


def with_short_edges(shapes: Shapes, longest: float) -> Shapes:
    """Shapes (n,), no edge of them longer than `longest` in their own units, each still whole.

    What crosses itself is cut and not mended; None stays None.
    """
    cut = np.array(shapely.segmentize(shapes, longest), dtype=object)
    area, count = shapely.area(shapes), shapely.get_num_coordinates(shapes)
    changed = np.abs(shapely.area(cut) - area) > _ROUNDING * area
    changed |= shapely.get_num_coordinates(cut) < count
    for index in np.flatnonzero(changed).tolist():
        cut[index] = _ring_by_ring(shapes[index], longest)
    return cut


def all_valid(shapes: Shapes) -> Shapes:
    """Shapes (n,), those that cross themselves mended with nothing dropped."""
    crooked = ~shapely.is_valid(shapes)
    if not crooked.any():
        return shapes
    return np.asarray(np.where(crooked, shapely.make_valid(shapes), shapes), dtype=object)


def _ring_by_ring(shape: BaseGeometry, longest: float) -> BaseGeometry:
    made: list[BaseGeometry] = []
    for part in shapely.get_parts(shape):
        if part.geom_type == "Polygon":
            rings = [shapely.get_exterior_ring(part), *part.interiors]
            lines = [shapely.LineString(ring.coords) for ring in rings]
            outer, *inner = (shapely.segmentize(line, longest) for line in lines)
            made.append(shapely.Polygon(outer.coords, [line.coords for line in inner]))
        elif shapely.get_num_geometries(part) > 1 or part.geom_type == "GeometryCollection":
            made.append(_ring_by_ring(part, longest))
        else:
            made.append(shapely.segmentize(part, longest))
    if len(made) == 1:
        return made[0]
    whole = [part for part in made if isinstance(part, shapely.Polygon)]
    if len(whole) == len(made):
        return shapely.MultiPolygon(whole)
    return shapely.GeometryCollection(made)
