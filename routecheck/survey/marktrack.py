"""The track as one chain of straight pieces, turns of a given radius included as chords.

What is met along the whole track (marks) is looked for here, not leg by leg, so that nothing
outside a bend is lost or met twice. Every piece belongs to one leg.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from routecheck.nav.angles import turn_deg
from routecheck.nav.legframe import LegFrame
from routecheck.nav.rhumb import offset_positions
from routecheck.survey.corridors import LegCorridor

_CHORD_DEG = 5.0  # a chord of 5 degrees leaves its arc by 0.1 % of the radius
_SHORTEST_M = 1e-3


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """A straight piece of the track and the stretch of its leg that it stands for."""

    frame: LegFrame
    leg: int
    leg_from_m: float
    leg_to_m: float
    route_from_m: float
    """Where it starts, metres from the start of the route."""

    def leg_along_m(self, along_m: float) -> float:
        """Distance along the leg of a distance along this piece, both from their starts."""
        share = along_m / self.frame.length_m
        return self.leg_from_m + share * (self.leg_to_m - self.leg_from_m)

    def route_along_m(self, along_m: float) -> float:
        """Distance along the route of a distance along this piece."""
        return self.route_from_m + self.leg_along_m(along_m) - self.leg_from_m


def whole_track(route_corridors: Sequence[LegCorridor]) -> tuple[Piece, ...]:
    """The pieces of the whole route, end to end."""
    turns = [_turn(before, after) for before, after in pairwise(route_corridors)]
    trims = [[0.0, 0.0] for _ in route_corridors]
    for index, turn in enumerate(turns):
        trims[index][1], trims[index + 1][0] = turn[0], turn[0]
    for index, corridor in enumerate(route_corridors):
        if sum(trims[index]) > corridor.length_m:  # two arcs do not fit: turn on the spot
            for at in (index - 1, index):
                if 0 <= at < len(turns):
                    turns[at] = (0.0, 0.0, 0.0)
                    trims[at][1], trims[at + 1][0] = 0.0, 0.0
    pieces: list[Piece] = []
    for index, corridor in enumerate(route_corridors):
        pieces += _straight(corridor, *trims[index])
        if index < len(turns) and turns[index][0] > 0.0:
            pieces += _arc(corridor, route_corridors[index + 1], *turns[index])
    return tuple(pieces)


def place_at(track: Sequence[Piece], route_along_m: float) -> tuple[float, float]:
    """(longitude, latitude) at a distance from the route's start, clipped to the route."""
    held = track[0]
    for piece in track:
        if piece.route_from_m > route_along_m:
            break
        held = piece
    length_m = held.leg_to_m - held.leg_from_m
    share = min(max((route_along_m - held.route_from_m) / length_m, 0.0), 1.0)
    lon, lat = held.frame.from_frame(share * held.frame.length_m, 0.0)
    return float(lon), float(lat)


def _turn(before: LegCorridor, after: LegCorridor) -> tuple[float, float, float]:
    """(tangent length, radius, turn) of the turn between two legs; zeros on the spot."""
    turn = turn_deg(before.end_course_deg, after.course_deg)
    radius_m = before.leg.end.turn_radius_m
    if radius_m <= 0.0 or abs(turn) < 0.1:
        return 0.0, 0.0, turn
    half_tan = float(np.tan(np.radians(min(abs(turn), 179.0)) / 2.0))
    # As for the corridor: the tangent points cannot lie beyond the far ends of the two legs.
    radius_m = min(radius_m, min(before.length_m, after.length_m) / half_tan)
    return radius_m * half_tan, radius_m, turn


def _straight(corridor: LegCorridor, trim_start_m: float, trim_end_m: float) -> list[Piece]:
    made = []
    first_m, last_m = trim_start_m, corridor.length_m - trim_end_m
    for chunk in corridor.chunks:
        from_m = max(chunk.along_m, first_m)
        to_m = min(chunk.along_m + chunk.frame.length_m, last_m)
        if to_m - from_m < _SHORTEST_M < chunk.frame.length_m:
            continue
        frame = chunk.frame
        if to_m - from_m < frame.length_m - 1e-9:
            lon, lat = frame.from_frame(np.array([from_m, to_m]) - chunk.along_m, 0.0)
            frame = LegFrame.between(float(lon[0]), float(lat[0]), float(lon[1]), float(lat[1]))
        made.append(_piece(corridor, frame, from_m, to_m))
    return made


def _piece(corridor: LegCorridor, frame: LegFrame, from_m: float, to_m: float) -> Piece:
    return Piece(
        frame=frame,
        leg=corridor.leg.number,
        leg_from_m=from_m,
        leg_to_m=to_m,
        route_from_m=corridor.start_along_m + from_m,
    )


def _arc(
    before: LegCorridor, after: LegCorridor, tangent_m: float, radius_m: float, turn: float
) -> list[Piece]:
    """The arc's chords; the first half belongs to the leg before, the second to the one after."""
    half = max(1, int(np.ceil(abs(turn) / 2.0 / _CHORD_DEG)))
    side = 1.0 if turn >= 0.0 else -1.0
    in_deg = before.end_course_deg
    centre_rad = np.radians(in_deg + side * 90.0 + turn / 2.0)
    centre_m = radius_m / np.cos(np.radians(turn / 2.0))
    bearing_rad = np.radians(in_deg - side * 90.0 + turn * np.arange(2 * half + 1) / (2 * half))
    east_m = centre_m * np.sin(centre_rad) + radius_m * np.sin(bearing_rad)
    north_m = centre_m * np.cos(centre_rad) + radius_m * np.cos(bearing_rad)
    corner = before.leg.end
    lon, lat = offset_positions(
        corner.lon_deg,
        corner.lat_deg,
        np.degrees(np.arctan2(east_m, north_m)),
        np.hypot(east_m, north_m),
    )
    made = []
    step_m = tangent_m / half
    for k in range(2 * half):
        frame = LegFrame.between(float(lon[k]), float(lat[k]), float(lon[k + 1]), float(lat[k + 1]))
        if k < half:
            from_m = before.length_m - tangent_m + k * step_m
            made.append(_piece(before, frame, from_m, from_m + step_m))
        else:
            from_m = (k - half) * step_m
            made.append(_piece(after, frame, from_m, from_m + step_m))
    return made
