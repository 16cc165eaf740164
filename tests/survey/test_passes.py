"""Passes of marks by the whole track: once each, on the right side, at the right distance.

Places and distances are drawn by geodesics from an origin (pyproj), sides read off the drawing.
"""

from __future__ import annotations

import math

import pytest

from routecheck.model.objects import MarkKind
from routecheck.model.passes import GroundKind, Sense
from tests.buoys import HERE, Place, Spot, charts, mark, met, zone

UP = [(0.0, 0.0), (0.0, 4000.0)]
PORT_HAND = MarkKind.PORT_HAND


def only(places: list[Place], where: Place, **more: object) -> list[tuple[int, str, float]]:
    found = met(places, charts([mark(where, PORT_HAND)]), **more)  # type: ignore[arg-type]
    return [(p.leg, p.side, p.distance_m) for p in found]


@pytest.mark.parametrize(
    ("where", "side"), [((-300.0, 2000.0), "port"), ((300.0, 2000.0), "starboard")]
)
def test_abeam_of_a_straight_leg(where: Place, side: str) -> None:
    (found,) = met(UP, charts([mark(where, PORT_HAND)]))
    assert (found.leg, found.side, found.passed) == (1, side, True)
    assert found.distance_m == pytest.approx(300.0, rel=1e-4)
    assert found.along_m == pytest.approx(2000.0, rel=1e-4)
    assert found.cross_m == pytest.approx(where[0], rel=1e-4)
    assert found.track_side_of_mark == ("east" if side == "port" else "west")


def test_out_to_far_or_the_corridor_if_wider() -> None:
    assert only(UP, (740.0, 2000.0)) != []
    assert only(UP, (742.0, 2000.0)) == []
    assert only(UP, (742.0, 2000.0), width_m=800.0) != []


def test_outside_a_bend_once_and_on_the_leg_before() -> None:
    """The mark lies in the wedge that no leg is abeam of: leg by leg it would be missed."""
    bend = [(0.0, 0.0), (0.0, 2000.0), (2000.0, 2000.0)]
    ((leg, side, distance_m),) = only(bend, (-200.0, 2200.0))
    assert (leg, side) == (1, "port")
    assert distance_m == pytest.approx(math.hypot(200.0, 200.0), rel=1e-3)


@pytest.mark.parametrize("turn_deg", [30.0, 80.0, 120.0, 150.0, 170.0, -30.0, -120.0, -170.0])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_outside_any_bend_the_mark_is_left_on_the_outer_side(turn_deg: float, share: float) -> None:
    """Even where it lies ahead on the other bow before a sharp turn."""
    turn = math.radians(turn_deg)
    places = [(0.0, -2000.0), (0.0, 0.0), (2000.0 * math.sin(turn), 2000.0 * math.cos(turn))]
    outer = math.copysign(90.0, -turn_deg)
    bearing = math.radians(outer + share * turn_deg)
    where = (300.0 * math.sin(bearing), 300.0 * math.cos(bearing))
    found = only(places, where)
    assert [(leg, side) for leg, side, _ in found] == [(1, "port" if turn_deg > 0 else "starboard")]


def test_inside_a_bend_it_is_passed_by_both_legs() -> None:
    bend = [(0.0, 0.0), (0.0, 2000.0), (2000.0, 2000.0)]
    found = only(bend, (400.0, 1600.0))
    assert [(leg, side) for leg, side, _ in found] == [(1, "starboard"), (2, "starboard")]


def test_there_and_back_it_changes_sides() -> None:
    back = [(0.0, 0.0), (0.0, 3000.0), (100.0, 3000.0), (100.0, 0.0)]
    found = only(back, (-200.0, 1500.0))
    assert [(leg, side) for leg, side, _ in found] == [(1, "port"), (3, "starboard")]


def test_small_wiggles_are_one_pass() -> None:
    """A recorded track jitters by metres; the mark is passed once, where it is nearest."""
    wiggly = [(3.0 * (-1) ** i, 100.0 * i) for i in range(30)]
    found = only(wiggly, (250.0, 1450.0))
    assert [side for _, side, _ in found] == ["starboard"]
    assert found[0][2] == pytest.approx(250.0, abs=1.0)


def test_a_waypoint_on_a_leg_changes_nothing_but_the_numbers() -> None:
    where = (-300.0, 2000.0)
    ((_, side, distance_m),) = only(UP, where)
    for at_m in (500.0, 1999.0, 2000.0, 2001.0):
        split = [UP[0], (0.0, at_m), UP[1]]
        ((_, split_side, split_m),) = only(split, where)
        assert (split_side, split_m) == (side, pytest.approx(distance_m, abs=0.01))


@pytest.mark.parametrize(
    ("where", "passed"),
    [
        ((300.0, -100.0), True),  # more abeam of the start than astern
        ((100.0, -300.0), False),
        ((-300.0, 4100.0), True),
        ((-100.0, 4300.0), False),
    ],
)
def test_off_the_ends_of_the_track(where: Place, passed: bool) -> None:
    (found,) = met(UP, charts([mark(where, PORT_HAND)]))
    assert found.passed is passed
    assert found.side == ("starboard" if where[0] > 0 else "port")
    assert 0.0 <= found.along_m <= 4001.0


def test_a_turn_with_a_radius_leaves_a_mark_in_the_corner_on_its_outer_side() -> None:
    """The track cuts the corner; a mark between arc and waypoint is left outside the turn."""
    bend = [(0.0, 0.0), (0.0, 3000.0), (3000.0, 3000.0)]
    where = (60.0, 2940.0)
    on_the_spot = only(bend, where)
    rounded = only(bend, where, radius_m=1000.0)
    assert {side for _, side, _ in on_the_spot} == {"starboard"}
    assert [side for _, side, _ in rounded] == ["port"]
    # Corner to arc along the bisector: r (sqrt 2 - 1); the mark stands 60 sqrt 2 along it.
    assert rounded[0][2] == pytest.approx(1000.0 * (2**0.5 - 1) - 60.0 * 2**0.5, abs=3.0)


SPOTS = [Spot(), Spot(179.99, 10.0), Spot(-180.0, -40.0, 33.0), Spot(12.0, 75.0, 70.0)]


@pytest.mark.parametrize("spot", SPOTS, ids=str)
def test_anywhere_on_the_globe(spot: Spot) -> None:
    """The antimeridian, 75 N and the equator; the scene turned."""
    track = [(0.0, -3000.0), (0.0, 3000.0), (3000.0, 3000.0)]
    marks = [
        mark((-300.0, 0.0), PORT_HAND, "a", spot=spot),
        mark((-200.0, 3200.0), PORT_HAND, "b", spot=spot),
        mark((1500.0, 2600.0), PORT_HAND, "c", spot=spot),
    ]
    area = zone(0.0, "A", spot=spot)
    found = met(track, charts(marks, [area]), spot=spot)
    assert [(p.mark.name, p.leg, p.side) for p in found] == [
        ("a", 1, "port"),
        ("b", 1, "port"),
        ("c", 2, "starboard"),
    ]
    # At 75 N the rhumb line lies up to 2.6 m off the geodesic of this length, s**2 tan(lat) / 8R.
    assert [p.distance_m for p in found] == pytest.approx([300.0, 282.84, 400.0], abs=3.0)
    assert [p.grounds[0].sense for p in found] == [Sense.WITH, Sense.WITH, Sense.CROSSING]
    assert {p.region for p in found} == {"A"}


def test_a_short_leg_square_to_the_channel_does_not_cross_it() -> None:
    """A dog-leg of 200 m on the way up the channel: the track as a whole goes with it."""
    dog_leg = [(0.0, 0.0), (0.0, 2000.0), (200.0, 2000.0), (200.0, 4000.0)]
    found = met(dog_leg, charts([mark((100.0, 2300.0), PORT_HAND)], [zone(0.0, "A")]))
    assert Sense.CROSSING not in {p.grounds[0].sense for p in found}
    across = [(-3000.0, 2000.0), (3000.0, 2000.0)]
    (crossed,) = met(across, charts([mark((100.0, 2300.0), PORT_HAND)], [zone(0.0, "A")]))
    assert crossed.grounds[0].sense is Sense.CROSSING
    assert crossed.grounds[0].kind is GroundKind.CHART


def test_hand_from_colours_needs_a_region() -> None:
    red = mark((-300.0, 2000.0), MarkKind.LATERAL, colours=("red",))
    for region, kind in (("A", "port-hand"), ("B", "starboard-hand")):
        (found,) = met(UP, charts([red]), region=region)
        assert (found.kind, found.region, found.region_from) == (kind, region, "--region")
    (unknown,) = met(UP, charts([red]))
    assert unknown.kind is MarkKind.LATERAL and "region" in unknown.uncertain_hand


def test_no_marks_no_passes() -> None:
    assert met(UP, charts([])) == []
    for kind in (PORT_HAND, MarkKind.LATERAL, MarkKind.NORTH):
        assert met([(0.0, 0.0), (0.0, 100.0)], charts([mark((9e4, 0.0), kind)])) == []


def test_corridor_holds_the_mark_edges_closed() -> None:
    (on_edge,) = met(UP, charts([mark((50.0, 2000.0), PORT_HAND)]), width_m=50.0)
    (outside,) = met(UP, charts([mark((50.1, 2000.0), PORT_HAND)]), width_m=50.0)
    assert on_edge.in_corridor and not outside.in_corridor


def test_cardinal_nearest_in_the_opposite_quadrant() -> None:
    """A track that rounds a north mark from east to south: abeam east, then south of it."""
    rounds = [(200.0, 2000.0), (200.0, -150.0), (-2000.0, -150.0)]
    found = met(rounds, charts([mark((0.0, 0.0), MarkKind.NORTH)]), spot=HERE)
    assert [p.opposite_m for p in found] == pytest.approx([150.0] * len(found), rel=1e-3)
    north_of_it = [(-2000.0, 300.0), (2000.0, 300.0)]
    (right,) = met(north_of_it, charts([mark((0.0, 0.0), MarkKind.NORTH)]))
    assert right.opposite_m is None and right.track_side_of_mark == "north"
