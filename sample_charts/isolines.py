"""Contours of the seabed as closed rings, and the depth areas between them.

Marching triangles on the cell centres: within a triangle the contours of a plane cannot cross,
so the rings are nested and the areas between them cover the chart without gap or overlap.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon, box

from seabed import CELL_DEG, COLUMNS, LAND_M, NORTH_DEG, ROWS, WEST_DEG, Floats, centres_deg

LEVELS_M = (LAND_M, 0.0, 2.0, 5.0, 10.0, 20.0, 50.0, 200.0)
BOTTOM_M = 1500.0
"""The deep end of the deepest area."""
_SMOOTH_DEG = 3.2e-5  # 3.5 m
_LEAST_PIT_DEG2 = 2.1e-7  # 2500 m2: smaller hollows are left out, shoals never


class Isoline:
    """One closed ring. `shoal_inside` says on which side of it the water is shoaler."""

    def __init__(self, level: int, ring: LinearRing, shoal_inside: bool) -> None:
        self.level, self.ring, self.shoal_inside = level, ring, shoal_inside


def chart_box() -> Polygon:
    """The rectangle that raster and chart cover."""
    east, south = WEST_DEG + COLUMNS * CELL_DEG[0], NORTH_DEG - ROWS * CELL_DEG[1]
    return box(*(round(v, 6) for v in (WEST_DEG, south, east, NORTH_DEG)))


def isolines(depth_m: Floats) -> list[Isoline]:
    """All contours of `LEVELS_M`. Raises ValueError where one runs off the chart."""
    return [line for level in range(len(LEVELS_M)) for line in _level(depth_m, level)]


def depth_areas(lines: list[Isoline]) -> list[tuple[int, Polygon]]:
    """(band, polygon) of the whole chart; band 0 is land, band k lies below level k - 1."""
    by_point = {point: line for line in lines for point in line.ring.coords}
    rings = [line.ring for line in lines]
    if not shapely.is_simple(shapely.MultiLineString(rings)):
        raise ValueError("smoothing made contours cross: smooth less")
    faces = shapely.polygonize([*rings, chart_box().exterior])
    found = []
    for face in faces.geoms:
        line = by_point.get(face.exterior.coords[0])
        band = len(LEVELS_M) if line is None else line.level + (0 if line.shoal_inside else 1)
        found.append((band, shapely.normalize(face)))
    if abs(sum(face.area for _, face in found) / chart_box().area - 1.0) > 1e-9:
        raise ValueError("the areas do not fill the chart")
    return sorted(found, key=lambda pair: (pair[0], pair[1].bounds))


def _level(depth_m: Floats, level: int) -> list[Isoline]:
    # Depths are whole 1024ths of a metre: half of one more never falls on a node.
    below = depth_m - (np.round(LEVELS_M[level] * 1024.0) + 0.5) / 1024.0
    node = np.arange(depth_m.size).reshape(depth_m.shape)
    nw, ne, sw, se = node[:-1, :-1], node[:-1, 1:], node[1:, :-1], node[1:, 1:]
    triangles = np.concatenate(
        [np.stack(t, axis=-1).reshape(-1, 3) for t in ((nw, sw, ne), (se, ne, sw))]
    )
    flat = below.ravel()
    shoal = flat[triangles] < 0.0
    after: dict[tuple[int, int], tuple[int, int]] = {}
    crossed = (shoal.sum(axis=1) % 3) > 0
    for corners, mask in zip(triangles[crossed], shoal[crossed], strict=True):
        # The corner that stands alone, shoal or deep; keep the shoal side to the left.
        alone = int(np.flatnonzero(mask if mask.sum() == 1 else ~mask)[0])
        here, ahead, behind = (int(corners[(alone + k) % 3]) for k in (0, 1, 2))
        first, second = (min(here, ahead), max(here, ahead)), (min(here, behind), max(here, behind))
        if mask.sum() == 1:
            after[first] = second
        else:
            after[second] = first
    made = []
    while after:
        start, edge = next(iter(after.items()))
        del after[start]
        chain = [start]
        while edge != start:
            chain.append(edge)
            if edge not in after:
                raise ValueError(f"the {LEVELS_M[level]} m contour runs off the chart")
            edge = after.pop(edge)
        line = _ring(chain, flat, level)
        if line is not None:
            made.append(line)
    return sorted(made, key=lambda line: line.ring.bounds)


def _ring(chain: list[tuple[int, int]], below: Floats, level: int) -> Isoline | None:
    lon, lat = centres_deg()
    a, b = np.array(chain).T
    share = below[a] / (below[a] - below[b])
    x = lon[a % COLUMNS] + share * (lon[b % COLUMNS] - lon[a % COLUMNS])
    y = lat[a // COLUMNS] + share * (lat[b // COLUMNS] - lat[a // COLUMNS])
    whole = LinearRing(np.stack([x, y], axis=1))
    area = Polygon(whole).area
    shoal_inside = whole.is_ccw
    if not shoal_inside and area < _LEAST_PIT_DEG2:
        return None
    smooth = whole.simplify(_SMOOTH_DEG if area > 4 * _LEAST_PIT_DEG2 else _SMOOTH_DEG / 4)
    points = [tuple(point) for point in np.round(np.array(smooth.coords), 6).tolist()]
    points = [p for p, q in pairwise(points) if p != q]
    if len(points) < 3:
        raise ValueError(f"a shoal of the {LEVELS_M[level]} m contour was smoothed away")
    first = points.index(min(points))
    return Isoline(level, LinearRing(points[first:] + points[:first]), shoal_inside)
