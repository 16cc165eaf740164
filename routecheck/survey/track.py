"""The track as arrays: positions along all legs of a route in one go.

A leg is one rhumb line, or a chain of short ones where it follows a great circle. Formulae as in
`nav.rhumb`; here each of n positions may lie on a line of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from routecheck.model.route import Leg, LegLine
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.ellipsoid import (
    ECCENTRICITY_SQUARED,
    SEMI_MAJOR_M,
    isometric_latitude_rad,
    latitude_at_meridian_distance_deg,
    meridian_distance_m,
    meridian_radius_at_sine_m,
)
from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from routecheck.nav.rhumb import rhumb_from_rises
from routecheck.units import METRES_PER_NMI

Indexes = NDArray[np.intp]

LONGEST_CHUNK_M = 5.0 * METRES_PER_NMI
_PARALLEL_RAD = 1e-8
_EARTH_M = 6.36e6


@dataclass(frozen=True, kw_only=True, eq=False)
class Lines:
    """n rhumb lines, arrays (n,). Longitudes run on from the leg's start and are not wrapped."""

    lon_deg: Floats
    lat_deg: Floats
    end_lon_deg: Floats
    end_lat_deg: Floats
    course_deg: Floats
    length_m: Floats
    along_m: Floats
    """Where each starts, metres from the start of its leg."""

    @classmethod
    def between(
        cls, lon_deg: Floats, lat_deg: Floats, end_lon_deg: Floats, end_lat_deg: Floats
    ) -> Lines:
        """The shorter rhumb lines between positions, each starting at 0 along."""
        rise_lon = wrap180_deg(end_lon_deg - lon_deg)
        lat = np.stack([lat_deg, end_lat_deg])
        start_m, end_m = meridian_distance_m(lat)
        start_iso, end_iso = isometric_latitude_rad(lat)
        rises = end_iso - start_iso, end_m - start_m
        course_deg, length_m = rhumb_from_rises(np.radians(rise_lon), *rises, lat.mean(axis=0))
        made = cls(
            lon_deg=lon_deg,
            lat_deg=lat_deg,
            end_lon_deg=lon_deg + rise_lon,
            end_lat_deg=end_lat_deg,
            course_deg=course_deg,
            length_m=length_m,
            along_m=np.zeros_like(length_m),
        )
        # Worked out already; see there.
        made.__dict__["_mercator"] = (start_m, start_iso, rises[1], rises[0], rise_lon)
        return made

    @classmethod
    def joined(cls, parts: Sequence[tuple[Lines, Indexes]]) -> Lines:
        """Some lines of each, one after the other."""

        def all_of(name: str) -> Floats:
            return np.concatenate([getattr(lines, name)[which] for lines, which in parts])

        return cls(
            lon_deg=all_of("lon_deg"),
            lat_deg=all_of("lat_deg"),
            end_lon_deg=all_of("end_lon_deg"),
            end_lat_deg=all_of("end_lat_deg"),
            course_deg=all_of("course_deg"),
            length_m=all_of("length_m"),
            along_m=all_of("along_m"),
        )

    @cached_property
    def _mercator(self) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Of each line: meridian distance and isometric latitude of the start, the rises of
        both to the end, and the rise of longitude in degrees."""
        start_m, start_iso = meridian_distance_m(self.lat_deg), isometric_latitude_rad(self.lat_deg)
        north_m = meridian_distance_m(self.end_lat_deg) - start_m
        rise_iso = isometric_latitude_rad(self.end_lat_deg) - start_iso
        return start_m, start_iso, north_m, rise_iso, self.end_lon_deg - self.lon_deg

    def positions(self, which: Indexes, along_m: Floats) -> tuple[Floats, Floats]:
        """(longitude, latitude) at distances from the leg's start, on lines `which`, (m,)."""
        start_m, start_iso, north_m, rise_iso, rise_lon = (part[which] for part in self._mercator)
        share = (along_m - self.along_m[which]) / self.length_m[which]
        lat_deg = latitude_at_meridian_distance_deg(start_m + north_m * share)
        flat = np.abs(rise_iso) < _PARALLEL_RAD
        by_lat = (isometric_latitude_rad(lat_deg) - start_iso) / np.where(flat, 1.0, rise_iso)
        return self.lon_deg[which] + rise_lon * np.where(flat, share, by_lat), lat_deg

    def beside(
        self, which: Indexes, lon_deg: Floats, lat_deg: Floats, cross_m: Floats
    ) -> tuple[Floats, Floats]:
        """(longitude, latitude) square to lines `which` at positions (m,) on them.

        `cross_m` (k, m) is starboard positive; so are the results. The middle-latitude method of
        `nav.rhumb.offset_positions`, with the sines of nearby latitudes by their series.
        """
        course_rad = np.radians(self.course_deg)
        lat_rad = np.radians(lat_deg)
        sine, cosine = np.sin(lat_rad), np.cos(lat_rad)
        north, east = -np.sin(course_rad)[which], np.cos(course_rad)[which]
        half_radius_m = 0.5 / meridian_radius_at_sine_m(sine)
        lon, lat = np.empty_like(cross_m), np.empty_like(cross_m)
        # Side by side, since arrays of this size stay in the processor's cache.
        for side_m, side_lon, side_lat in zip(cross_m, lon, lat, strict=True):
            north_m = side_m * north
            half = north_m * half_radius_m
            half = (
                0.5
                * north_m
                / meridian_radius_at_sine_m(sine + half * (cosine - 0.5 * half * sine))
            )
            middle_sine = sine + half * (cosine - 0.5 * half * sine)
            middle_cosine = cosine - half * (sine + half * (0.5 * cosine - half * sine / 6.0))
            squared = 1.0 - ECCENTRICITY_SQUARED * middle_sine * middle_sine
            dlon = side_m * east * np.sqrt(squared) / (SEMI_MAJOR_M * middle_cosine)
            np.add(lon_deg, np.degrees(dlon), out=side_lon)
            np.add(lat_deg, np.degrees(2.0 * half), out=side_lat)
        return lon, lat


@dataclass(frozen=True, kw_only=True, eq=False)
class Track:
    """The lines of all legs, and which are whose: arrays of shape (legs,)."""

    lines: Lines
    first: Indexes
    last: Indexes
    length_m: Floats


def track_of(legs: Sequence[Leg], half_widths_m: Floats) -> Track:
    """The track of a route; `half_widths_m` (legs,), the narrower side's, says how true a great
    circle must be.

    Raises ValueError for a leg of no length.
    """
    lon = np.array([leg.start.lon_deg for leg in legs] + [leg.end.lon_deg for leg in legs])
    lat = np.array([leg.start.lat_deg for leg in legs] + [leg.end.lat_deg for leg in legs])
    n = len(legs)
    rhumbs = Lines.between(lon[:n], lat[:n], lon[n:], lat[n:])
    if not (rhumbs.length_m > 0.0).all():
        raise ValueError("a leg of no length has no course")
    curved = [index for index, leg in enumerate(legs) if leg.line is LegLine.GREAT_CIRCLE]
    if not curved:
        here = np.arange(n)
        return Track(lines=rhumbs, first=here, last=here, length_m=rhumbs.length_m)
    parts: list[tuple[Lines, Indexes]] = [(rhumbs, np.array([index])) for index in range(n)]
    for index in curved:
        lines = _great_circle(legs[index], float(half_widths_m[index]))
        parts[index] = (lines, np.arange(len(lines.lon_deg)))
    joined = Lines.joined(parts)
    last = np.cumsum([len(which) for _, which in parts]) - 1
    first = np.concatenate([[0], last[:-1] + 1])
    return Track(
        lines=joined,
        first=first,
        last=last,
        length_m=joined.along_m[last] + joined.length_m[last],
    )


def _great_circle(leg: Leg, half_width_m: float) -> Lines:
    start, end = leg.start, leg.end
    course, length = geodesic_inverse(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)
    # A rhumb chord of length s leaves the geodesic by s**2 tan(lat) / (8 R).
    # The way may lead nearer a pole than its ends.
    way_m = np.linspace(0.0, float(length), 65)
    _, way_lat = geodesic_direct(start.lon_deg, start.lat_deg, course, way_m)
    steepest = float(np.tan(np.radians(min(np.abs(way_lat).max() + 0.1, 89.0))))
    room_m = max(0.1, 5e-4 * half_width_m)
    longest_m = min(float(np.sqrt(8 * _EARTH_M * room_m / steepest)), LONGEST_CHUNK_M)
    count = max(1, int(np.ceil(float(length) / longest_m)))
    lon, lat = geodesic_direct(
        start.lon_deg, start.lat_deg, course, np.linspace(0.0, float(length), count + 1)
    )
    lon = start.lon_deg + np.unwrap(lon - start.lon_deg, period=360.0)
    lon[0], lat[0], lat[-1] = start.lon_deg, start.lat_deg, end.lat_deg
    bare = Lines.between(lon[:-1], lat[:-1], lon[1:], lat[1:])
    along_m = np.concatenate([[0.0], np.cumsum(bare.length_m)[:-1]])
    return Lines(
        lon_deg=bare.lon_deg,
        lat_deg=bare.lat_deg,
        end_lon_deg=bare.end_lon_deg,
        end_lat_deg=bare.end_lat_deg,
        course_deg=bare.course_deg,
        length_m=bare.length_m,
        along_m=along_m,
    )
