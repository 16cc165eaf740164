"""Secondary ports: high and low waters of a standard port, moved in time and height."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from routecheck.model.heights import HarmonicHeights, Span, TableHeights, _Curved, arcs_of_day
from routecheck.model.tide_curve import DayMinutes, Floats, whole_minutes_s
from routecheck.nav.tide_table import by_clock_s, by_height_m

_SHORTEST_S = 1_800.0
"""A rise or fall shorter than this beyond the time differences is a stand, not a tide."""


_MONTHS_FROM = (20_884, 20_976)  # 2027-03-07, 2027-06-07
"""When tides are tried, as days of Unix time: of the equinox and of the solstice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class TimeDifference:
    """Seconds to add to the time at the standard port, by its clock (UTC seconds of the day)."""

    clock_s: tuple[float, ...] = (0.0,)
    add_s: tuple[float, ...] = (0.0,)

    def of(self, time_s: Floats) -> Floats:
        """The times at the secondary port."""
        return np.asarray(time_s + by_clock_s(time_s, self.clock_s, self.add_s))


@dataclass(frozen=True, kw_only=True, slots=True)
class HeightDifference:
    """A factor on the height at the standard port, and metres to add by that height."""

    factor_share: float = 1.0
    at_m: tuple[float, ...] = (0.0,)
    add_m: tuple[float, ...] = (0.0,)

    def of(self, height_m: Floats) -> Floats:
        """The heights at the secondary port."""
        return np.asarray(
            height_m * self.factor_share + by_height_m(height_m, self.at_m, self.add_m)
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Differences:
    """What a secondary port differs by, at high and at low water."""

    time_high: TimeDifference
    time_low: TimeDifference
    height_high: HeightDifference
    height_low: HeightDifference

    def events(self, event_s: Floats, event_m: Floats) -> tuple[Floats, Floats]:
        """High and low waters at the secondary port from those at the standard port, which turn."""
        high = _high(event_m)
        when = np.where(high, self.time_high.of(event_s), self.time_low.of(event_s))
        height = np.where(high, self.height_high.of(event_m), self.height_low.of(event_m))
        return when, height


def _high(event_m: Floats) -> np.ndarray:
    """Which of the events, that turn at each, are high waters."""
    rises = np.diff(event_m) > 0.0
    return np.append(~rises, rises[-1])


def secondary_of_table(base: TableHeights, differences: Differences) -> TableHeights:
    """The table of a secondary port. Raises ValueError where its times no longer rise, or its
    high waters are no longer above its low waters."""
    when, height = differences.events(base.event_s, base.event_m)
    if (np.diff(when) <= 0.0).any():
        raise ValueError("the differences put a high and a low water in the wrong order")
    if (np.diff(height) * np.diff(base.event_m) <= 0.0).any():
        raise ValueError("the differences put a low water above a high water")
    return TableHeights(
        event_s=when, event_m=height, kind="secondary port, cosine between high and low waters"
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class SecondaryHeights(_Curved):
    """A secondary port of a station with harmonic constants."""

    base: HarmonicHeights
    differences: Differences
    kind: str = "secondary port, cosine between predicted high and low waters"
    spans_s: tuple[Span, ...] | None = None

    @cached_property
    def ever_m(self) -> Span:
        """From the lowest and highest at the standard port over 19 years."""
        low, high = self.base.ever_m
        (low_m,) = self.differences.height_low.of(np.array([low]))
        (high_m,) = self.differences.height_high.of(np.array([high]))
        return float(low_m), float(high_m)

    def _days(self, days: range) -> list[DayMinutes]:
        # Two days more at either end, so that every day sees the same waters whoever asks.
        return [arcs_of_day(day, *self._events(range(day - 2, day + 3))) for day in days]

    def _events(self, days: range) -> tuple[Floats, Floats]:
        return self.differences.events(*self.standard_events(days))

    def standard_events(self, days: range) -> tuple[Floats, Floats]:
        """High and low waters at the standard port."""
        nodes_s = np.concatenate([whole_minutes_s(day)[:-1] for day in days])
        when, height = turning_points(nodes_s, self.base.height_m(nodes_s))
        longest_s = max(
            abs(a - b)
            for a in self.differences.time_high.add_s
            for b in self.differences.time_low.add_s
        )
        return without_stands(when, height, longest_s + _SHORTEST_S)


def refuse_upside_down(of: SecondaryHeights) -> None:
    """Raise ValueError where the differences put a low water above the high water beside it, in a
    month about an equinox or about a solstice."""
    for first in _MONTHS_FROM:
        when, standard = of.standard_events(range(first, first + 30))
        _, height = of.differences.events(when, standard)
        if (np.diff(height) * np.diff(standard) <= 0.0).any():
            raise ValueError("the differences put a low water above a high water")


def turning_points(time_s: Floats, height_m: Floats) -> tuple[Floats, Floats]:
    """High and low waters of evenly spaced heights, each on the parabola through three."""
    step = time_s[1] - time_s[0]
    sign = np.sign(np.diff(height_m))
    # On a level stretch the sign before it goes on.
    last = np.maximum.accumulate(np.where(sign != 0.0, np.arange(len(sign)), 0))
    sign = sign[last]
    turn = 1 + np.flatnonzero(sign[:-1] * sign[1:] < 0.0)
    before, at, after = height_m[turn - 1], height_m[turn], height_m[turn + 1]
    bend = before - 2.0 * at + after
    shift = np.where(bend == 0.0, 0.0, 0.5 * (before - after) / np.where(bend == 0.0, 1.0, bend))
    return time_s[turn] + shift * step, np.asarray(at - 0.25 * (before - after) * shift)


def without_stands(event_s: Floats, event_m: Floats, shortest_s: float) -> tuple[Floats, Floats]:
    """The events without the pairs that lie closer than `shortest_s`, the smallest rise first."""
    when, height = event_s, event_m
    while len(when) > 2:
        close = np.flatnonzero(np.diff(when) < shortest_s)
        if not len(close):
            break
        least = int(close[np.argmin(np.abs(np.diff(height))[close])])
        keep = np.ones(len(when), dtype=bool)
        keep[[least, least + 1]] = False
        when, height = when[keep], height[keep]
    return when, height
