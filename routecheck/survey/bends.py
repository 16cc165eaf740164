"""What turns add to a corridor: fans outside the bend, bands along a turn's arc, round ends."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routecheck.model.route import Leg
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.rhumb import offset_positions
from routecheck.nav.turning import radius_that_fits_m
from routecheck.survey.arcs import arc_between
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
            sides = (port_m, starboard_m) if to_starboard[index] else (starboard_m, port_m)
            widths_m = np.array([max(side[index], side[index + 1]) for side in sides])
            lengths_m = [float(length_m) for length_m in track.length_m[index : index + 2]]
            corner_deg = float(end_lon[index]), float(start_lon[index + 1])
            bands = _bands(legs, index, float(turn[index]), lengths_m, widths_m, corner_deg)
            for half, band in enumerate(bands):
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


def _bands(
    legs: Sequence[Leg],
    index: int,
    turn: float,
    lengths_m: Sequence[float],
    widths_m: Floats,
    corner_deg: tuple[float, float],
) -> tuple[Parts, Parts]:
    """The band along the arc that cuts the corner between leg `index` and the next, by halves.

    `widths_m`: outside, inside. `corner_deg`: the waypoint's longitude as it runs on from the start
    of either leg. Inside, the band ends at the arc's centre: what lies beyond is
    within the legs' own strips.
    """
    radius_m = radius_that_fits_m(legs[index].end.turn_radius_m, turn, lengths_m)
    arc = arc_between(legs[index], legs[index + 1], radius_m, turn)
    count = max(1, int(np.ceil(abs(arc.sweep_deg) / 2.0 / _FAN_STEP_DEG - 1e-6)))
    out_m, in_m = outward_m(widths_m) + arc.off_m
    chord = float(np.cos(np.radians(arc.sweep_deg / 4.0 / count)))
    share = np.arange(2 * count + 1) / (2 * count)
    far_lon, far_lat = arc.places(share, (radius_m + float(out_m)) / chord)
    near_lon, near_lat = arc.places(share, max(0.0, radius_m - float(in_m)))
    before_m, after_m = min(arc.before_m, lengths_m[0]), min(arc.after_m, lengths_m[1])

    def half(which: slice, from_m: float, to_m: float, lon_deg: float) -> Parts:
        lon = np.stack([far_lon[:-1], far_lon[1:], near_lon[1:], near_lon[:-1]], axis=1)[which]
        lat = np.stack([far_lat[:-1], far_lat[1:], near_lat[1:], near_lat[:-1]], axis=1)[which]
        along = np.full(count, from_m), np.full(count, to_m)
        lon = lon_deg + wrap180_deg(lon - lon_deg)
        return Parts(along_from_m=along[0], along_to_m=along[1], lon_deg=lon, lat_deg=lat)

    return (
        half(slice(None, count), lengths_m[0] - before_m, lengths_m[0], corner_deg[0]),
        half(slice(count, None), 0.0, after_m, corner_deg[1]),
    )
