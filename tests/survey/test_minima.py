"""Where a track comes nearest to marks, on a plane whose numbers have no rounding."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from routecheck.survey.marktrack import MarkTrack
from routecheck.survey.minima import Minimum, Near, minima
from routecheck.survey.track import Indexes, Lines
from tests.survey.memory_grid import Floats

Place = tuple[float, float]


class Flat(MarkTrack):
    """A track on a plane: east and north in metres stand for longitude and latitude."""

    def to_plane(self, which: Indexes, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        lines = self.lines
        east = (lines.end_lon_deg - lines.lon_deg)[which] / lines.length_m[which]
        north = (lines.end_lat_deg - lines.lat_deg)[which] / lines.length_m[which]
        x, y = lon_deg - lines.lon_deg[which], lat_deg - lines.lat_deg[which]
        return x * east + y * north, x * north - y * east


def flat(*points: Place) -> Flat:
    """Each line a leg of its own, of the same length along the leg."""
    at = np.array(points, dtype=float)
    rise = np.diff(at, axis=0)
    length_m = np.hypot(rise[:, 0], rise[:, 1])
    none = np.zeros(len(length_m))
    lines = Lines(
        lon_deg=at[:-1, 0],
        lat_deg=at[:-1, 1],
        end_lon_deg=at[1:, 0],
        end_lat_deg=at[1:, 1],
        course_deg=np.degrees(np.arctan2(rise[:, 0], rise[:, 1])) % 360.0,
        length_m=length_m,
        along_m=none,
    )
    return Flat(
        lines=lines,
        begin_m=none,
        end_m=length_m,
        leg=np.arange(1, len(length_m) + 1),
        leg_from_m=none,
        leg_to_m=length_m,
        route_from_m=np.cumsum(length_m) - length_m,
    )


def near(track: Flat, marks: Sequence[Place], without: Sequence[tuple[int, int]] = ()) -> Near:
    """Every mark by every line, but some."""
    pairs = [(m, n) for m in range(len(marks)) for n in range(len(track)) if (m, n) not in without]
    mark, line = np.array(pairs).T
    at = np.array(marks, dtype=float)[mark]
    along, cross = track.to_plane(line, at[:, 0], at[:, 1])
    return Near(mark=mark, line=line, along_m=along, cross_m=cross)


def of(
    points: Sequence[Place],
    *marks: Place,
    reach_m: float = 1e9,
    blur_m: float = 0.0,
    without: Sequence[tuple[int, int]] = (),
) -> list[list[Minimum]]:
    track = flat(*points)
    found = minima(
        track, near(track, marks, without), reach_m, np.full(len(marks), blur_m, dtype=float)
    )
    return [found.get(mark, []) for mark in range(len(marks))]


def brief(found: list[Minimum]) -> list[tuple[int, float, float]]:
    """(leg, along it, signed distance)."""
    return [(one.leg, one.leg_along_m, one.cross_m) for one in found]


NORTH = [(0.0, 0.0), (0.0, 1000.0)]
RIGHT = [*NORTH, (1000.0, 1000.0)]


def test_abeam_of_a_line() -> None:
    ((port,), (starboard,), (on,)) = of(NORTH, (-30.0, 400.0), (30.0, 400.0), (0.0, 400.0))
    assert (port.cross_m, port.distance_m, port.bearing_deg) == (-30.0, 30.0, 90.0)
    assert (starboard.cross_m, starboard.distance_m, starboard.bearing_deg) == (30.0, 30.0, 270.0)
    assert on.distance_m == 0.0
    for mark, one in enumerate((port, starboard, on)):
        assert (one.mark, one.line, one.leg, one.along_m) == (mark, 0, 1, 400.0)
        assert (one.leg_along_m, one.route_along_m, one.course_deg) == (400.0, 400.0, 0.0)
        assert one.passed is True


@pytest.mark.parametrize(
    ("mark", "at_m", "distance_m", "bearing_deg", "passed"),
    [
        # Beyond the end it is passed if no more ahead than abeam; before the start likewise.
        ((100.0, 1100.0), 1000.0, math.hypot(100.0, 100.0), 225.0, True),
        ((100.0, 1101.0), 1000.0, math.hypot(100.0, 101.0), None, False),
        ((30.0, 1040.0), 1000.0, 50.0, None, False),
        ((40.0, 1030.0), 1000.0, 50.0, None, True),
        ((0.0, 1040.0), 1000.0, 40.0, 180.0, False),
        ((100.0, -100.0), 0.0, math.hypot(100.0, 100.0), 315.0, True),
        ((100.0, -101.0), 0.0, math.hypot(100.0, 101.0), None, False),
        ((40.0, -30.0), 0.0, 50.0, None, True),
        ((0.0, -40.0), 0.0, 40.0, 0.0, False),
        ((40.0, 0.0), 0.0, 40.0, 270.0, True),
        ((40.0, 1000.0), 1000.0, 40.0, 270.0, True),
    ],
)
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_off_the_ends_of_the_track(
    mark: Place,
    at_m: float,
    distance_m: float,
    bearing_deg: float | None,
    passed: bool,
    side: float,
) -> None:
    ((one,),) = of(NORTH, (side * mark[0], mark[1]))
    assert one.route_along_m == at_m
    assert one.distance_m == pytest.approx(distance_m)
    if mark[0]:  # dead ahead it is on neither side
        assert (one.cross_m > 0.0) is (side > 0.0)
    assert one.passed is passed
    back = math.degrees(math.atan2(-side * mark[0], at_m - mark[1])) % 360.0
    assert one.bearing_deg == pytest.approx(back)
    if bearing_deg is not None and side > 0.0:
        assert one.bearing_deg == pytest.approx(bearing_deg)


@pytest.mark.parametrize("hand", [1.0, -1.0])
def test_outside_a_bend_once_on_the_outer_side_half_way_through_the_turn(hand: float) -> None:
    ((one,),) = of([(hand * x, y) for x, y in RIGHT], (-100.0 * hand, 1100.0))
    assert (one.line, one.leg, one.along_m, one.leg_along_m) == (0, 1, 1000.0, 1000.0)
    assert one.cross_m == pytest.approx(-hand * math.hypot(100.0, 100.0))
    assert one.course_deg == (45.0 if hand > 0.0 else 315.0)
    assert one.bearing_deg == pytest.approx(135.0 if hand > 0.0 else 225.0)
    assert one.passed is True


def test_ahead_on_the_inner_bow_before_a_sharp_turn_it_is_still_left_on_the_outer_side() -> None:
    """A turn of 126.9 degrees to starboard; the mark lies ahead, a little to starboard."""
    ((one,),) = of([(0.0, -500.0), (0.0, 0.0), (400.0, -300.0)], (5.0, 100.0))
    assert (one.leg, one.leg_along_m) == (1, 500.0)
    assert one.cross_m == pytest.approx(-math.hypot(5.0, 100.0))
    assert one.course_deg == pytest.approx(math.degrees(math.atan2(400.0, -300.0)) / 2.0)


def test_courses_half_way_through_a_turn_across_north() -> None:
    ((one,),) = of([(100.0, -500.0), (0.0, 0.0), (100.0, 500.0)], (-50.0, 0.0))
    assert one.course_deg in (0.0, pytest.approx(360.0))
    assert 0.0 <= one.course_deg < 360.0
    assert (one.leg, one.cross_m) == (1, pytest.approx(-50.0))


def test_a_waypoint_on_a_straight_track() -> None:
    """Abeam of it exactly the mark is met once, on the leg before, on the side where it lies."""
    straight = [(0.0, 0.0), (0.0, 600.0), (0.0, 1000.0)]
    for side in (-70.0, 70.0):
        assert brief(of(straight, (side, 600.0))[0]) == [(1, 600.0, side)]
        assert brief(of(straight, (side, 601.0))[0]) == [(2, 1.0, side)]
        assert brief(of(straight, (side, 599.0))[0]) == [(1, 599.0, side)]
    (second,) = of(straight, (70.0, 601.0))[0]
    assert (second.line, second.along_m, second.route_along_m) == (1, 1.0, 601.0)


@pytest.mark.parametrize(("lean_m", "passed"), [(0.0, False), (0.5, False), (3.0, True)])
def test_a_mark_ahead_of_where_the_track_turns_back_is_not_passed(
    lean_m: float, passed: bool
) -> None:
    """From 179.9 degrees on: 0.5 m beside the way up, 1,000 m down, it is a turn of 179.97."""
    ((one,),) = of([*NORTH, (lean_m, 0.0)], (0.0, 1050.0))
    assert (one.leg, one.distance_m, one.passed) == (1, 50.0, passed)


def test_inside_a_bend_by_both_legs() -> None:
    assert brief(of(RIGHT, (300.0, 600.0))[0]) == [(1, 600.0, 300.0), (2, 300.0, 400.0)]


def test_only_within_reach_and_reach_counts() -> None:
    assert brief(of(RIGHT, (300.0, 600.0), reach_m=400.0)[0]) == [
        (1, 600.0, 300.0),
        (2, 300.0, 400.0),
    ]
    assert brief(of(RIGHT, (300.0, 600.0), reach_m=399.0)[0]) == [(1, 600.0, 300.0)]
    assert of(RIGHT, (300.0, 600.0), reach_m=299.0) == [[]]


def test_a_line_that_the_next_one_leads_nearer_from_has_no_minimum() -> None:
    """The entry of the next line is missing, or is another mark's: nothing is made of the end."""
    assert of(RIGHT, (-100.0, 1100.0), without=[(0, 1)]) == [[]]
    both = of(RIGHT, (-100.0, 1100.0), (-100.0, 1100.0), without=[(0, 1), (1, 0)])
    assert both == [[], []]
    # Lines 0 and 2: what lies between is out of reach.
    far = [*RIGHT, (1000.0, 0.0)]
    assert of(far, (-100.0, 1100.0), without=[(0, 1)])[0] == []


def test_entries_of_a_mark() -> None:
    held = near(flat(*RIGHT), [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)], without=[(1, 0), (1, 1)])
    assert [held.of(mark) for mark in range(3)] == [slice(0, 2), slice(2, 2), slice(2, 4)]
