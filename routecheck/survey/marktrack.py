"""The whole track as one chain of rhumb lines, turns of a given radius included as chords.

What is met along the whole track (marks) is looked for here, not leg by leg, so that nothing
outside a bend is lost or met twice. Every line of the chain belongs to one leg.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from routecheck.model.route import LegLine
from routecheck.nav.angles import Floats, turn_deg
from routecheck.nav.legframe import along_cross
from routecheck.survey.arcs import Arc, arc_between
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.track import Lines

Indexes = NDArray[np.intp]
_CHORD_DEG = 5.0  # a chord of 5 degrees leaves its arc by 0.1 % of the radius
_SHORTEST_M = 1e-3


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkTrack:
    """n lines end to end; arrays have shape (n,). The track runs on each from `begin_m` to
    `end_m` along it; there it stands for its leg from `leg_from_m` to `leg_to_m`."""

    lines: Lines
    begin_m: Floats
    end_m: Floats
    leg: NDArray[np.intp]
    """Numbers of legs, from 1."""
    leg_from_m: Floats
    leg_to_m: Floats
    route_from_m: Floats
    """Where the track begins on each, metres from the start of the route."""

    def __len__(self) -> int:
        return len(self.begin_m)

    def to_plane(self, which: Indexes, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        """(along_m, cross_m) of positions (m,) in the planes of lines `which` (m,)."""
        lines = self.lines
        return along_cross(
            lines.lon_deg[which], lines.lat_deg[which], lines.course_deg[which], lon_deg, lat_deg
        )

    def leg_along_m(self, which: Indexes, along_m: Floats) -> Floats:
        """Distance along the leg of distances along lines, (m,)."""
        length_m = self.end_m[which] - self.begin_m[which]
        share = (along_m - self.begin_m[which]) / length_m
        from_m = self.leg_from_m[which]
        return np.asarray(from_m + share * (self.leg_to_m[which] - from_m))

    def route_along_m(self, which: Indexes, along_m: Floats) -> Floats:
        """Distance along the route of distances along lines, (m,)."""
        on_leg_m = self.leg_along_m(which, along_m) - self.leg_from_m[which]
        return np.asarray(self.route_from_m[which] + on_leg_m)

    def place_at(self, route_along_m: float) -> tuple[float, float]:
        """(longitude, latitude) at a distance from the route's start, clipped to the route."""
        at = int(np.searchsorted(self.route_from_m, route_along_m, side="right")) - 1
        at = max(at, 0)
        length_m = float(self.leg_to_m[at] - self.leg_from_m[at])
        share = min(max((route_along_m - float(self.route_from_m[at])) / length_m, 0.0), 1.0)
        along_m = self.begin_m[at] + share * (self.end_m[at] - self.begin_m[at])
        lon, lat = self.lines.positions(np.array([at]), np.array([along_m]))
        return float(lon[0]), float(lat[0])


@dataclass(frozen=True, kw_only=True)
class _Some:
    """Some of the lines, before they are joined."""

    ends: Floats  # (n, 4): longitude and latitude of start and end
    begin_end_m: Floats  # (n, 2)
    leg_from_to_m: Floats  # (n, 2)
    corridor: LegCorridor


def mark_track(route_corridors: Sequence[LegCorridor]) -> MarkTrack:
    """The lines of the whole route, end to end."""
    turns = _turns(route_corridors)
    parts: list[_Some] = []
    for index, corridor in enumerate(route_corridors):
        before = turns[index - 1] if index else None
        after = turns[index] if index < len(turns) else None
        parts.append(_straight(corridor, _start_m(before), _end_m(after)))
        if after is not None:
            parts += _chords(corridor, route_corridors[index + 1], after)
    ends = np.concatenate([part.ends for part in parts])
    spans = np.concatenate([part.begin_end_m for part in parts])
    on_leg = np.concatenate([part.leg_from_to_m for part in parts])
    count = [len(part.ends) for part in parts]
    starts = np.repeat([part.corridor.start_along_m for part in parts], count)
    lines = Lines.between(ends[:, 0], ends[:, 1], ends[:, 2], ends[:, 3])
    return MarkTrack(
        lines=lines,
        begin_m=spans[:, 0],
        end_m=spans[:, 1],
        leg=np.repeat([part.corridor.leg.number for part in parts], count),
        leg_from_m=on_leg[:, 0],
        leg_to_m=on_leg[:, 1],
        route_from_m=starts + on_leg[:, 0],
    )


def _turns(route_corridors: Sequence[LegCorridor]) -> list[Arc | None]:
    """The arc at the end of each leg but the last; None where the turn is made on the spot."""
    made = [_turn(before, after) for before, after in pairwise(route_corridors)]
    bare = [*made, None]
    for index, corridor in enumerate(route_corridors):
        into, out = bare[index - 1] if index else None, bare[index]
        if _start_m(into) + _end_m(out) > corridor.length_m - _SHORTEST_M:
            for at in (index - 1, index):  # the arcs do not fit: turn on the spot
                if 0 <= at < len(made):
                    made[at] = None
    return made


def _start_m(arc: Arc | None) -> float:
    return 0.0 if arc is None else arc.after_m


def _end_m(arc: Arc | None) -> float:
    return 0.0 if arc is None else arc.before_m


def _turn(before: LegCorridor, after: LegCorridor) -> Arc | None:
    turn = turn_deg(before.end_course_deg, after.course_deg)
    radius_m = before.leg.end.turn_radius_m
    if abs(turn) < 0.1 or radius_m == 0.0:
        return None
    return arc_between(before.leg, after.leg, radius_m, turn)


def _straight(corridor: LegCorridor, trim_start_m: float, trim_end_m: float) -> _Some:
    ends, spans, on_leg = [], [], []
    first_m, last_m = trim_start_m, corridor.length_m - trim_end_m
    for lon1, lat1, lon2, lat2, start_m, length_m in _rhumb_lines(corridor):
        from_m, to_m = max(start_m, first_m), min(start_m + length_m, last_m)
        if to_m - from_m >= min(_SHORTEST_M, length_m):
            ends.append((lon1, lat1, lon2, lat2))
            spans.append((from_m - start_m, to_m - start_m))
            on_leg.append((from_m, to_m))
    return _Some(
        ends=np.array(ends, dtype=float).reshape(-1, 4),
        begin_end_m=np.array(spans, dtype=float).reshape(-1, 2),
        leg_from_to_m=np.array(on_leg, dtype=float).reshape(-1, 2),
        corridor=corridor,
    )


def _rhumb_lines(
    corridor: LegCorridor,
) -> list[tuple[float, float, float, float, float, float]]:
    """Start, end, distance from the leg's start and length of the lines that a leg is made of."""
    leg = corridor.leg
    if leg.line is LegLine.RHUMB:
        start, end = leg.start, leg.end
        return [(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg, 0.0, corridor.length_m)]
    return [
        (
            chunk.frame.start_lon_deg,
            chunk.frame.start_lat_deg,
            chunk.frame.end_lon_deg,
            chunk.frame.end_lat_deg,
            chunk.along_m,
            chunk.frame.length_m,
        )
        for chunk in corridor.chunks
    ]


def _chords(before: LegCorridor, after: LegCorridor, arc: Arc) -> list[_Some]:
    """The arc's chords; the first half belongs to the leg before, the second to the one after."""
    half = max(1, int(np.ceil(abs(arc.sweep_deg) / 2.0 / _CHORD_DEG - 1e-6)))
    lon, lat = arc.places(np.arange(2 * half + 1) / (2 * half), arc.radius_m)
    ends = np.stack([lon[:-1], lat[:-1], lon[1:], lat[1:]], axis=1)
    length_m = Lines.between(*ends.T).length_m
    spans = np.stack([np.zeros_like(length_m), length_m], axis=1)
    steps = np.arange(half + 1) / half
    on_leg = np.stack([steps[:-1], steps[1:]], axis=1)
    return [
        _Some(
            ends=ends[:half],
            begin_end_m=spans[:half],
            leg_from_to_m=before.length_m - arc.before_m * (1.0 - on_leg),
            corridor=before,
        ),
        _Some(
            ends=ends[half:],
            begin_end_m=spans[half:],
            leg_from_to_m=arc.after_m * on_leg,
            corridor=after,
        ),
    ]
