"""The cells of a grid, every one a rectangle of its own, tested one against one."""

from __future__ import annotations

from typing import Any

import numpy as np
from pyproj import Proj

from tests.oracle.plane import Floats, Sheet, inside


def lonlat_of(grid: dict[str, Any], xy: Floats) -> Floats:
    """Places (n, 2) of a grid's own plane in longitude and latitude."""
    if grid["epsg"] is None:
        return xy
    return np.column_stack(Proj(f"EPSG:{grid['epsg']}")(*xy.T, inverse=True))


def squares_touching(
    grid: dict[str, Any], sheet: Sheet, rings: list[Floats], more_m: float = 0.0
) -> tuple[list[tuple[float, Floats]], list[list[int]]]:
    """((depth, closed ring) of every cell that holds one, for each given ring the numbers of the
    cells that share a place with it). `more_m` widens the bounds only, for a cheap first look."""
    cells: list[tuple[float, Floats]] = []
    corners = []
    reach = grid["reach"]
    for r, row in enumerate(grid["depth_m"]):
        for c, value in enumerate(row):
            if value is None:
                continue
            west, east = grid["x"] + (c - reach) * grid["dx"], grid["x"] + (c + reach) * grid["dx"]
            south, north = (
                grid["y"] - (r + reach) * grid["dy"],
                grid["y"] - (r - reach) * grid["dy"],
            )
            corners.append([(west, south), (east, south), (east, north), (west, north)])
            cells.append((float(np.float32(value)), np.zeros((0, 2))))
    if not cells:
        return [], [[] for _ in rings]
    flat = sheet.xy(lonlat_of(grid, np.array(corners).reshape(-1, 2))).reshape(-1, 4, 2)
    closed = np.concatenate([flat, flat[:, :1]], axis=1)
    cells = [(depth, ring) for (depth, _), ring in zip(cells, closed, strict=True)]
    low, high = flat.min(axis=1), flat.max(axis=1)
    found = []
    for ring in rings:
        near = (low <= ring.max(axis=0) + more_m).all(axis=1)
        near &= (high >= ring.min(axis=0) - more_m).all(axis=1)
        mine = np.flatnonzero(near)
        touching = _touch(closed[mine], ring) if len(mine) else np.zeros(0, bool)
        found.append(mine[touching].tolist())
    return cells, found


def _touch(closed: Floats, ring: Floats) -> Any:
    """Which closed squares (n, 5, 2) share a place with a closed ring."""
    count = len(closed)
    touched = inside(closed[:, :4].reshape(-1, 2), ring).reshape(count, 4).any(axis=1)
    # A corner of the ring in the square: to one side of all its edges.
    start, step = closed[:, None, :4], np.diff(closed, axis=1)[:, None]
    off = ring[None, :, None, :] - start
    side = step[..., 0] * off[..., 1] - step[..., 1] * off[..., 0]
    touched |= ((side > 0.0).all(axis=2) | (side < 0.0).all(axis=2)).any(axis=1)
    # An edge of the square across an edge of the ring.
    a, b = closed[:, :4, None], closed[:, 1:, None]
    c, d = ring[None, None, :-1], ring[None, None, 1:]
    one = _side(a, b, c) * _side(a, b, d)
    other = _side(c, d, a) * _side(c, d, b)
    return touched | ((one < 0.0) & (other < 0.0)).any(axis=(1, 2))


def _side(a: Any, b: Any, p: Any) -> Any:
    return (b[..., 0] - a[..., 0]) * (p[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
        p[..., 0] - a[..., 0]
    )
