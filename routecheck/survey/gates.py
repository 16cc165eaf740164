"""Facing pairs of lateral marks, and where the track crosses their lines.

A pair: two plain lateral marks of opposite hands, each the other's nearest of the other hand,
at most a mile apart, and of one numbered run if they have numbers. It is a gate for a track
only if the track crosses the line between them, prolonged by its own length at each end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.nav.angles import wrap360_deg
from routecheck.nav.buoyage import pair_direction_deg, sense_of_course
from routecheck.survey.markset import MarkSet, nearby, offset_m
from routecheck.survey.marktrack import Piece
from routecheck.survey.runs import Runs
from routecheck.units import METRES_PER_NMI

WIDEST_M = METRES_PER_NMI
_NUMBERS_APART = 3
"""Two marks of a gate that have numbers stand no further apart in number than this."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Pair:
    """A facing pair: indices of its marks, and its direction of buoyage."""

    port_hand: int
    starboard_hand: int
    width_m: float
    direction_deg: float

    def partner(self, mark: int) -> int:
        """The other mark."""
        return self.starboard_hand if mark == self.port_hand else self.port_hand


@dataclass(frozen=True, kw_only=True, slots=True)
class Crossing:
    """Where the track crosses a pair's prolonged line. `share` is 0 at the port-hand mark,
    1 at the starboard-hand mark."""

    pair: Pair
    share: float
    route_along_m: float
    course_deg: float
    lon_deg: float
    lat_deg: float

    @property
    def between(self) -> bool:
        """Between the marks, not outside one of them."""
        return 0.0 <= self.share <= 1.0

    @property
    def outside_m(self) -> float:
        """How far outside the nearer mark, metres; 0 between the marks."""
        return max(0.0, -self.share, self.share - 1.0) * self.pair.width_m

    @property
    def nearer(self) -> int:
        """The mark that the crossing is nearer to."""
        return self.pair.port_hand if self.share < 0.5 else self.pair.starboard_hand


def facing_pairs(
    marks: MarkSet, kinds: Mapping[int, MarkKind], wanted: Sequence[int], runs: Runs
) -> dict[int, Pair]:
    """The pairs of the wanted marks, by mark. `kinds` holds the hands of all lateral marks."""
    hands = (MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND)
    laterals = [index for index, kind in kinds.items() if kind in hands]
    asked = [index for index in wanted if kinds.get(index) in hands]
    nearest = _nearest(marks, kinds, asked, laterals)
    again = sorted({there for there, _ in nearest.values()} - set(asked))
    nearest |= _nearest(marks, kinds, again, laterals)
    made: dict[int, Pair] = {}
    for here in asked:
        there, width_m = nearest.get(here, (-1, 0.0))
        if there < 0 or nearest.get(there, (-1, 0.0))[0] != here or width_m == 0.0:
            continue
        if not _one_channel(runs, here, there):
            continue
        port = here if kinds[here] is MarkKind.PORT_HAND else there
        starboard = there if port == here else here
        east, north = offset_m(
            marks.lon_deg[port], marks.lat_deg[port], marks.lon_deg[starboard],
            marks.lat_deg[starboard],
        )  # fmt: skip
        bearing_deg = float(wrap360_deg(np.degrees(np.arctan2(east, north))))
        made[here] = Pair(
            port_hand=port,
            starboard_hand=starboard,
            width_m=width_m,
            direction_deg=pair_direction_deg(bearing_deg),
        )
    return made


def _one_channel(runs: Runs, first: int, second: int) -> bool:
    if not runs.same(first, second):
        return False
    one, two = runs.numbered.get(first), runs.numbered.get(second)
    return one is None or two is None or abs(one.number - two.number) <= _NUMBERS_APART


def _nearest(
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    asked: Sequence[int],
    laterals: Sequence[int],
) -> dict[int, tuple[int, float]]:
    """(nearest mark of the other hand, its distance) of each asked mark that has one."""
    if not asked or not laterals:
        return {}
    mine, others = np.asarray(asked), np.asarray(laterals)
    pairs = nearby(
        marks.lon_deg[mine],
        marks.lat_deg[mine],
        marks.lon_deg[others],
        marks.lat_deg[others],
        WIDEST_M,
    )
    best: dict[int, tuple[int, float]] = {}
    facing = [
        (int(mine[i]), int(others[j]))
        for i, j in pairs
        if kinds[int(mine[i])] is not kinds[int(others[j])]
    ]
    if not facing:
        return {}
    here, there = (np.asarray(side) for side in zip(*facing, strict=True))
    apart = np.hypot(
        *offset_m(
            marks.lon_deg[here], marks.lat_deg[here], marks.lon_deg[there], marks.lat_deg[there]
        )
    )
    for first, second, apart_m in zip(here.tolist(), there.tolist(), apart.tolist(), strict=True):
        if first not in best or (apart_m, second) < (best[first][1], best[first][0]):
            best[first] = second, apart_m
    return best


def crossings(
    track: Sequence[Piece], marks: MarkSet, pair: Pair, pieces: Sequence[int]
) -> list[Crossing]:
    """All crossings of a pair's prolonged line by the given pieces of the track, in order."""
    both = [pair.port_hand, pair.starboard_hand]
    lon, lat = marks.lon_deg[both], marks.lat_deg[both]
    made: list[Crossing] = []
    for number in pieces:
        piece = track[number]
        along, cross = piece.frame.to_frame(lon, lat)
        step_m = float(cross[1] - cross[0])
        if step_m == 0.0:
            continue
        share = float(-cross[0]) / step_m
        at_m = float(along[0] + share * (along[1] - along[0]))
        length_m = piece.frame.length_m
        last = number + 1 == len(track)
        on_piece = 0.0 <= at_m < length_m or (last and at_m == length_m)
        if not (-1.0 <= share <= 2.0 and on_piece):
            continue
        where_lon, where_lat = piece.frame.from_frame(at_m, 0.0)
        made.append(
            Crossing(
                pair=pair,
                share=share,
                route_along_m=piece.route_along_m(at_m),
                course_deg=piece.frame.course_deg,
                lon_deg=float(where_lon),
                lat_deg=float(where_lat),
            )
        )
    return made


def ground(crossing: Crossing, names: tuple[str, str]) -> Ground | None:
    """What a pair that is passed says of the sense; None where its line is not nearly square."""
    sense = sense_of_course(crossing.course_deg, crossing.pair.direction_deg)
    if sense == "crossing":
        return None
    port_name, starboard_name = names
    return Ground(
        kind=GroundKind.PAIR,
        sense=Sense(sense),
        text=f"{port_name} (port-hand) and {starboard_name} (starboard-hand) face each other",
    )
