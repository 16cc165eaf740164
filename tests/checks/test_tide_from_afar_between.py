"""The place that is farthest from its station lies between others of the leg.

All on the equator, where a degree of longitude is 60.11 nmi (NGA.STND.0036 (2014), Table 3.1, the
semi-major axis): 50 nmi are 0.8319 degrees, 300 nmi 4.991.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.checks.tide_from_afar import tide_from_afar
from routecheck.model.clock import Clock
from routecheck.model.finding import Finding
from routecheck.model.route import Leg, Waypoint
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import DepthMet, LegView
from tests.checks.test_tide_from_afar_told import shoal, station
from tests.checks.views import boat, view

M_PER_DEG = 111_319.5


def on_leg(leg_deg: float, depths: tuple[DepthMet, ...]) -> LegView:
    """Depths on a leg due east along the equator from 0."""
    start = Waypoint(name="A", lon_deg=0.0, lat_deg=0.0)
    end = Waypoint(name="B", lon_deg=leg_deg, lat_deg=0.0)
    leg = Leg(number=3, start=start, end=end)
    return view(leg=leg, length_m=leg_deg * M_PER_DEG, depths=depths)


def told(stations: tuple[TideStation, ...], *shoals_deg: float, leg_deg: float) -> list[Finding]:
    """With short shoals on it, as a route has them."""
    leg = on_leg(leg_deg, tuple(shoal(lon_deg=x, along_m=x * M_PER_DEG) for x in shoals_deg))
    tide = Tide(datum="LAT", uncertainty_m=0.0, stations=stations)
    return list(tide_from_afar(leg, Clock([leg], boat(), tide).passage(0, None)))


@pytest.mark.parametrize(
    ("leg_deg", "severity", "away_nmi"),
    [(2.0, "", 48.1), (2.5, "caution", 63.1), (12.0, "not-assessed", 348.6)],
)
def test_between_two_stations(leg_deg: float, severity: str, away_nmi: float) -> None:
    """Found 2026-11-29: the first and the last place of a leg lie near a station each, the middle
    near none: half the leg less 0.2 degrees from either."""
    stations = (station(0.2, name="West"), station(leg_deg - 0.2, name="East"))
    middle_deg = leg_deg / 2.0
    found = told(stations, 0.0, middle_deg, leg_deg, leg_deg=leg_deg)
    assert [(one.severity.value, one.sums["away_nmi"], one.lon_deg) for one in found] == (
        [(severity, away_nmi, middle_deg)] if severity else []
    )


def test_in_a_gap_of_a_zone() -> None:
    """The first and the last place lie in the zone of a station without a position; between them
    counts one that is half the world away: is a sign lost?"""
    held = shapely.union(shapely.box(-0.1, -0.1, 0.2, 0.1), shapely.box(0.4, -0.1, 0.7, 0.1))
    near = replace(station(None, name="Near"), lat_deg=None, zone=held)
    (one,) = told((near, station(-90.0)), 0.0, 0.3, 0.6, leg_deg=0.6)
    assert (one.severity.value, one.lon_deg) == ("not-assessed", 0.3)
    # 90.3 degrees of 60.11 nmi.
    assert one.sums["away_nmi"] == pytest.approx(90.3 * 60.11, rel=1e-4)
    assert told((near, station(-90.0)), 0.0, 0.1, 0.6, leg_deg=0.6) == []


def test_of_one_station_the_farthest_of_many_places_is_told() -> None:
    """Brute force: shoals each tenth of a degree, the station abeam of the third of them."""
    shoals_deg = [0.1 * n for n in range(16)]
    (one,) = told((station(0.3),), *shoals_deg, leg_deg=1.5)
    assert (one.lon_deg, one.sums["away_nmi"]) == (shoals_deg[-1], round(1.2 * 60.108, 1))


def test_a_station_without_a_position_hides_no_other() -> None:
    """Its zone begins a hair beside the shoal, so that it counts there, too, and the other's
    distance is told whichever stands first."""
    zone = shapely.box(1e-3, -0.1, 2.0, 0.1)
    near = replace(station(None, name="Near"), lat_deg=None, zone=zone)
    for stations in ((near, station(-1.0)), (station(-1.0), near)):
        (one,) = told(stations, 0.0, leg_deg=1.0)
        assert one.title == "the tide counted here is that of Far, 60 nmi away"


def test_what_reaches_far_along_the_leg_is_asked_at_its_ends() -> None:
    """A shoal as long as the leg, the station at one end of it, and its one place abeam."""
    for place_deg, along_m, lon_deg in ((0.0, 1.5 * M_PER_DEG, 1.5), (1.5, 0.0, 0.0)):
        long = shoal(lon_deg=place_deg, along_m=0.0)
        long = replace(long, place=replace(long.place, along_to_m=1.5 * M_PER_DEG))
        leg = on_leg(1.5, (long,))
        near = station(place_deg)
        tide = Tide(datum="LAT", uncertainty_m=0.0, stations=(near,))
        (one,) = tide_from_afar(leg, Clock([leg], boat(), tide).passage(0, None))
        assert (one.along_m, one.along_to_m) == pytest.approx((along_m, along_m), abs=1e-3)
        assert one.lon_deg == pytest.approx(lon_deg, abs=1e-5)
        assert one.sums == {"away_nmi": 90.2}


def test_how_far_the_leg_runs_on_outside_the_zone_of_its_station() -> None:
    """From the first of the shoals outside it to the end of the last, not to that of the first."""
    zone = shapely.box(-0.1, -0.1, 0.2, 0.1)
    (one,) = told((station(0.1, zone=zone),), 0.1, 0.3, 0.4, 0.5, leg_deg=0.6)
    assert one.object_key == "tide/zone"
    assert (one.along_m, one.along_to_m) == (0.3 * M_PER_DEG, 0.5 * M_PER_DEG + 10.0)
