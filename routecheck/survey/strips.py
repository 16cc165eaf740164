"""The stretches of a corridor: quadrilaterals along the track, for all legs in one go."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from routecheck.nav.angles import Floats
from routecheck.survey.parts import Parts, no_parts, outward_m
from routecheck.survey.track import Indexes, Lines, Track
from routecheck.units import METRES_PER_NMI

_WIDEST_M = 1.0 * METRES_PER_NMI
"""A line of latitude and longitude across w either side of the track leaves the true
perpendicular by w**2 tan(lat) / (2 R) in the middle: 1 m at 75 degrees for this w. Wider
corridors are cut into lanes, so that nothing is lost between a leg's end and its bend."""


@dataclass(frozen=True, kw_only=True, eq=False)
class RouteCorridor:
    """The corridors of all legs, as arrays of shape (legs,)."""

    track: Track
    port_m: Floats
    starboard_m: Floats
    start_along_m: Floats
    bends: Parts
    bend_bounds: Indexes
    """Where each leg's bends begin among `bends`, and where the last one's end, (legs + 1,)."""


def stretches_of_legs(
    corridor: RouteCorridor, legs: Indexes, step_m: float
) -> tuple[Parts, Indexes]:
    """(parts of some legs, where each leg's begin and the last one's end, (m + 1,)).

    Of each leg its stretches, `step_m` long (the last may be shorter), then its bends.
    """
    track = corridor.track
    along, of_leg, which = _edges(track, legs, step_m)
    lon, lat = track.lines.positions(which, along)
    # At the joint of two lines of a great circle the corner is common to both.
    port_m, starboard_m = corridor.port_m[legs], corridor.starboard_m[legs]
    # Every edge but a leg's last begins a stretch.
    begins = np.flatnonzero(np.diff(of_leg, append=-1) == 0)
    made: list[Parts] = []
    owner: list[Indexes] = []
    for left_m, right_m in _lanes(outward_m(port_m), outward_m(starboard_m), port_m, starboard_m):
        cuts_m = np.stack([left_m, right_m])[:, of_leg]
        corner_lon, corner_lat = track.lines.beside(which, lon, lat, cuts_m)
        i = begins if (left_m < right_m).all() else begins[(left_m < right_m)[of_leg[begins]]]
        made.append(
            Parts(
                along_from_m=along[i],
                along_to_m=along[i + 1],
                lon_deg=_ring(corner_lon, i),
                lat_deg=_ring(corner_lat, i),
            )
        )
        owner.append(of_leg[i])
    bounds = corridor.bend_bounds
    if len(legs) == len(bounds) - 1:
        bent = np.diff(bounds)
        made.append(corridor.bends)
    else:
        bent = (bounds[1:] - bounds[:-1])[legs]
        made.extend(corridor.bends.some(slice(bounds[leg], bounds[leg + 1])) for leg in legs)
    owner.append(np.repeat(np.arange(len(legs)), bent))
    return _by_leg(made, np.concatenate(owner), len(legs))


def _by_leg(made: list[Parts], whose: Indexes, legs: int) -> tuple[Parts, Indexes]:
    """Parts put in order of their legs, as they came within one; and where each leg's begin."""
    order = np.argsort(whose, kind="stable")
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    along_from, along_to = np.empty(len(order)), np.empty(len(order))
    lon, lat = np.empty((len(order), 4)), np.empty((len(order), 4))
    begin = 0
    for number, part in enumerate(made):
        at = place[begin : begin + len(part.lon_deg)]
        along_from[at], along_to[at] = part.along_from_m, part.along_to_m
        lon[at], lat[at] = part.lon_deg, part.lat_deg
        begin += len(at)
        made[number] = no_parts()  # so that no more than one copy of a long route is held
    ends = np.searchsorted(whose[order], np.arange(legs + 1))
    return Parts(along_from_m=along_from, along_to_m=along_to, lon_deg=lon, lat_deg=lat), ends


def _ring(corner: Floats, i: Indexes) -> Floats:
    """Corners (m, 4) of the stretches that begin at edges `i`, from (2, edges) left and right."""
    ring = np.empty((len(i), 4))
    ring[:, 0], ring[:, 1] = corner[0][i], corner[0][i + 1]
    ring[:, 2], ring[:, 3] = corner[1][i + 1], corner[1][i]
    return ring


def _lanes(
    port_out_m: Floats, starboard_out_m: Floats, port_m: Floats, starboard_m: Floats
) -> list[tuple[Floats, Floats]]:
    """(left, right) cross-track limits of each lane, starboard positive, (legs,) each.

    A leg with fewer lanes than others has empty ones: left not less than right.
    """
    wide = np.maximum(port_m, starboard_m) > _WIDEST_M
    if not wide.any():
        return [(-port_out_m, starboard_out_m)]
    to_port = np.where(wide, np.ceil(port_m / _WIDEST_M), 0.0)
    to_starboard = np.where(wide, np.ceil(starboard_m / _WIDEST_M), 0.0)
    lanes = [(np.where(wide, 0.0, -port_out_m), np.where(wide, 0.0, starboard_out_m))]
    for lane in range(int(max(to_port.max(), to_starboard.max()))):
        for side, out_m, count in ((-1, port_out_m, to_port), (1, starboard_out_m, to_starboard)):
            size = out_m / np.maximum(count, 1.0)
            inner = np.where(lane < count, lane * size, 0.0)
            outer = np.where(lane < count, (lane + 1) * size, 0.0)
            lanes.append((-outer, -inner) if side < 0 else (inner, outer))
    return lanes


def _edges(track: Track, legs: Indexes, step_m: float) -> tuple[Floats, Indexes, Indexes]:
    """Where stretches begin and end: (metres from their leg's start, which of `legs`, line)."""
    length_m, first, last = track.length_m[legs], track.first[legs], track.last[legs]
    count = np.maximum(1, np.ceil(length_m / step_m - 1e-9)).astype(np.intp) + 1
    of_leg = np.repeat(np.arange(len(legs)), count)
    number = np.arange(len(of_leg)) - np.repeat(np.cumsum(count) - count, count)
    along = np.minimum(number * step_m, length_m[of_leg])
    if (first == last).all():
        return along, of_leg, first[of_leg]
    edges, lines = np.split(along, np.cumsum(count)[:-1]), []
    for leg, (begin, end) in enumerate(zip(first.tolist(), last.tolist(), strict=True)):
        edges[leg] = _with_joints(edges[leg], track.lines, begin, end)
        starts = track.lines.along_m[begin : end + 1]
        lines.append(begin + np.searchsorted(starts, edges[leg], side="right") - 1)
    count = np.array([len(edge) for edge in edges])
    return np.concatenate(edges), np.repeat(np.arange(len(legs)), count), np.concatenate(lines)


def _with_joints(edges: Floats, lines: Lines, first: int, last: int) -> Floats:
    every = np.union1d(edges, lines.along_m[first + 1 : last + 1])
    # A joint within a millimetre of an edge would leave a stretch of no length.
    keep = np.diff(every, append=np.inf) > 1e-3
    return np.concatenate([[0.0], every[keep][every[keep] > 1e-3]])
