"""The track as one chain of lines: what of it belongs to which leg, and the arcs of its turns.

Arcs are drawn in the plane by hand, from the turn's circle, and compared through pyproj.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.survey.marktrack import MarkTrack
from tests.buoys import GEOD, HERE, Place, Spot
from tests.survey.tracks import LEG_M, bent, chain, chain_of, drawn, is_drawn, zigzag


def places_of(track: MarkTrack, spot: Spot = HERE) -> list[Place]:
    """Where the track begins on each line, and its very end."""
    lon, lat = track.lines.positions(np.arange(len(track)), track.begin_m)
    last = np.array([len(track) - 1])
    last_lon, last_lat = track.lines.positions(last, track.end_m[last])
    return drawn([*lon, *last_lon], [*lat, *last_lat], spot)


def test_without_turns_a_line_a_leg() -> None:
    places = [(0.0, 0.0), (0.0, 2000.0), (1000.0, 2000.0), (1000.0, 500.0)]
    track = chain(places)
    is_drawn(places_of(track), places)
    assert len(track) == 3
    assert track.leg.tolist() == [1, 2, 3]
    assert track.begin_m.tolist() == track.leg_from_m.tolist() == [0.0, 0.0, 0.0]
    assert track.end_m.tolist() == track.lines.length_m.tolist()
    assert track.leg_to_m == pytest.approx([2000.0, 1000.0, 1500.0], abs=1e-3)
    assert track.route_from_m == pytest.approx([0.0, 2000.0, 3000.0], abs=1e-3)


@pytest.mark.parametrize(
    ("turn_deg", "radius_m", "chords"),
    [
        (84.0, 500.0, 9),
        (-84.0, 500.0, 9),
        (18.0, 1000.0, 2),
        (0.5, 9000.0, 1),
        (-9.0, 3000.0, 1),
        (160.0, 200.0, 16),
    ],
)
def test_the_arc_of_a_turn(turn_deg: float, radius_m: float, chords: int) -> None:
    """Chords of at most 5 degrees from tangent point to tangent point, half with either leg; on
    the legs they stand for the two stretches between tangent point and waypoint, in equal steps."""
    course = 20.0
    places = bent(turn_deg, course)
    track = chain(places, radius_m)
    tangent_m = radius_m * math.tan(math.radians(abs(turn_deg) / 2.0))
    side = math.copysign(1.0, turn_deg)
    begin, square = math.radians(course), math.radians(course + 90.0 * side)
    centre = (
        -tangent_m * math.sin(begin) + radius_m * math.sin(square),
        -tangent_m * math.cos(begin) + radius_m * math.cos(square),
    )
    arc = []
    for n in range(2 * chords + 1):
        bearing = math.radians(course - 90.0 * side + turn_deg * n / (2 * chords))
        arc.append(
            (
                centre[0] + radius_m * math.sin(bearing),
                centre[1] + radius_m * math.cos(bearing),
            )
        )
    is_drawn(places_of(track), [places[0], *arc, places[2]])
    assert track.leg.tolist() == [1] * (chords + 1) + [2] * (chords + 1)
    step = tangent_m / chords
    before = [LEG_M - tangent_m + n * step for n in range(chords + 1)]
    after = [n * step for n in range(chords + 1)]
    assert track.leg_from_m == pytest.approx([0.0, *before[:-1], *after], abs=1e-3)
    assert track.leg_to_m == pytest.approx([*before, *after[1:], LEG_M], abs=1e-3)
    starts = np.where(track.leg == 1, 0.0, LEG_M)
    assert track.route_from_m == pytest.approx(starts + track.leg_from_m, abs=1e-3)
    # The straight stretches lie on the legs' whole lines; a chord is a line of its own.
    assert track.begin_m == pytest.approx([0.0] * (2 * chords + 1) + [tangent_m], abs=1e-3)
    chord_m = 2.0 * radius_m * math.sin(math.radians(abs(turn_deg) / 4.0 / chords))
    ends = [LEG_M - tangent_m, *[chord_m] * (2 * chords), LEG_M]
    assert track.end_m == pytest.approx(ends, abs=2e-3)


# A turn of 88 degrees whose tangent is 300 m; 44 degrees a half are nine chords.
RADIUS_M = 300.0 / math.tan(math.radians(44.0))


def test_two_turns_that_share_a_leg() -> None:
    """Left, then right: the middle leg loses 300 m at either end."""
    track = chain(zigzag([2000.0, 1500.0, 1800.0], [0.0, -88.0, 0.0]), RADIUS_M)
    straight = [n for n in range(len(track)) if track.end_m[n] - track.begin_m[n] > 100.0]
    assert [int(track.leg[n]) for n in straight] == [1, 2, 3]
    for name, wanted in (
        ("begin_m", [0.0, 300.0, 300.0]),
        ("end_m", [1700.0, 1200.0, 1800.0]),
        ("leg_from_m", [0.0, 300.0, 300.0]),
        ("route_from_m", [0.0, 2300.0, 3800.0]),
    ):
        assert getattr(track, name)[straight] == pytest.approx(wanted, abs=1e-2)
    assert np.bincount(track.leg)[1:].tolist() == [10, 19, 10]


def test_each_turn_takes_of_its_own_two_legs() -> None:
    """84 degrees, 62 and 28, 100 m radius: tangents of 90.0 m, 60.1 m and 24.9 m."""
    lengths = [1200.0, 900.0, 1000.0, 800.0]
    track = chain(zigzag(lengths, [0.0, 84.0, 22.0, 50.0]), 100.0)
    one, two, three = (100.0 * math.tan(math.radians(half)) for half in (42.0, 31.0, 14.0))
    straight = [n for n in range(len(track)) if track.end_m[n] - track.begin_m[n] > 100.0]
    begin, end = [0.0, one, two, three], [one, two, three, 0.0]
    assert track.leg[straight].tolist() == [1, 2, 3, 4]
    assert track.leg_from_m[straight] == pytest.approx(begin, abs=1e-3)
    ends = [length_m - less_m for length_m, less_m in zip(lengths, end, strict=True)]
    assert track.leg_to_m[straight] == pytest.approx(ends, abs=1e-3)
    assert np.bincount(track.leg)[1:].tolist() == [1 + 9, 9 + 1 + 7, 7 + 1 + 3, 3 + 1]


@pytest.mark.parametrize(("middle_m", "arcs"), [(600.1, True), (600.0, False), (599.9, False)])
def test_arcs_that_do_not_fit_on_a_leg_are_turns_on_the_spot(middle_m: float, arcs: bool) -> None:
    """Two turns that take 300 m each of the leg between them."""
    track = chain(zigzag([2000.0, middle_m, 2000.0], [0.0, 88.0, 176.0]), RADIUS_M)
    assert np.bincount(track.leg)[1:].tolist() == ([10, 19, 10] if arcs else [1, 1, 1])


def test_only_the_arcs_beside_the_short_leg_are_lost() -> None:
    places = zigzag([2000.0, 500.0, 2000.0, 1800.0], [0.0, 88.0, 176.0, 88.0])
    assert np.bincount(chain(places, RADIUS_M).leg)[1:].tolist() == [1, 1, 10, 10]
    assert np.bincount(chain(places[::-1], RADIUS_M).leg)[1:].tolist() == [10, 10, 1, 1]


@pytest.mark.parametrize(
    ("turn_deg", "radius_m", "lines"),
    [
        (0.105, 500.0, 4),
        (0.09, 500.0, 2),
        (-0.105, 500.0, 4),
        (28.0, 0.0, 2),
        (28.0, 0.5, 8),
    ],
)
def test_what_turns_have_an_arc(turn_deg: float, radius_m: float, lines: int) -> None:
    """A radius, and a change of course of a tenth of a degree."""
    assert len(chain(bent(turn_deg), radius_m)) == lines


@pytest.mark.parametrize("backwards", [False, True])
def test_a_turn_too_wide_for_its_legs_is_as_wide_as_the_shorter_allows(backwards: bool) -> None:
    """The tangent would begin at the end of a leg of 900 m, where no other turn is: it does."""
    places = bent(84.0, first_m=900.0)
    track = chain(places[::-1] if backwards else places, 5000.0)
    # The arc takes the whole leg, which leaves no straight stretch of it: on the spot instead.
    assert track.leg.tolist() == [1, 2]


def test_a_turn_nearly_straight_back_takes_much_of_its_legs() -> None:
    """A radius of 10 m takes 1146 m of either leg at 179 degrees; 2865 m at 179.6, more than the
    legs have, where the turn is made on the spot."""
    track = chain(bent(179.0), 10.0)
    assert track.end_m[0] == pytest.approx(LEG_M - 10.0 * math.tan(math.radians(89.5)), abs=0.01)
    assert chain(bent(179.6), 10.0).leg.tolist() == [1, 2]


def test_places_in_the_plane_of_a_line() -> None:
    places = bent(90.0)
    track = chain(places)
    lon, lat = HERE.at((300.0, -500.0))
    along, cross = track.to_plane(np.array([0, 1]), np.array([lon, lon]), np.array([lat, lat]))
    assert along == pytest.approx([1500.0, 300.0], abs=1e-2)
    assert cross == pytest.approx([300.0, 500.0], abs=1e-2)


def test_distances_along_leg_and_route_on_straight_and_arc() -> None:
    """On a chord its whole length stands for its step of the tangent."""
    track = chain(bent(90.0), 300.0)
    tangent_m, chords = 300.0, 9
    which = np.array([0, 1, 1, 10, 19])
    at = np.array([500.0, 0.0, track.end_m[1] / 2.0, track.end_m[10], 1000.0])
    step = tangent_m / chords
    on_leg = [500.0, 1700.0, 1700.0 + step / 2.0, step, 1000.0]
    assert track.leg_along_m(which, at) == pytest.approx(on_leg, abs=1e-3)
    on_route = [*on_leg[:3], LEG_M + step, LEG_M + 1000.0]
    assert track.route_along_m(which, at) == pytest.approx(on_route, abs=1e-3)


@pytest.mark.parametrize(
    ("route_m", "place"),
    [
        (-50.0, (0.0, -2000.0)),  # clipped
        (0.0, (0.0, -2000.0)),
        (1000.0, (0.0, -1000.0)),
        (2000.0, (0.0, 0.0)),
        (2500.0, (500.0, 0.0)),
        (4000.0, (2000.0, 0.0)),
        (4100.0, (2000.0, 0.0)),  # clipped
    ],
)
def test_the_place_at_a_distance_along_the_route(route_m: float, place: Place) -> None:
    lon, lat = chain(bent(90.0)).place_at(route_m)
    wanted = HERE.at(place)
    assert GEOD.inv(lon, lat, *wanted)[2] < 0.01


def test_the_place_beyond_an_arc() -> None:
    lon, lat = chain(bent(90.0), 300.0).place_at(3000.0)
    assert GEOD.inv(lon, lat, *HERE.at((1000.0, 0.0)))[2] < 0.01


@pytest.mark.parametrize("route_m", [1900.0, 2100.0, 2000.0 - 3.5 * 300.0 / 9.0])
def test_the_place_on_an_arc(route_m: float) -> None:
    """A third of the tangent's way from the waypoint: a third of the half arc from its middle;
    and half-way along a chord of 5 degrees, 0.3 m off the arc."""
    lon, lat = chain(bent(90.0), 300.0).place_at(route_m)
    swept = math.radians(45.0 + 45.0 * (route_m - 2000.0) / 300.0)
    place = (300.0 - 300.0 * math.cos(swept), -300.0 + 300.0 * math.sin(swept))
    assert GEOD.inv(lon, lat, *HERE.at(place))[2] < 0.3


def test_a_great_circle_is_a_chain_and_its_turns_take_of_its_ends() -> None:
    ends = [(0.0, 50.0), (3.0, 50.0), (3.0, 49.0)]
    points = [
        Waypoint(name=str(n), lon_deg=lon, lat_deg=lat, turn_radius_m=10000.0)
        for n, (lon, lat) in enumerate(ends)
    ]
    legs = (
        Leg(number=1, start=points[0], end=points[1], line=LegLine.GREAT_CIRCLE),
        Leg(number=2, start=points[1], end=points[2]),
    )
    one = Route(name="test", legs=legs, file="test.gpx")
    track = chain_of(one)
    _, _, whole_m = GEOD.inv(0.0, 50.0, 3.0, 50.0)
    first = np.flatnonzero(track.leg == 1)
    assert track.leg.tolist() == sorted(track.leg.tolist())
    assert track.leg_from_m[0] == 0.0
    assert track.leg_to_m[first[:-1]] == pytest.approx(track.leg_from_m[first[1:]], abs=1e-6)
    assert track.leg_to_m[first[-1]] == pytest.approx(whole_m, rel=1e-6)
    where = places_of(track, Spot(0.0, 50.0))
    assert math.dist(where[0], (0.0, 0.0)) < 1e-3
    # Its lines join on the geodesic, as far along as they say, up to the turn's tangent point.
    course_deg = GEOD.inv(0.0, 50.0, 3.0, 50.0)[0]
    straight = [n for n in first if track.leg_to_m[n] < whole_m - 12000.0]
    assert len(straight) > 10
    assert track.begin_m[straight] == pytest.approx(np.zeros(len(straight)), abs=1e-6)
    assert (track.end_m > track.begin_m).all()
    for n in straight:
        lon, lat = track.lines.positions(np.array([n]), track.end_m[[n]])
        bearing, _, far_m = GEOD.inv(0.0, 50.0, float(lon[0]), float(lat[0]))
        assert far_m == pytest.approx(track.leg_to_m[n], rel=1e-5)
        assert abs(far_m * math.sin(math.radians(bearing - course_deg))) < 1.0
    # Leg 2 takes up where the tangent of 10 km on a turn of some 91 degrees ends.
    assert track.begin_m[-1] == pytest.approx(10000.0, rel=0.05)
