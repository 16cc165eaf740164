"""The passage's clock, place by place."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from routecheck.model.clock import Clock
from routecheck.model.heights import TableHeights
from routecheck.model.opening import Hours, Opening
from routecheck.model.tide import Tide, TideStation
from routecheck.model.timetable import timetable
from tests.checks.test_span_overhead import span
from tests.checks.views import boat, depth, met, view

START = datetime(2027, 5, 14, 10, tzinfo=UTC)
TABLE = TableHeights(
    event_s=START.timestamp() + 3600.0 * np.array([-2.0, 4.0, 10.0]),
    event_m=np.array([0.5, 4.5, 0.7]),
)
TIDE = Tide(
    datum="LAT",
    uncertainty_m=0.1,
    stations=(TideStation(name="Bar", heights=TABLE),),
    surge_down_m=0.2,
    surge_up_m=0.3,
)
MINE = boat(speed_kn=6.0)


def legs() -> list:  # type: ignore[type-arg]
    first = view(length_m=6 * 1852.0, depths=(depth(9.0),))
    lock = Opening(name="Lock", hours=(Hours(start_s=0, end_s=3600),), along_m=500.0)
    last = replace(
        view(length_m=3 * 1852.0, start_along_m=6 * 1852.0, spans=(met(span()),)),
        leg=replace(first.leg, number=4, openings=(lock,)),
    )
    return [first, last]


def test_rows_in_order_with_eta_tide_margin_and_light() -> None:
    of = legs()
    rows = timetable(of, Clock(of, MINE, TIDE).passages(START))
    assert [(r.kind, r.name) for r in rows] == [
        ("waypoint", "A"),
        ("waypoint", "B"),
        ("overhead", "BRIDGE"),
        ("opening", "Lock"),
        ("waypoint", "B"),
    ]
    assert [r.eta for r in rows if r.kind == "waypoint"] == [
        START,
        START + timedelta(hours=1),
        START + timedelta(hours=1.5),
    ]
    first = rows[0]
    # Two of six hours after low water: a quarter of the range up.
    assert first.height_m == pytest.approx(0.5 + 4.0 * 0.25, abs=0.001)
    assert first.lowest_m is not None and first.highest_m is not None
    assert first.lowest_m < first.height_m - 0.2 < first.height_m + 0.3 < first.highest_m
    assert first.off == timedelta(minutes=30)
    assert first.station == "Bar"
    assert first.margin_m == pytest.approx(9.0 + first.lowest_m - 3.0, abs=0.01)
    assert rows[-1].margin_m is None
    # Nothing is known of the air under a bridge without a clearance.
    assert rows[2].margin_m is None
    assert first.light == "daylight"
    assert 50.0 < first.sun_altitude_deg < 62.0


def test_under_a_bridge_the_margin_is_that_of_air() -> None:
    """19 m above HAT, 4 m above the tide's datum; the highest water on passing with its surge; 16 m
    of mast and 1 m wanted above it."""
    of = legs()
    low = met(span(vertical_clearance_m=19.0, name="Low"))
    of[1] = replace(of[1], spans=(low,), leg=replace(of[1].leg, openings=()))
    at = replace(TIDE, stations=(replace(TIDE.stations[0], levels_m={"HAT": 4.0}),))
    mine = boat(speed_kn=6.0, air_draught_m=16.0)
    rows = timetable(of, Clock(of, mine, at).passages(START))
    (row,) = [one for one in rows if one.kind == "overhead"]
    assert row.highest_m is not None and row.margin_m is not None
    assert row.margin_m == pytest.approx(19.0 + 4.0 - row.highest_m - 17.0, abs=0.001)


def test_no_departure_no_speed_no_rows() -> None:
    of = legs()
    assert timetable(of, Clock(of, MINE, TIDE).passages(None)) == ()
    assert timetable(of, Clock(of, boat(), TIDE).passages(START)) == ()


def test_outside_the_tides_time_heights_are_not_known() -> None:
    of = legs()
    rows = timetable(of, Clock(of, MINE, TIDE).passages(START + timedelta(hours=9)))
    assert rows[0].height_m is not None
    assert [rows[-1].height_m, rows[-1].lowest_m, rows[-1].highest_m] == [None] * 3
    assert rows[-1].station == "Bar"
    without = timetable(of, Clock(of, MINE, None).passages(START))
    assert without[0].height_m is None
    assert without[0].station == ""
