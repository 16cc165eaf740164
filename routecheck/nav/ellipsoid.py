"""The WGS 84 ellipsoid: radii, meridian distance, isometric latitude.

Figures of the ellipsoid: NGA.STND.0036 (2014), Table 3.1. Meridian distance by the
Fourier series in the third flattening: C. F. F. Karney, "Transverse Mercator with an
accuracy of a few nanometers", J. Geodesy 85 (2011), and "On auxiliary latitudes",
Survey Review 56 (2024), for the rectifying latitude; terms up to n**6 leave under a
nanometre at every latitude.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats

SEMI_MAJOR_M = 6378137.0
FLATTENING = 1.0 / 298.257223563
ECCENTRICITY_SQUARED = FLATTENING * (2.0 - FLATTENING)
ECCENTRICITY = ECCENTRICITY_SQUARED**0.5
_N = FLATTENING / (2.0 - FLATTENING)

RECTIFYING_RADIUS_M = SEMI_MAJOR_M / (1.0 + _N) * (1.0 + _N**2 / 4.0 + _N**4 / 64.0)
"""Radius of the sphere whose meridians are as long as the ellipsoid's; n**6 / 256 is 1e-19."""

# Rectifying latitude from geographic latitude: coefficients of sin 2kφ, k = 1..6.
_TO_RECTIFYING = (
    -3 / 2 * _N + 9 / 16 * _N**3 - 3 / 32 * _N**5,
    15 / 16 * _N**2 - 15 / 32 * _N**4 + 135 / 2048 * _N**6,
    -35 / 48 * _N**3 + 105 / 256 * _N**5,
    315 / 512 * _N**4 - 189 / 512 * _N**6,
    -693 / 1280 * _N**5,
    1001 / 2048 * _N**6,
)
# And back.
_FROM_RECTIFYING = (
    3 / 2 * _N - 27 / 32 * _N**3 + 269 / 512 * _N**5,
    21 / 16 * _N**2 - 55 / 32 * _N**4 + 6759 / 4096 * _N**6,
    151 / 96 * _N**3 - 417 / 128 * _N**5,
    1097 / 512 * _N**4 - 15543 / 2560 * _N**6,
    8011 / 2560 * _N**5,
    293393 / 61440 * _N**6,
)


def _series(angle_rad: Floats, coefficients: tuple[float, ...]) -> Floats:
    # Clenshaw's sum of c_k sin(2 k angle).
    doubled_cos = 2.0 * np.cos(2.0 * angle_rad)
    ahead = np.zeros_like(angle_rad)
    now = np.zeros_like(angle_rad)
    for coefficient in reversed(coefficients):
        ahead, now = now, coefficient + doubled_cos * now - ahead
    return np.asarray(now * np.sin(2.0 * angle_rad))


def meridian_distance_m(lat_deg: ArrayLike) -> Floats:
    """Distance along a meridian from the equator, metres, north positive. Any shape.

    >>> round(float(meridian_distance_m(90.0)), 3)
    10001965.729
    """
    lat_rad = np.radians(np.asarray(lat_deg, dtype=float))
    return np.asarray(RECTIFYING_RADIUS_M * (lat_rad + _series(lat_rad, _TO_RECTIFYING)))


def latitude_at_meridian_distance_deg(distance_m: ArrayLike) -> Floats:
    """Latitude at a distance along the meridian from the equator. Any shape."""
    rectifying_rad = np.asarray(distance_m, dtype=float) / RECTIFYING_RADIUS_M
    return np.degrees(rectifying_rad + _series(rectifying_rad, _FROM_RECTIFYING))


def isometric_latitude_rad(lat_deg: ArrayLike) -> Floats:
    """Isometric latitude, radians: the northing of Mercator's chart on a radius of one.

    Meridional parts are this times 10800/pi (Bowditch, American Practical Navigator, Table 6,
    which uses the Clarke 1866 ellipsoid). Any shape.
    """
    sine = np.sin(np.radians(np.asarray(lat_deg, dtype=float)))
    return np.asarray(np.arctanh(sine) - ECCENTRICITY * np.arctanh(ECCENTRICITY * sine))


def meridian_radius_m(lat_deg: ArrayLike) -> Floats:
    """Radius of curvature in the meridian, metres. Any shape."""
    return meridian_radius_at_sine_m(np.sin(np.radians(np.asarray(lat_deg, dtype=float))))


def meridian_radius_at_sine_m(sine: Floats) -> Floats:
    """The same from the sine of the latitude. Any shape."""
    squared = 1.0 - ECCENTRICITY_SQUARED * sine * sine
    # squared ** 1.5, five times as fast.
    return np.asarray(SEMI_MAJOR_M * (1.0 - ECCENTRICITY_SQUARED) / (squared * np.sqrt(squared)))


def parallel_radius_m(lat_deg: ArrayLike) -> Floats:
    """Radius of the circle of latitude, metres. Any shape."""
    lat_rad = np.radians(np.asarray(lat_deg, dtype=float))
    sine = np.sin(lat_rad)
    return np.asarray(
        SEMI_MAJOR_M * np.cos(lat_rad) / np.sqrt(1.0 - ECCENTRICITY_SQUARED * sine**2)
    )
