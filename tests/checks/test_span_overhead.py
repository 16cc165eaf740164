"""Bridges and cables: the clearance's own datum, the highest tide, and what cannot be judged."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.checks.span_overhead import span_overhead
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.heights import TableHeights
from routecheck.model.objects import Span
from routecheck.model.passage import Passage
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import Touch
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.checks.views import boat, met, place, run, view
from tests.sketch import CELL_M, charts_of
from tests.sketch import passage as sketched

BOAT = boat(air_draught_m=17.5, speed_kn=6.0)
START = datetime(2027, 5, 14, tzinfo=UTC)
# High water 4.5 m at 06:00.
TABLE = TableHeights(
    event_s=START.timestamp() + 3600.0 * np.array([0.0, 6.0, 12.0]),
    event_m=np.array([0.5, 4.5, 0.7]),
)


def span(**facts: Any) -> Span:
    base: dict[str, Any] = {
        "key": "s/BRIDGE/1",
        "cls": "BRIDGE",
        "source": "s",
        "geometry": shapely.Point(10.0, 50.0),
        "clearance_datum": "HAT",
    }
    return Span(**{**base, **facts})


def tide(**levels: float) -> Tide:
    station = TideStation(name="Bar", heights=TABLE, levels_m=levels)
    return Tide(datum="LAT", uncertainty_m=0.1, stations=(station,))


def at(hour: float, of: Tide | None, by: Boat = BOAT) -> Passage:
    return Passage(
        boat=by,
        tide=of,
        depart_s=START.timestamp() + 3600.0 * hour,
        offset_s=0.0,
        leg_start=START,
        speed_kn=6.0,
    )


def found(of: Span, by: Passage, **where: Any) -> list[Finding]:
    return run(span_overhead, view(spans=(met(of, place(**where)),)), by)


def severity(of: Span, by: Passage, **where: Any) -> Severity | None:
    ones = found(of, by, **where)
    return ones[0].severity if ones else None


def exactly(eta_s: float = 0.0) -> Any:
    return replace(BOAT, margins=Margins(eta_s=eta_s))


def test_a_bridge_too_low_at_the_highest_tide() -> None:
    """a bridge too low at the highest tide of the passing is a danger"""
    bridge = span(vertical_clearance_m=19.0)
    high = at(6.0, tide(HAT=4.0), by=exactly())
    (one,) = found(bridge, high, along_m=0.0)
    # Half a metre above HAT: 18.5 m of air for 17.5 m and 1 m.
    assert one.severity is Severity.CAUTION
    assert one.sums["margin_m"] == pytest.approx(0.0, abs=0.001)
    lower = span(vertical_clearance_m=18.4)
    (one,) = found(lower, high, along_m=0.0)
    assert one.severity is Severity.DANGER
    assert "too little" in one.title
    # Two hours before high water there is more air.
    assert severity(lower, at(4.0, tide(HAT=4.0), by=exactly()), along_m=0.0) is None
    # Unless the ETA may be off by as much.
    assert severity(lower, at(4.0, tide(HAT=4.0), by=exactly(7200.0))) is Severity.DANGER


def test_a_bridge_with_room() -> None:
    """a bridge with room for the mast says nothing"""
    assert found(span(vertical_clearance_m=25.0), at(6.0, tide(HAT=4.0))) == []
    assert found(span(vertical_clearance_m=18.7), at(6.0, None)) == []


def test_a_bridge_without_a_clearance() -> None:
    """a bridge without a clearance is not assessed"""
    (one,) = found(span(), at(6.0, tide(HAT=4.0)))
    assert one.severity is Severity.NOT_ASSESSED
    assert "no clearance charted" in one.title


# Eastport, NOAA: MHW 5.729 m above MLLW (7.191 - 1.462); a bridge of 20 m and a tide of 6.0 m leave
# 19.729 m (arithmetic on published datums).
def test_eastports_bridge() -> None:
    station = TideStation(name="Eastport", constant_m=6.0, levels_m={"MHW": 5.729})
    of = Tide(datum="MLLW", uncertainty_m=0.0, stations=(station,))
    low = boat(air_draught_m=19.0)
    (one,) = found(span(vertical_clearance_m=20.0, clearance_datum="MHW"), at(0.0, of, by=low))
    assert one.sums["available_air_m"] == pytest.approx(19.729)
    assert one.severity is Severity.DANGER


def test_without_a_tide_the_water_is_taken_at_the_datum() -> None:
    bridge = span(vertical_clearance_m=18.7, clearance_datum="MHWS")
    (one,) = found(bridge, at(6.0, None))
    assert one.severity is Severity.CAUTION
    assert "with the water at MHWS" in one.title
    assert severity(span(vertical_clearance_m=18.4), at(6.0, None)) is Severity.DANGER
    # A level that no one places is the same as no tide.
    assert severity(bridge, at(6.0, tide())) is Severity.CAUTION


@pytest.mark.parametrize(
    ("datum", "what"),
    [
        ("MHWS", "High springs, or a surge, stand above MHWS"),
        ("MHW", "High springs, or a surge, stand above MHW"),
        ("MSL", "Every high water stands above MSL"),
        ("MLLW", "Every high water stands above MLLW"),
    ],
)
def test_how_often_the_water_stands_above_the_datum(datum: str, what: str) -> None:
    """Found 2026-11-29: above MSL, too, it was said of high springs alone."""
    bridge = span(vertical_clearance_m=30.0, clearance_datum=datum)
    for of in (None, tide()):
        (one,) = found(bridge, at(6.0, of))
        assert one.severity is Severity.CAUTION
        assert f"{what}; no tide says how far." in one.explanation


def test_without_a_departure_one_station_that_knows_some_times_only_leaves_it_open() -> None:
    """The other station's highest may be the higher, and the first one's still not the highest."""
    levels = {"HAT": 4.0}
    table = TideStation(name="Bar", heights=TABLE, levels_m=levels, lon_deg=9.99, lat_deg=50.0)
    mole = TideStation(name="Mole", constant_m=5.0, levels_m=levels, lon_deg=10.01, lat_deg=50.0)
    bridge = span(vertical_clearance_m=30.0)
    for stations in ((table, mole), (mole, table)):
        by = Passage(
            boat=BOAT,
            tide=Tide(datum="LAT", uncertainty_m=0.0, stations=stations),
            depart_s=None,
            offset_s=0.0,
            leg_start=None,
            speed_kn=6.0,
        )
        assert severity(bridge, by) is Severity.CAUTION
    assert severity(bridge, replace(by, tide=replace(by.tide, stations=(mole,)))) is None


def test_outside_the_tides_span_it_is_not_assessed() -> None:
    (one,) = found(span(vertical_clearance_m=30.0), at(20.0, tide(HAT=4.0)))
    assert one.severity is Severity.NOT_ASSESSED
    assert "tide at that time is not known" in one.title
    # What is too low at the highest water that is known is too low at a time that is not.
    assert severity(span(vertical_clearance_m=17.0), at(20.0, tide(HAT=4.0))) is Severity.DANGER


def test_no_air_draught_and_no_datum() -> None:
    short = found(span(vertical_clearance_m=30.0), at(6.0, None, by=boat()))
    assert short[0].settle == "give air_draught"
    (one,) = found(span(vertical_clearance_m=30.0, clearance_datum="unknown"), at(6.0, None))
    assert one.severity is Severity.NOT_ASSESSED


def test_bridges_that_open() -> None:
    swing = span(vertical_clearance_closed_m=4.0, opens=True)
    (one,) = found(swing, at(6.0, None))
    assert one.severity is Severity.CAUTION
    assert "when closed" in one.title
    lift = span(vertical_clearance_closed_m=4.0, vertical_clearance_open_m=16.0, opens=True)
    assert severity(lift, at(6.0, None)) is Severity.DANGER
    assert severity(span(vertical_clearance_closed_m=30.0, opens=True), at(6.0, None)) is None


def test_power_lines() -> None:
    line = {"cls": "CBLOHD", "electric": True}
    (one,) = found(span(vertical_clearance_m=40.0, **line), at(6.0, None))
    assert one.severity is Severity.CAUTION
    assert "set by its owner" in one.explanation
    assert found(span(vertical_clearance_m=40.0, cls="CBLOHD"), at(6.0, None)) == []
    both = span(vertical_clearance_m=40.0, safe_vertical_clearance_m=18.0, **line)
    (one,) = found(both, at(6.0, None))
    assert one.severity is Severity.DANGER
    assert one.sums["charted_clearance_m"] == 18.0
    assert found(span(safe_vertical_clearance_m=20.0, **line), at(6.0, None)) == []


def test_only_within_its_position_uncertainty_is_a_caution() -> None:
    low = span(vertical_clearance_m=5.0)
    assert severity(low, at(6.0, None), touch=Touch.BELT, belt_m=30.0) is Severity.CAUTION


def test_surge_counts_upwards() -> None:
    bridge = span(vertical_clearance_m=18.7)
    surge = replace(tide(), surge_up_m=0.4)
    assert severity(bridge, at(6.0, surge)) is Severity.DANGER


ORDER = [Severity.DANGER, Severity.NOT_ASSESSED, Severity.CAUTION, None]


@given(
    clearance_m=st.floats(15.0, 30.0),
    hour=st.floats(0.0, 11.0),
    eta_s=st.floats(0.0, 3600.0),
    more_s=st.floats(0.0, 7200.0),
    up_m=st.floats(0.0, 2.0),
)
def test_more_water_and_less_certainty_never_help(
    clearance_m: float, hour: float, eta_s: float, more_s: float, up_m: float
) -> None:
    bridge = span(vertical_clearance_m=clearance_m)
    base = tide(HAT=4.0)
    first = ORDER.index(severity(bridge, at(hour, base, by=exactly(eta_s))))
    later = severity(bridge, at(hour, base, by=exactly(eta_s + more_s)))
    assert ORDER.index(later) <= first
    surged = severity(bridge, at(hour, replace(base, surge_up_m=up_m), by=exactly(eta_s)))
    assert ORDER.index(surged) <= first


def with_bridge(south_deg: float, clearance_m: float | None) -> list[Finding]:
    """What is found on a drawing with a bridge from `south_deg` to the north."""
    route, charts = charts_of("99999")
    middle = route.legs[0].end.lon_deg / 2.0
    bridge = replace(
        span(vertical_clearance_m=clearance_m),
        key="sketch/BRIDGE/1",
        source="sketch",
        geometry=shapely.LineString([(middle, south_deg), (middle, south_deg + 0.001)]),
    )
    chart = replace(charts.charts[0], spans=(bridge,))
    settings = SurveySettings(cross_track_m=CELL_M / 2.0)
    _, views = survey(route, replace(charts, charts=(chart,)), settings)
    by = replace(sketched(), boat=BOAT)
    return [one for each in views for one in span_overhead(each, by)]


def test_through_the_survey_over_the_corridor_and_beside_it() -> None:
    (one,) = with_bridge(-0.0005, 4.5)
    assert one.severity is Severity.DANGER
    assert with_bridge(0.001, 4.5) == []
    (one,) = with_bridge(-0.0005, None)
    assert one.severity is Severity.NOT_ASSESSED
