"""Rhumb lines by plain integration of the ellipsoid's radii: slow, simple, no series."""

from __future__ import annotations

import math

import numpy as np

_A_M = 6378137.0
_E2 = (2.0 - 1.0 / 298.257223563) / 298.257223563
_X, _W = np.polynomial.legendre.leggauss(20)


def _integrals(lat1_deg: float, lat2_deg: float) -> tuple[float, float]:
    """(northing in metres, difference of isometric latitude): panels of at most 2 degrees.

    Without cancellation for a northing however small.
    """
    assert max(abs(lat1_deg), abs(lat2_deg)) <= 90.0
    panels = max(1, math.ceil(abs(lat2_deg - lat1_deg) / 2.0))
    step = math.radians(lat2_deg - lat1_deg) / panels
    north_m = iso_rad = 0.0
    for panel in range(panels):
        lat = math.radians(lat1_deg) + step * (panel + (_X + 1.0) / 2.0)
        shape = 1.0 - _E2 * np.sin(lat) ** 2
        meridian_m = _A_M * (1.0 - _E2) / shape**1.5
        parallel_m = _A_M * np.cos(lat) / np.sqrt(shape)
        north_m += float((_W * meridian_m).sum()) * step / 2.0
        iso_rad += float((_W * meridian_m / parallel_m).sum()) * step / 2.0
    return north_m, iso_rad


def rhumb_by_quadrature(
    lon1_deg: float, lat1_deg: float, lon2_deg: float, lat2_deg: float
) -> tuple[float, float]:
    """(course, distance in metres) of the shorter rhumb line."""
    dlon_rad = math.radians((lon2_deg - lon1_deg + 180.0) % 360.0 - 180.0)
    north_m, iso_rad = _integrals(lat1_deg, lat2_deg)
    if iso_rad == 0.0:
        lat = math.radians(lat1_deg)
        scale_m = _A_M * math.cos(lat) / math.sqrt(1.0 - _E2 * math.sin(lat) ** 2)
    else:
        scale_m = north_m / iso_rad
    course_deg = math.degrees(math.atan2(dlon_rad, iso_rad)) % 360.0
    return course_deg, math.hypot(north_m, dlon_rad * scale_m)
