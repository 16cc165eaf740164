"""Periods of charts against the calendar.

Forms of dates: IHO S-57 edition 3.1, appendix A, attributes 85, 86, 118, 119 (DATEND, DATSTA,
PEREND, PERSTA): CCYYMMDD, --MMDD, --MM; with the day alone, ---DD, and the year alone, CCYY, as
ISO 8601:1988 truncates and shortens dates. Both ends count (from memory).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from routecheck.model.boat import Boat, Margins
from routecheck.model.passage import Passage
from routecheck.model.period import Day, InForce, Period, day_of, in_force


def passage(eta: datetime | None, *, off_s: float = 0.0) -> Passage:
    boat = Boat(name="b", draught_m=2.0, speed_kn=5.0, margins=Margins(eta_s=off_s))
    return Passage(boat=boat, leg_start=eta, speed_kn=5.0)


def held(period: Period, eta: datetime | None, **more: float) -> InForce:
    return in_force(period, passage(eta, **more), along_from_m=0.0, along_to_m=0.0)


def noon(text: str) -> datetime:
    # At 11:00 UTC it is the same day everywhere from UTC-11 to UTC+12; see the test of days below.
    return datetime.fromisoformat(f"{text}T11:00:00+00:00")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("20270514", Day(year=2027, month=5, day=14)),
        ("2027-05-14", Day(year=2027, month=5, day=14)),
        ("202705", Day(year=2027, month=5)),
        ("2027", Day(year=2027)),
        ("2027----", Day(year=2027)),
        ("--0514", Day(month=5, day=14)),
        ("--05-14", Day(month=5, day=14)),
        ("----0514", Day(month=5, day=14)),
        ("--05", Day(month=5)),
        ("--05--", Day(month=5)),
        ("---14", Day(day=14)),
        ("------14", Day(day=14)),
        ("--0229", Day(month=2, day=29)),
        ("20270229", None),  # 2027 is no leap year
        ("--1301", None),
        ("--0001", None),
        ("--0431", None),
        ("---32", None),
        ("---00", None),
        ("summer", None),
        ("", None),
        ("0514", None),
    ],
)
def test_forms_of_dates(text: str, expected: Day | None) -> None:
    assert day_of(text) == expected


SUMMER = Period(season_start="--0401", season_end="--0731")
WINTER = Period(season_start="--1115", season_end="--0315")


@pytest.mark.parametrize(
    ("period", "day", "counts"),
    [
        (SUMMER, "2027-05-14", True),
        (SUMMER, "2027-09-14", False),
        (SUMMER, "2026-01-02", False),
        (WINTER, "2027-01-10", True),  # over the turn of the year
        (WINTER, "2027-12-24", True),
        (WINTER, "2027-06-01", False),
        (Period(season_start="--10", season_end="--03"), "2027-03-29", True),
        (Period(season_start="--10", season_end="--03"), "2027-06-29", False),
        (Period(season_start="---10", season_end="---20"), "2027-06-15", True),
        (Period(season_start="---10", season_end="---20"), "2027-06-25", False),
        (Period(season_start="---25", season_end="---05"), "2027-06-28", True),
        (Period(season_start="---25", season_end="---05"), "2027-06-15", False),
        (Period(date_start="20280101"), "2027-05-14", False),
        (Period(date_start="20270101"), "2027-05-14", True),
        (Period(date_end="20261231"), "2027-05-14", False),
        (Period(date_end="2027"), "2027-12-01", True),
        (Period(date_end="2027"), "2028-02-01", False),
        (Period(date_start="202706"), "2027-05-14", False),
        # A season of a restriction that has not begun yet.
        (Period(date_start="20280101", season_start="--0401", season_end="--0731"), "2027-05-14",
         False),
        (Period(season_start="20270401", season_end="20270731"), "2027-05-14", True),
        (Period(season_start="20270401", season_end="20270731"), "2028-05-14", False),
    ],
)  # fmt: skip
def test_periods_at_the_time_of_passing(period: Period, day: str, counts: bool) -> None:
    found = held(period, noon(day))
    assert found.counts is counts
    assert ("not at the time of passing" in found.text) is not counts


def test_without_a_time_it_counts_and_says_so() -> None:
    found = held(SUMMER, None)
    assert found.counts
    assert "1 April to 31 July each year" in found.text and "counts as in force" in found.text


@pytest.mark.parametrize(
    "period",
    [
        Period(season_start="--0401"),  # and no end
        Period(season_end="--0731"),
        Period(season_start="spring", season_end="--0731"),
        Period(season_start="---10", season_end="--0731"),
        Period(date_start="soon"),
    ],
)
def test_what_cannot_be_read_counts_and_says_so(period: Period) -> None:
    found = held(period, noon("2027-12-24"))
    assert found.counts and "cannot be read" in found.text


def test_always_in_force_says_nothing() -> None:
    assert held(Period(), noon("2027-05-14")) == InForce(counts=True)


@pytest.mark.parametrize(
    ("eta", "off_s", "counts"),
    [
        # Local time runs from UTC-12 to UTC+14 (IANA time zone data base: Etc/GMT+12 to
        # Pacific/Kiritimati): at 10:00 UTC on 31 March it is 1 April in Kiritimati.
        ("2027-03-31T10:00:00+00:00", 0.0, True),
        ("2027-03-31T09:59:00+00:00", 0.0, False),
        ("2027-03-31T09:31:00+00:00", 1800.0, True),
        # At 11:59 UTC on 1 August it is still 31 July at UTC-12.
        ("2027-08-01T11:59:00+00:00", 0.0, True),
        ("2027-08-01T12:00:00+00:00", 0.0, False),
        ("2027-08-01T12:29:00+00:00", 1800.0, True),
    ],
)
def test_days_on_any_clock_and_the_margin_of_the_eta(eta: str, off_s: float, counts: bool) -> None:
    assert held(SUMMER, datetime.fromisoformat(eta), off_s=off_s).counts is counts


def test_the_whole_stay_counts() -> None:
    # 50 nmi at 5 kn: ten hours inside, from 12:00 on 29 March to 22:00 on 31 March (58 h).
    start = datetime(2027, 3, 29, 12, tzinfo=UTC)
    inside = in_force(SUMMER, passage(start), along_from_m=0.0, along_to_m=290 * 1852.0)
    before = in_force(SUMMER, passage(start), along_from_m=0.0, along_to_m=100 * 1852.0)
    assert inside.counts and not before.counts


@given(
    st.dates(date(2020, 1, 1), date(2030, 12, 31)),
    st.dates(date(2020, 1, 1), date(2030, 12, 31)),
    st.dates(date(2021, 1, 1), date(2029, 12, 31)),
)
@example(date(2020, 4, 1), date(2024, 2, 29), date(2021, 3, 2))
def test_a_season_by_walking_the_days(start: date, end: date, day: date) -> None:
    """Day by day from the season's start until its end: the same answer, without comparing."""
    period = Period(season_start=f"--{start:%m%d}", season_end=f"--{end:%m%d}")
    last = (end.month, end.day)
    year = 2020 if (start.month, start.day) <= (2, 29) else 2019  # on into a 29 February
    walk, within = date(year, start.month, start.day), set()
    while True:
        within.add((walk.month, walk.day))
        if (walk.month, walk.day) == last:
            break
        walk += timedelta(days=1)
        if walk.year > year + 1:
            break
    near = {day + timedelta(days=n) for n in (-1, 0, 1)}
    eta = datetime(day.year, day.month, day.day, 11, tzinfo=UTC)
    found = held(period, eta).counts
    if all((d.month, d.day) in within for d in near):
        assert found
    if not any((d.month, d.day) in within for d in near):
        assert not found
