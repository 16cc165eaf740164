"""Heights of tide as minutes of a curve, and the lowest and highest over any span of time.

A day is 1,440 minutes. Of each is kept the height at its start and at its end, and how far the
curve may drop below or rise above the straight line between them: so the lowest over a span can be
bounded without asking at points. Days are made whole and once, from midnight UTC: the same
instant has the same height whatever else was asked, to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DAY_S = 86_400.0
MINUTE_S = 60.0
MINUTES = 1_440
MOST_DAYS = 4_000


@dataclass(frozen=True, kw_only=True, eq=False)
class DayMinutes:
    """One day's minutes; arrays of shape (1440,), or () where one number holds for the day."""

    start_m: Floats
    end_m: Floats
    drop_m: Floats
    rise_m: Floats

    @classmethod
    def through(cls, nodes_m: Floats, bend_m: Floats | float) -> DayMinutes:
        """Through 1,441 heights at whole minutes, leaving the chord by `bend_m` either way."""
        bend = np.asarray(bend_m, dtype=float)
        return cls(start_m=nodes_m[:-1], end_m=nodes_m[1:], drop_m=bend, rise_m=bend)


def whole_minutes_s(day: int) -> Floats:
    """The 1,441 whole minutes of a day, as Unix times."""
    return np.asarray(day * DAY_S + MINUTE_S * np.arange(MINUTES + 1), dtype=np.float64)


class MinuteCurve:
    """Days in a row, fetched as they are asked for."""

    def __init__(self, days: Callable[[range], list[DayMinutes]]) -> None:
        self._fetch = days
        self._days: dict[int, DayMinutes] = {}
        self._from_day = self._to_day = 0
        self._start = self._end = self._drop = self._rise = np.zeros(0)
        self._lows: list[Floats] = []
        self._highs: list[Floats] = []

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """A lower bound of the heights from `from_s` to `to_s`, both included. Any shape."""
        first, last = self._minutes(from_s, to_s)
        ends = np.minimum(
            self._at(from_s, first) - self._drop[first], self._at(to_s, last) - self._drop[last]
        )
        # Beyond the first minute's end and before the last one's start the curve is bounded by
        # what is kept of whole minutes; those two corners belong to the span as well.
        corners = np.where(
            last > first,
            np.minimum(self._end[first] - self._drop[first], self._start[last] - self._drop[last]),
            ends,
        )
        return np.minimum(
            np.minimum(ends, corners), self._between(self._lows, first + 1, last, np.minimum, ends)
        )

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """An upper bound of the heights from `from_s` to `to_s`, both included. Any shape."""
        first, last = self._minutes(from_s, to_s)
        ends = np.maximum(
            self._at(from_s, first) + self._rise[first], self._at(to_s, last) + self._rise[last]
        )
        corners = np.where(
            last > first,
            np.maximum(self._end[first] + self._rise[first], self._start[last] + self._rise[last]),
            ends,
        )
        return np.maximum(
            np.maximum(ends, corners), self._between(self._highs, first + 1, last, np.maximum, ends)
        )

    def height_m(self, time_s: Floats) -> Floats:
        """The height at an instant, on the chord of its minute. Any shape."""
        first, _ = self._minutes(time_s, time_s)
        return self._at(time_s, first)

    def _at(self, time_s: Floats, minute: NDArray[np.int64]) -> Floats:
        part = (time_s - (self._from_day * DAY_S + MINUTE_S * minute)) / MINUTE_S
        start, end = self._start[minute], self._end[minute]
        return np.asarray(start + (end - start) * part)

    def _minutes(self, from_s: Floats, to_s: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Indices of the minutes that hold the two ends, with the days fetched that they need."""
        lowest, highest = float(np.min(from_s)), float(np.max(to_s))
        self._have(int(lowest // DAY_S), int(highest // DAY_S) + 1)
        origin = self._from_day * MINUTES
        first = np.floor_divide(from_s, MINUTE_S).astype(np.int64) - origin
        last = np.floor_divide(to_s, MINUTE_S).astype(np.int64) - origin
        return first, last

    def _have(self, from_day: int, to_day: int) -> None:
        if self._days and self._from_day <= from_day and to_day <= self._to_day:
            return
        if self._days:
            from_day, to_day = min(from_day, self._from_day), max(to_day, self._to_day)
        if to_day - from_day > MOST_DAYS:
            raise ValueError(f"heights of tide over {to_day - from_day} days are too many at once")
        for missing in _runs(day for day in range(from_day, to_day) if day not in self._days):
            self._days.update(zip(missing, self._fetch(missing), strict=True))
        kept = [self._days[day] for day in range(from_day, to_day)]
        self._from_day, self._to_day = from_day, to_day
        self._start, self._end, self._drop, self._rise = (
            np.concatenate([np.broadcast_to(getattr(one, name), (MINUTES,)) for one in kept])
            for name in ("start_m", "end_m", "drop_m", "rise_m")
        )
        self._lows = [np.minimum(self._start, self._end) - self._drop]
        self._highs = [np.maximum(self._start, self._end) + self._rise]

    def _between(
        self,
        levels: list[Floats],
        first: NDArray[np.int64],
        last: NDArray[np.int64],
        better: np.ufunc,
        otherwise: Floats,
    ) -> Floats:
        """The best of whole minutes first … last - 1 by a table of powers of two: each span is
        covered by two overlapping ones. `otherwise` where there are none."""
        count = last - first
        longest = int(np.max(count))
        if longest <= 0:
            return otherwise
        while 2 ** len(levels) <= longest:
            below, half = levels[-1], 2 ** (len(levels) - 1)
            levels.append(better(below[:-half], below[half:]))
        # Exact for whole numbers far above what occurs here: frexp gives the power of two.
        level = np.frexp(np.maximum(count, 1))[1] - 1
        found = np.array(otherwise, dtype=float)
        for power in range(int(level.max()) + 1):
            mine = (level == power) & (count > 0)
            if mine.any():
                table = levels[power]
                two = better(table[first[mine]], table[last[mine] - 2**power])
                found[mine] = two
        return found


def _runs(days: Iterable[int]) -> list[range]:
    found: list[range] = []
    for day in days:
        if found and found[-1].stop == day:
            found[-1] = range(found[-1].start, day + 1)
        else:
            found.append(range(day, day + 1))
    return found
