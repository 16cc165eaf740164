"""Where the whole track comes nearest to marks: every local minimum of the distance.

Between two waypoints a minimum is the foot of a perpendicular; outside a bend it is the
waypoint itself, once, and belongs to the leg before it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import shapely

from routecheck.nav.angles import Floats, turn_deg, wrap180_deg, wrap360_deg
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.nav.legframe import LegFrame
from routecheck.survey.markset import point_list
from routecheck.survey.marktrack import Piece

_BACK_DEG = 179.9
"""A turn this sharp is a turning back: the mark ahead of it is not passed."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Minimum:
    """The track at its nearest to a mark. `cross_m` is signed, its size the distance."""

    mark: int
    piece: int
    leg: int
    leg_along_m: float
    route_along_m: float
    cross_m: float
    course_deg: float
    lon_deg: float
    lat_deg: float
    passed: bool
    """False where the mark lies off an end of the track, more ahead or astern than abeam."""

    @property
    def distance_m(self) -> float:
        """Distance from the track, metres."""
        return abs(self.cross_m)


@dataclass(frozen=True, slots=True)
class _Near:
    """A piece near a mark: the mark's place in the piece's plane."""

    mark: int
    piece: int
    along_m: float
    cross_m: float


def minima(
    track: Sequence[Piece], lon_deg: Floats, lat_deg: Floats, reach_m: float, blur_m: Floats
) -> tuple[dict[int, list[Minimum]], dict[int, list[int]]]:
    """All minima within `reach_m` of n marks, and the pieces that come so near; both by mark.

    `blur_m` (n,): two minima on one side of a mark between which the distance does not rise by
    more than its position uncertainty cannot be told apart, and the nearer one stands.
    """
    found: dict[int, list[Minimum]] = {}
    pieces: dict[int, list[int]] = {}
    near = _near(track, lon_deg, lat_deg, reach_m)
    for mark, held in groupby(near, key=lambda n: n.mark):
        those = list(held)
        by_piece = {n.piece: n for n in those}
        raw = [m for n in those for m in _minimum(track, by_piece, n)]
        within = [m for m in raw if m.distance_m <= reach_m]
        within.sort(key=lambda m: m.route_along_m)
        found[mark] = _told_apart(track, by_piece, within, float(blur_m[mark]))
        pieces[mark] = [n.piece for n in those]
    return found, pieces


def _near(track: Sequence[Piece], lon_deg: Floats, lat_deg: Floats, reach_m: float) -> list[_Near]:
    """Every piece and mark that come within reach of each other, by mark and piece."""
    if not len(lon_deg):
        return []
    tree = shapely.STRtree(point_list(lon_deg, lat_deg))
    pieces: list[int] = []
    boxes: list[shapely.Polygon] = []
    for number, piece in enumerate(track):
        for box in _boxes(piece.frame, reach_m):
            pieces.append(number)
            boxes.append(box)
    which, marks = tree.query(boxes)
    pairs = sorted(set(zip(np.asarray(pieces)[which].tolist(), marks.tolist(), strict=True)))
    made: list[_Near] = []
    for number, held in groupby(pairs, key=lambda pair: pair[0]):
        here = [mark for _, mark in held]
        frame = track[number].frame
        along, cross = frame.to_frame(lon_deg[here], lat_deg[here])
        over = along - np.clip(along, 0.0, frame.length_m)
        keep = np.hypot(over, cross) <= reach_m + 1.0
        made += [
            _Near(mark, number, float(a), float(c))
            for mark, a, c, k in zip(here, along, cross, keep, strict=True)
            if k
        ]
    return sorted(made, key=lambda n: (n.mark, n.piece))


def _boxes(frame: LegFrame, reach_m: float) -> Iterator[shapely.Polygon]:
    """Boxes round a piece whose longitudes overlap with [-180, 180]."""
    south = min(frame.start_lat_deg, frame.end_lat_deg)
    north = max(frame.start_lat_deg, frame.end_lat_deg)
    margin = float(np.degrees(reach_m / meridian_radius_m(0.0))) * 1.01
    steepest = min(max(abs(south), abs(north)) + margin, 89.9)
    wide = min(float(np.degrees(reach_m / parallel_radius_m(steepest))) * 1.01, 180.0)
    start = float(wrap180_deg(frame.start_lon_deg))
    end = start + float(wrap180_deg(frame.end_lon_deg - frame.start_lon_deg))
    west, east = min(start, end) - wide, max(start, end) + wide
    for whole_turn in (-360.0, 0.0, 360.0):
        if west + whole_turn <= 180.0 and east + whole_turn >= -180.0:
            yield shapely.box(west + whole_turn, south - margin, east + whole_turn, north + margin)


def _minimum(track: Sequence[Piece], by_piece: dict[int, _Near], near: _Near) -> Iterator[Minimum]:
    frame = track[near.piece].frame
    if 0.0 < near.along_m < frame.length_m:
        yield _made(track, near, near.along_m, near.cross_m, frame.course_deg)
    elif near.along_m >= frame.length_m:
        if near.piece + 1 == len(track):
            yield _off_end(track, near, frame.length_m)
            return
        after = by_piece.get(near.piece + 1)
        if after is not None and after.along_m <= 0.0:
            yield _outside_bend(track, near, frame.length_m)
    elif near.piece == 0:
        yield _off_end(track, near, 0.0)


def _off_end(track: Sequence[Piece], near: _Near, along_m: float) -> Minimum:
    """Off the first or the last waypoint: passed only where the mark is more abeam than not."""
    over_m = abs(near.along_m - along_m)
    distance = float(np.hypot(over_m, near.cross_m))
    cross_m = float(np.copysign(distance, near.cross_m))
    course_deg = track[near.piece].frame.course_deg
    return _made(track, near, along_m, cross_m, course_deg, passed=over_m <= abs(near.cross_m))


def _outside_bend(track: Sequence[Piece], near: _Near, along_m: float) -> Minimum:
    """Outside a bend the mark is left on the outer side of the turn, however sharp it is.

    The course there is half-way through the turn, which is square to the mark or nearly so.
    """
    before, after = track[near.piece].frame, track[near.piece + 1].frame
    turn = turn_deg(before.course_deg, after.course_deg)
    distance = float(np.hypot(near.along_m - along_m, near.cross_m))
    outer = -1.0 if turn > 0.0 else 1.0 if turn < 0.0 else float(np.copysign(1.0, near.cross_m))
    course_deg = float(wrap360_deg(before.course_deg + turn / 2.0))
    passed = abs(turn) < _BACK_DEG
    return _made(track, near, along_m, outer * distance, course_deg, passed=passed)


def _made(
    track: Sequence[Piece],
    near: _Near,
    along_m: float,
    cross_m: float,
    course_deg: float,
    *,
    passed: bool = True,
) -> Minimum:
    piece = track[near.piece]
    lon, lat = piece.frame.from_frame(along_m, 0.0)
    return Minimum(
        mark=near.mark,
        piece=near.piece,
        leg=piece.leg,
        leg_along_m=piece.leg_along_m(along_m),
        route_along_m=piece.route_along_m(along_m),
        cross_m=cross_m,
        course_deg=course_deg,
        lon_deg=float(wrap180_deg(float(lon))),
        lat_deg=float(lat),
        passed=passed,
    )


def _told_apart(
    track: Sequence[Piece], by_piece: dict[int, _Near], those: list[Minimum], blur_m: float
) -> list[Minimum]:
    kept: list[Minimum] = []
    for here in those:
        last = kept[-1] if kept else None
        if (
            last is not None
            and (last.cross_m >= 0.0) == (here.cross_m >= 0.0)
            and _rise_m(track, by_piece, last, here) <= blur_m
        ):
            if here.distance_m < last.distance_m - 1e-6:
                kept[-1] = here
            continue
        kept.append(here)
    return kept


def _rise_m(
    track: Sequence[Piece], by_piece: dict[int, _Near], first: Minimum, second: Minimum
) -> float:
    """How far the distance rises between two minima above the greater of them.

    Along a straight piece the distance is greatest at an end, so the waypoints between tell.
    """
    greatest = 0.0
    for number in range(first.piece, second.piece):
        near = by_piece.get(number)
        if near is None:
            return float("inf")
        over_m = near.along_m - track[number].frame.length_m
        greatest = max(greatest, float(np.hypot(over_m, near.cross_m)))
    return greatest - max(first.distance_m, second.distance_m)
