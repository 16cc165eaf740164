"""Hours at which a bridge, a lock or a gate opens, as the skipper gives them."""

from __future__ import annotations

from dataclasses import dataclass

from routecheck.model.finite import refuse_not_finite

DAY_S = 86_400.0
_EPOCH_WEEKDAY = 3  # 1970-01-01 was a Thursday; Monday is 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Hours:
    """One opening a day, on a clock `ahead_s` before UTC; past midnight where the end is not after
    the start."""

    start_s: float
    end_s: float
    ahead_s: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """A place on a leg that can be passed at some hours only. `along_m` None: anywhere on it."""

    name: str
    hours: tuple[Hours, ...]
    along_m: float | None = None
    weekdays: frozenset[int] = frozenset(range(7))
    """Monday is 0; of the day on which the opening begins, on its own clock."""
    words: str = ""
    """The hours as they were written."""

    def open_throughout(self, from_s: float, to_s: float) -> bool:
        """Whether it is open from one Unix time to another without a break."""
        first, last = int(from_s // DAY_S) - 2, int(to_s // DAY_S) + 2
        spans = sorted(
            (day * DAY_S + one.start_s - one.ahead_s, self._end_s(day, one))
            for day in range(first, last + 1)
            for one in self.hours
            if (day + _EPOCH_WEEKDAY) % 7 in self.weekdays
        )
        reached_s = None
        for start_s, end_s in spans:
            if reached_s is None:
                if start_s <= from_s <= end_s:
                    reached_s = end_s
            elif start_s <= reached_s:
                reached_s = max(reached_s, end_s)
        return reached_s is not None and reached_s >= to_s

    @staticmethod
    def _end_s(day: int, one: Hours) -> float:
        over = DAY_S if one.end_s <= one.start_s else 0.0
        return day * DAY_S + one.end_s + over - one.ahead_s
