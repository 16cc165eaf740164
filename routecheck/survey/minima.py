"""Where the whole track comes nearest to marks: every local minimum of the distance.

Between two waypoints a minimum is the foot of a perpendicular; outside a bend it is the
waypoint itself, once, and belongs to the leg before it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from routecheck.nav.angles import Floats, wrap180_deg, wrap360_deg
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.survey.markset import MarkSet
from routecheck.survey.marktrack import Indexes, MarkTrack
from routecheck.units import METRES_PER_NMI

_BACK_DEG = 179.9
"""A turn this sharp is a turning back: the mark ahead of it is not passed."""
_BOX_M = 5.0 * METRES_PER_NMI


@dataclass(frozen=True, kw_only=True, slots=True)
class Minimum:
    """The track at its nearest to a mark. `cross_m` is signed, its size the distance."""

    mark: int
    line: int
    along_m: float
    """Along the line of the track."""
    leg: int
    leg_along_m: float
    route_along_m: float
    cross_m: float
    course_deg: float
    bearing_deg: float
    """True bearing of this point of the track from the mark."""
    passed: bool
    """False where the mark lies off an end of the track, more ahead or astern than abeam."""

    @property
    def distance_m(self) -> float:
        """Distance from the track, metres."""
        return abs(self.cross_m)


@dataclass(frozen=True, kw_only=True, eq=False)
class Near:
    """Every line of the track and mark that come within reach of each other, by mark and line;
    arrays (n,). `along_m` and `cross_m` are the mark's in the line's plane."""

    mark: Indexes
    line: Indexes
    along_m: Floats
    cross_m: Floats

    def of(self, mark: int) -> slice:
        """Where the entries of one mark stand."""
        first, last = np.searchsorted(self.mark, [mark, mark + 1])
        return slice(int(first), int(last))


def near_lines(track: MarkTrack, held: MarkSet, reach_m: float) -> Near:
    """What marks come within `reach_m` of which lines of the track."""
    lon_deg, lat_deg = held.lon_deg, held.lat_deg
    of_box, boxes = _boxes(track, reach_m)
    box, marks = held.tree.query(boxes)
    pairs = np.unique(np.stack([marks, of_box[box]], axis=1), axis=0)
    marks, lines = pairs[:, 0], pairs[:, 1]
    along, cross = track.to_plane(lines, lon_deg[marks], lat_deg[marks])
    over = along - np.clip(along, track.begin_m[lines], track.end_m[lines])
    keep = np.hypot(over, cross) <= reach_m + 1.0
    return Near(mark=marks[keep], line=lines[keep], along_m=along[keep], cross_m=cross[keep])


def _boxes(track: MarkTrack, reach_m: float) -> tuple[Indexes, list[shapely.Polygon]]:
    """(line, box) round short stretches of the track, longitudes brought near [-180, 180]."""
    length_m = track.end_m - track.begin_m
    count = np.maximum(1, np.ceil(length_m / _BOX_M)).astype(np.intp)
    line = np.repeat(np.arange(len(track)), count)
    number = np.arange(len(line)) - np.repeat(np.cumsum(count) - count, count)
    step = (length_m / count)[line]
    from_m = track.begin_m[line] + number * step
    lon1, lat1 = track.lines.positions(line, from_m)
    lon2, lat2 = track.lines.positions(line, from_m + step)
    south, north = np.minimum(lat1, lat2), np.maximum(lat1, lat2)
    margin = float(np.degrees(reach_m / meridian_radius_m(0.0))) * 1.01
    steepest = np.minimum(np.maximum(np.abs(south), np.abs(north)) + margin, 89.9)
    wide = np.minimum(np.degrees(reach_m / parallel_radius_m(steepest)) * 1.01, 180.0)
    shift = wrap180_deg(lon1) - lon1
    west = np.minimum(lon1, lon2) + shift - wide
    east = np.maximum(lon1, lon2) + shift + wide
    lines, boxes = [], []
    for whole_turn in (-360.0, 0.0, 360.0):
        held = np.flatnonzero((west + whole_turn <= 180.0) & (east + whole_turn >= -180.0))
        lines.append(line[held])
        boxes.append(
            shapely.box(
                west[held] + whole_turn,
                south[held] - margin,
                east[held] + whole_turn,
                north[held] + margin,
            )
        )
    return np.concatenate(lines), list(np.concatenate(boxes))


def minima(
    track: MarkTrack, near: Near, reach_m: float, blur_m: Floats
) -> dict[int, list[Minimum]]:
    """All minima within `reach_m`, by mark and along the track.

    `blur_m` (marks,): two minima on one side of a mark between which the distance does not rise
    by more than its position uncertainty cannot be told apart, and the nearer one stands.
    """
    found: dict[int, list[tuple[int, Minimum]]] = {}
    for row, one in _raw(track, near):
        if one.distance_m <= reach_m:
            found.setdefault(one.mark, []).append((row, one))
    rise = np.hypot(near.along_m - track.end_m[near.line], near.cross_m)
    made: dict[int, list[Minimum]] = {}
    for mark, those in found.items():
        made[mark] = _told_apart(near, rise, those, float(blur_m[mark]))
    return made


def _raw(track: MarkTrack, near: Near) -> Iterator[tuple[int, Minimum]]:
    """Every minimum, and the row of `near` that it stands in."""
    line, along, cross = near.line, near.along_m, near.cross_m
    begin, end = track.begin_m[line], track.end_m[line]
    low, high = along <= begin, along >= end
    follows = np.zeros(len(line), dtype=bool)
    follows[:-1] = (near.mark[1:] == near.mark[:-1]) & (line[1:] == line[:-1] + 1) & low[1:]
    last, first = high & (line == len(track) - 1), low & (line == 0)
    bend = high & follows & ~last
    foot = np.clip(along, begin, end)
    over = along - foot
    distance = np.hypot(over, cross)
    course = track.lines.course_deg[line]
    next_line = np.minimum(line + 1, len(track) - 1)
    turn = wrap180_deg(track.lines.course_deg[next_line] - course)
    # Outside a bend the mark is left on the outer side of the turn, however sharp that is, and
    # the course there is half-way through the turn.
    outer = np.where(turn == 0.0, cross, -turn)
    signed = np.copysign(distance, np.where(bend, outer, cross))
    passed = np.where(bend, np.abs(turn) < _BACK_DEG, np.abs(over) <= np.abs(cross))
    rows = np.flatnonzero((~low & ~high) | last | first | bend)
    columns = (
        rows,
        near.mark[rows],
        line[rows],
        foot[rows],
        track.leg[line[rows]],
        track.leg_along_m(line[rows], foot[rows]),
        track.route_along_m(line[rows], foot[rows]),
        signed[rows],
        wrap360_deg(course + np.where(bend, turn / 2.0, 0.0))[rows],
        wrap360_deg(course + np.degrees(np.arctan2(-cross, -over)))[rows],
        passed[rows],
    )
    for row, mark, on, at, leg, leg_m, route_m, side_m, course_deg, bearing, by in zip(
        *(column.tolist() for column in columns), strict=True
    ):
        yield (
            row,
            Minimum(
                mark=mark,
                line=on,
                along_m=at,
                leg=leg,
                leg_along_m=leg_m,
                route_along_m=route_m,
                cross_m=side_m,
                course_deg=course_deg,
                bearing_deg=bearing,
                passed=by,
            ),
        )


def _told_apart(
    near: Near, rise_m: Floats, those: list[tuple[int, Minimum]], blur_m: float
) -> list[Minimum]:
    kept: list[tuple[int, Minimum]] = []
    for row, here in those:
        if kept:
            last_row, last = kept[-1]
            one_side = (last.cross_m >= 0.0) == (here.cross_m >= 0.0)
            if one_side and _rise_m(near, rise_m, last_row, row, last, here) <= blur_m:
                if here.distance_m < last.distance_m - 1e-6:
                    kept[-1] = row, here
                continue
        kept.append((row, here))
    return [one for _, one in kept]


def _rise_m(
    near: Near, rise_m: Floats, first: int, second: int, one: Minimum, other: Minimum
) -> float:
    """How far the distance rises between two minima above the greater of them.

    Along a line the distance is greatest at an end, so the waypoints between tell; where one of
    the lines between is out of reach it rises further than reach.
    """
    if np.any(np.diff(near.line[first : second + 1]) != 1):
        return float("inf")
    return float(rise_m[first:second].max()) - max(one.distance_m, other.distance_m)
