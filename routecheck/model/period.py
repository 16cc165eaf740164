"""When a restriction is in force: fixed dates and seasons, as charts state them.

A period that is not known to be over, or not to have begun, counts as in force.
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from routecheck.model.passage import Passage

# Charted dates are days of local time, which runs from 12 h behind UTC to 14 h before it.
_BEHIND, _BEFORE = timedelta(hours=12), timedelta(hours=14)
_LONGEST_DAYS = 366
_FORMS = tuple(
    re.compile(form)
    for form in (
        r"(?P<year>[12]\d{3})(?:-?(?P<month>\d\d)(?:-?(?P<day>\d\d))?)?-*",
        r"(?:----|--)(?P<month>\d\d)(?:-?(?P<day>\d\d))?-*",
        r"(?:------|---)(?P<day>\d\d)",
    )
)
"""Dates of which the front or the end may be left out, as ISO 8601:1988 has them: 20270514,
202705, 2027, --0514 (each year), --05 (the month each year), ---14 (each month)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Day:
    """A date, or the parts of it that are stated."""

    year: int | None = None
    month: int | None = None
    day: int | None = None

    def __post_init__(self) -> None:
        month = 1 if self.month is None else self.month
        if not 1 <= month <= 12:
            raise ValueError(f"no such month: {month}")
        longest = calendar.monthrange(self.year or 2000, month)[1]
        if self.day is not None and not 1 <= self.day <= longest:
            raise ValueError(f"no such day: {self.day}")

    def words(self) -> str:
        """Such as "14 May 2027", "14 May", "May", "day 14"."""
        if self.month is None:
            return str(self.year) if self.day is None else f"day {self.day}"
        parts = (self.day, calendar.month_name[self.month], self.year)
        return " ".join(str(part) for part in parts if part is not None)


def day_of(text: str) -> Day | None:
    """The day in a text; None where it is none.

    >>> day_of("--0401"), day_of("20270514").words(), day_of("soon")
    (Day(year=None, month=4, day=1), '14 May 2027', None)
    """
    for form in _FORMS:
        found = form.fullmatch(text.strip()[:20])
        if found:
            parts = {name: int(value) for name, value in found.groupdict().items() if value}
            try:
                return Day(**parts)
            except ValueError:
                return None
    return None


@dataclass(frozen=True, kw_only=True, slots=True)
class Period:
    """What a chart states of the time in which an object is there, as text, "" where it does not.

    date_start, date_end      from when and until when (S-57 DATSTA, DATEND)
    season_start, season_end  the part of each year or month (PERSTA, PEREND); both inclusive
    """

    date_start: str = ""
    date_end: str = ""
    season_start: str = ""
    season_end: str = ""

    @property
    def stated(self) -> bool:
        """Whether any of it is stated."""
        return any((self.date_start, self.date_end, self.season_start, self.season_end))


ALWAYS = Period()


@dataclass(frozen=True, kw_only=True, slots=True)
class InForce:
    """Whether an object counts as in force while the boat is there, and a sentence on why ("" for
    what is always in force)."""

    counts: bool
    text: str = ""


def in_force(
    period: Period, passage: Passage, *, along_from_m: float, along_to_m: float
) -> InForce:
    """Whether the period holds at any time at which the boat may be on that part of the leg."""
    if not period.stated:
        return InForce(counts=True)
    words = _words(period)
    if not words:
        return InForce(counts=True, text="Its period cannot be read: it counts as in force.")
    first, last = passage.eta(along_from_m), passage.eta(along_to_m)
    if first is None or last is None:
        text = f"In force {words}; no time of passing is known: it counts as in force."
        return InForce(counts=True, text=text)
    off = timedelta(seconds=passage.boat.margins.eta_s)
    if any(_holds(period, day) for day in _days(first - off, last + off)):
        return InForce(counts=True, text=f"In force {words}: so at the time of passing.")
    return InForce(counts=False, text=f"In force {words}: not at the time of passing.")


def _days(first: datetime, last: datetime) -> list[date]:
    """Every day that it may be, on any clock, between two times."""
    start, end = (first - _BEHIND).date(), (last + _BEFORE).date()
    count = min((end - start).days, _LONGEST_DAYS) + 1
    return [start + timedelta(days=n) for n in range(count)]


def _words(period: Period) -> str:
    """The period in words, "" where any of it cannot be read."""
    texts = (period.date_start, period.date_end, period.season_start, period.season_end)
    days = [day_of(text) if text else None for text in texts]
    if any(text and day is None for text, day in zip(texts, days, strict=True)):
        return ""
    date_start, date_end, season_start, season_end = days
    parts = []
    if season_start and season_end and _alike(season_start, season_end):
        every = _every(season_start)
        parts.append(f"from {season_start.words()} to {season_end.words()}{every}")
    elif season_start or season_end:
        return ""
    if date_start:
        parts.append(f"since {date_start.words()}")
    if date_end:
        parts.append(f"until {date_end.words()}")
    return ", ".join(parts)


def _alike(start: Day, end: Day) -> bool:
    """Whether both are days of a month, or both name a month."""
    return (start.month is None) == (end.month is None)


def _every(start: Day) -> str:
    if start.year is not None:
        return ""
    return " each year" if start.month is not None else " of each month"


def _holds(period: Period, day: date) -> bool:
    """Whether a period that can be read holds on a day."""
    start, end = day_of(period.date_start), day_of(period.date_end)
    if start is not None and _after(start, day):
        return False
    if end is not None and _before(end, day):
        return False
    season_start, season_end = day_of(period.season_start), day_of(period.season_end)
    if season_start is None or season_end is None:
        return True
    late, early = not _after(season_start, day), not _before(season_end, day)
    turned = _turns(season_start, season_end)
    return late or early if turned else late and early


def _after(bound: Day, day: date) -> bool:
    """Whether the bound begins after a day, by the parts that are stated."""
    return any(_compared(bound, day, 1))


def _before(bound: Day, day: date) -> bool:
    """Whether the bound ends before a day."""
    return any(_compared(bound, day, -1))


def _compared(bound: Day, day: date, sign: int) -> list[bool]:
    stated = [
        (one, other)
        for one, other in ((bound.year, day.year), (bound.month, day.month), (bound.day, day.day))
        if one is not None
    ]
    differing = [(one, other) for one, other in stated if one != other]
    return [sign * (differing[0][0] - differing[0][1]) > 0] if differing else []


def _turns(start: Day, end: Day) -> bool:
    """Whether a season runs over the turn of the year, or of the month."""
    if start.year is not None or end.year is not None:
        return False
    first = (start.month or 0, start.day or 1)
    return first > (end.month or 0, end.day or 31)
