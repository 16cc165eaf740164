"""The seabed of the Marenquil Islands: a formula, so that the raster and the chart agree.

Nothing of it exists. The islands lie in an empty piece of the South Pacific, about 14 S 117 W.
Plane: x kilometres east and y north of 117 W 14 S, the scale fixed (`KM_PER_DEG`). Depths in
metres below chart datum, positive down.
"""

from __future__ import annotations

import random
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LON0_DEG, LAT0_DEG = -117.0, -14.0
KM_PER_DEG = (108.06, 110.64)  # east-west and north-south at 14 S, near enough
CELL_DEG = (0.000185, 0.000181)  # 20 m
COLUMNS, ROWS = 1024, 704
WEST_DEG, NORTH_DEG = -117.09472, -13.936288
LAND_M = -1.6  # the coastline is drawn at high water, 1.6 m above datum

# Passes through the rim: the axis of each, from the sea to the lagoon, and so on to the middle.
DUSK_AXIS = ((-8.4, -2.55), (-7.0, -2.05), (-5.55, -1.6), (-3.0, -1.0), (0.2, -0.55))
DAWN_AXIS = ((8.6, 1.75), (7.2, 1.35), (5.7, 0.95), (3.2, 0.2), (0.2, -0.55))
PASSES = ((-7.1, -2.08, 72.0), (7.1, 1.32, 255.0))  # x, y of the sill, course inwards

# High islands in the lagoon: x, y, mean radius, roughness, seed.
HIGH_ISLANDS = (
    (-1.1, 2.05, 0.95, 0.30, 3),
    (2.2, -2.35, 0.48, 0.25, 8),
    (3.1, 2.55, 0.22, 0.20, 5),
    (7.35, -4.55, 0.30, 0.35, 6),  # an outlier to the south-east
    (6.55, -4.75, 0.11, 0.25, 9),
)
# Low islands on the rim: angle on the rim in degrees, half-length km, half-width km, height m.
LOW_ISLANDS = (
    (32, 0.72, 0.22, 4.5),
    (47, 0.55, 0.15, 4.0),
    (59, 0.38, 0.14, 3.5),
    (84, 1.00, 0.24, 5.0),
    (112, 0.30, 0.12, 3.0),
    (128, 0.70, 0.22, 4.0),
    (158, 0.50, 0.15, 3.5),
    (221, 0.80, 0.22, 4.5),
    (243, 0.32, 0.12, 3.0),
    (262, 0.80, 0.20, 4.0),
    (300, 0.45, 0.14, 3.5),
    (334, 0.60, 0.16, 4.0),
)
# Coral heads that the routes know of: x, y, radius km, least depth m.
CORAL_HEADS = (
    (-2.55, -2.30, 0.13, 1.1),  # Anvil Patch
    (-0.55, -1.75, 0.11, 2.3),  # Cinder Patch
    (0.95, 0.75, 0.12, 0.4),
    (4.35, -0.90, 0.14, 1.6),
    (-4.1, 0.55, 0.15, -0.3),
    (-2.94, 0.92, 0.06, 2.0),  # either side of the way to the cove
    (-2.77, 0.74, 0.07, 1.3),
    (1.9, 1.75, 0.10, 3.1),
    (-4.9, -2.75, 0.22, 0.9),
    (5.2, -0.35, 0.20, 2.6),
    (-1.9, -2.75, 0.24, 1.4),
    (-7.3, 4.1, 0.75, 7.4),  # a drowned bank to the north-west
    (-7.7, 4.35, 0.35, 5.6),
)
UNSURVEYED = ((4.02, 1.72), (4.45, 1.62), (4.62, 1.95), (4.38, 2.18), (4.08, 2.12))


def to_plane(lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
    """Kilometres east and north of the plane's origin."""
    return (lon_deg - LON0_DEG) * KM_PER_DEG[0], (lat_deg - LAT0_DEG) * KM_PER_DEG[1]


def to_lonlat(x_km: float, y_km: float) -> tuple[float, float]:
    """Longitude and latitude, rounded to 6 decimals."""
    return round(LON0_DEG + x_km / KM_PER_DEG[0], 6), round(LAT0_DEG + y_km / KM_PER_DEG[1], 6)


def _ripples(x: Floats, y: Floats, *, seed: int, longest: float, shortest: float) -> Floats:
    """Noise of about -1 to 1: waves of all directions, the long ones the highest."""
    draw = random.Random(seed)
    total, weight = np.zeros_like(x), 0.0
    for _ in range(24):
        length = shortest * (longest / shortest) ** draw.random()
        east, north = draw.uniform(-1, 1), draw.uniform(-1, 1)
        norm = max(0.2, (east * east + north * north) ** 0.5)
        phase = draw.uniform(0.0, 2.0 * np.pi)
        height = (length / longest) ** 0.8
        total += height * np.sin(2.0 * np.pi * (east * x + north * y) / (norm * length) + phase)
        weight += height * height
    return total / (weight**0.5 * 1.2)


def _rim_km(angle: Floats) -> Floats:
    """The rim's distance from the middle as a share of the ellipse's, by angle."""
    return (
        1.0
        + 0.060 * np.sin(2.0 * angle + 0.9)
        + 0.070 * np.sin(3.0 * angle + 2.1)
        + 0.040 * np.sin(5.0 * angle + 4.1)
        + 0.022 * np.sin(8.0 * angle + 1.2)
        + 0.012 * np.sin(13.0 * angle + 2.2)
    )


def _rim(x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
    """(kilometres outside the rim, angle on it, radius there)."""
    ellipse_x, ellipse_y = x / 7.0, y / 4.3
    share = np.sqrt(ellipse_x**2 + ellipse_y**2)
    angle = np.arctan2(ellipse_y, ellipse_x)
    radius = np.where(share < 0.05, 5.0, np.sqrt(x**2 + y**2) / np.maximum(share, 0.05))
    return (share - _rim_km(angle)) * radius, angle, radius


def rim_place(angle_deg: float, outside_km: float) -> tuple[float, float]:
    """A place in the plane, so far outside the rim."""
    angle = np.radians(angle_deg)
    share = float(_rim_km(np.array(angle)))
    x, y = 7.0 * share * float(np.cos(angle)), 4.3 * share * float(np.sin(angle))
    stretch = 1.0 + outside_km / (x * x + y * y) ** 0.5
    return x * stretch, y * stretch


_PROFILE_KM = (
    *(-2.6, -1.6, -1.15, -0.95, -0.8, -0.68, -0.55, -0.40, -0.12, -0.03),
    *(0.0, 0.03, 0.07, 0.13, 0.22, 0.40, 0.75, 1.2, 2.0, 3.2, 5.0),
)
_PROFILE_M = (
    *(29.0, 27.0, 19.0, 10.0, 4.5, 1.8, 0.9, 0.3, -0.2, -0.6),
    *(0.2, 3.0, 8.0, 16.0, 30.0, 62.0, 150.0, 290.0, 560.0, 900.0, 1400.0),
)
_FRINGE_KM = (-0.6, -0.02, 0.0, 0.05, 0.16, 0.24, 0.32, 0.42, 0.60, 0.9, 1.4, 2.4, 9.0)
_FRINGE_M = (-80.0, -3.0, -1.6, -0.3, 0.5, 1.2, 4.0, 9.0, 17.0, 28.0, 90.0, 600.0, 4000.0)
_PASS_KM = (0.0, 0.12, 0.17, 0.21, 0.26, 0.34)
_PASS_M = (17.5, 16.0, 12.5, 7.0, 1.5, -2.0)


def depth_m(x: Floats, y: Floats) -> Floats:
    """Charted depth at places in the plane. Any shape, both alike."""
    rough = _ripples(x, y, seed=11, longest=1.6, shortest=0.18)
    outside, angle, _ = _rim(x, y)
    # The sea side is cut by the swell, the lagoon side is ragged and of uneven width.
    ragged = _ripples(x, y, seed=13, longest=2.6, shortest=0.5)
    wide = np.where(outside < -0.1, 1.0 + 0.28 * ragged, 1.0)
    depth = np.interp((outside + 0.1) / wide - 0.1 + 0.07 * rough, _PROFILE_KM, _PROFILE_M)
    floor = _ripples(x, y, seed=12, longest=2.4, shortest=0.35)
    depth = depth + floor * np.interp(
        depth, (0.0, 3.0, 18.0, 40.0, 300.0), (0.1, 0.4, 2.2, 2.5, 9.0)
    )

    for x0, y0, course_deg in PASSES:
        course = np.radians(course_deg)
        off = (x - x0) * np.cos(course) - (y - y0) * np.sin(course)
        along = (x - x0) * np.sin(course) + (y - y0) * np.cos(course)
        # It winds a little, widens like a trumpet towards both ends, and ends round.
        off = off + 0.06 * np.sin(2.2 * along + x0)
        width = 1.0 + 0.75 * np.maximum(np.abs(along - 0.1) - 0.35, 0.0)
        away = np.sqrt(off**2 + np.maximum(np.abs(along - 0.35) - 1.25, 0.0) ** 2)
        bed = np.interp((away + 0.03 * rough) / width, _PASS_KM, _PASS_M) + 0.5 * floor
        depth = np.maximum(depth, bed)

    for angle_deg, half_length, half_width, height in LOW_ISLANDS:
        at = np.radians(angle_deg)
        turn = (angle - at + np.pi) % (2.0 * np.pi) - np.pi
        arc = turn * np.sqrt((7.0 * np.cos(at)) ** 2 + (4.3 * np.sin(at)) ** 2) * 0.95
        bent = outside + 0.27 + 0.06 * rough + 0.07 * ragged
        size = (arc / half_length) ** 2 + (bent / half_width) ** 2 + 0.25 * rough
        depth = np.minimum(depth, height * (size - 1.0) * 1.3 + LAND_M)

    for x0, y0, radius, roughness, seed in HIGH_ISLANDS:
        away = np.sqrt((x - x0) ** 2 + (y - y0) ** 2)
        bearing = np.arctan2(y - y0, x - x0)
        draw = random.Random(seed)
        shore = np.full_like(x, radius)
        for wave in range(2, 7):
            phase = draw.uniform(0.0, 2.0 * np.pi)
            shore += radius * roughness / wave * np.sin(wave * bearing + phase)
        fringe = np.interp(away - shore + 0.03 * rough, _FRINGE_KM, _FRINGE_M)
        depth = np.minimum(depth, fringe)

    for x0, y0, radius, least in (*CORAL_HEADS, *_small_heads()):
        stretch = 1.0 + 0.25 * rough
        blend = np.exp(-((((x - x0) ** 2 + (y - y0) ** 2) * stretch / radius**2) ** 2))
        depth = np.minimum(depth, depth * (1.0 - blend) + least * blend)
    return depth


def _small_heads() -> list[tuple[float, float, float, float]]:
    """Coral heads strewn over the lagoon, clear of the passes, the buoyed way and the blank."""
    draw = random.Random(77)
    heads: list[tuple[float, float, float, float]] = []
    while len(heads) < 52:
        x, y = draw.uniform(-6.5, 6.5), draw.uniform(-3.6, 3.6)
        radius, least = draw.uniform(0.05, 0.13), draw.uniform(0.2, 9.0)
        outside, _, _ = _rim(np.array([x]), np.array([y]))
        room = min(km_from_axis(x, y, DUSK_AXIS), km_from_axis(x, y, DAWN_AXIS))
        blank = km_from_axis(x, y, (*UNSURVEYED, UNSURVEYED[0]))
        apart = min((((x - a) ** 2 + (y - b) ** 2) ** 0.5 for a, b, _, _ in heads), default=9.0)
        if outside[0] < -0.95 and room > 0.62 and apart > 0.36 and blank > 0.7:
            heads.append((x, y, radius, least))
    return heads


def km_from_axis(x: float, y: float, axis: tuple[tuple[float, float], ...]) -> float:
    """Distance of a place from a polyline, kilometres."""
    best = 99.0
    for (x1, y1), (x2, y2) in pairwise(axis):
        east, north = x2 - x1, y2 - y1
        share = ((x - x1) * east + (y - y1) * north) / (east * east + north * north)
        share = min(1.0, max(0.0, share))
        best = min(best, ((x - x1 - share * east) ** 2 + (y - y1 - share * north) ** 2) ** 0.5)
    return best


def centres_deg() -> tuple[Floats, Floats]:
    """(longitudes, latitudes) of the raster's cell centres, west to east and north to south."""
    lon = WEST_DEG + (np.arange(COLUMNS) + 0.5) * CELL_DEG[0]
    lat = NORTH_DEG - (np.arange(ROWS) + 0.5) * CELL_DEG[1]
    return lon, lat


def field_m() -> Floats:
    """Depths at the cell centres, (ROWS, COLUMNS), in whole 1024ths of a metre.

    The sines and exponentials above may differ between machines in their last bit; from here
    on only exact arithmetic follows, so that all machines make the same files.
    """
    lon, lat = np.meshgrid(*centres_deg())
    depth = np.round(depth_m(*to_plane(lon, lat)) * 1024.0) / 1024.0
    # The mean over neighbours, weighted 1 2 1: a reef's edge is narrower than a cell, and its
    # contours would go in steps.
    for axis in (0, 1):
        ahead, behind = np.roll(depth, 1, axis), np.roll(depth, -1, axis)
        mean = (ahead + 2.0 * depth + behind) / 4.0
        inside = [slice(None), slice(None)]
        inside[axis] = slice(1, -1)
        depth[tuple(inside)] = mean[tuple(inside)]
    return np.round(depth * 1024.0) / 1024.0
