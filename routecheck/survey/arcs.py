"""The arc of a turn with a radius: the circle that touches both legs as they truly run.

At a waypoint the legs are straight lines in a plane only for a little way: a rhumb line or great
circle leaves the plane's straight line by the square of the distance, times the tangent of the
latitude, by twice the earth's radius (ten metres after 6 km at 75 degrees). So the circle's centre
is looked for on the ellipsoid: square to each leg, the radius away, is one and the same place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from routecheck.model.route import Leg, LegLine
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from routecheck.nav.rhumb import rhumb_inverse, rhumb_positions

_NEAR_M = 1e-6
_TRIES = 12
_EARTH_M = 6.35e6

_OnLeg = Callable[[float], tuple[float, float, float]]
"""(longitude, latitude, course) of the place on a leg so far from the corner, metres."""


@dataclass(frozen=True, kw_only=True)
class Arc:
    """Of the circle round a centre, `sweep_deg` (positive to starboard) from the bearing
    `from_deg` on: the end of the leg before turned into the start of the one after."""

    lon_deg: float
    lat_deg: float
    radius_m: float
    from_deg: float
    sweep_deg: float
    before_m: float
    """From where the arc leaves the leg before to its end."""
    after_m: float
    """From the start of the leg after to where the arc joins it."""
    off_m: float
    """By how much it may miss the legs; next to nothing where the circle was found."""

    def places(self, share: Floats, distance_m: float) -> tuple[Floats, Floats]:
        """(longitude, latitude) at shares of the sweep, so far from the centre; any shape.

        Longitudes run on from the centre's.
        """
        bearing_deg = self.from_deg + self.sweep_deg * share
        lon, lat = geodesic_direct(self.lon_deg, self.lat_deg, bearing_deg, distance_m)
        return self.lon_deg + wrap180_deg(lon - self.lon_deg), lat


def arc_between(before: Leg, after: Leg, radius_m: float, turn: float) -> Arc:
    """The arc of a radius between two legs whose courses at the waypoint are `turn` degrees apart.

    Where no circle touches both (legs that run almost back, of different kinds) it is drawn as if
    the legs were straight, and `off_m` says how far they may leave that.
    """
    half_tan = float(np.tan(np.radians(min(abs(turn), 179.99)) / 2.0))
    side = 90.0 if turn >= 0.0 else -90.0
    on_before, on_after = _back_along(before), _on_along(after)
    straight_m = radius_m * half_tan
    before_m = after_m = straight_m
    for attempt in range(_TRIES):
        one, other = on_before(before_m), on_after(after_m)
        centre = _beside(one, side, radius_m)
        east_m, north_m = _from_to(centre, _beside(other, side, radius_m))
        if attempt == 0:
            first = one, other, centre
        if np.hypot(east_m, north_m) < _NEAR_M:
            break
        # Each centre moves with its leg's course; that they meet is two equations.
        in_rad, out_rad = np.radians(one[2]), np.radians(other[2])
        cross = float(np.sin(out_rad - in_rad))
        if abs(cross) < 1e-9:
            before_m = -1.0
            break
        before_m -= float(east_m * np.cos(out_rad) - north_m * np.sin(out_rad)) / -cross
        after_m += float(east_m * np.cos(in_rad) - north_m * np.sin(in_rad)) / -cross
    lengths = _length_m(before), _length_m(after)
    found = attempt < _TRIES - 1 and all(
        0.0 <= way_m <= max(length_m, straight_m) * 1.02
        for way_m, length_m in zip((before_m, after_m), lengths, strict=True)
    )
    off_m = _NEAR_M
    if not found:
        one, other, centre = first
        before_m = after_m = straight_m
        steepest = max(abs(before.end.lat_deg), abs(one[1]), abs(other[1]))
        off_m += straight_m**2 * float(np.tan(np.radians(min(steepest, 89.9)))) / _EARTH_M
    back_deg = [
        float(geodesic_inverse(centre[0], centre[1], place[0], place[1])[0])
        for place in (one, other)
    ]
    # The sweep is the turn but for what the meridians converge.
    sweep_deg = turn + wrap180_deg(back_deg[1] - back_deg[0] - turn) if found else turn
    return Arc(
        lon_deg=centre[0],
        lat_deg=centre[1],
        radius_m=radius_m,
        from_deg=back_deg[0],
        sweep_deg=float(sweep_deg),
        before_m=before_m,
        after_m=after_m,
        off_m=off_m,
    )


def _beside(place: tuple[float, float, float], side_deg: float, away_m: float) -> tuple[float, ...]:
    lon, lat = geodesic_direct(place[0], place[1], place[2] + side_deg, away_m)
    return place[0] + float(wrap180_deg(lon - place[0])), float(lat)


def _from_to(place: tuple[float, ...], other: tuple[float, ...]) -> tuple[float, float]:
    """(metres east, metres north) from one to a near other."""
    middle = (place[1] + other[1]) / 2.0
    east_deg = float(wrap180_deg(other[0] - place[0]))
    return (
        float(np.radians(east_deg) * parallel_radius_m(middle)),
        float(np.radians(other[1] - place[1]) * meridian_radius_m(middle)),
    )


def _ends(leg: Leg) -> tuple[float, float, float, float]:
    return leg.start.lon_deg, leg.start.lat_deg, leg.end.lon_deg, leg.end.lat_deg


def _length_m(leg: Leg) -> float:
    inverse = rhumb_inverse if leg.line is LegLine.RHUMB else geodesic_inverse
    return float(inverse(*_ends(leg))[1])


def _on_along(leg: Leg) -> _OnLeg:
    lon1, lat1, lon2, lat2 = _ends(leg)
    if leg.line is LegLine.RHUMB:
        course_deg = float(rhumb_inverse(lon1, lat1, lon2, lat2)[0])

        def on_rhumb(way_m: float) -> tuple[float, float, float]:
            lon, lat = rhumb_positions(lon1, lat1, lon2, lat2, way_m)
            return float(lon), float(lat), course_deg

        return on_rhumb
    first_deg = float(geodesic_inverse(lon1, lat1, lon2, lat2)[0])

    def on_circle(way_m: float) -> tuple[float, float, float]:
        lon, lat = geodesic_direct(lon1, lat1, first_deg, way_m)
        course_deg = first_deg
        if abs(way_m) > _NEAR_M:
            back_deg = float(geodesic_inverse(lon, lat, lon1, lat1)[0])
            course_deg = back_deg + (180.0 if way_m > 0.0 else 0.0)
        return lon1 + float(wrap180_deg(lon - lon1)), float(lat), course_deg

    return on_circle


def _back_along(leg: Leg) -> _OnLeg:
    turned = _on_along(Leg(number=leg.number, start=leg.end, end=leg.start, line=leg.line))

    def back(way_m: float) -> tuple[float, float, float]:
        lon, lat, course_deg = turned(way_m)
        return lon, lat, course_deg + 180.0

    return back
