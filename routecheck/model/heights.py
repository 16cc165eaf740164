"""Where heights of tide come from: a constant, harmonic constants, a table, a series.

All give a lower and an upper bound of the height over a span of time, above the datum that the
tide as a whole states. Times are Unix times; arrays keep their shape.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Protocol

import numpy as np

from routecheck.model.tide_curve import (
    DAY_S,
    MINUTE_S,
    MINUTES,
    DayMinutes,
    Floats,
    MinuteCurve,
    whole_minutes_s,
)
from routecheck.nav.tide_harmonics import Harmonic, day_waves, lowest_and_highest_m
from routecheck.nav.tide_table import cosine_bends_m, cosine_heights_m

Span = tuple[float, float]

_NODE_CYCLE_DAYS = 6_940  # 19 years, over which NOAA and the IHO take LAT and HAT
_CYCLE_FROM_DAY = 18_262  # 2020-01-01
GAP_S = 7_200.0
"""Samples of a series further apart than this have no height between them (common practice)."""


class Heights(Protocol):
    """Heights of one station over time."""

    @property
    def kind(self) -> str:
        """In words: "constant", "harmonic constants" …"""

    @property
    def spans_s(self) -> tuple[Span, ...] | None:
        """When there are heights, in order; None: always."""

    @property
    def varies(self) -> bool:
        """Whether it matters when one asks."""

    @property
    def ever_m(self) -> Span:
        """(lowest, highest) at any time for which there are heights."""

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """A lower bound from `from_s` to `to_s`, both inside one span."""

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """An upper bound from `from_s` to `to_s`, both inside one span."""

    def height_m(self, time_s: Floats) -> Floats:
        """The height at an instant inside a span."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ConstantHeight:
    """The same height at all times."""

    constant_m: float
    kind: str = "constant"
    spans_s: tuple[Span, ...] | None = None
    varies: bool = False

    @property
    def ever_m(self) -> Span:
        """The height, twice."""
        return self.constant_m, self.constant_m

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """The height."""
        return self.height_m(np.minimum(from_s, to_s))

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """The height."""
        return self.height_m(np.minimum(from_s, to_s))

    def height_m(self, time_s: Floats) -> Floats:
        """The height."""
        return np.full(np.shape(time_s), self.constant_m)


class _Curved:
    """What all that varies have in common: a curve of minutes, made by `_days`."""

    varies = True

    @cached_property
    def _curve(self) -> MinuteCurve:
        return MinuteCurve(self._days)

    def _days(self, days: range) -> list[DayMinutes]:
        raise NotImplementedError

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """A lower bound from `from_s` to `to_s`."""
        return self._curve.lowest_m(from_s, to_s)

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """An upper bound from `from_s` to `to_s`."""
        return self._curve.highest_m(from_s, to_s)

    def height_m(self, time_s: Floats) -> Floats:
        """The height at an instant."""
        return self._curve.height_m(time_s)


class _Bounded(_Curved):
    """A curve that knows its own extremes: no bound of a part of it lies beyond them."""

    @cached_property
    def ever_m(self) -> Span:
        """(lowest, highest) of the whole curve."""
        raise NotImplementedError

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """A lower bound from `from_s` to `to_s`."""
        return np.maximum(super().lowest_m(from_s, to_s), self.ever_m[0])

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        """An upper bound from `from_s` to `to_s`."""
        return np.minimum(super().highest_m(from_s, to_s), self.ever_m[1])


@dataclass(frozen=True, kw_only=True, eq=False)
class HarmonicHeights(_Curved):
    """A sum of constituents about a mean level above datum."""

    mean_level_m: float
    harmonics: tuple[Harmonic, ...]
    mid_year: bool = False
    """Node factors once a year, as NOAA takes them, instead of every day."""
    kind: str = "harmonic constants"
    spans_s: tuple[Span, ...] | None = None

    @cached_property
    def ever_m(self) -> Span:
        """Lowest and highest predicted over 19 years from 2020."""
        low, high = lowest_and_highest_m(
            self.harmonics, _CYCLE_FROM_DAY, _NODE_CYCLE_DAYS, mid_year=self.mid_year
        )
        return self.mean_level_m + low, self.mean_level_m + high

    def _days(self, days: range) -> list[DayMinutes]:
        made = []
        for day, wave in zip(
            days, day_waves(self.harmonics, days, mid_year=self.mid_year), strict=True
        ):
            nodes = self.mean_level_m + wave.heights_m(whole_minutes_s(day))
            made.append(DayMinutes.through(nodes, wave.bend_m(MINUTE_S)))
        return made


@dataclass(frozen=True, kw_only=True, eq=False)
class TableHeights(_Bounded):
    """High and low waters with cosine arcs between them; times rise, heights turn at each."""

    event_s: Floats
    event_m: Floats
    kind: str = "high and low waters, cosine between"

    @property
    def spans_s(self) -> tuple[Span, ...]:
        """From the first to the last high or low water."""
        return ((float(self.event_s[0]), float(self.event_s[-1])),)

    @cached_property
    def ever_m(self) -> Span:
        """The lowest low water and the highest high water."""
        return float(self.event_m.min()), float(self.event_m.max())

    def _days(self, days: range) -> list[DayMinutes]:
        return [arcs_of_day(day, self.event_s, self.event_m) for day in days]


def arcs_of_day(day: int, event_s: Floats, event_m: Floats) -> DayMinutes:
    """The minutes of a day on cosine arcs between events."""
    nodes_s = whole_minutes_s(day)
    nodes_m = cosine_heights_m(nodes_s, event_s, event_m)
    bends_m = cosine_bends_m(event_s, event_m, MINUTE_S)
    arc = np.clip(np.searchsorted(event_s, nodes_s, side="right") - 1, 0, len(bends_m) - 1)
    return DayMinutes.through(nodes_m, np.maximum(bends_m[arc[:-1]], bends_m[arc[1:]]))


@dataclass(frozen=True, kw_only=True, eq=False)
class SeriesHeights(_Bounded):
    """Heights at times of any spacing, straight between them, and as far beyond the straight line
    as the bend of the neighbouring samples makes likely."""

    time_s: Floats
    sample_m: Floats
    kind: str = "series of heights"
    _bend_m: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_bend_m", _bends_m(self.time_s, self.sample_m))

    @cached_property
    def spans_s(self) -> tuple[Span, ...]:
        """The runs of samples without a gap."""
        cuts = np.flatnonzero(np.diff(self.time_s) > GAP_S)
        first = [0, *(cuts + 1).tolist()]
        last = [*cuts.tolist(), len(self.time_s) - 1]
        return tuple(
            (float(self.time_s[a]), float(self.time_s[b])) for a, b in zip(first, last, strict=True)
        )

    @cached_property
    def ever_m(self) -> Span:
        """The lowest and the highest sample, with the largest bend."""
        bend = float(self._bend_m.max())
        return float(self.sample_m.min()) - bend, float(self.sample_m.max()) + bend

    def _days(self, days: range) -> list[DayMinutes]:
        made = []
        for day in days:
            nodes_s = whole_minutes_s(day)
            nodes_m = np.interp(nodes_s, self.time_s, self.sample_m)
            part = np.searchsorted(self.time_s, nodes_s, side="right") - 1
            part = np.clip(part, 0, len(self._bend_m) - 1)
            bend = np.maximum(self._bend_m[part[:-1]], self._bend_m[part[1:]])
            made.append(_with_points(day, nodes_m, bend, self.time_s, self.sample_m))
        return made


def _bends_m(time_s: Floats, sample_m: Floats) -> Floats:
    """How far the true curve may leave the straight line between two samples, shape (n - 1,):
    the larger second difference beside it times the square of the step, divided by 8. None is
    taken across a gap."""
    step = np.diff(time_s)
    slope = np.diff(sample_m) / step
    curvature = np.abs(np.diff(slope)) / ((step[:-1] + step[1:]) / 2.0)
    curvature[(step[:-1] > GAP_S) | (step[1:] > GAP_S)] = 0.0
    beside = np.zeros(len(step))
    if len(curvature):
        beside[:-1] = curvature
        beside[1:] = np.maximum(beside[1:], curvature)
    return np.asarray(np.where(step > GAP_S, 0.0, beside * step**2 / 8.0))


def _with_points(
    day: int, nodes_m: Floats, bend_m: Floats, point_s: Floats, point_m: Floats
) -> DayMinutes:
    """Minutes that also hold the corners at points between whole minutes."""
    first, last = np.searchsorted(point_s, [day * DAY_S, (day + 1) * DAY_S])
    when, height = point_s[first:last], point_m[first:last]
    minute = np.clip(((when - day * DAY_S) // MINUTE_S).astype(int), 0, MINUTES - 1)
    part = (when - day * DAY_S) / MINUTE_S - minute
    above = height - (nodes_m[minute] + (nodes_m[minute + 1] - nodes_m[minute]) * part)
    drop, rise = np.zeros(MINUTES), np.zeros(MINUTES)
    np.maximum.at(drop, minute, -above)
    np.maximum.at(rise, minute, above)
    return DayMinutes(
        start_m=nodes_m[:-1], end_m=nodes_m[1:], drop_m=bend_m + drop, rise_m=bend_m + rise
    )


def covered(spans_s: Sequence[Span] | None, from_s: Floats, to_s: Floats) -> np.ndarray:
    """Whether each stretch of time lies inside one span. Same shape."""
    if spans_s is None:
        return np.ones(np.shape(from_s), dtype=bool)
    starts = np.array([a for a, _ in spans_s])
    ends = np.array([b for _, b in spans_s])
    which = np.searchsorted(starts, from_s, side="right") - 1
    return np.asarray((which >= 0) & (to_s <= ends[np.maximum(which, 0)]))
