"""The edge of a channel between two marks of one hand, and where the track crosses it.

Two marks of one hand stand next to each other on an edge if their numbers follow on their side of
one run, or, where neither has a number, if no third mark of their hand stands between them (in
the circle whose diameter joins them) and both face a mark of the other hand on the same side.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence

import numpy as np

from routecheck.model.objects import MarkKind
from routecheck.model.passes import EdgeCrossed
from routecheck.nav.angles import turn_deg, wrap360_deg
from routecheck.survey.gates import Crossing, Pair, crossings, facing_pairs
from routecheck.survey.markset import MarkSet, distance_m, nearby, offset_m
from routecheck.survey.marktrack import MarkTrack
from routecheck.survey.minima import Minimum, Near
from routecheck.survey.runs import Runs

_SQUARE_ENOUGH = 0.5
"""Cosine of 60 degrees: the least angle between an edge and the line across the channel."""
_HANDS = frozenset({MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND})


def edges_crossed(
    track: MarkTrack,
    near: Near,
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    met: Sequence[Minimum],
    within_m: float,
) -> dict[Minimum, tuple[EdgeCrossed, ...]]:
    """The edges that the track crosses, each by the pass of its nearer mark.

    Marks are met out to `within_m`; an edge is no longer than twice that, so that one of its marks
    is met where the track crosses it.
    """
    passes: dict[int, list[Minimum]] = defaultdict(list)
    for one in met:
        if kinds.get(one.mark) in _HANDS:
            passes[one.mark].append(one)
    sides = _neighbours(marks, kinds, runs, sorted(passes), 2.0 * within_m)
    found: dict[Minimum, list[EdgeCrossed]] = defaultdict(list)
    for pair, crossed in crossings(track, near, marks, sorted(sides)).items():
        for crossing in crossed:
            if not crossing.between:
                continue
            ends = (crossing.nearer, pair.partner(crossing.nearer))
            of = next((passes[mark] for mark in ends if passes[mark]), [])
            if of:
                at = min(of, key=lambda m: abs(m.route_along_m - crossing.route_along_m))
                edge = _edge(
                    crossing,
                    marks,
                    kinds,
                    channel_to_starboard=sides[pair],
                    numbered=pair.port_hand in runs.numbered,
                )
                found[at].append(edge)
    return {at: tuple(those) for at, those in found.items()}


def _edge(
    at: Crossing,
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    *,
    channel_to_starboard: bool,
    numbered: bool,
) -> EdgeCrossed:
    first, second = at.pair.port_hand, at.pair.starboard_hand
    to_starboard = math.sin(math.radians(turn_deg(at.pair.direction_deg, at.course_deg))) > 0.0
    return EdgeCrossed(
        first_key=marks.marks[first].key,
        first_name=marks.marks[first].name,
        second_key=marks.marks[second].key,
        second_name=marks.marks[second].name,
        hand=kinds[first],
        length_m=at.pair.width_m,
        off_nearer_m=min(at.share, 1.0 - at.share) * at.pair.width_m,
        lon_deg=at.lon_deg,
        lat_deg=at.lat_deg,
        enters=to_starboard is channel_to_starboard,
        numbered=numbered,
    )


def _neighbours(
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    wanted: Sequence[int],
    longest_m: float,
) -> dict[Pair, bool]:
    """Neighbours on an edge, at least one of them wanted, of a run the lower number first; and
    whether the channel lies to starboard of the line from the first to the second."""
    mine = np.asarray(wanted, dtype=np.intp)
    lon, lat = marks.lon_deg, marks.lat_deg
    beside: dict[int, list[int]] = defaultdict(list)
    for i, there in nearby(lon[mine], lat[mine], lon, lat, longest_m, marks.tree):
        here = wanted[i]
        if here != there and kinds.get(there) is kinds[here] and runs.same(here, there):
            beside[here].append(there)
    bare = {m for here, others in beside.items() for m in (here, *others)} - set(runs.numbered)
    faces = facing_pairs(marks, kinds, sorted(bare), runs)
    following = _Following(kinds, runs)
    made: dict[Pair, bool] = {}
    done: set[tuple[int, int]] = set()
    for here, others in beside.items():
        for there in others:
            first, second = _in_order(runs, here, there)
            if (first, second) in done:
                continue
            done.add((first, second))
            if first in runs.numbered:
                if not following.follows(first, second):
                    continue
            elif not (first in faces and second in faces) or not _nothing_between(
                marks, first, second, others
            ):
                continue
            east, north = offset_m(lon[first], lat[first], lon[second], lat[second])
            pair = Pair(
                port_hand=first,
                starboard_hand=second,
                width_m=float(np.hypot(east, north)),
                direction_deg=float(wrap360_deg(np.degrees(np.arctan2(east, north)))),
            )
            side = _channel_side(marks, kinds, runs, faces, pair)
            if side is not None:
                made[pair] = side
    return made


def _channel_side(
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    faces: Mapping[int, Pair],
    edge: Pair,
) -> bool | None:
    """Whether the channel lies to starboard of an edge; None where nothing tells.

    Seen along the numbers it lies to starboard of port-hand marks; without numbers it lies where
    the marks that the two face are, if those stand on one side and nearly square to the edge.
    """
    first, second = edge.port_hand, edge.starboard_hand
    if first in runs.numbered:
        return kinds[first] is MarkKind.PORT_HAND
    lon, lat = marks.lon_deg, marks.lat_deg
    sides = set()
    for end in (first, second):
        other = faces[end].partner(end)
        east, north = offset_m(lon[end], lat[end], lon[other], lat[other])
        off_rad = math.atan2(float(east), float(north)) - math.radians(edge.direction_deg)
        if abs(math.cos(off_rad)) > _SQUARE_ENOUGH:
            return None
        sides.add(math.sin(off_rad) > 0.0)
    return sides.pop() if len(sides) == 1 else None


def _in_order(runs: Runs, here: int, there: int) -> tuple[int, int]:
    if here in runs.numbered and runs.numbered[there].order < runs.numbered[here].order:
        return there, here
    return (here, there) if here in runs.numbered else (min(here, there), max(here, there))


class _Following:
    """The next number on a mark's own side of its run."""

    def __init__(self, kinds: Mapping[int, MarkKind], runs: Runs) -> None:
        self.kinds, self.runs = kinds, runs
        self._sides: dict[tuple[str, MarkKind], list[tuple[int, str]]] = {}

    def follows(self, first: int, second: int) -> bool:
        """Whether no number of their side lies between the two."""
        read, kind = self.runs.numbered[first], self.kinds[first]
        side = self._sides.get((read.loose, kind))
        if side is None:
            members = self.runs.members(first, "loose")
            mine = (m for m in members if self.kinds.get(m) is kind)
            side = sorted({self.runs.numbered[m].order for m in mine})
            self._sides[read.loose, kind] = side
        at = bisect_right(side, read.order)
        return at < len(side) and side[at] == self.runs.numbered[second].order


def _nothing_between(marks: MarkSet, first: int, second: int, others: Sequence[int]) -> bool:
    """Whether none of the others stands in the circle whose diameter joins the two."""
    lon, lat = marks.lon_deg, marks.lat_deg
    rest = np.asarray([m for m in others if m not in (first, second)], dtype=np.intp)
    apart_m = float(distance_m(lon[first], lat[first], lon[second], lat[second]))
    to_first = distance_m(lon[first], lat[first], lon[rest], lat[rest])
    to_second = distance_m(lon[second], lat[second], lon[rest], lat[rest])
    return apart_m > 0.0 and not bool((to_first**2 + to_second**2 <= apart_m**2).any())
