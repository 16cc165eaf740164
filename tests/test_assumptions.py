"""What the report says it took for granted about tide and squat."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from routecheck.api import vet
from routecheck.judgement import judge
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet
from routecheck.model.finding import Report
from routecheck.model.heights import TableHeights
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.squat_rule import SquatRule
from routecheck.model.tide import Tide, TideStation
from routecheck.writers.findings_json import to_findings_json
from routecheck.writers.terminal import to_terminal
from tests.checks.views import depth, view

BOAT = Boat(name="b", draught_m=2.0, speed_kn=6.0)
NOON = datetime(2027, 5, 14, 12, tzinfo=UTC)
HOUR_S = 3600.0


def tide(**facts: Any) -> Tide:
    noon_s = NOON.timestamp()
    event_s = np.array([noon_s - 6 * HOUR_S, noon_s, noon_s + 6 * HOUR_S])
    heights = TableHeights(event_s=event_s, event_m=np.array([1.0, 5.0, 1.0]))
    station = TideStation(name="Ebbstone", heights=heights)
    return Tide(datum="LAT", uncertainty_m=0.1, stations=(station,), **facts)


def report(boat: Boat = BOAT, *, speed_kn: float | None = None, **given: Any) -> Report:
    start = Waypoint(name="A", lon_deg=4.0, lat_deg=52.0)
    end = Waypoint(name="B", lon_deg=4.1, lat_deg=52.0)
    legs = (Leg(number=1, start=start, end=end, speed_kn=speed_kn),)
    route = Route(name="r", legs=legs, file="r.gpx")
    return vet(route, ChartSet(), boat, **given).report


def says(boat: Boat = BOAT, **given: Any) -> str:
    return "\n".join(report(boat, **given).assumptions)


def test_the_line_for_time_says_that_the_clock_was_not_asked() -> None:
    """Found 2026-11-25: "time: nothing found" without a departure, and no word of why."""
    (time,) = [g for g in report().groups if g.group == "time"]
    assert time.settle.startswith("give --depart")
    assert time.outcome == "not-assessed"
    (time,) = [g for g in report(depart=NOON).groups if g.group == "time"]
    assert time.settle == ""
    assert time.outcome == "nothing-found"


def test_checks_of_the_clock_have_found_nothing_only_if_the_clock_was_asked() -> None:
    """That it was not asked leaves no route incomplete: the clean route of the samples says so."""
    of_clock = {
        "arrival-in-the-dark", "low-sun-ahead", "passed-in-the-dark", "shut-at-that-time",
    }  # fmt: skip
    for depart in (None, NOON):
        cells = [c for c in report(depart=depart).assessed if c.for_want_of_clock]
        assert {c.check for c in cells} == (of_clock if depart is None else set())
        assert all(c.outcome == "not-assessed" and c.why for c in cells)


def on(datum: str, given: Tide | None = None, *, counts: bool = True) -> Report:
    """Of deep water charted below a datum."""
    of = view(depths=(depth(50.0, datum=datum, counts=counts),))
    route = Route(name="r", legs=(of.leg,), file="r.gpx")
    return judge(route, (of,), ChartSet(), BOAT, tide=given)


def test_without_a_tide_it_is_told_where_the_water_falls_below_the_datum() -> None:
    """NOAA, Tide and Current Glossary: MLLW is the mean of the lower low waters, no lowest."""
    whole = "Of the low waters whose mean is MLW, MLLW or MLWS about half fall below it"
    short = "no tide given: height of tide 0 at chart datum"
    for datum in ("MLLW", "MLW", "IGLD 1985", "chart datum"):
        report = on(datum)
        text = "\n".join(report.assumptions)
        assert f"Charted depths are on {datum}, and without a tide" in text and whole in text
        below = f"{short}; the water may fall below {datum}, and that is not taken off"
        assert report.tide_text == below
        assert below in " ".join(to_terminal(report).split())
        assert below in to_findings_json(report)
        assert whole in to_findings_json(report)
    for report in (on("LAT"), on("unknown"), on("MLLW", counts=False)):
        assert report.tide_text == short
        assert whole not in "\n".join(report.assumptions)
    assert whole not in "\n".join(on("MLLW", tide()).assumptions)


@pytest.mark.parametrize("speed_kn", [None, 1e-4])
def test_with_a_departure_and_no_eta_the_clock_was_not_asked_either(speed_kn: float | None) -> None:
    """Found 2026-11-28: a low sun ahead had "found nothing" where no speed was given."""
    found = report(replace(BOAT, speed_kn=speed_kn), depart=NOON)
    cells = {c.check: c for c in found.assessed if c.for_want_of_clock}
    assert set(cells) == {"low-sun-ahead", "passed-in-the-dark", "shut-at-that-time"}
    assert {(c.outcome, c.why) for c in cells.values()} == {("not-assessed", "no ETA is known")}
    assert '"no ETA is known"' in to_findings_json(found)
    # The arrival is the one of which something is said.
    assert [f.check for f in found.findings if f.check == "arrival-in-the-dark"]
    (time,) = [g for g in found.groups if g.group == "time"]
    assert (time.outcome, time.count) == ("not-assessed", 1)


def test_without_a_departure_the_lowest_height_is_told() -> None:
    lowest = "A tide counts with its lowest height under the keel"
    assert lowest in says(tide=tide())
    assert lowest not in says(tide=tide(), depart=NOON)
    constant = replace(tide(), stations=(TideStation(name="x", constant_m=1.0),))
    assert lowest not in says(tide=constant)


def test_an_allowance_for_surge_is_told() -> None:
    text = says(tide=tide(surge_down_m=0.3, surge_up_m=0.2), depart=NOON)
    assert "(± 0.10 m, surge 0.30 m down and 0.20 m up)" in text
    assert "surge" not in says(tide=tide(), depart=NOON)


def test_squat_by_a_formula_is_told_and_is_for_the_fastest_leg() -> None:
    boat = replace(BOAT, squat_rule=SquatRule(formula="open", block_share=0.5))
    # Barrass, simplified, open water: Cb V^2 / 100.
    assert "squat 0.18 m" in says(boat)
    assert "squat 0.50 m" in says(boat, speed_kn=10.0)
    assert "Barrass's simplified formula for open water, block coefficient 0.5." in says(boat)
    assert "Barrass" not in says()


def test_a_formula_without_a_speed_is_refused() -> None:
    with pytest.raises(ValueError, match="needs the boat's speed"):
        replace(BOAT, speed_kn=None, squat_rule=SquatRule(formula="open", block_share=0.5))


@pytest.mark.parametrize("speed_kn", [None, 1e-4, 1e-300])
def test_where_the_clock_stops_is_told(speed_kn: float | None) -> None:
    boat = replace(BOAT, speed_kn=speed_kn)
    text = says(boat, depart=NOON, tide=tide())
    assert "From leg 1 on no ETA is known" in text
    assert "a tide counts with its lowest height" in text
    assert "no ETA" not in says(depart=NOON) and "no ETA" not in says(boat)


@pytest.mark.parametrize(
    "text",
    [
        "0001-01-01T00:00+14:00",
        "1899-12-31T23:59+00:00",
        "1900-01-01T00:00+01:00",
        "2199-12-31T23:59-10:00",
        "9999-12-31T23:59-12:00",
    ],
)
def test_a_departure_in_another_age_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not from 1900 to 2199, in UTC"):
        says(depart=datetime.fromisoformat(text))
