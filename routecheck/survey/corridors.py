"""The corridor: cross-track room either side of every leg, joined at the turns.

A leg's corridor is the union of convex quadrilaterals whose corners lie at the exact cross-track
distance from the track: one a stretch, and at each turn a fan on the outside of the bend and,
where the turn has a radius, a band along the arc that cuts the corner. Every approximation errs
outward, by less than 0.1 % of the half-width. `OUTWARD` makes a touch count in spite of rounding.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.route import Leg, LegLine, Route
from routecheck.nav.angles import Floats, turn_deg, wrap360_deg
from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from routecheck.nav.legframe import LegFrame
from routecheck.nav.rhumb import offset_positions
from routecheck.units import METRES_PER_NMI

STRETCH_M = 0.05 * METRES_PER_NMI
"""Findings from grids are told by stretches of this length, counted from the leg's start."""
OUTWARD_SHARE = 1e-5
OUTWARD_M = 0.001
_LONGEST_CHUNK_M = 5.0 * METRES_PER_NMI
_FAN_STEP_DEG = 5.0  # circumscribed: 1/cos(2.5 deg) is 0.095 % outward, at the corners only


@dataclass(frozen=True, kw_only=True)
class Parts:
    """n convex quadrilaterals; longitudes run on from the leg's start. Arrays (n,) and (n, 4)."""

    along_from_m: Floats
    along_to_m: Floats
    lon_deg: Floats
    lat_deg: Floats

    def joined(self, other: Parts) -> Parts:
        """Both, one after the other."""
        return Parts(
            along_from_m=np.concatenate([self.along_from_m, other.along_from_m]),
            along_to_m=np.concatenate([self.along_to_m, other.along_to_m]),
            lon_deg=np.concatenate([self.lon_deg, other.lon_deg]),
            lat_deg=np.concatenate([self.lat_deg, other.lat_deg]),
        )


def _no_parts() -> Parts:
    none = np.zeros(0)
    return Parts(
        along_from_m=none, along_to_m=none, lon_deg=np.zeros((0, 4)), lat_deg=np.zeros((0, 4))
    )


@dataclass(frozen=True, kw_only=True)
class Chunk:
    """A piece of a leg that is one rhumb line, with its own plane."""

    frame: LegFrame
    along_m: float
    """Where it starts, metres from the leg's start."""


@dataclass(frozen=True, kw_only=True)
class LegCorridor:
    """One leg's corridor. `bends` are the fans and arc bands of its two ends."""

    leg: Leg
    chunks: tuple[Chunk, ...]
    length_m: float
    start_along_m: float
    port_m: float
    starboard_m: float
    bends: Parts

    @property
    def course_deg(self) -> float:
        """Course at the start, true."""
        return self.chunks[0].frame.course_deg

    @property
    def end_course_deg(self) -> float:
        """Course at the end, true."""
        return self.chunks[-1].frame.course_deg

    def track(self, along_m: Floats) -> tuple[Floats, Floats, Floats]:
        """(longitude, latitude, course) at distances from the leg's start, shape (n,)."""
        starts = np.array([chunk.along_m for chunk in self.chunks])
        which = np.clip(np.searchsorted(starts, along_m, side="right") - 1, 0, None)
        lon, lat = np.empty_like(along_m), np.empty_like(along_m)
        course = np.empty_like(along_m)
        for index in np.unique(which):
            here = which == index
            chunk = self.chunks[index]
            lon[here], lat[here] = chunk.frame.from_frame(along_m[here] - chunk.along_m, 0.0)
            course[here] = chunk.frame.course_deg
        return lon, lat, course

    def stretches(self, step_m: float = STRETCH_M) -> Parts:
        """One quadrilateral a stretch of `step_m` (the last may be shorter), then the bends."""
        return self._strips(step_m).joined(self.bends)

    def _strips(self, step_m: float) -> Parts:
        count = max(1, int(np.ceil(self.length_m / step_m - 1e-9)))
        edges = np.minimum(np.arange(count + 1) * step_m, self.length_m)
        edges = np.union1d(edges, [chunk.along_m for chunk in self.chunks])
        lon, lat, course = self.track(edges)
        # At the joint of two chunks of a great circle the corner is common to both.
        port_lon, port_lat = offset_positions(lon, lat, course - 90.0, outward_m(self.port_m))
        star_lon, star_lat = offset_positions(lon, lat, course + 90.0, outward_m(self.starboard_m))
        return Parts(
            along_from_m=edges[:-1],
            along_to_m=edges[1:],
            lon_deg=np.stack([port_lon[:-1], port_lon[1:], star_lon[1:], star_lon[:-1]], axis=1),
            lat_deg=np.stack([port_lat[:-1], port_lat[1:], star_lat[1:], star_lat[:-1]], axis=1),
        )

    @cached_property
    def outline(self) -> BaseGeometry:
        """The whole corridor as one lon/lat shape (longitudes unwrapped), for drawing and holes."""
        parts = self.stretches()
        rings = shapely.polygons(np.stack([parts.lon_deg, parts.lat_deg], axis=2))
        return shapely.union_all(shapely.make_valid(rings))


def outward_m(width_m: float) -> float:
    """A half-width, enlarged so that an exact touch is never lost to rounding."""
    return width_m * (1.0 + OUTWARD_SHARE) + OUTWARD_M


def corridors(
    route: Route, half_widths_m: tuple[tuple[float, float], ...]
) -> tuple[LegCorridor, ...]:
    """The corridors of all legs; `half_widths_m` holds (port, starboard) for each leg."""
    bare: list[tuple[Leg, tuple[Chunk, ...], float]] = []
    for leg in route.legs:
        chunks = _chunks(leg, max(*half_widths_m[leg.number - 1], 10.0))
        last = chunks[-1]
        bare.append((leg, chunks, last.along_m + last.frame.length_m))
    bends = [_no_parts() for _ in bare]
    for index in range(len(bare) - 1):
        first, second = _turn(bare[index], bare[index + 1], half_widths_m[index : index + 2])
        bends[index] = bends[index].joined(first)
        bends[index + 1] = bends[index + 1].joined(second)
    bends[0] = bends[0].joined(_cap(bare[0], half_widths_m[0], at_end=False))
    bends[-1] = bends[-1].joined(_cap(bare[-1], half_widths_m[-1], at_end=True))
    made, start_m = [], 0.0
    for (leg, chunks, length_m), (port_m, starboard_m), bend in zip(
        bare, half_widths_m, bends, strict=True
    ):
        made.append(
            LegCorridor(
                leg=leg,
                chunks=chunks,
                length_m=length_m,
                start_along_m=start_m,
                port_m=port_m,
                starboard_m=starboard_m,
                bends=bend,
            )
        )
        start_m += length_m
    return tuple(made)


def _chunks(leg: Leg, half_width_m: float) -> tuple[Chunk, ...]:
    start, end = leg.start, leg.end
    if leg.line is LegLine.RHUMB:
        whole = LegFrame.between(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)
        count = max(1, int(np.ceil(whole.length_m / _LONGEST_CHUNK_M)))
        along = np.linspace(0.0, whole.length_m, count + 1)
        lon, lat = whole.from_frame(along, 0.0)
    else:
        course, length = geodesic_inverse(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)
        # A rhumb chord of length s leaves the geodesic by s**2 tan(lat) / (8 R).
        steepest = abs(np.tan(np.radians(min(85.0, max(abs(start.lat_deg), abs(end.lat_deg)) + 5))))
        room_m = max(0.1, 5e-4 * half_width_m)
        longest_m = float(np.clip(np.sqrt(8 * 6.36e6 * room_m / steepest), 200.0, _LONGEST_CHUNK_M))
        count = max(1, int(np.ceil(float(length) / longest_m)))
        lon, lat = geodesic_direct(
            start.lon_deg, start.lat_deg, course, np.linspace(0.0, float(length), count + 1)
        )
        lon = start.lon_deg + np.unwrap(lon - start.lon_deg, period=360.0)
        lon[0], lat[0], lat[-1] = start.lon_deg, start.lat_deg, end.lat_deg
    made, along_m = [], 0.0
    for i in range(len(lon) - 1):
        frame = LegFrame.between(float(lon[i]), float(lat[i]), float(lon[i + 1]), float(lat[i + 1]))
        made.append(Chunk(frame=frame, along_m=along_m))
        along_m += frame.length_m
    return tuple(made)


_Bare = tuple[Leg, tuple[Chunk, ...], float]


def _fan(
    lon_deg: float,
    lat_deg: float,
    from_deg: float,
    sweep_deg: float,
    radius_m: float,
    along_m: float,
) -> Parts:
    """Kites round a point, from one bearing through a sweep (signed), circumscribed."""
    if sweep_deg == 0.0 or radius_m == 0.0:
        return _no_parts()
    count = max(1, int(np.ceil(abs(sweep_deg) / (2.0 * _FAN_STEP_DEG))))
    step = sweep_deg / count
    start = from_deg + step * np.arange(count)
    middle, end = start + step / 2.0, start + step
    # Corners at both edges on the circle's tangents, so that the chord lies outside the arc.
    out_m = outward_m(radius_m) / np.cos(np.radians(step / 4.0))
    corners = [offset_positions(lon_deg, lat_deg, b, out_m) for b in (start, middle, end)]
    here_lon, here_lat = np.full(count, lon_deg), np.full(count, lat_deg)
    return Parts(
        along_from_m=np.full(count, along_m),
        along_to_m=np.full(count, along_m),
        lon_deg=np.stack([here_lon, *(c[0] for c in corners)], axis=1),
        lat_deg=np.stack([here_lat, *(c[1] for c in corners)], axis=1),
    )


def _cap(bare: _Bare, widths_m: tuple[float, float], *, at_end: bool) -> Parts:
    """The round end at the route's first or last waypoint: a quarter circle either side."""
    leg, chunks, length_m = bare
    point = leg.end if at_end else leg.start
    lon = chunks[-1].frame.end_lon_deg if at_end else point.lon_deg
    course = chunks[-1 if at_end else 0].frame.course_deg
    away = course if at_end else course + 180.0
    along_m = length_m if at_end else 0.0
    port_m, starboard_m = widths_m
    port = _fan(lon, point.lat_deg, course - 90.0, 90.0 if at_end else -90.0, port_m, along_m)
    starboard = _fan(lon, point.lat_deg, away, 90.0 if at_end else -90.0, starboard_m, along_m)
    return port.joined(starboard)


def _turn(
    before: _Bare, after: _Bare, widths_m: tuple[tuple[float, float], ...]
) -> tuple[Parts, Parts]:
    """What the turn between two legs adds to the first and to the second."""
    in_deg = before[1][-1].frame.course_deg
    out_deg = after[1][0].frame.course_deg
    turn = turn_deg(in_deg, out_deg)
    to_starboard = turn >= 0.0
    outer_m = max(w[0 if to_starboard else 1] for w in widths_m)
    outer_deg = in_deg + (-90.0 if to_starboard else 90.0)
    lat = before[0].end.lat_deg
    lon_before = before[1][-1].frame.end_lon_deg
    lon_after = after[0].start.lon_deg
    first = _fan(lon_before, lat, outer_deg, turn / 2.0, outer_m, before[2])
    second = _fan(lon_after, lat, outer_deg + turn / 2.0, turn / 2.0, outer_m, 0.0)
    radius_m = before[0].end.turn_radius_m
    if radius_m > 0.0 and abs(turn) > 0.1:
        inner_m = max(w[1 if to_starboard else 0] for w in widths_m)
        # The tangent points cannot lie beyond the far ends of the two legs.
        half_tan = np.tan(np.radians(min(abs(turn), 179.0)) / 2.0)
        radius_m = min(radius_m, min(before[2], after[2]) / half_tan)
        for half, (lon, into) in enumerate(((lon_before, first), (lon_after, second))):
            band = _arc(lon, lat, in_deg, turn, radius_m, outer_m, inner_m, half)
            tangent_m = radius_m * half_tan
            from_m, to_m = (before[2] - tangent_m, before[2]) if half == 0 else (0.0, tangent_m)
            band = Parts(
                along_from_m=np.full(len(band.lon_deg), from_m),
                along_to_m=np.full(len(band.lon_deg), to_m),
                lon_deg=band.lon_deg,
                lat_deg=band.lat_deg,
            )
            if half == 0:
                first = into.joined(band)
            else:
                second = into.joined(band)
    return first, second


def _arc(
    lon_deg: float,
    lat_deg: float,
    in_deg: float,
    turn: float,
    radius_m: float,
    outer_m: float,
    inner_m: float,
    half: int,
) -> Parts:
    """Half of the band along the arc that cuts the corner at a waypoint.

    Inside, the band ends at the arc's centre: what lies beyond is within the legs' own strips.
    """
    side = 1.0 if turn >= 0.0 else -1.0
    centre_deg = in_deg + side * 90.0 + turn / 2.0
    centre_m = radius_m / np.cos(np.radians(turn / 2.0))
    begin_deg = in_deg - side * 90.0 + half * turn / 2.0
    count = max(1, int(np.ceil(abs(turn) / 2.0 / _FAN_STEP_DEG)))
    bearing = begin_deg + turn / 2.0 / count * np.arange(count + 1)
    out_m = (radius_m + outward_m(outer_m)) / np.cos(np.radians(turn / 4.0 / count))
    in_m = max(0.0, radius_m - outward_m(inner_m))
    east_m = centre_m * np.sin(np.radians(centre_deg))
    north_m = centre_m * np.cos(np.radians(centre_deg))

    def ring(distance_m: float) -> tuple[Floats, Floats]:
        east = east_m + distance_m * np.sin(np.radians(bearing))
        north = north_m + distance_m * np.cos(np.radians(bearing))
        return offset_positions(
            lon_deg,
            lat_deg,
            wrap360_deg(np.degrees(np.arctan2(east, north))),
            np.hypot(east, north),
        )

    (far_lon, far_lat), (near_lon, near_lat) = ring(out_m), ring(in_m)
    none = np.zeros(count)
    return Parts(
        along_from_m=none,
        along_to_m=none,
        lon_deg=np.stack([far_lon[:-1], far_lon[1:], near_lon[1:], near_lon[:-1]], axis=1),
        lat_deg=np.stack([far_lat[:-1], far_lat[1:], near_lat[1:], near_lat[:-1]], axis=1),
    )
