"""Many departures of one survey: which of them hold, and what bars the others.

Every check is asked once with a clock that notices being read. What does not read it holds for
every departure. What does is asked again: all departures at once where the check has a sweep,
else one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routecheck.checks import all_checks
from routecheck.model.boat import Boat
from routecheck.model.chart import Severity
from routecheck.model.clock import Clock, refuse_departure
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import least_margins_m
from routecheck.model.finding import Finding
from routecheck.model.headroom import least_air_m
from routecheck.model.passage import Passage
from routecheck.model.route import Route
from routecheck.model.rule import NOTHING, Check, Codes, code_of
from routecheck.model.tide import Tide
from routecheck.model.tide_curve import Floats
from routecheck.model.view import LegView
from routecheck.model.window import Bar, State, Window, Windows

_TIMED = {Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED}
_MOST_BARS = 3
_NO_TIDE = "tide-not-known"
_WORDS = {
    "depth": "water",
    "dangers": "water",
    "overhead": "air",
    "arrival-in-the-dark": "light",
    "passed-in-the-dark": "light",
}
_ORDER = ("water", "air", "light")


@dataclass(frozen=True, kw_only=True)
class _Watched(Passage):
    """A passage that notices when its clock is read."""

    read: list[str] = field(default_factory=list)

    def __getattribute__(self, name: str) -> Any:
        if name in ("leg_start", "depart_s"):
            object.__getattribute__(self, "read").append(name)
        return object.__getattribute__(self, name)


@dataclass(frozen=True, kw_only=True, eq=False)
class Timed:
    """One check on one leg that depends on the time: the worst severity for each departure."""

    check: Check
    index: int
    """The leg's place in the route, from 0."""
    codes: Codes

    def bars(self) -> NDArray[np.bool_]:
        """Which departures it closes."""
        barred = self.codes == code_of(Severity.DANGER)
        if self.check.bars:
            barred |= self.codes == code_of(Severity.CAUTION)
        return np.asarray(barred)


@dataclass(frozen=True, kw_only=True, eq=False)
class Scan:
    """All departures judged."""

    clock: Clock
    departs: tuple[datetime, ...]
    timed: tuple[Timed, ...]
    always: tuple[Finding, ...]
    always_cautions: int
    margins_m: tuple[Floats | None, ...]
    """Least margins of water by leg, each of shape (departures,)."""
    air_m: Floats | None

    def states(self) -> tuple[State, ...]:
        """What each departure comes to."""
        rank = np.full(len(self.departs), 3)
        for one in self.timed:
            rank[one.codes == code_of(Severity.CAUTION)] = np.minimum(
                rank[one.codes == code_of(Severity.CAUTION)], 2
            )
        for one in self.timed:
            blind = one.codes == code_of(Severity.NOT_ASSESSED)
            rank[blind] = np.minimum(rank[blind], 1)
        for one in self.timed:
            rank[one.bars()] = 0
        order = list(State)
        return tuple(order[r] for r in rank.tolist())

    def margin_m(self) -> Floats | None:
        """Least margin of water over all legs, shape (departures,)."""
        known = [one for one in self.margins_m if one is not None]
        return np.min(known, axis=0) if known else None

    def barred(self) -> dict[str, NDArray[np.bool_]]:
        """By what each departure is closed or left not assessed, in words; only what bars any."""
        found: dict[str, NDArray[np.bool_]] = {}
        blind = code_of(Severity.NOT_ASSESSED)
        for one in self.timed:
            barred = one.bars() | (one.codes == blind)
            if barred.any():
                word = _WORDS.get(one.check.name, _WORDS.get(one.check.group, "hours and rules"))
                found[word] = found.get(word, np.zeros(len(barred), dtype=bool)) | barred
        return {word: found[word] for word in (*_ORDER, "hours and rules") if word in found}

    def findings(self, departure: int) -> list[Finding]:
        """The findings of everything that depends on the time, for one departure."""
        found: list[Finding] = []
        for one in self.timed:
            if one.codes[departure] < NOTHING:
                found.extend(self._found(one, departure))
        return found

    def bars(self, departure: int) -> tuple[Bar, ...]:
        """What closes one departure, or leaves it not assessed: the few that matter most."""
        closing = [one for one in self.timed if one.bars()[departure]]
        closes = {Severity.DANGER, Severity.CAUTION}
        if not closing:
            blind = code_of(Severity.NOT_ASSESSED)
            closing = [one for one in self.timed if one.codes[departure] == blind]
            closes = {Severity.NOT_ASSESSED}
        found = []
        for one in closing:
            wanted = closes if one.check.bars else closes - {Severity.CAUTION}
            found += [f for f in self._found(one, departure) if f.severity in wanted]
        if Severity.NOT_ASSESSED not in closes:
            found += self._untold(closing, departure)
        made = [Bar(finding=f, depart=self.departs[departure]) for f in found]
        order = list(Severity)

        def gravest(bar: Bar) -> tuple[bool, int, float, float]:
            margin_m = 0.0 if bar.margin_m is None else bar.margin_m
            # Where no tide is known the sums below it are without one.
            told = bar.finding.check != _NO_TIDE
            return told, order.index(bar.finding.severity), margin_m, bar.finding.route_along_m

        return tuple(sorted(made, key=gravest)[:_MOST_BARS])

    def _untold(self, closing: Sequence[Timed], departure: int) -> list[Finding]:
        """That no tide is known, on the legs that are closed for want of water: that is why."""
        legs = {one.index for one in closing if one.check.group in ("depth", "dangers")}
        blind = [one for one in self.timed if one.check.name == _NO_TIDE and one.index in legs]
        return [f for one in blind for f in self._found(one, departure)]

    def _found(self, one: Timed, departure: int) -> list[Finding]:
        view = self.clock.views[one.index]
        passage = self.clock.passage(one.index, self.departs[departure])
        return [
            replace(f, route_along_m=view.start_along_m + f.along_m, eta=passage.eta(f.along_m))
            for f in one.check.function(view, passage)
        ]


def scan(
    views: Sequence[LegView], boat: Boat, tide: Tide | None, departs: Sequence[datetime]
) -> Scan:
    """Judge a survey for many departures (aware, at least one), in whatever order."""
    if not departs:
        raise ValueError("there is no departure to judge")
    for depart in departs:
        refuse_departure(depart)
    clock = Clock(views, boat, tide)
    departs = tuple(depart.astimezone(UTC) for depart in departs)
    depart_s = np.array([depart.timestamp() for depart in departs])
    timed: list[Timed] = []
    always: list[Finding] = []
    checks = [check for check in all_checks() if check.gives & _TIMED]
    for index, view in enumerate(views):
        at_leg = LegDepartures(passage=clock.passage(index, None), depart_s=depart_s)
        for check in checks:
            watched = _watched(clock.passage(index, departs[0]))
            found = list(check.function(view, watched))
            if not watched.read:
                always += [replace(f, route_along_m=view.start_along_m + f.along_m) for f in found]
                continue
            codes = _codes(check, view, clock, index, at_leg, departs)
            if (codes < code_of(Severity.NOTE)).any():
                timed.append(Timed(check=check, index=index, codes=codes))
    return Scan(
        clock=clock,
        departs=departs,
        timed=tuple(timed),
        always=_in_order(always),
        always_cautions=sum(one.severity is Severity.CAUTION for one in always),
        margins_m=tuple(_of_legs(least_margins_m, clock, depart_s)),
        air_m=_least(_of_legs(least_air_m, clock, depart_s)),
    )


def _watched(passage: Passage) -> _Watched:
    values = {name: getattr(passage, name) for name in passage.__dataclass_fields__}
    return _Watched(**values)


def _codes(
    check: Check,
    view: LegView,
    clock: Clock,
    index: int,
    at_leg: LegDepartures,
    departs: Sequence[datetime],
) -> Codes:
    if check.sweep is not None:
        return check.sweep(view, at_leg)
    alone = [
        min(
            (code_of(f.severity) for f in check.function(view, clock.passage(index, depart))),
            default=NOTHING,
        )
        for depart in departs
    ]
    return np.array(alone, dtype=np.int8)


def _of_legs(what: Any, clock: Clock, depart_s: Floats) -> list[Floats | None]:
    return [
        what(view, LegDepartures(passage=clock.passage(index, None), depart_s=depart_s))
        for index, view in enumerate(clock.views)
    ]


def _least(of_legs: Sequence[Floats | None]) -> Floats | None:
    known = [one for one in of_legs if one is not None]
    return np.min(known, axis=0) if known else None


def _in_order(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    kept = [f for f in findings if f.severity in (Severity.DANGER, Severity.NOT_ASSESSED)]
    return tuple(sorted(kept, key=lambda f: (f.route_along_m, f.leg, f.check, f.object_key)))


def windows_of(
    route: Route, scanned: Scan, *, step_s: float, assumptions: Sequence[str] = ()
) -> Windows:
    """The windows of a scan whose departures rise by a step."""
    states = scanned.states()
    margin_m, air_m = scanned.margin_m(), scanned.air_m
    least = _least([margin_m, air_m])
    good = [state in (State.OPEN, State.CAUTION) for state in states]
    made = []
    for first, last in _runs(good):
        best = _best(states, least, first, last)
        titles = [f.title for f in scanned.findings(best) if f.severity is Severity.CAUTION]
        made.append(
            Window(
                first=scanned.departs[first],
                last=scanned.departs[last],
                best=scanned.departs[best],
                best_margin_m=None if least is None else float(least[best]),
                cautions=tuple(dict.fromkeys(titles)),
                departures=last + 1 - first,
                with_cautions=states[first : last + 1].count(State.CAUTION),
                opens=scanned.bars(first - 1) if first > 0 else (),
                closes=scanned.bars(last + 1) if last + 1 < len(good) else (),
            )
        )
    nearest = 0 if least is None else int(np.argmax(least))
    return Windows(
        route=route,
        boat=scanned.clock.boat,
        departs=scanned.departs,
        step_s=step_s,
        states=states,
        margin_m=margin_m,
        air_m=air_m,
        windows=tuple(made),
        closed=() if made else scanned.bars(nearest),
        always=scanned.always,
        always_cautions=scanned.always_cautions,
        assumptions=tuple(assumptions),
        duration_s=scanned.clock.duration_s,
        distance_m=sum(view.length_m for view in scanned.clock.views),
        barred=scanned.barred(),
    )


def _runs(good: Sequence[bool]) -> list[tuple[int, int]]:
    """(first, last) of each run of true."""
    found: list[tuple[int, int]] = []
    for index, one in enumerate(good):
        if one and found and found[-1][1] == index - 1:
            found[-1] = (found[-1][0], index)
        elif one:
            found.append((index, index))
    return found


def _best(states: Sequence[State], least: Floats | None, first: int, last: int) -> int:
    """The departure with the largest least margin, one without cautions first; the earliest of
    equals."""
    order = list(State)
    return max(
        range(first, last + 1),
        key=lambda i: (
            order.index(states[i]),
            0.0 if least is None else float(least[i]),
            -i,
        ),
    )
