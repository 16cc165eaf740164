"""What turns add to a corridor: fans outside the bend, bands along a turn's arc, round ends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routecheck.model.route import Leg
from routecheck.nav.angles import Floats, wrap180_deg, wrap360_deg
from routecheck.nav.rhumb import offset_positions
from routecheck.survey.parts import Parts, joined_parts, outward_m
from routecheck.survey.track import Indexes, Track

_FAN_STEP_DEG = 5.0  # circumscribed: 1/cos(2.5 deg) is 0.095 % outward, at the corners only


def bends(
    legs: Sequence[Leg], track: Track, port_m: Floats, starboard_m: Floats
) -> tuple[Parts, Indexes]:
    """(fans and arc bands of all legs, the index of each one's leg), in order of the legs.

    `port_m` and `starboard_m` are half-widths, (legs,).
    """
    lines = track.lines
    in_deg = lines.course_deg[track.last]
    out_deg = lines.course_deg[track.first]
    turn = wrap180_deg(out_deg[1:] - in_deg[:-1])
    to_starboard = turn >= 0.0
    outer_m = np.where(
        to_starboard,
        np.maximum(port_m[:-1], port_m[1:]),
        np.maximum(starboard_m[:-1], starboard_m[1:]),
    )
    outer_deg = in_deg[:-1] + np.where(to_starboard, -90.0, 90.0)
    end_lon, end_lat = lines.end_lon_deg[track.last], lines.end_lat_deg[track.last]
    start_lon, start_lat = lines.lon_deg[track.first], lines.lat_deg[track.first]
    here = np.arange(len(legs))
    begin, end = here[:1], here[-1:]
    # Outside of each turn, half of it with either leg; then a quarter circle either side of the
    # course at the route's first and last waypoint.
    at_lon = (end_lon[:-1], start_lon[1:], start_lon[begin], start_lon[begin])
    at_lat = (end_lat[:-1], start_lat[1:], start_lat[begin], start_lat[begin])
    from_deg = (outer_deg, outer_deg + turn / 2.0, out_deg[begin] - 90.0, out_deg[begin] + 180.0)
    radius_m = (outer_m, outer_m, port_m[begin], starboard_m[begin])
    along_m = (track.length_m[:-1], np.zeros(len(turn) + 2), track.length_m[end])
    fans, of_leg = _fans(
        lon_deg=np.concatenate([*at_lon, end_lon[end], end_lon[end]]),
        lat_deg=np.concatenate([*at_lat, end_lat[end], end_lat[end]]),
        from_deg=np.concatenate([*from_deg, in_deg[end] - 90.0, in_deg[end]]),
        sweep_deg=np.concatenate([turn / 2.0, turn / 2.0, [-90.0, -90.0, 90.0, 90.0]]),
        radius_m=np.concatenate([*radius_m, port_m[end], starboard_m[end]]),
        along_m=np.concatenate([*along_m, track.length_m[end]]),
        leg=np.concatenate([here[:-1], here[1:], begin, begin, end, end]),
    )
    made, whose = [fans], [of_leg]
    for index, leg in enumerate(legs[:-1]):
        if leg.end.turn_radius_m > 0.0 and abs(turn[index]) > 0.1:
            widths = [
                max(side[index], side[index + 1])
                for side in (
                    (port_m, starboard_m) if to_starboard[index] else (starboard_m, port_m)
                )
            ]
            for half in (0, 1):
                band = _band(track, index, half, leg.end.turn_radius_m, float(turn[index]), widths)
                made.append(band)
                whose.append(np.full(len(band.lon_deg), index + half))
    every, of_leg = joined_parts(made), np.concatenate(whose)
    order = np.argsort(of_leg, kind="stable")
    return every.some(order), of_leg[order]


def _fans(
    *,
    lon_deg: Floats,
    lat_deg: Floats,
    from_deg: Floats,
    sweep_deg: Floats,
    radius_m: Floats,
    along_m: Floats,
    leg: Indexes,
) -> tuple[Parts, Indexes]:
    """Kites round points, each from one bearing through a sweep (signed), circumscribed."""
    count = np.ceil(np.abs(sweep_deg) / (2.0 * _FAN_STEP_DEG)).astype(np.intp)
    count[radius_m == 0.0] = 0
    which = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    step = (sweep_deg / np.maximum(count, 1))[which]
    start = from_deg[which] + step * number
    # Corners at both edges on the circle's tangents, so that the chord lies outside the arc.
    out_m = outward_m(radius_m[which]) / np.cos(np.radians(step / 4.0))
    lon, lat = lon_deg[which], lat_deg[which]
    bearings = np.stack([start, start + step / 2.0, start + step], axis=1)
    rim_lon, rim_lat = offset_positions(lon[:, None], lat[:, None], bearings, out_m[:, None])
    along = along_m[which]
    return (
        Parts(
            along_from_m=along,
            along_to_m=along,
            lon_deg=np.concatenate([lon[:, None], rim_lon], axis=1),
            lat_deg=np.concatenate([lat[:, None], rim_lat], axis=1),
        ),
        leg[which],
    )


def _band(
    track: Track, index: int, half: int, radius_m: float, turn: float, widths_m: Sequence[float]
) -> Parts:
    """Half of the band along the arc that cuts the corner between leg `index` and the next.

    Inside, the band ends at the arc's centre: what lies beyond is within the legs' own strips.
    """
    outer_m, inner_m = widths_m
    before, after = int(track.last[index]), int(track.first[index + 1])
    lengths = float(track.length_m[index]), float(track.length_m[index + 1])
    in_deg, lat_deg = float(track.lines.course_deg[before]), float(track.lines.end_lat_deg[before])
    lon_deg = float(track.lines.end_lon_deg[before] if half == 0 else track.lines.lon_deg[after])
    # The tangent points cannot lie beyond the far ends of the two legs.
    # Straight back it is huge, and the radius next to nothing: no limit of ours is needed.
    half_tan = float(np.tan(np.radians(abs(turn)) / 2.0))
    radius_m = min(radius_m, min(lengths) / half_tan)
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

    (far_lon, far_lat), (near_lon, near_lat) = ring(float(out_m)), ring(in_m)
    tangent_m = radius_m * half_tan
    from_m, to_m = (lengths[0] - tangent_m, lengths[0]) if half == 0 else (0.0, tangent_m)
    return Parts(
        along_from_m=np.full(count, from_m),
        along_to_m=np.full(count, to_m),
        lon_deg=np.stack([far_lon[:-1], far_lon[1:], near_lon[1:], near_lon[:-1]], axis=1),
        lat_deg=np.stack([far_lat[:-1], far_lat[1:], near_lat[1:], near_lat[:-1]], axis=1),
    )
