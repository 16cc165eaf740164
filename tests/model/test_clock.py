"""The passage's clock: offsets, currents, windows, openings."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from routecheck.model.boat import Boat, Margins
from routecheck.model.clock import Clock, over_ground_kn
from routecheck.model.opening import Hours, Opening
from routecheck.model.route import Leg, LegLine, Waypoint
from routecheck.model.tide import Tide, TideStation
from routecheck.model.tide_along import stations_along
from tests.checks.views import view

DEPART = datetime(2027, 5, 14, 7, 30, tzinfo=UTC)
BOAT = Boat(name="b", draught_m=2.0, speed_kn=6.0, margins=Margins(eta_s=600.0))
ONE_HOUR_M = 6 * 1852.0


def leg(**facts: Any) -> Leg:
    start = Waypoint(name="A", lon_deg=0.0, lat_deg=50.0)
    return Leg(number=1, start=start, end=Waypoint(name="B", lon_deg=1.0, lat_deg=50.0), **facts)


def three(**last: Any) -> list[Any]:
    plain = view(leg=leg(), length_m=ONE_HOUR_M)
    return [plain, view(leg=leg(speed_kn=3.0), length_m=ONE_HOUR_M), view(leg=leg(**last))]


def test_legs_follow_each_other() -> None:
    clock = Clock(three(), BOAT, None)
    first, second, third = clock.passages(DEPART)
    assert (first.leg_start, second.leg_start) == (DEPART, DEPART + timedelta(hours=1))
    assert third.leg_start == DEPART + timedelta(hours=3)
    assert [p.arrives for p in (first, second, third)] == [False, False, True]
    assert second.eta(ONE_HOUR_M / 2) == DEPART + timedelta(hours=2)
    from_s, to_s = second.window_s(0.0, ONE_HOUR_M) or (0.0, 0.0)
    assert from_s == DEPART.timestamp() + 3600 - 600
    assert to_s == DEPART.timestamp() + 3 * 3600 + 600


def test_along_the_arcs_of_turns_the_boat_is_there_earlier() -> None:
    """90 degrees on a radius of 300 m: two tangents of 300 m against an arc of 471.2 m; half the
    arc, 235.6 m, reaches 212.1 m along the leg. At 6 and 3 knots (3.0867 and 1.5433 m/s)."""
    points = [Waypoint(name=n, lon_deg=0.0, lat_deg=50.0, turn_radius_m=300.0) for n in "ABCD"]
    turned = [
        view(
            leg=Leg(number=n + 1, start=points[n], end=points[n + 1], speed_kn=3.0 if n else None),
            length_m=2000.0,
            course_deg=course,
            end_course_deg=course,
        )
        for n, course in enumerate((0.0, 90.0, 0.0))
    ]
    passages = Clock(turned, BOAT, None).passages(DEPART)
    fast, slow = 6 * 1852 / 3600, 3 * 1852 / 3600
    half, ahead = 300.0 - 235.619, 235.619 - 212.132
    assert [p.late_s for p in passages] == pytest.approx([ahead / fast, ahead / slow, 0], abs=1e-3)
    first = half / fast + half / slow
    early = [0.0, first + ahead / slow, first + 2 * half / slow + ahead / slow]
    assert [p.early_s for p in passages] == pytest.approx(early, abs=1e-3)
    assert passages[1].leg_start == DEPART + timedelta(seconds=2000.0 / fast)  # by the waypoint
    from_s, to_s = passages[1].window_s(0.0, 100.0) or (0.0, 0.0)
    assert from_s == pytest.approx(DEPART.timestamp() + 2000.0 / fast - 600.0 - early[1])
    assert to_s == pytest.approx(
        DEPART.timestamp() + 2000.0 / fast + 100.0 / slow + 600.0 + ahead / slow
    )


def test_an_arc_is_no_wider_than_its_legs_let_it() -> None:
    """The radius is that of the tangent that the shorter leg holds: 100 m on a leg of 100 m."""
    corner = Waypoint(name="B", lon_deg=0.0, lat_deg=50.0, turn_radius_m=5000.0)
    start, end = replace(corner, turn_radius_m=0.0), replace(corner, turn_radius_m=0.0)
    turned = [
        view(leg=Leg(number=1, start=start, end=corner), length_m=100.0, course_deg=0.0,
             end_course_deg=0.0),
        view(leg=Leg(number=2, start=corner, end=end), length_m=900.0, course_deg=90.0,
             end_course_deg=90.0),
    ]  # fmt: skip
    _, after = Clock(turned, BOAT, None).passages(DEPART)
    saved_m = 200.0 - 157.080 + (78.540 - 70.711)
    assert after.early_s == pytest.approx(saved_m / (6 * 1852 / 3600), abs=1e-3)


def test_without_departure_or_speed_there_is_no_eta() -> None:
    none = Clock(three(), BOAT, None).passages(None)
    assert [p.eta(0.0) for p in none] == [None] * 3
    slow = Clock(three(), replace(BOAT, speed_kn=None), None)
    first, second, third = slow.passages(DEPART)
    assert first.leg_start == DEPART
    assert first.eta(1.0) is second.leg_start is third.window_s(0.0, 1.0) is None
    assert slow.duration_s is None


def test_all_departures_at_once_are_each_alone_to_the_last_bit() -> None:
    clock = Clock(three(), BOAT, None)
    rng = np.random.default_rng(4)
    departs = [DEPART + timedelta(seconds=float(s)) for s in rng.uniform(0, 1e6, 200)]
    offsets = clock.passage(2, None).offsets_s(np.array([1234.5]), np.array([2345.6]))
    assert offsets is not None
    together = np.array([d.timestamp() for d in departs])[:, None] + offsets[0]
    for depart, found in zip(departs, together[:, 0], strict=True):
        assert clock.passage(2, depart).window_s(1234.5, 2345.6)[0] == found  # type: ignore[index]


# The current triangle (arithmetic; tests/nav/test_squat.py): course 090, 5 kn, set 180 at 2 kn.
def test_a_current_changes_the_speed_over_the_ground() -> None:
    across = view(leg=leg(speed_kn=5.0, set_deg=180.0, drift_kn=2.0))
    assert over_ground_kn(across, BOAT) == pytest.approx(4.583, abs=0.0005)
    impossible = view(leg=leg(speed_kn=5.0, set_deg=180.0, drift_kn=5.5))
    assert over_ground_kn(impossible, BOAT) is None
    great = view(
        leg=leg(line=LegLine.GREAT_CIRCLE, speed_kn=5.0, set_deg=180.0, drift_kn=2.0),
        course_deg=80.0,
        end_course_deg=100.0,
    )
    assert over_ground_kn(great, BOAT) == pytest.approx(
        (np.sqrt(25 - 4 * np.cos(np.radians(10)) ** 2)), abs=0.0005
    )
    with pytest.raises(ValueError, match="go together"):
        leg(set_deg=10.0)


def placed(name: str, lon: float) -> TideStation:
    return TideStation(name=name, constant_m=1.0, lon_deg=lon, lat_deg=50.0)


def test_stations_along_a_leg() -> None:
    import shapely

    zone = TideStation(name="Z", constant_m=0.5, zone=shapely.box(0.4999, 49.9, 0.5001, 50.1))
    tide = Tide(datum="LAT", uncertainty_m=0.0, stations=(placed("W", 0.0), placed("E", 1.0), zone))
    along = stations_along(tide, leg(), 71_700.0)
    assert along is not None
    assert along.over(0.0, 0.0) == {0}
    assert along.over(71_700.0, 71_700.0) == {1}
    assert along.over(10_000.0, 10_100.0) == {0, 1}
    # The zone is 14 m wide, between two nodes of the track.
    assert 2 in along.over(35_500.0, 36_200.0)
    assert 2 not in along.over(10_000.0, 30_000.0)
    one = Tide(datum="LAT", uncertainty_m=0.0, stations=(placed("W", 0.0),))
    assert stations_along(one, leg(), 1.0) is None


def test_a_narrow_zone_beside_the_antimeridian_is_not_missed() -> None:
    """Found 2026-11-25: between two nodes of the track, on the far side of 180 degrees."""
    import shapely

    for west, east in ((-179.9999, -179.9995), (179.9995, 179.9999)):
        zone = TideStation(name="Z", constant_m=0.5, zone=shapely.box(west, 49.9, east, 50.1))
        of = Tide(datum="LAT", uncertainty_m=0.0, stations=(placed("W", 179.8), zone))
        ends = [Waypoint(name="A", lon_deg=179.5, lat_deg=50.0)]
        ends.append(Waypoint(name="B", lon_deg=-179.5, lat_deg=50.0))
        for start, end in (ends, ends[::-1]):
            along = stations_along(of, Leg(number=1, start=start, end=end), 71_700.0)
            assert along is not None
            assert 1 in along.over(35_000.0, 36_700.0)
            assert 1 not in along.over(0.0, 30_000.0)


def test_a_zone_beside_the_track_counts_as_far_as_the_corridor_reaches() -> None:
    """Found 2026-11-28: a zone that covers one side of the corridor only."""
    import shapely

    # 0.001 degrees of latitude are 111 m; the leg runs east along 50 degrees north.
    beside = shapely.box(0.4, 50.001, 0.6, 50.1)
    zone = TideStation(name="Z", constant_m=0.5, zone=beside)
    of = Tide(datum="LAT", uncertainty_m=0.0, stations=(placed("W", 0.5), zone))
    for reach_m, counts in ((0.0, False), (80.0, False), (115.0, True)):
        along = stations_along(of, leg(line=LegLine.RHUMB), 71_700.0, reach_m)
        assert along is not None
        assert (1 in along.over(35_000.0, 36_000.0)) is counts
        assert 0 in along.over(35_000.0, 36_000.0)
    # A zone that holds the track, but not the whole width: beside it the nearest counts, too.
    strip = TideStation(name="Z", constant_m=0.5, zone=shapely.box(-1.0, 49.999, 2.0, 50.001))
    of = Tide(datum="LAT", uncertainty_m=0.0, stations=(placed("W", 0.5), strip))
    for reach_m, counts in ((0.0, {1}), (80.0, {1}), (115.0, {0, 1})):
        along = stations_along(of, leg(line=LegLine.RHUMB), 71_700.0, reach_m)
        assert along is not None
        assert along.over(35_000.0, 36_000.0) == counts


def test_where_stations_count_outside_their_zones() -> None:
    """Found 2026-11-28: a station with a zone counted outside of it, and nothing said."""
    import shapely

    # The zone holds the western half of the leg, 0.002 degrees (222 m) to either side.
    zone = shapely.box(-1.0, 49.998, 0.5, 50.002)
    west = replace(placed("W", 0.0), zone=zone)
    alone = Tide(datum="LAT", uncertainty_m=0.0, stations=(west,))
    rhumb = leg(line=LegLine.RHUMB)
    for of, at, out in (
        (alone, 60_000.0, {0}),
        (alone, 71_700.0, {0}),  # at the very end of the leg
        (alone, 0.0, set()),
        (alone, 30_000.0, set()),
        # The piece of track that leaves the zone, from its one end to the other.
        (alone, 35_850.0, {0}),
        (replace(alone, stations=(west, placed("E", 1.0))), 60_000.0, set()),
        (replace(alone, stations=(west, placed("E", 1.0))), 30_000.0, set()),
        # Zones that share an edge are no gap between the two.
        (
            replace(
                alone,
                stations=(
                    west, replace(placed("E", 1.0), zone=shapely.box(0.5, 49.0, 2.0, 51.0)),
                ),
            ),
            35_850.0,
            set(),
        ),
    ):  # fmt: skip
        along = stations_along(of, rhumb, 71_700.0, 100.0)
        assert along is not None
        assert along.out_of_zone(at, at) == out
        assert along.reaches_out is (of is alone)
    wide = stations_along(alone, rhumb, 71_700.0, 300.0)
    assert wide is not None and wide.out_of_zone(30_000.0, 30_000.0) == {0}


def test_a_zone_over_the_antimeridian_holds_on_both_sides() -> None:
    import shapely

    ends = [Waypoint(name="A", lon_deg=179.5, lat_deg=50.0)]
    ends.append(Waypoint(name="B", lon_deg=-179.5, lat_deg=50.0))
    two = shapely.MultiPolygon(
        [shapely.box(179.0, 49.0, 180.0, 51.0), shapely.box(-180.0, 49.0, -179.0, 51.0)]
    )
    for zone, out in (
        (two, False),
        (shapely.box(179.0, 49.0, 181.0, 51.0), False),
        (shapely.box(179.0, 49.0, 179.99, 51.0), True),
    ):
        of = Tide(
            datum="LAT", uncertainty_m=0.0, stations=(replace(placed("W", 179.8), zone=zone),)
        )
        for start, end in (ends, ends[::-1]):
            along = stations_along(of, Leg(number=1, start=start, end=end), 71_700.0, 100.0)
            assert along is not None
            assert along.reaches_out is out


def test_of_two_stations_about_as_near_both_count_in_a_wide_corridor() -> None:
    """Abreast of the one the other is the nearer from a place 2 km to the side of the track."""
    west, east = placed("W", 0.0), TideStation(name="E", constant_m=1.0, lon_deg=0.02, lat_deg=50.0)
    of = Tide(datum="LAT", uncertainty_m=0.0, stations=(west, east))
    assert of.nearest(-0.5, 50.0) == (0,)
    assert set(of.nearest(-0.001, 50.5, 0.0)) == {0}
    assert set(of.nearest(-0.001, 50.5, 2000.0)) == {0, 1}


def at(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def test_open_throughout() -> None:
    """Two openings a day on a clock two hours before UTC, Monday to Friday."""
    hours = (
        Hours(start_s=7 * 3600, end_s=9.5 * 3600, ahead_s=7200),
        Hours(start_s=9.5 * 3600, end_s=21 * 3600, ahead_s=7200),
    )
    bridge = Opening(name="x", hours=hours, weekdays=frozenset(range(5)))
    # 14 May 2027 is a Friday.
    assert bridge.open_throughout(at("2027-05-14T05:00Z"), at("2027-05-14T19:00Z"))
    assert not bridge.open_throughout(at("2027-05-14T04:59Z"), at("2027-05-14T06:00Z"))
    assert not bridge.open_throughout(at("2027-05-14T18:00Z"), at("2027-05-14T19:01Z"))
    assert not bridge.open_throughout(at("2027-05-15T10:00Z"), at("2027-05-15T10:00Z"))
    assert bridge.open_throughout(at("2027-05-17T10:00Z"), at("2027-05-17T10:00Z"))


def test_open_over_midnight_and_always() -> None:
    night = Opening(name="x", hours=(Hours(start_s=22 * 3600, end_s=4 * 3600),))
    assert night.open_throughout(at("2027-05-14T23:00Z"), at("2027-05-15T03:00Z"))
    assert not night.open_throughout(at("2027-05-14T23:00Z"), at("2027-05-15T05:00Z"))
    always = Opening(name="x", hours=(Hours(start_s=0, end_s=86_400),))
    assert always.open_throughout(at("2027-05-14T23:00Z"), at("2027-05-18T05:00Z"))
