"""What is said of the edges of a window, and of the cautions of its departures.

A table of heights (0.5 m at 06:00, 4.5 m at noon, 0.7 m at 18:00) and a boat that needs 3 m.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from routecheck.model.boat import Margins
from routecheck.model.heights import TableHeights
from routecheck.model.route import Route
from routecheck.model.tide import Tide, TideStation
from routecheck.model.window import Windows
from routecheck.windows import scan, windows_of
from routecheck.writers.windows_html import to_windows_html
from routecheck.writers.windows_ics import to_windows_ics
from routecheck.writers.windows_table import to_windows_table
from tests.checks.views import boat, depth, view

START = datetime(2027, 5, 14, tzinfo=UTC)
TABLE = TableHeights(
    event_s=START.timestamp() + 3600.0 * np.array([6.0, 12.0, 18.0]),
    event_m=np.array([0.5, 4.5, 0.7]),
)
TIDE = Tide(
    datum="chart datum", uncertainty_m=0.1, stations=(TideStation(name="Bar", heights=TABLE),)
)


def windows(depth_m: float, from_h: float, to_h: float) -> Windows:
    """Every half hour, over a shoal just off the start."""
    of = view(depths=(depth(depth_m, key="cell/shoal"),))
    mine = replace(boat(speed_kn=6.0), margins=Margins(under_keel_m=1.0, eta_s=0.0))
    count = round((to_h - from_h) * 2) + 1
    departs = [START + timedelta(hours=from_h + n / 2) for n in range(count)]
    scanned = scan((of,), mine, TIDE, departs)
    return windows_of(Route(name="r", legs=(of.leg,), file="r.gpx"), scanned, step_s=1800.0)


def test_where_the_table_ends_that_is_the_reason() -> None:
    """Found 2026-11-28: the window closed on "0.4 m short", at high water as at low."""
    (one,) = windows(2.6, 14.0, 19.0).windows
    assert one.last <= START + timedelta(hours=18)
    assert one.closes[0].finding.check == "tide-not-known"
    assert "too-little-water" in [bar.finding.check for bar in one.closes]
    assert one.closes[0].finding.title == "no height of tide is known for that time at Bar"


def test_where_the_table_begins_that_is_the_reason() -> None:
    (one,) = windows(2.6, 5.0, 11.0).windows
    assert one.opens[0].finding.check == "tide-not-known"


def test_where_the_water_falls_it_is_the_water() -> None:
    (one,) = windows(1.0, 7.0, 17.5).windows
    for bars in (one.opens, one.closes):
        assert {bar.finding.check for bar in bars} == {"too-little-water"}


def told(found: Windows) -> tuple[str, ...]:
    calendar = to_windows_ics(found).replace("\r\n ", "").replace("\\,", ",")
    pages = (to_windows_table(found, width=200), to_windows_html(found), calendar)
    return tuple(" ".join(page.split()) for page in pages)


# The tide's uncertainty is 0.1 m: a caution where the margin is less, half an hour before the end.
def test_how_many_departures_hold_with_cautions_is_told() -> None:
    found = windows(2.3, 12.0, 17.5)
    (one,) = found.windows
    cautions = [state.value for state in found.states].count("open with cautions")
    assert (one.departures, one.with_cautions) == (12, cautions)
    assert cautions == 1 and one.cautions == ()
    for page in told(found):
        assert re.search("1 of 12 with cautions(, |</small><br><small>)the best without", page)


def test_the_cautions_of_the_best_are_told_as_such() -> None:
    found = windows(-1.45, 12.0, 12.0)
    (one,) = found.windows
    assert one.with_cautions == one.departures == 1
    (title,) = one.cautions
    many = replace(found, windows=(replace(one, departures=4, with_cautions=3),))
    for count, pages in (("1 of 1", told(found)), ("3 of 4", told(many))):
        for page in pages:
            assert f"{count} with cautions" in page
            assert "the best without" not in page
            assert re.search(f"on (the )?best:? {re.escape(title)}", page)


@pytest.mark.parametrize("writer", [0, 1, 2])
def test_without_any_nothing_is_said(writer: int) -> None:
    assert "with cautions" not in told(windows(5.0, 9.0, 14.0))[writer]
