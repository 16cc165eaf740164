"""Gates of staggered marks: a mark of one hand, and the other edge of its channel abreast of it.

Where marks of opposite hands alternate along a channel no two of them face each other; the other
edge is then the line between two marks of the other hand that follow each other on it. A mark and
such a line are a gate if the foot of the square from the mark falls on the line, and either

- numbers say so: the two follow each other on their side of the mark's own run, no further than
  three from its number, and the mark stands on the side of their line, seen along the numbers,
  that it must (port-hand marks to port of it, numbered from seaward: common practice); or
- the track says so: the last mark of the other hand before the mark and the first after it are
  left on the sides that go with the sense that the edges of the channel tell here.

Marks of a neighbouring channel have other numbers, or stand beyond this one's own edge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Sense
from routecheck.nav.angles import turn_deg, wrap360_deg
from routecheck.nav.buoyage import pair_direction_deg, side_to_leave
from routecheck.nav.rhumb import offset_positions
from routecheck.survey.edges import Edges
from routecheck.survey.gates import (
    NUMBERS_APART,
    WIDEST_M,
    Crossing,
    Pair,
    line_crossings,
)
from routecheck.survey.markset import MarkSet, nearby, offset_m
from routecheck.survey.marktrack import MarkTrack
from routecheck.survey.minima import Minimum, Near
from routecheck.survey.runs import Runs
from routecheck.units import METRES_PER_NMI

LONGEST_M = 2.0 * METRES_PER_NMI
"""The longest line between two marks of one hand that counts as an edge."""
_OTHER = {
    MarkKind.PORT_HAND: MarkKind.STARBOARD_HAND,
    MarkKind.STARBOARD_HAND: MarkKind.PORT_HAND,
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Staggered:
    """Where the track crosses the square from a mark to the other edge, prolonged by its own
    length at both ends. `first` and `second` make the edge."""

    first: int
    second: int
    crossing: Crossing
    bend_m: float | None


@dataclass(frozen=True, kw_only=True, slots=True)
class _Line:
    at: Minimum
    first: int
    second: int
    foot_east_m: float
    foot_north_m: float
    edge_m: float

    @property
    def width_m(self) -> float:
        return float(np.hypot(self.foot_east_m, self.foot_north_m))


def staggered_gates(
    track: MarkTrack,
    near: Near,
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    met: Sequence[Minimum],
    edges: Mapping[Minimum, Edges],
) -> dict[Minimum, Staggered]:
    """The staggered gate of each pass of a plain lateral mark that has one."""
    plain = [m for m in met if m.passed and kinds.get(m.mark) in _OTHER]
    opposite = _by_numbers(marks, kinds, runs, sorted({m.mark for m in plain}))
    by_track = _by_track(plain, kinds, runs, edges)
    lines: list[_Line] = []
    for one in plain:
        those = [_line(marks, one, *ends) for ends in opposite.get(one.mark, ())]
        if not any(those) and one in by_track:
            those = [_line(marks, one, *by_track[one])]
        usable = [line for line in those if line is not None]
        if usable:
            lines.append(min(usable, key=lambda line: (line.width_m, line.first, line.second)))
    bends_m = {line.at: _bend_m(marks, kinds, runs, line, plain) for line in lines}
    return _crossed(track, near, marks, kinds, lines, bends_m)


def _by_numbers(
    marks: MarkSet, kinds: Mapping[int, MarkKind], runs: Runs, wanted: Sequence[int]
) -> dict[int, list[tuple[int, int]]]:
    """The edges of the other hand that the numbers of each mark's run name, in order."""
    mine = np.asarray([m for m in wanted if m in runs.numbered], dtype=np.intp)
    lon, lat = marks.lon_deg, marks.lat_deg
    beside: dict[int, list[int]] = defaultdict(list)
    for i, there in nearby(lon[mine], lat[mine], lon, lat, LONGEST_M, marks.tree):
        here = int(mine[i])
        if kinds.get(there) is _OTHER[kinds[here]] and runs.same(here, there):
            beside[here].append(there)
    found: dict[int, list[tuple[int, int]]] = {}
    for here, others in beside.items():
        number = runs.numbered[here].number
        side = sorted(others, key=lambda m: runs.numbered[m].order)
        for first, second in pairwise(side):
            numbers = runs.numbered[first].number, runs.numbered[second].number
            if runs.numbered[first].order == runs.numbered[second].order:
                continue
            if max(abs(n - number) for n in numbers) > NUMBERS_APART:
                continue
            if _on_its_side(marks, kinds[here], here, first, second):
                found.setdefault(here, []).append((first, second))
    return found


def _on_its_side(marks: MarkSet, kind: MarkKind, here: int, first: int, second: int) -> bool:
    """Whether a port-hand mark stands to port of the line of rising numbers, and so on."""
    lon, lat = marks.lon_deg, marks.lat_deg
    east, north = offset_m(lon[first], lat[first], lon[second], lat[second])
    to_east, to_north = offset_m(lon[first], lat[first], lon[here], lat[here])
    to_starboard = float(to_east * north - to_north * east)
    return to_starboard > 0.0 if kind is MarkKind.STARBOARD_HAND else to_starboard < 0.0


def _by_track(
    plain: Sequence[Minimum],
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    edges: Mapping[Minimum, Edges],
) -> dict[Minimum, tuple[int, int]]:
    """The other hand's last mark before each and first mark after it, where edges are told."""
    in_order = sorted(plain, key=lambda m: (m.route_along_m, m.mark))
    found: dict[Minimum, tuple[int, int]] = {}
    for number, one in enumerate(in_order):
        told = edges.get(one)
        if told is None or not told.firm:
            continue
        hand = _OTHER[kinds[one.mark]]
        side = side_to_leave(hand.value, with_direction=told.ground.sense is Sense.WITH)
        ends = []
        for those in (reversed(in_order[:number]), in_order[number + 1 :]):
            other = next((m for m in those if kinds[m.mark] is hand), None)
            if other is not None and runs.same(one.mark, other.mark):
                off_m = abs(other.route_along_m - one.route_along_m)
                if off_m <= LONGEST_M and side == ("starboard" if other.cross_m >= 0.0 else "port"):
                    ends.append(other.mark)
        if len(ends) == 2 and ends[0] != ends[1]:
            found[one] = ends[0], ends[1]
    return found


def _line(marks: MarkSet, at: Minimum, first: int, second: int) -> _Line | None:
    """The square from the mark to the line of the two; None where its foot falls off it."""
    lon, lat = marks.lon_deg, marks.lat_deg
    east, north = (
        np.array(axis)
        for axis in zip(
            *(offset_m(lon[at.mark], lat[at.mark], lon[m], lat[m]) for m in (first, second)),
            strict=True,
        )
    )
    along_east, along_north = float(east[1] - east[0]), float(north[1] - north[0])
    length2 = along_east**2 + along_north**2
    if not 0.0 < length2 <= LONGEST_M**2:
        return None
    share = -(float(east[0]) * along_east + float(north[0]) * along_north) / length2
    if not 0.0 <= share <= 1.0:
        return None
    made = _Line(
        at=at,
        first=first,
        second=second,
        foot_east_m=float(east[0]) + share * along_east,
        foot_north_m=float(north[0]) + share * along_north,
        edge_m=float(np.sqrt(length2)),
    )
    return made if 0.0 < made.width_m <= WIDEST_M else None


def _bend_m(
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    runs: Runs,
    line: _Line,
    plain: Sequence[Minimum],
) -> float | None:
    """How far the other edge may bulge beyond its straight line, by how much the mark's own edge
    turns at the mark; None where the mark is the last on its edge."""
    here = line.at.mark
    own = [
        m
        for m in plain
        if m.mark != here and kinds[m.mark] is kinds[here] and runs.same(here, m.mark)
    ]

    def place(m: Minimum) -> tuple[float, str]:
        read = runs.numbered.get(m.mark)
        return (m.route_along_m, "") if read is None else (float(read.number), read.suffix)

    before = max((m for m in own if place(m) < place(line.at)), key=place, default=None)
    after = min((m for m in own if place(m) > place(line.at)), key=place, default=None)
    if before is None or after is None or before.mark == after.mark:
        return None
    lon, lat = marks.lon_deg, marks.lat_deg
    east1, north1 = offset_m(lon[before.mark], lat[before.mark], lon[here], lat[here])
    east2, north2 = offset_m(lon[here], lat[here], lon[after.mark], lat[after.mark])
    turn_rad = abs(
        float(np.arctan2(east1 * north2 - north1 * east2, east1 * east2 + north1 * north2))
    )
    # A track that turns between the marks around follows bends that the mark does not show.
    ends = (before.mark, after.mark, line.first, line.second)
    courses_deg = [m.course_deg for m in plain if m.mark in ends]
    turns_deg = [abs(turn_deg(one, other)) for one, other in combinations(courses_deg, 2)]
    turn_rad = max(turn_rad, float(np.radians(max(turns_deg, default=0.0))))
    span_m = float(np.hypot(east1, north1) + np.hypot(east2, north2))
    if turn_rad >= np.pi / 2.0 or span_m == 0.0:
        return None
    return float(line.edge_m / 2.0 * np.tan(turn_rad / 2.0) * max(1.0, line.edge_m / span_m))


def _crossed(
    track: MarkTrack,
    near: Near,
    marks: MarkSet,
    kinds: Mapping[int, MarkKind],
    lines: Sequence[_Line],
    bends_m: Mapping[Minimum, float | None],
) -> dict[Minimum, Staggered]:
    pairs, beside = [], []
    for line in lines:
        bearing_deg = np.degrees(np.arctan2(line.foot_east_m, line.foot_north_m))
        to_starboard = kinds[line.at.mark] is MarkKind.PORT_HAND
        bearing_deg = float(wrap360_deg(bearing_deg if to_starboard else bearing_deg + 180.0))
        pairs.append(
            Pair(
                port_hand=line.at.mark if to_starboard else line.first,
                starboard_hand=line.first if to_starboard else line.at.mark,
                width_m=line.width_m,
                direction_deg=pair_direction_deg(bearing_deg),
            )
        )
        beside.append(np.unique(near.line[near.of(line.at.mark)]))
    marked = np.array([line.at.mark for line in lines], dtype=np.intp)
    lon, lat = marks.lon_deg[marked], marks.lat_deg[marked]
    east = np.array([line.foot_east_m for line in lines])
    north = np.array([line.foot_north_m for line in lines])
    foot_lon, foot_lat = offset_positions(
        lon, lat, np.degrees(np.arctan2(east, north)), np.hypot(east, north)
    )
    # Shares of crossings count from the port-hand side.
    port = np.array([p.port_hand for p in pairs], dtype=np.intp) == marked
    lon, foot_lon = np.where(port, lon, foot_lon), np.where(port, foot_lon, lon)
    lat, foot_lat = np.where(port, lat, foot_lat), np.where(port, foot_lat, lat)
    by_pair: dict[Pair, list[Crossing]] = defaultdict(list)
    for crossing in line_crossings(track, beside, pairs, lon, lat, foot_lon, foot_lat):
        by_pair[crossing.pair].append(crossing)
    found: dict[Minimum, Staggered] = {}
    for line, pair in zip(lines, pairs, strict=True):
        those = [c for c in by_pair[pair] if c.abreast and _near(c, line)]
        if those:
            crossing = min(those, key=lambda c: abs(c.route_along_m - line.at.route_along_m))
            found[line.at] = Staggered(
                first=line.first, second=line.second, crossing=crossing, bend_m=bends_m[line.at]
            )
    return found


def _near(crossing: Crossing, line: _Line) -> bool:
    """Whether the line is crossed where this pass of the mark is, not at a later one."""
    return abs(crossing.route_along_m - line.at.route_along_m) <= line.width_m + line.at.distance_m
