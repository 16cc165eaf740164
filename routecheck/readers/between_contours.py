"""Contours without areas: the water between two of them is as shoal as the shoaler, all of it.

It is never interpolated, and what comes of it is a contour still: it may condemn, and it covers
nothing, since no one says that there is no other contour or shoal between the two.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Severity
from routecheck.model.objects import Contour
from routecheck.readers.charted import Draft
from routecheck.readers.shapes import Shapes

MOST_POINTS = 2_000_000
_SAME_PLACE_DEG = 1e-9


def fill_between(draft: Draft) -> None:
    """Add the water between the contours of a draft that has no depth areas."""
    contours = draft.parts.get("contours", [])
    if len(contours) < 2 or draft.parts.get("depth_areas"):
        return
    lines = np.empty(len(contours), dtype=object)
    lines[:] = [contour.geometry for contour in contours]
    if shapely.get_num_coordinates(lines).sum() > MOST_POINTS:
        wrong = "its contours are too many for the water between them to be made out"
        draft.problem(wrong, severity=Severity.NOTE)
        return
    try:
        faces = _faces(lines)
        of_face, of_line = shapely.STRtree(lines).query(
            shapely.boundary(faces), predicate="dwithin", distance=_SAME_PLACE_DEG
        )
    except GEOSException:
        draft.problem("its contours cross so that nothing lies between them")
        return
    for number, face in enumerate(faces):
        beside = [contours[index] for index in of_line[of_face == number]]
        if len(beside) >= 2:
            shoaler = min(beside, key=lambda contour: contour.charted_depth_m)
            draft.put("contours", _water(shoaler, face, number))


def _faces(lines: Shapes) -> Shapes:
    hull = shapely.convex_hull(shapely.GeometryCollection(list(lines)))
    net = shapely.node(shapely.GeometryCollection([*lines, shapely.boundary(hull)]))
    faces: Shapes = shapely.get_parts(shapely.polygonize([net]))
    return faces


def _water(shoaler: Contour, face: BaseGeometry, number: int) -> Contour:
    key = f"{shoaler.key}/beside-{number + 1}"
    return replace(shoaler, key=key, geometry=face)
