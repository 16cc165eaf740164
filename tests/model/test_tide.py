"""Stations: which counts where, above which datum, and what holds where nothing is known."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.boat import Boat, Margins
from routecheck.model.heights import HarmonicHeights, TableHeights
from routecheck.model.passage import Passage
from routecheck.model.tide import Tide, TideStation, station_in_words
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic

START = datetime(2027, 5, 14, tzinfo=UTC)
START_S = START.timestamp()
EVENT_S = START_S + 3600.0 * np.array([0.0, 6.0, 12.0, 18.0])
TABLE = TableHeights(event_s=EVENT_S, event_m=np.array([0.5, 4.5, 0.7, 4.1]))
M2 = Harmonic(constituent=constituent("M2"), amplitude_m=2.0, phase_deg=30.0)
HARMONIC = HarmonicHeights(mean_level_m=2.2, harmonics=(M2,))


def boat(eta_s: float = 0.0) -> Boat:
    return Boat(name="b", draught_m=2.0, speed_kn=6.0, margins=Margins(eta_s=eta_s))


def tide(*stations: TideStation, datum: str = "LAT", **more: float) -> Tide:
    return Tide(datum=datum, uncertainty_m=0.1, stations=stations, **more)


def passage(of: Tide, *, hours: float | None, eta_s: float = 0.0) -> Passage:
    start = None if hours is None else START + timedelta(hours=hours)
    return Passage(boat=boat(eta_s), tide=of, leg_start=start, speed_kn=6.0)


def height(of: Passage, *, datum: str = "LAT", to_m: float = 0.0):  # type: ignore[no-untyped-def]
    return of.height_of_tide(
        datum=datum, lon_deg=0.0, lat_deg=0.0, along_from_m=0.0, along_to_m=to_m
    )


def test_the_lowest_within_the_etas_uncertainty() -> None:
    at = tide(TideStation(name="Bar", heights=TABLE))
    exact = height(passage(at, hours=6.0))
    assert exact.height_m == pytest.approx(4.5, abs=0.001)
    off = height(passage(at, hours=6.0, eta_s=3600.0))
    # An hour from high water: (1 - cos 30 degrees) / 2 of the range below it, to the later, lower
    # low water.
    assert off.height_m == pytest.approx(4.5 - 3.8 * (1 - np.cos(np.pi / 6)) / 2, abs=0.02)
    # One hour at six knots along takes the boat to half-tide and beyond.
    along = height(passage(at, hours=6.0), to_m=3 * 6 * 1852.0)
    assert along.height_m == pytest.approx((4.5 + 0.7) / 2, abs=0.001)
    assert along.known
    assert along.station == "Bar"


def test_outside_the_table_nothing_is_known() -> None:
    at = tide(TideStation(name="Bar", heights=TABLE))
    for hours, eta_s in ((-1.0, 0.0), (19.0, 0.0), (17.9, 600.0), (0.05, 600.0)):
        found = height(passage(at, hours=hours, eta_s=eta_s))
        assert not found.known
        assert found.height_m == 0.0
        assert "no height of tide is known" in found.text


def test_without_a_departure_a_table_adds_nothing() -> None:
    at = tide(TideStation(name="Bar", heights=TABLE))
    found = height(passage(at, hours=None))
    assert found.known
    assert found.height_m == 0.0
    assert found.text.startswith("no departure: the lowest of")
    below = TableHeights(event_s=EVENT_S, event_m=np.array([-0.4, 4.5, 0.7, 4.1]))
    assert height(passage(tide(TideStation(name="B", heights=below)), hours=None)).height_m == -0.4


def test_without_a_departure_harmonic_constants_give_their_lowest() -> None:
    found = height(passage(tide(TideStation(name="Bar", heights=HARMONIC)), hours=None))
    # f(M2) reaches 1.038 within the 19 years.
    assert found.height_m == pytest.approx(2.2 - 2.0 * 1.038, abs=0.06)


def test_a_constant_needs_no_departure() -> None:
    at = tide(TideStation(name="Bar", constant_m=1.4))
    assert height(passage(at, hours=None)).height_m == 1.4
    assert height(passage(at, hours=3.0)).height_m == 1.4
    assert height(passage(at, hours=3.0)).text == "constant, Bar"


def test_another_datum_and_a_stated_level() -> None:
    plain = tide(TideStation(name="Bar", heights=TABLE), datum="MLLW")
    found = height(passage(plain, hours=6.0))
    assert (found.applies, found.height_m) == (False, 0.0)
    stated = tide(TideStation(name="Bar", heights=TABLE, levels_m={"LAT": -0.6}), datum="MLLW")
    found = height(passage(stated, hours=6.0))
    assert found.applies
    assert found.height_m == pytest.approx(5.1, abs=0.001)


def test_chart_datum_is_each_charts_own() -> None:
    at = tide(TideStation(name="Bar", heights=TABLE), datum="chart datum")
    for datum in ("LAT", "MLLW", "MLWS"):
        assert height(passage(at, hours=6.0), datum=datum).applies
    assert not height(passage(at, hours=6.0), datum="MSL").applies


def test_surge_takes_off_the_lowest_and_adds_to_the_highest() -> None:
    at = tide(TideStation(name="Bar", constant_m=1.0), surge_down_m=0.3, surge_up_m=0.5)
    assert height(passage(at, hours=None)).height_m == pytest.approx(0.7)
    one = np.array([START_S])
    highest = at.highest((0,), "LAT", one, one)
    assert highest is not None
    assert highest.height_m[0] == pytest.approx(1.5)


def at_place(name: str, lon: float, metres: float, **more: object) -> TideStation:
    return TideStation(name=name, constant_m=metres, lon_deg=lon, lat_deg=0.0, **more)  # type: ignore[arg-type]


def test_between_two_stations_the_lower_counts_and_a_third_behind_does_not() -> None:
    west, east, far = at_place("W", -1.0, 2.0), at_place("E", 1.5, 1.0), at_place("F", 9.0, 0.1)
    at = tide(west, east, far)
    assert at.neighbours(0.0, 0.0) == (0, 1)
    found = height(passage(at, hours=None))
    assert (found.height_m, found.station) == (1.0, "E")
    assert at.neighbours(-7.0, 0.0) == (0,)
    assert at.neighbours(1.5, 0.0) == (1,)
    assert at.neighbours(4.0, 0.0) == (1, 2)
    assert at.station_for(0.2, 0.0) is west


def test_a_zone_outweighs_what_is_near() -> None:
    zoned = TideStation(name="Z", constant_m=3.0, zone=shapely.box(-1.0, -1.0, 1.0, 1.0))
    at = tide(at_place("W", 0.1, 2.0), zoned)
    assert at.neighbours(0.0, 0.0) == (1,)
    assert at.neighbours(1.0, 0.0) == (1,)
    assert at.neighbours(1.1, 0.0) == (0,)


def test_two_zones_at_one_place_give_the_lower() -> None:
    one, other = (
        TideStation(name=n, constant_m=m, zone=shapely.box(w, -1.0, w + 2.0, 1.0))
        for n, m, w in (("A", 3.0, -2.0), ("B", 2.0, 0.0))
    )
    at = tide(one, other, at_place("W", 7.0, 0.1))
    assert height(passage(at, hours=None)).height_m == 2.0


def test_one_of_two_stations_unknown_is_unknown() -> None:
    known = TideStation(name="H", heights=HARMONIC, lon_deg=-1.0, lat_deg=0.0)
    ended = TideStation(name="T", heights=TABLE, lon_deg=1.0, lat_deg=0.0)
    found = height(passage(tide(known, ended), hours=30.0))
    assert not found.known
    assert found.height_m <= 0.0


@given(
    hours=st.floats(-4.0, 24.0),
    eta_s=st.floats(0.0, 20_000.0),
    more_s=st.floats(0.0, 20_000.0),
    to_m=st.floats(0.0, 60_000.0),
)
def test_a_longer_uncertainty_never_finds_more_water(
    hours: float, eta_s: float, more_s: float, to_m: float
) -> None:
    for station in (
        TideStation(name="T", heights=TABLE),
        TideStation(name="H", heights=HARMONIC),
        TideStation(name="N", heights=TableHeights(event_s=EVENT_S, event_m=-TABLE.event_m)),
    ):
        at = tide(station)
        narrow = height(passage(at, hours=hours, eta_s=eta_s), to_m=to_m)
        wide = height(passage(at, hours=hours, eta_s=eta_s + more_s), to_m=to_m)
        assert wide.height_m <= narrow.height_m
        assert narrow.known or not wide.known
        of_leg = passage(at, hours=hours, eta_s=eta_s)
        assert of_leg.lowest_possible_m(to_m, "LAT") <= narrow.height_m - at.uncertainty_m


def test_in_words() -> None:
    assert station_in_words(TideStation(name="Bar", constant_m=0.4)) == "Bar +0.40 m"
    says = station_in_words(TideStation(name="Bar", heights=TABLE))
    assert says == (
        "Bar (high and low waters, cosine between, from 2027-05-14 00:00Z to 2027-05-14 18:00Z)"
    )


def test_a_station_needs_exactly_one_source() -> None:
    with pytest.raises(ValueError, match="needs a constant"):
        TideStation(name="x")
    with pytest.raises(ValueError, match="needs a constant"):
        TideStation(name="x", constant_m=1.0, heights=TABLE)
    with pytest.raises(ValueError, match="needs a station"):
        Tide(datum="LAT", uncertainty_m=0.0, stations=())
