"""Geodesics on WGS 84, by pyproj (Karney's algorithms, J. Geodesy 87 (2013))."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats, wrap360_deg

if TYPE_CHECKING:
    from pyproj import Geod


@lru_cache(maxsize=1)
def _wgs84() -> Geod:
    from pyproj import Geod

    return Geod(ellps="WGS84")


def geodesic_inverse(
    lon1_deg: ArrayLike, lat1_deg: ArrayLike, lon2_deg: ArrayLike, lat2_deg: ArrayLike
) -> tuple[Floats, Floats]:
    """(initial course in degrees true, distance in metres). Shapes broadcast."""
    lon1, lat1, lon2, lat2 = np.broadcast_arrays(
        *(np.asarray(v, dtype=float) for v in (lon1_deg, lat1_deg, lon2_deg, lat2_deg))
    )
    course, _, distance = _wgs84().inv(lon1, lat1, lon2, lat2)
    return wrap360_deg(np.asarray(course)), np.asarray(distance)


def geodesic_direct(
    lon_deg: ArrayLike, lat_deg: ArrayLike, course_deg: ArrayLike, distance_m: ArrayLike
) -> tuple[Floats, Floats]:
    """(longitude in [-180, 180], latitude) reached along geodesics. Shapes broadcast."""
    lon, lat, course, distance = np.broadcast_arrays(
        *(np.asarray(v, dtype=float) for v in (lon_deg, lat_deg, course_deg, distance_m))
    )
    lon2, lat2, _ = _wgs84().fwd(lon, lat, course, distance)
    return np.asarray(lon2), np.asarray(lat2)
