"""The sun: altitude and bearing at an instant, and its risings and settings about it.

Low-precision coordinates of the sun (0.01 degrees from 1950 to 2050): The Astronomical Almanac,
U.S. Naval Observatory and HM Nautical Almanac Office, section C, "Low precision formulas for the
sun's coordinates". Rising and setting: centre 50' below the horizon (34' refraction, 16'
semi-diameter), civil twilight 6 degrees, as the same almanac defines them. Everything is asked
about an instant and never about a date, since a day of the sun's begins at no fixed hour of UTC.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats, wrap360_deg

DAY_S = 86_400.0
_J2000_S = 946_728_000.0
"""2000-01-01T12Z as a Unix time."""

RISE_SET_DEG = -50.0 / 60.0
CIVIL_DEG = -6.0


def _declination_and_hour(time_s: Floats) -> tuple[Floats, Floats]:
    """(declination, Greenwich hour angle) of the sun, in radians."""
    days = (time_s - _J2000_S) / DAY_S
    mean = np.radians((280.460 + 0.9856474 * days) % 360.0)
    anomaly = np.radians((357.528 + 0.9856003 * days) % 360.0)
    longitude = mean + np.radians(1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly))
    obliquity = np.radians(23.439 - 0.0000004 * days)
    ascension = np.arctan2(np.cos(obliquity) * np.sin(longitude), np.cos(longitude))
    declination = np.arcsin(np.sin(obliquity) * np.sin(longitude))
    sidereal = np.radians((280.46062 + 360.98564737 * days) % 360.0)
    return declination, sidereal - ascension


def sun_position(
    lon_deg: ArrayLike, lat_deg: ArrayLike, time_s: ArrayLike
) -> tuple[Floats, Floats]:
    """(altitude of the centre without refraction, bearing in degrees true). Shapes broadcast.

    `time_s` are Unix times.

    >>> altitude, bearing = sun_position(0.0, 51.5, 1718884800.0)  # 20 June 2024, 12Z
    >>> round(float(altitude)), round(float(bearing))
    (62, 179)
    """
    lon, lat, time = np.broadcast_arrays(
        *(np.asarray(v, dtype=float) for v in (lon_deg, lat_deg, time_s))
    )
    declination, hour = _declination_and_hour(time)
    hour = hour + np.radians(lon)
    phi = np.radians(lat)
    up = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(hour)
    east = -np.cos(declination) * np.sin(hour)
    north = np.cos(phi) * np.sin(declination) - np.sin(phi) * np.cos(declination) * np.cos(hour)
    altitude = np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))
    return altitude, wrap360_deg(np.degrees(np.arctan2(east, north)))


def sun_altitude_deg(lon_deg: ArrayLike, lat_deg: ArrayLike, time_s: ArrayLike) -> Floats:
    """Altitude of the sun's centre without refraction. Shapes broadcast."""
    return sun_position(lon_deg, lat_deg, time_s)[0]


def next_crossing_s(
    lon_deg: float, lat_deg: float, time_s: float, altitude_deg: float, *, backwards: bool = False
) -> tuple[float, bool] | None:
    """When the sun next (or last) passes an altitude: (Unix time, whether it rises there).

    None where it does not within 25 hours: polar day or night, or about. Between whole five
    minutes the altitude is nearly straight; the crossing is then narrowed down by halving.
    A sun that only grazes the altitude for less than five minutes may be missed.
    """
    sign = -1.0 if backwards else 1.0
    steps = time_s + sign * np.arange(0.0, 25.0 * 3600.0 + 1.0, 300.0)
    above = sun_altitude_deg(lon_deg, lat_deg, steps) >= altitude_deg
    turns = np.flatnonzero(above[1:] != above[:-1])
    if not len(turns):
        return None
    first = int(turns[0])
    near, far = float(steps[first]), float(steps[first + 1])
    was_above = bool(above[first])
    for _ in range(24):
        middle = (near + far) / 2.0
        if bool(sun_altitude_deg(lon_deg, lat_deg, middle) >= altitude_deg) == was_above:
            near = middle
        else:
            far = middle
    return (near + far) / 2.0, was_above == backwards


def light_in_words(altitude_deg: float) -> str:
    """Daylight, civil twilight or dark.

    >>> light_in_words(-3.0)
    'civil twilight'
    """
    if altitude_deg >= RISE_SET_DEG:
        return "daylight"
    return "civil twilight" if altitude_deg >= CIVIL_DEG else "dark"


def sun_about(lon_deg: float, lat_deg: float, time_s: float) -> str:
    """In words, what the sun does about an instant where it does not rise or set: "polar day",
    "polar night", or "" where it does both within a day either way."""
    before = next_crossing_s(lon_deg, lat_deg, time_s, RISE_SET_DEG, backwards=True)
    after = next_crossing_s(lon_deg, lat_deg, time_s, RISE_SET_DEG)
    if before is not None or after is not None:
        return ""
    up = float(sun_altitude_deg(lon_deg, lat_deg, time_s)) >= RISE_SET_DEG
    return "polar day: the sun does not set" if up else "polar night: the sun does not rise"


def lowest_altitude_deg(
    lon_deg: float, lat_deg: float, from_s: ArrayLike, to_s: ArrayLike
) -> Floats:
    """The lowest altitude of the sun from one time to another, at one place. Times broadcast.

    Of more than a day the first and the last one count: in less than half a year no night between
    them is darker than both, but for winter nights where both are dark. Asked at 61 instants of a
    day, at least every 24 minutes; between two of them the altitude leaves the straight line by
    less than the square of their hour angle over 8, which is taken off (more, only where the sun
    stands near the nadir, and it is dark by far).
    """
    first, last = np.broadcast_arrays(
        np.asarray(from_s, dtype=float), np.asarray(to_s, dtype=float)
    )
    lowest = _lowest_of_a_day_deg(lon_deg, lat_deg, first, np.minimum(last, first + DAY_S))
    if (last - first > DAY_S).any():
        ending = _lowest_of_a_day_deg(lon_deg, lat_deg, np.maximum(first, last - DAY_S), last)
        lowest = np.minimum(lowest, ending)
    return lowest


def _lowest_of_a_day_deg(lon_deg: float, lat_deg: float, from_s: Floats, to_s: Floats) -> Floats:
    parts = np.linspace(0.0, 1.0, 61)
    times = from_s[..., None] + (to_s - from_s)[..., None] * parts
    step_rad = (to_s - from_s) / 60.0 / DAY_S * 2.0 * np.pi
    lowest = sun_altitude_deg(lon_deg, lat_deg, times).min(axis=-1)
    return np.asarray(lowest - np.degrees(step_rad**2 / 8.0))
