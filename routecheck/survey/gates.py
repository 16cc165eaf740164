"""Facing pairs of lateral marks, and where the track crosses their lines.

A pair: two plain lateral marks of opposite hands, each the other's nearest of the other hand,
at most a mile apart, and of one numbered run if they have numbers. It is a gate for a track
only if the track crosses the line between them, prolonged by its own length at each end, and
more squarely than not: marks that stand one after the other along the track are no gate.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.nav.angles import Floats, turn_deg, wrap180_deg, wrap360_deg
from routecheck.nav.buoyage import pair_direction_deg, sense_of_course
from routecheck.survey.markset import MarkSet, distance_m, nearby, offset_m
from routecheck.survey.marktrack import Indexes, MarkTrack
from routecheck.survey.minima import Near
from routecheck.survey.runs import Runs
from routecheck.units import METRES_PER_NMI

_FACES = {
    MarkKind.PORT_HAND: MarkKind.STARBOARD_HAND,
    MarkKind.STARBOARD_HAND: MarkKind.PORT_HAND,
}
WIDEST_M = METRES_PER_NMI
NUMBERS_APART = 3
"""Two marks of a gate that have numbers stand no further apart in number than this."""
JOINT_M = 2.0
"""So near the end of a line of the track a crossing is one at the waypoint: in the planes of two
lines what joins two marks lies apart there by d**2 tan(latitude) / R, d being the marks' distance,
and a line through the waypoint itself would be crossed on neither of the two, or on both."""


@dataclass(frozen=True, kw_only=True, slots=True, order=True)
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
    def off_middle_m(self) -> float:
        """How far to starboard of the middle the boat is as she crosses, along the line."""
        with_it = abs(turn_deg(self.pair.direction_deg, self.course_deg)) < 90.0
        off_m = (self.share - 0.5) * self.pair.width_m
        return off_m if with_it else -off_m

    @property
    def abreast(self) -> bool:
        """The line is crossed more squarely than not, so that the marks are passed together."""
        off_deg = abs(turn_deg(self.pair.direction_deg, self.course_deg))
        return min(off_deg, 180.0 - off_deg) <= 45.0

    @property
    def nearer(self) -> int:
        """The mark that the crossing is nearer to."""
        return self.pair.port_hand if self.share < 0.5 else self.pair.starboard_hand


def facing_pairs(
    marks: MarkSet, kinds: Mapping[int, MarkKind], wanted: Sequence[int], runs: Runs
) -> dict[int, Pair]:
    """The pairs of the wanted marks, by mark. `kinds` holds the hands of all lateral marks."""
    asked = [index for index in wanted if kinds.get(index) in _FACES]
    nearest = _nearest(marks, kinds, asked)
    again = sorted({there for there, _ in nearest.values()} - set(asked))
    nearest |= _nearest(marks, kinds, again)
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
    return one is None or two is None or abs(one.number - two.number) <= NUMBERS_APART


def _nearest(
    marks: MarkSet, kinds: Mapping[int, MarkKind], asked: Sequence[int]
) -> dict[int, tuple[int, float]]:
    """(nearest mark of the other hand, its distance) of each asked mark that has one."""
    mine = np.asarray(asked, dtype=np.intp)
    lon, lat = marks.lon_deg, marks.lat_deg
    facing = [
        (asked[i], there)
        for i, there in nearby(lon[mine], lat[mine], lon, lat, WIDEST_M, marks.tree)
        if kinds.get(there) is _FACES[kinds[asked[i]]]
    ]
    if not facing:
        return {}
    one, other = (np.asarray(side) for side in zip(*facing, strict=True))
    apart = distance_m(lon[one], lat[one], lon[other], lat[other]).tolist()
    best: dict[int, tuple[int, float]] = {}
    for (here, there), apart_m in zip(facing, apart, strict=True):
        if here not in best or (apart_m, there) < (best[here][1], best[here][0]):
            best[here] = there, apart_m
    return best


def crossings(
    track: MarkTrack, near: Near, marks: MarkSet, pairs: Sequence[Pair]
) -> dict[Pair, list[Crossing]]:
    """All crossings of the prolonged line of each pair, in order along the track.

    Looked for on the lines of the track that come near one of the two marks.
    """
    found: dict[Pair, list[Crossing]] = {pair: [] for pair in pairs}
    beside = [
        np.unique(
            np.concatenate([near.line[near.of(p.port_hand)], near.line[near.of(p.starboard_hand)]])
        )
        for p in pairs
    ]
    port = np.array([p.port_hand for p in pairs], dtype=np.intp)
    starboard = np.array([p.starboard_hand for p in pairs], dtype=np.intp)
    lon, lat = marks.lon_deg, marks.lat_deg
    ends = lon[port], lat[port], lon[starboard], lat[starboard]
    for crossing in line_crossings(track, beside, pairs, *ends):
        found[crossing.pair].append(crossing)
    return found


def line_crossings(
    track: MarkTrack,
    beside: Sequence[Indexes],
    pairs: Sequence[Pair],
    lon1_deg: Floats,
    lat1_deg: Floats,
    lon2_deg: Floats,
    lat2_deg: Floats,
) -> list[Crossing]:
    """Where the track crosses lines between two places each (n,), prolonged by their own length.

    `beside` holds for each the lines of the track to look at, ascending, `pairs` what the crossing
    is named after; its share counts from the first place.
    """
    if not beside:
        return []
    line = np.concatenate(beside)
    of = np.repeat(np.arange(len(pairs)), [len(lines) for lines in beside])
    along1, cross1 = track.to_plane(line, lon1_deg[of], lat1_deg[of])
    along2, cross2 = track.to_plane(line, lon2_deg[of], lat2_deg[of])
    step = cross2 - cross1
    parallel = step == 0.0
    share = -cross1 / np.where(parallel, 1.0, step)
    at = along1 + share * (along2 - along1)
    begin, end = track.begin_m[line], track.end_m[line]
    on_line = (at >= begin - JOINT_M) & (at <= end + JOINT_M)
    hits = np.flatnonzero(on_line & ~parallel & (share >= -1.0) & (share <= 2.0))
    # Where one line joins the next it is one crossing.
    last, now = hits[:-1], hits[1:]
    again = (of[now] == of[last]) & (line[now] == line[last] + 1)
    again &= (at[now] <= begin[now] + JOINT_M) & (at[last] >= end[last] - JOINT_M)
    hits = np.concatenate([hits[:1], now[~again]])
    at = np.clip(at, begin, end)
    lon, lat = track.lines.positions(line[hits], at[hits])
    route_m = track.route_along_m(line[hits], at[hits])
    return [
        Crossing(
            pair=pairs[of[hit]],
            share=float(share[hit]),
            route_along_m=float(route_m[k]),
            course_deg=float(track.lines.course_deg[line[hit]]),
            lon_deg=float(wrap180_deg(lon[k])),
            lat_deg=float(lat[k]),
        )
        for k, hit in enumerate(hits)
    ]


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
