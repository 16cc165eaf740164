"""Tidal stations that lie far away."""

from __future__ import annotations

from dataclasses import replace

import shapely

from routecheck.checks.tide_from_afar import tide_from_afar
from routecheck.model.chart import Severity
from routecheck.model.clock import Clock
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import LegView
from tests.checks.test_span_overhead import span
from tests.checks.views import boat, depth, met, place, view

HERE = place().lon_deg, place().lat_deg


def station(east_deg: float, **more: object) -> TideStation:
    lon = (HERE[0] + east_deg + 180.0) % 360.0 - 180.0
    return TideStation(name="Far", constant_m=1.5, lon_deg=lon, lat_deg=HERE[1], **more)  # type: ignore[arg-type]


def found(of: LegView, *stations: TideStation) -> list[Finding]:
    tide = Tide(datum="LAT", uncertainty_m=0.1, stations=stations)
    return list(tide_from_afar(of, Passage(boat=boat(), tide=tide)))


SHOAL = view(depths=(depth(2.5),))


def test_a_shoal_far_from_the_station() -> None:
    """a shoal 60 miles from the only station is a caution, one beside it, or deep water, nothing"""
    degrees = 1.0 / 0.6428  # cos 50 degrees
    (one,) = found(SHOAL, station(degrees))
    assert one.severity is Severity.CAUTION
    assert one.title == "the tide counted here is that of Far, 60 nmi away"
    assert found(SHOAL, station(0.4)) == []
    assert found(view(depths=(depth(25.0),)), station(degrees)) == []


def test_a_sign_lost_from_the_longitude() -> None:
    (one,) = found(SHOAL, station(-2.0 * HERE[0]))
    assert one.sums["away_nmi"] > 700.0  # type: ignore[operator]
    assert one.severity is Severity.NOT_ASSESSED


def test_a_zone_speaks_for_its_station() -> None:
    zone = shapely.box(HERE[0] - 1.0, HERE[1] - 1.0, HERE[0] + 1.0, HERE[1] + 1.0)
    assert found(SHOAL, station(3.0, zone=zone)) == []


def in_zone(of: LegView, *stations: TideStation) -> list[Finding]:
    """With the stations of the leg itself, as a route has them: it runs east from `HERE`."""
    tide = Tide(datum="LAT", uncertainty_m=0.1, stations=stations)
    return list(tide_from_afar(of, Clock([of], boat(), tide).passage(0, None)))


def test_outside_the_zone_of_the_only_station() -> None:
    """a shoal outside the zone of the only station is a caution"""
    around = shapely.box(HERE[0] - 1.0, HERE[1] - 1.0, HERE[0] + 1.0, HERE[1] + 1.0)
    elsewhere = shapely.box(HERE[0] + 0.2, HERE[1] - 1.0, HERE[0] + 1.0, HERE[1] + 1.0)
    for place_deg in (0.1, None):
        plain = station(0.1) if place_deg else replace(station(0.1), lon_deg=None, lat_deg=None)
        (one,) = in_zone(SHOAL, replace(plain, zone=elsewhere))
        assert one.severity is Severity.CAUTION
        assert one.title == ("the corridor reaches outside the zone of Far, whose tide counts here")
        assert one.explanation == (
            "No station's zone holds here, and the nearest counts in its stead."
        )
        assert (one.object_key, one.along_m, one.along_to_m) == ("tide/zone", 100.0, 110.0)
        assert (one.lon_deg, one.lat_deg) == HERE
        assert in_zone(SHOAL, replace(plain, zone=around)) == []
    assert in_zone(view(depths=(depth(25.0),)), station(0.1, zone=elsewhere)) == []
    # A station without a zone beside it counts by being near.
    assert in_zone(SHOAL, station(0.1, zone=elsewhere), station(0.0)) == []


def test_any_place_on_the_leg_outside_its_zone_is_told() -> None:
    """Not the first and the last alone: a zone with a gap in it, five miles on."""
    gap = shapely.box(HERE[0] + 0.04, HERE[1] - 1.0, HERE[0] + 0.06, HERE[1] + 1.0)
    zone = shapely.box(HERE[0] - 1.0, HERE[1] - 1.0, HERE[0] + 1.0, HERE[1] + 1.0) - gap
    shoals = [depth(2.5, key=f"c/{m}", where=place(m)) for m in (100.0, 3500.0, 6500.0)]
    (one,) = in_zone(view(depths=tuple(shoals)), station(0.1, zone=zone))
    assert (one.along_m, one.along_to_m) == (3500.0, 3510.0)
    assert in_zone(view(depths=(shoals[0], shoals[2])), station(0.1, zone=zone)) == []
    # A shoal as long as the leg lies in the gap, too, wherever its one place is.
    long = replace(shoals[0], place=replace(place(100.0), along_to_m=6500.0))
    assert len(in_zone(view(depths=(long,)), station(0.1, zone=zone))) == 1


def test_under_a_bridge_it_matters_as_well() -> None:
    bridge = view(spans=(met(span(vertical_clearance_m=20.0)),))
    assert len(found(bridge, station(3.0))) == 1


def test_across_the_antimeridian_it_is_near() -> None:
    west = replace(depth(2.5), place=replace(depth(2.5).place, lon_deg=-179.9))
    near = TideStation(name="N", constant_m=1.0, lon_deg=179.9, lat_deg=HERE[1])
    assert found(view(depths=(west,)), near) == []


def test_no_tide_and_no_position_say_nothing() -> None:
    assert list(tide_from_afar(SHOAL, Passage(boat=boat()))) == []
    assert found(SHOAL, TideStation(name="x", constant_m=1.0)) == []


def test_what_is_deep_enough_only_if_the_tide_is_exact_hangs_on_it() -> None:
    """Found 2026-11-25 by a mutant: the tide's uncertainty, 0.1 m, is taken off, not added."""
    needed_m = boat().needed_m
    assert len(found(view(depths=(depth(needed_m + 0.05),)), station(3.0))) == 1
    assert found(view(depths=(depth(needed_m + 3.0),)), station(3.0)) == []
