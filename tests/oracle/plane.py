"""Plane geometry that can be checked by hand: a flat sheet round one place, and points in rings.

The sheet is the azimuthal equidistant projection of PROJ on the WGS 84 ellipsoid. Distances from
its middle are exact; between two of its points they are off by at most (r / R)^2 / 6, where r is
their distance from the middle: 1 mm in a kilometre at 15 km. Nothing of the package is used.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod, Proj

Floats = NDArray[np.float64]
GEOD = Geod(ellps="WGS84")
MERCATOR = Proj("+proj=merc +ellps=WGS84")


class Sheet:
    """The flat sheet round a place."""

    def __init__(self, lon_deg: float, lat_deg: float) -> None:
        self.proj = Proj(f"+proj=aeqd +lon_0={lon_deg!r} +lat_0={lat_deg!r} +ellps=WGS84")

    def xy(self, lonlat: object) -> Floats:
        """Places (n, 2) in longitude and latitude as metres east and north of the middle."""
        at = np.asarray(lonlat, dtype=float).reshape(-1, 2)
        return np.column_stack(self.proj(at[:, 0], at[:, 1]))

    def shape(self, lonlat: object, *, ring: bool) -> Floats:
        """A line or ring whose edges are straight in longitude and latitude, cut fine enough."""
        at = np.asarray(lonlat, dtype=float).reshape(-1, 2)
        if ring and (at[0] != at[-1]).any():
            at = np.vstack([at, at[:1]])
        flat = self.xy(at)
        longest = float(np.hypot(*np.diff(flat, axis=0).T).max()) if len(at) > 1 else 0.0
        pieces = int(np.ceil(longest / 300.0))
        if pieces > 1:
            share = np.arange(pieces) / pieces
            steps = at[:-1, None, :] + share[None, :, None] * np.diff(at, axis=0)[:, None, :]
            flat = self.xy(np.vstack([steps.reshape(-1, 2), at[-1:]]))
        return flat


def rhumb_line(start: tuple[float, float], end: tuple[float, float], count: int) -> Floats:
    """A rhumb line is straight on Mercator's chart: (count, 2) places along it."""
    turn = (end[0] - start[0] + 180.0) % 360.0 - 180.0
    (x1, x2), (y1, y2) = MERCATOR([0.0, turn], [start[1], end[1]])
    share = np.linspace(0.0, 1.0, count)
    lon, lat = MERCATOR(x1 + (x2 - x1) * share, y1 + (y2 - y1) * share, inverse=True)
    return np.column_stack([start[0] + np.asarray(lon), lat])


def great_circle(start: tuple[float, float], end: tuple[float, float], count: int) -> Floats:
    """The geodesic: (count, 2) places along it."""
    between = GEOD.npts(*start, *end, max(count - 2, 1))
    made = np.array([start, *between, end], dtype=float)
    made[:, 0] = np.unwrap(made[:, 0], period=360.0)
    return made


def inside(points: Floats, ring: Floats) -> NDArray[np.bool_]:
    """Even-odd rule, every point in the ring's box against every edge of a closed ring."""
    found = ((points >= ring.min(axis=0)) & (points <= ring.max(axis=0))).all(axis=1)
    if not found.any():
        return np.asarray(found)
    x, y = points[found, :1], points[found, 1:]
    (x1, y1), (x2, y2) = ring[:-1].T, ring[1:].T
    spans = (y1 > y) != (y2 > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = x1 + (y - y1) / (y2 - y1) * (x2 - x1)
    found[found] = (spans & (x < at)).sum(axis=1) % 2 == 1
    return np.asarray(found)


def crossings(line: Floats, other: Floats) -> Floats:
    """Where segments of one chain properly cross segments of another, (n, 2)."""
    a, b = line[:-1, None, :], line[1:, None, :]
    c, d = other[None, :-1, :], other[None, 1:, :]
    first, second = b - a, d - c
    whole = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    off = c - a
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (off[..., 0] * second[..., 1] - off[..., 1] * second[..., 0]) / whole
        t = (off[..., 0] * first[..., 1] - off[..., 1] * first[..., 0]) / whole
        hit = (s > 0.0) & (s < 1.0) & (t > 0.0) & (t < 1.0)
    i, j = np.nonzero(hit)
    return np.asarray(line[i] + s[i, j, None] * (line[i + 1] - line[i]))


def from_chain(points: Floats, chain: Floats) -> Floats:
    """The distance of every point from every segment of a chain, the least of each, (n,)."""
    if len(chain) == 1:
        return np.asarray(np.hypot(*(points - chain[0]).T))
    a, along = chain[None, :-1, :], np.diff(chain, axis=0)[None]
    off = points[:, None, :] - a
    length2 = np.maximum((along**2).sum(axis=2), 1e-30)
    share = np.clip((off * along).sum(axis=2) / length2, 0.0, 1.0)
    return np.asarray(np.sqrt(((off - share[..., None] * along) ** 2).sum(axis=2)).min(axis=1))


def touches(place: Floats, ring: Floats) -> bool:
    """Whether a place lies in a ring or, but for two centimetres, on its edge."""
    return bool(inside(place[None], ring)[0]) or from_chain(place[None], ring)[0] < 0.02


def boxes_apart(shape: Floats, ring: Floats) -> float:
    """How far the boxes round two shapes lie apart at least: no further than they do themselves."""
    gaps = np.maximum(shape.min(axis=0) - ring.max(axis=0), ring.min(axis=0) - shape.max(axis=0))
    return float(np.hypot(*np.maximum(gaps, 0.0)))


def apart(shape: Floats, kind: str, ring: Floats) -> float:
    """How far a point, line or ring lies from a closed ring; 0 where they share a place."""
    if inside(shape, ring).any():
        return 0.0
    if kind == "ring" and inside(ring[:1], shape).any():
        return 0.0
    if kind != "point" and len(crossings(shape, ring)):
        return 0.0
    least = float(from_chain(shape, ring).min())
    if kind != "point":
        least = min(least, float(from_chain(ring, shape).min()))
    return least


def shared(shape: Floats, kind: str, ring: Floats) -> Floats:
    """Places that a point, line or ring shares with a closed ring: corners of either inside the
    other, and crossings of their edges, (n, 2). None where they are apart."""
    found = [shape[inside(shape, ring)]]
    if kind != "point":
        found.append(crossings(shape, ring))
    if kind == "ring":
        found.append(ring[inside(ring, shape)])
    return np.vstack(found)


def around(shape: Floats, kind: str, ring: Floats, most_m: float) -> tuple[Floats, Floats]:
    """(places of a point, line or ring outside a closed ring, how far off each lies), the nearest
    first: its corners, and of its edges what lies nearest to a corner of the ring. None where
    they share a corner, or lie further apart than `most_m`."""
    gap = np.maximum(shape.min(axis=0) - ring.max(axis=0), ring.min(axis=0) - shape.max(axis=0))
    if gap.max() > most_m or inside(shape, ring).any():
        return np.zeros((0, 2)), np.zeros(0)
    places = shape
    if kind != "point":
        start, step = shape[None, :-1], np.diff(shape, axis=0)[None]
        off = ring[:, None] - start
        long2 = np.maximum((step**2).sum(axis=2), 1e-30)
        share = np.clip((off * step).sum(axis=2) / long2, 0.0, 1.0)
        feet = start + share[..., None] * step
        near = ((ring[:, None] - feet) ** 2).sum(axis=2).argmin(axis=1)
        feet = feet[np.arange(len(ring)), near]
        places = np.vstack([shape, feet[~inside(feet, ring)]])
    away = from_chain(places, ring)
    order = np.argsort(away, kind="stable")
    order = order[away[order] <= most_m]
    return places[order], away[order]
