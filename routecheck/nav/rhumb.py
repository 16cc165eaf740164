"""Rhumb lines on WGS 84: distance, course, position along the line.

Mercator sailing with the ellipsoid's own meridian distance: C. F. F. Karney, GeographicLib,
documentation of the Rhumb class; equal to its published RhumbSolve answers to a millimetre.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats, wrap180_deg, wrap360_deg
from routecheck.nav.ellipsoid import (
    isometric_latitude_rad,
    latitude_at_meridian_distance_deg,
    meridian_distance_m,
    meridian_radius_m,
    parallel_radius_m,
)

# Below this difference of isometric latitude (about 6 cm of northing) the line is followed
# as a parallel; the quotient of two such small numbers would only be rounding.
_PARALLEL_RAD = 1e-8

_POLE_DEG = 89.9999
"""Eleven metres from a pole a longitude means nothing, and at a tenth of a metre it overflows."""


def rhumb_inverse(
    lon1_deg: ArrayLike, lat1_deg: ArrayLike, lon2_deg: ArrayLike, lat2_deg: ArrayLike
) -> tuple[Floats, Floats]:
    """(course in degrees true, distance in metres) of the shorter rhumb line. Any shape.

    Crosses the antimeridian where that way is shorter.

    >>> course, distance = rhumb_inverse(-73.8, 40.6, -0.5, 51.6)
    >>> round(float(course), 6), round(float(distance), 3)
    (77.76839, 5771083.383)
    """
    lat1, lat2 = np.asarray(lat1_deg, dtype=float), np.asarray(lat2_deg, dtype=float)
    return rhumb_from_rises(
        np.radians(wrap180_deg(np.asarray(lon2_deg, dtype=float) - np.asarray(lon1_deg))),
        isometric_latitude_rad(lat2) - isometric_latitude_rad(lat1),
        meridian_distance_m(lat2) - meridian_distance_m(lat1),
        (lat1 + lat2) / 2.0,
    )


def rhumb_from_rises(
    dlon_rad: Floats, diso_rad: Floats, north_m: Floats, middle_lat_deg: Floats
) -> tuple[Floats, Floats]:
    """(course in degrees true, distance in metres) from the rises of longitude, of isometric
    latitude and of meridian distance along rhumb lines. Any shape."""
    course_deg = wrap360_deg(np.degrees(np.arctan2(dlon_rad, diso_rad)))
    # Metres of northing for a unit of isometric latitude: a quotient, or on a parallel its limit.
    flat = np.abs(diso_rad) < _PARALLEL_RAD
    scale_m = np.where(
        flat, parallel_radius_m(middle_lat_deg), north_m / np.where(flat, 1.0, diso_rad)
    )
    return course_deg, np.asarray(np.hypot(dlon_rad, diso_rad) * np.abs(scale_m))


def rhumb_positions(
    lon1_deg: float, lat1_deg: float, lon2_deg: float, lat2_deg: float, along_m: ArrayLike
) -> tuple[Floats, Floats]:
    """(longitude, latitude) at distances along the rhumb line from 1 towards 2, any shape.

    Distances may be negative or beyond 2. Longitudes run on from `lon1_deg` and are not
    wrapped, so that a line over the antimeridian stays in one piece.
    """
    along = np.asarray(along_m, dtype=float)
    _, length_m = rhumb_inverse(lon1_deg, lat1_deg, lon2_deg, lat2_deg)
    dlon_deg = float(wrap180_deg(lon2_deg - lon1_deg))
    length = float(length_m)
    if length == 0.0:
        return np.full(along.shape, lon1_deg), np.full(along.shape, lat1_deg)
    start_m = float(meridian_distance_m(lat1_deg))
    north_m = float(meridian_distance_m(lat2_deg)) - start_m
    lat_deg = latitude_at_meridian_distance_deg(start_m + north_m * along / length)
    iso1_rad = float(isometric_latitude_rad(lat1_deg))
    diso_rad = float(isometric_latitude_rad(lat2_deg)) - iso1_rad
    if abs(diso_rad) < _PARALLEL_RAD:
        share = along / length
    else:
        share = (isometric_latitude_rad(lat_deg) - iso1_rad) / diso_rad
    return np.asarray(lon1_deg + dlon_deg * share), lat_deg


def rhumb_direct(
    lon_deg: float, lat_deg: float, course_deg: float, distance_m: float
) -> tuple[float, float]:
    """(longitude, latitude) reached on one course over a distance; longitude in [-180, 180).

    Raises ValueError where the course would run to a pole or over it.
    """
    course_rad = np.radians(course_deg)
    end_m = float(meridian_distance_m(lat_deg)) + distance_m * float(np.cos(course_rad))
    if abs(end_m) >= float(meridian_distance_m(_POLE_DEG)):
        raise ValueError("the rhumb line runs to a pole")
    lat2 = float(latitude_at_meridian_distance_deg(end_m))
    diso_rad = float(isometric_latitude_rad(lat2)) - float(isometric_latitude_rad(lat_deg))
    if abs(diso_rad) < _PARALLEL_RAD:
        unit_m = float(parallel_radius_m((lat_deg + lat2) / 2.0))
        dlon_rad = distance_m * float(np.sin(course_rad)) / unit_m
    else:
        dlon_rad = diso_rad * float(np.tan(course_rad))
    return float(wrap180_deg(lon_deg + np.degrees(dlon_rad))), lat2


def offset_positions(
    lon_deg: ArrayLike, lat_deg: ArrayLike, bearing_deg: ArrayLike, distance_m: ArrayLike
) -> tuple[Floats, Floats]:
    """Positions a short way off, by the middle-latitude method on the ellipsoid. Any shape.

    Between 80 S and 80 N within 1e-6 of the distance up to 5 km, and 1.5e-5 up to 20 km;
    longitudes are not wrapped.
    """
    bearing_rad = np.radians(np.asarray(bearing_deg, dtype=float))
    distance = np.asarray(distance_m, dtype=float)
    lat = np.asarray(lat_deg, dtype=float)
    north_m = distance * np.cos(bearing_rad)
    half = np.degrees(north_m / meridian_radius_m(lat)) / 2.0
    dlat = np.degrees(north_m / meridian_radius_m(lat + half))
    dlon = np.degrees(distance * np.sin(bearing_rad) / parallel_radius_m(lat + dlat / 2.0))
    return np.asarray(np.asarray(lon_deg, dtype=float) + dlon), np.asarray(lat + dlat)
