"""What says whether the track goes with or against the direction of buoyage at a pass.

In order of trust: a stated direction, the numbers of the mark's run, the edges of a channel, a
steering line, a facing pair.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from routecheck.model.objects import LATERAL_KINDS
from routecheck.model.passes import Ground, Sense
from routecheck.nav.angles import Floats, wrap360_deg
from routecheck.nav.buoyage import sense_of_course
from routecheck.survey import gates, runs
from routecheck.survey.edges import Edges
from routecheck.survey.markset import MarkSet, offset_m
from routecheck.survey.marktrack import MarkTrack
from routecheck.survey.minima import Minimum
from routecheck.survey.zones import Stated, conflict, foremost
from routecheck.units import METRES_PER_NMI

RUN_ALONG_M = 10.0 * METRES_PER_NMI
"""Marks of a run further along the track than this say nothing of a pass."""
RUN_AHEAD_M = 5.0 * METRES_PER_NMI
"""How far off neighbours in number may stand when the track is prolonged straight on."""
_NEIGHBOURS = 2
"""Neighbours in number that are looked at, each way and on each side of the channel."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Reasons:
    """The grounds of one pass, most trusted first, and what contradicts what."""

    grounds: tuple[Ground, ...] = ()
    conflicts: tuple[str, ...] = ()
    followed_run: bool = False
    beside_run: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class _ByNumbers:
    """What the numbers of a mark's run say at a pass, and how the track lies to that run."""

    ground: Ground | None = None
    followed: bool = False
    beside: bool = False
    """Followed beside its channel."""


class Senses:
    """One route over one set of marks."""

    def __init__(
        self,
        marks: MarkSet,
        numbering: runs.Runs,
        track: MarkTrack,
        minima: Mapping[int, Sequence[Minimum]],
        within_m: Mapping[int, float],
    ) -> None:
        """`minima` by mark; `within_m` by leg: how far off passes are listed."""
        self.marks, self.runs, self.track = marks, numbering, track
        self.minima, self.within_m = minima, within_m
        self._passed: dict[int, list[tuple[float, int, float]]] = {}

    def reasons(
        self,
        at: Minimum,
        crossing: gates.Crossing | None,
        stated: Sequence[Stated],
        edges: Edges | None,
        line: Ground | None = None,
    ) -> Reasons:
        """All that bears on the sense at one pass; nothing for a mark that is not lateral.

        `edges` is what the rows of marks say, which counts where nothing better does; `line` what
        a steering line says, which counts where nothing contradicts it.
        """
        if self.marks.marks[at.mark].kind not in LATERAL_KINDS:
            return Reasons()
        found: list[Ground] = []
        conflicts = [conflict(stated)]
        senses: dict[Sense, Ground] = {}
        for one in foremost(stated):
            ground = self._stated(one, at)
            senses.setdefault(ground.sense, ground)
        found += senses.values()
        contested = len(senses) > 1
        if contested and not conflict(foremost(stated)):
            said = "; ".join(f"{ground.text}: {ground.sense}" for ground in found)
            conflicts.append(f"{said}: they contradict each other")
        by_numbers = self._numbers(at)
        numbers = by_numbers.ground
        if numbers is not None:
            if found and not contested and found[0].sense not in (numbers.sense, Sense.CROSSING):
                conflicts.append(
                    f"{stated[0].text} says that the track goes {found[0].sense} the direction "
                    f"of buoyage, the numbers of the run {self.runs.name(at.mark)!r} say "
                    f"{numbers.sense}"
                )
            found.append(numbers)
        facing = self._facing(crossing)
        abreast = crossing is not None and crossing.abreast
        rows = None
        if edges is not None and not found:
            rows = edges.allowing(facing, abreast=abreast)
        found += [g for g in (rows,) if g is not None]
        if line is not None and not contested:
            against = next((g for g in found if g.sense not in (line.sense, Sense.CROSSING)), None)
            if against is None:
                found.append(line)
            else:
                conflicts.append(
                    f"{against.text} says that the track goes {against.sense} the direction of "
                    f"buoyage, but {line.text}, which says {line.sense}"
                )
        found += [g for g in (facing,) if g is not None]
        return Reasons(
            grounds=tuple(found),
            conflicts=tuple(c for c in conflicts if c),
            followed_run=by_numbers.followed,
            beside_run=by_numbers.beside,
        )

    def _facing(self, crossing: gates.Crossing | None) -> Ground | None:
        if crossing is None:
            return None
        pair = crossing.pair
        return gates.ground(crossing, (self._name(pair.port_hand), self._name(pair.starboard_hand)))

    def _name(self, mark: int) -> str:
        return self.marks.marks[mark].name or "an unnamed mark"

    def _stated(self, stated: Stated, at: Minimum) -> Ground:
        """The sense against a stated direction. A track crosses a channel only where it is
        square to it at the mark and as a whole within reach: a short leg square to it does not."""
        direction_deg = stated.direction_deg
        if direction_deg is None:
            raise ValueError(f"{stated.text} states no direction")
        sense = sense_of_course(at.course_deg, direction_deg)
        if sense == "crossing":
            reach_m = self.within_m[at.leg]
            first = self.track.place_at(at.route_along_m - reach_m)
            last = self.track.place_at(at.route_along_m + reach_m)
            east, north = offset_m(*first, *last)
            if np.hypot(east, north) > reach_m / 2.0:
                chord_deg = float(wrap360_deg(np.degrees(np.arctan2(east, north))))
                sense = sense_of_course(chord_deg, direction_deg)
        return Ground(
            kind=stated.kind,
            sense=Sense(sense),
            text=f"{stated.text} states the direction of buoyage {direction_deg:.0f}°",
            direction_deg=direction_deg,
        )

    def _numbers(self, at: Minimum) -> _ByNumbers:
        if at.mark not in self.runs.numbered:
            return _ByNumbers()
        name = self.runs.name(at.mark)
        for words in ("loose", "strict"):
            members = self.runs.members(at.mark, words)
            if len(members) < runs.LEAST:
                continue
            on_track = self._on_track(at, members, float("inf"))
            sense = runs.sense_of(on_track, at.mark)
            if sense is not None:
                close = self._on_track(at, members, self.within_m[at.leg])
                followed = runs.sense_of(close, at.mark) is not None
                return _ByNumbers(
                    ground=runs.ground(on_track, sense, name),
                    followed=followed,
                    beside=followed and self._beside(at, close),
                )
            if len(on_track) < runs.LEAST:
                ahead = self._straight_on(at, members)
                sense = runs.sense_of(ahead, at.mark)
                if sense is not None:
                    return _ByNumbers(ground=runs.ground(ahead, sense, name))
        return _ByNumbers()

    def _beside(self, at: Minimum, close: Sequence[runs.Member]) -> bool:
        """Whether the track runs beside the whole channel: both edges of it, odd numbers and even
        ones, two marks of each at least, stand on one side of the track."""
        edges: dict[int, list[bool]] = {0: [], 1: []}
        for member in close:
            passed = [m for m in self.minima.get(member.index, ()) if m.passed]
            nearest = min(passed, key=lambda m: abs(m.route_along_m - at.route_along_m))
            edges[member.numbered.number % 2].append(nearest.cross_m >= 0.0)
        enough = min(len(edge) for edge in edges.values()) >= _NEIGHBOURS
        return enough and len({side for edge in edges.values() for side in edge}) == 1

    def _on_track(self, at: Minimum, members: Sequence[int], within_m: float) -> list[runs.Member]:
        """This mark and its neighbours in number that the track passes not far from here."""
        along: dict[int, float] = {}
        passed = self._passed_of(members)
        first = bisect_left(passed, (at.route_along_m - RUN_ALONG_M,))
        last = bisect_right(passed, (at.route_along_m + RUN_ALONG_M, inf))
        for route_m, member, distance_m in passed[first:last]:
            if distance_m > within_m:
                continue
            held = along.get(member)
            off_m = abs(route_m - at.route_along_m)
            if held is None or off_m < abs(held - at.route_along_m):
                along[member] = route_m
        kept = self._neighbours(at.mark, list(along))
        east, north = self._from_mark(at.mark, kept)
        return [
            runs.Member(
                index=member,
                numbered=self.runs.numbered[member],
                along_m=along[member],
                x_m=x_m,
                y_m=y_m,
            )
            for member, x_m, y_m in zip(kept, east.tolist(), north.tolist(), strict=True)
        ]

    def _passed_of(self, members: Sequence[int]) -> list[tuple[float, int, float]]:
        """(along the route, mark, distance) of every pass of the marks of a run, in order."""
        key = id(members)  # the runs keep their lists for as long as they live
        if key not in self._passed:
            self._passed[key] = sorted(
                (m.route_along_m, member, m.distance_m)
                for member in members
                for m in self.minima.get(member, ())
                if m.passed
            )
        return self._passed[key]

    def _straight_on(self, at: Minimum, members: Sequence[int]) -> list[runs.Member]:
        """This mark and its neighbours in number, projected on the track prolonged straight on
        from here both ways."""
        everyone = np.asarray(members)
        east, north = self._from_mark(at.mark, members)
        close = np.hypot(east, north) <= RUN_AHEAD_M
        kept = set(self._neighbours(at.mark, everyone[close].tolist()))
        course_rad = np.radians(at.course_deg)
        along = east * np.sin(course_rad) + north * np.cos(course_rad)
        return [
            runs.Member(
                index=member,
                numbered=self.runs.numbered[member],
                along_m=along_m,
                x_m=x_m,
                y_m=y_m,
            )
            for member, along_m, x_m, y_m in zip(
                members, along.tolist(), east.tolist(), north.tolist(), strict=True
            )
            if member in kept
        ]

    def _neighbours(self, mark: int, members: Sequence[int]) -> list[int]:
        """The mark, others of its very number, and the nearest in number each way and side."""
        numbered, own = self.runs.numbered, self.runs.numbered[mark]
        kept = [m for m in members if numbered[m].order == own.order]
        for odd in (0, 1):
            side = sorted(
                (m for m in members if numbered[m].number % 2 == odd),
                key=lambda m: numbered[m].order,
            )
            kept += [m for m in side if numbered[m].order < own.order][-_NEIGHBOURS:]
            kept += [m for m in side if numbered[m].order > own.order][:_NEIGHBOURS]
        return kept

    def _from_mark(self, mark: int, members: Sequence[int]) -> tuple[Floats, Floats]:
        """(east, north) of some marks from one of them, metres."""
        lon, lat = self.marks.lon_deg, self.marks.lat_deg
        those = np.asarray(members, dtype=np.intp)
        return offset_m(lon[mark], lat[mark], lon[those], lat[those])
