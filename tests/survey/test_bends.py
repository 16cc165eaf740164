"""What turns add to a corridor, corner by corner.

Drawn in the plane by hand, from the turn's own circle, and compared through geodesics (pyproj).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from routecheck.survey.bends import bends
from routecheck.survey.corridors import outward_m
from routecheck.survey.parts import Parts
from routecheck.survey.track import track_of
from tests.buoys import HERE, Place, Spot, route
from tests.survey.tracks import LEG_M, bent, drawn, is_drawn, polar, zigzag

PORT_M, STARBOARD_M = [100.0, 150.0], [60.0, 40.0]


def made(
    places: Sequence[Place],
    *,
    radius_m: float = 0.0,
    spot: Spot = HERE,
    port_m: Sequence[float] = PORT_M,
    starboard_m: Sequence[float] = STARBOARD_M,
) -> tuple[Parts, list[int]]:
    legs = route(places, spot, radius_m).legs
    track = track_of(legs, np.maximum(port_m, starboard_m))
    parts, of_leg = bends(legs, track, np.array(port_m), np.array(starboard_m))
    return parts, of_leg.tolist()


def corners_of(parts: Parts, which: int) -> list[Place]:
    return drawn(parts.lon_deg[which], parts.lat_deg[which])


def kites(
    at: Place, from_deg: float, sweep_deg: float, count: int, radius_m: float
) -> list[list[Place]]:
    """Kites that hold a sector: middle, then three corners whose chords touch the circle."""
    step = sweep_deg / count
    rim_m = outward_m(radius_m) / math.cos(math.radians(step / 4.0))
    return [
        [at, *(polar(from_deg + step * (n + half), rim_m, at) for half in (0.0, 0.5, 1.0))]
        for n in range(count)
    ]


@pytest.mark.parametrize(
    ("turn_deg", "outer_deg", "outer_m", "count"),
    [
        (84.0, -90.0, 150.0, 5),  # 42 degrees with each leg, in steps of at most 10
        (-84.0, 90.0, 60.0, 5),
        (30.0, -90.0, 150.0, 2),
        (-30.5, 90.0, 60.0, 2),
        (0.05, -90.0, 150.0, 1),
        (-178.0, 90.0, 60.0, 9),
    ],
)
def test_fans_outside_a_turn_on_the_spot(
    turn_deg: float, outer_deg: float, outer_m: float, count: int
) -> None:
    """The wider of the two legs' widths on the outer side counts; half the turn is with either
    leg. A quarter circle either side of the course closes the route's first and last waypoint."""
    course = 20.0
    places = bent(turn_deg, course)
    parts, of_leg = made(places)
    half = turn_deg / 2.0
    begin, end, on = places[0], places[2], course + turn_deg
    first = kites((0.0, 0.0), course + outer_deg, half, count, outer_m)
    second = kites((0.0, 0.0), course + outer_deg + half, half, count, outer_m)
    start_caps = kites(begin, course - 90.0, -90.0, 9, 100.0)
    start_caps += kites(begin, course + 180.0, -90.0, 9, 60.0)
    end_caps = kites(end, on - 90.0, 90.0, 9, 150.0) + kites(end, on, 90.0, 9, 40.0)
    wanted = [*first, *start_caps, *second, *end_caps]
    assert of_leg == [0] * (count + 18) + [1] * (count + 18)
    assert len(parts.lon_deg) == len(wanted)
    for which, corners in enumerate(wanted):
        is_drawn(corners_of(parts, which), corners)
    along = [LEG_M] * count + [0.0] * 18 + [0.0] * count + [LEG_M] * 18
    assert parts.along_from_m == pytest.approx(along, abs=1e-3)
    assert parts.along_to_m == pytest.approx(along, abs=1e-3)


def test_straight_on_there_is_no_fan_and_no_width_no_cap() -> None:
    parts, of_leg = made([(0.0, -LEG_M), (0.0, 0.0), (0.0, LEG_M)])
    assert of_leg == [0] * 18 + [1] * 18
    parts, of_leg = made(bent(84.0), port_m=[0.0, 0.0], starboard_m=[60.0, 0.0])
    assert of_leg == [0] * 9  # to starboard at the start alone
    is_drawn(corners_of(parts, 0), kites((0.0, -LEG_M), 180.0, -90.0, 9, 60.0)[0])


def test_one_leg_has_two_round_ends() -> None:
    parts, of_leg = made([(0.0, 0.0), (0.0, LEG_M)], port_m=[100.0], starboard_m=[60.0])
    assert of_leg == [0] * 36
    is_drawn(corners_of(parts, 9), kites((0.0, 0.0), 180.0, -90.0, 9, 60.0)[0])
    is_drawn(corners_of(parts, 18), kites((0.0, LEG_M), -90.0, 90.0, 9, 100.0)[0])


def test_straight_back_the_cap_goes_right_round_the_waypoint() -> None:
    """180 degrees: by halves with either leg, on one side; whichever, no side is left open."""
    parts, of_leg = made([(0.0, -LEG_M), (0.0, 0.0), (0.0, -LEG_M)])
    fans = [n for n in range(len(of_leg)) if max(map(abs, corners_of(parts, n)[1])) < 200.0]
    bearings = sorted(
        round(math.degrees(math.atan2(*corner))) % 360
        for n in fans
        for corner in corners_of(parts, n)[1:]
    )
    assert len(fans) == 18
    assert set(bearings) == {*range(0, 91, 5), *range(270, 360, 5)}


def band(
    turn_deg: float, radius_m: float, outer_m: float, inner_m: float, count: int, half: int
) -> list[list[Place]]:
    """The pieces of a band round the turn's circle, drawn from its tangent points; northbound."""
    tangent_m = radius_m * math.tan(math.radians(abs(turn_deg) / 2.0))
    side = math.copysign(1.0, turn_deg)
    centre = (side * radius_m, -tangent_m)
    step = turn_deg / 2.0 / count
    far_m = (radius_m + outward_m(outer_m)) / math.cos(math.radians(step / 2.0))
    near_m = max(0.0, radius_m - outward_m(inner_m))
    begin = -side * 90.0 + half * turn_deg / 2.0
    found = []
    for n in range(count):
        one, two = begin + n * step, begin + (n + 1) * step
        found.append(
            [
                polar(one, far_m, centre),
                polar(two, far_m, centre),
                polar(two, near_m, centre),
                polar(one, near_m, centre),
            ]
        )
    return found


@pytest.mark.parametrize(
    ("turn_deg", "radius_m", "count", "outer_m", "inner_m"),
    [
        (84.0, 500.0, 9, 150.0, 60.0),  # 42 degrees a half, in steps of at most 5
        (-84.0, 500.0, 9, 60.0, 150.0),
        (84.0, 30.0, 9, 150.0, 60.0),  # inside, the band ends at the centre
        (3.0, 800.0, 1, 150.0, 60.0),
        (0.5, 800.0, 1, 150.0, 60.0),
        (-0.2, 800.0, 1, 60.0, 150.0),
    ],
)
def test_bands_along_the_arc_of_a_turn(
    turn_deg: float, radius_m: float, count: int, outer_m: float, inner_m: float
) -> None:
    parts, of_leg = made(bent(turn_deg), radius_m=radius_m)
    tangent_m = radius_m * math.tan(math.radians(abs(turn_deg) / 2.0))
    first = [n for n, leg in enumerate(of_leg) if leg == 0][-count:]
    second = [n for n, leg in enumerate(of_leg) if leg == 1][-count:]
    for half, which in enumerate((first, second)):
        wanted = band(turn_deg, radius_m, outer_m, inner_m, count, half)
        for number, corners in zip(which, wanted, strict=True):
            is_drawn(corners_of(parts, number), corners)
    from_m, to_m = parts.along_from_m, parts.along_to_m
    assert from_m[first] == pytest.approx([LEG_M - tangent_m] * count, abs=1e-3)
    assert to_m[first] == pytest.approx([LEG_M] * count, abs=1e-3)
    assert from_m[second] == pytest.approx([0.0] * count)
    assert to_m[second] == pytest.approx([tangent_m] * count, abs=1e-3)


def test_a_turn_too_wide_for_its_legs_is_as_wide_as_the_shorter_allows() -> None:
    """900 m to the waypoint: the tangent point lies at the leg's start, whatever is asked for."""
    parts, of_leg = made(bent(84.0, first_m=900.0), radius_m=5000.0)
    radius_m = 900.0 / math.tan(math.radians(42.0))
    for half, leg in enumerate((0, 1)):
        which = [n for n, of in enumerate(of_leg) if of == leg][-9:]
        for number, corners in zip(which, band(84.0, radius_m, 150.0, 60.0, 9, half), strict=True):
            is_drawn(corners_of(parts, number), corners, 0.01)
    assert parts.along_from_m[of_leg.index(1) - 1] == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("radius_m", [0.0, 0.6])
def test_each_of_several_turns_by_itself(radius_m: float) -> None:
    """Four legs: 84 degrees to starboard, 62 to port, 30 to starboard. What lies outside a turn is
    as wide as the wider of its own two legs there."""
    courses, lengths = [0.0, 84.0, 22.0, 52.0], [1200.0, 900.0, 1000.0, 800.0]
    places = zigzag(lengths, courses)
    port, starboard = [100.0, 150.0, 130.0, 70.0], [95.0, 40.0, 90.0, 50.0]
    parts, of_leg = made(places, radius_m=radius_m, port_m=port, starboard_m=starboard)
    # The turn at a leg's end, then the one at its start; the route's own start and end last.
    at_ends = [
        kites(places[1], -90.0, 42.0, 5, 150.0)
        + kites(places[0], -90.0, -90.0, 9, 100.0)
        + kites(places[0], 180.0, -90.0, 9, 95.0),
        kites(places[2], 84.0 + 90.0, -31.0, 4, 90.0) + kites(places[1], -48.0, 42.0, 5, 150.0),
        kites(places[3], 22.0 - 90.0, 15.0, 2, 130.0)
        + kites(places[2], 84.0 + 59.0, -31.0, 4, 90.0),
        kites(places[3], 22.0 - 75.0, 15.0, 2, 130.0)
        + kites(places[4], 52.0 - 90.0, 90.0, 9, 70.0)
        + kites(places[4], 52.0, 90.0, 9, 50.0),
    ]
    along = [
        [1200.0] * 5 + [0.0] * 18,
        [900.0] * 4 + [0.0] * 5,
        [1000.0] * 2 + [0.0] * 4,
        [0.0] * 2 + [800.0] * 18,
    ]
    bands = [0, 0, 0, 0] if radius_m == 0.0 else [9, 9 + 7, 7 + 3, 3]
    for leg in range(4):
        mine = [n for n, whose in enumerate(of_leg) if whose == leg]
        assert len(mine) == len(at_ends[leg]) + bands[leg]
        for which, corners in zip(mine, at_ends[leg], strict=False):
            is_drawn(corners_of(parts, which), corners)
        fans = mine[: len(at_ends[leg])]
        assert parts.along_from_m[fans] == pytest.approx(along[leg], abs=1e-3)
        assert parts.along_to_m[fans] == pytest.approx(along[leg], abs=1e-3)
    # The bands follow the kites: those of the turn at the leg's start, then those of the next.
    for turn, (half, leg, nth, outer_m, inner_m) in enumerate(
        (
            (0, 0, 0, 150.0, 95.0),
            (1, 1, 0, 150.0, 95.0),
            (0, 1, 9, 90.0, 150.0),
            (1, 2, 0, 90.0, 150.0),
        )
    ):
        if radius_m == 0.0:
            break
        mine = [n for n, whose in enumerate(of_leg) if whose == leg]
        one = mine[len(mine) - bands[leg] + nth]
        at, turn_deg = (places[1], 84.0) if turn < 2 else (places[2], -62.0)
        count, course = (9, 0.0) if turn < 2 else (7, 84.0)
        (corners, *_) = band(turn_deg, radius_m, outer_m, inner_m, count, half)
        angle = math.radians(course)
        wanted_corners = [
            (
                at[0] + x * math.cos(angle) + y * math.sin(angle),
                at[1] + y * math.cos(angle) - x * math.sin(angle),
            )
            for x, y in corners
        ]
        is_drawn(corners_of(parts, one), wanted_corners)


def test_the_leg_after_the_turn_may_be_the_shorter_one() -> None:
    """900 m after it; the legs before and beyond are longer, and the last turn is none."""
    places = zigzag([2000.0, 900.0, 3000.0], [0.0, 84.0, 84.0])
    parts, of_leg = made(places, radius_m=5000.0, port_m=[150.0] * 3, starboard_m=[60.0] * 3)
    radius_m = 900.0 / math.tan(math.radians(42.0))
    for half, leg in enumerate((0, 1)):
        which = [n for n, of in enumerate(of_leg) if of == leg][-9:]
        assert parts.along_from_m[which] == pytest.approx([[1100.0, 0.0][leg]] * 9, abs=1e-2)
        assert parts.along_to_m[which] == pytest.approx([[2000.0, 900.0][leg]] * 9, abs=1e-2)
        for number, corners in zip(which, band(84.0, radius_m, 150.0, 60.0, 9, half), strict=True):
            shifted = [(x, y + 2000.0) for x, y in corners]
            is_drawn(corners_of(parts, number), shifted, 0.02)


@pytest.mark.parametrize(("turn_deg", "bands"), [(0.105, 2), (0.09, 0), (-0.105, 2), (-0.09, 0)])
def test_a_course_that_hardly_changes_has_no_arc(turn_deg: float, bands: int) -> None:
    _, with_radius = made(bent(turn_deg), radius_m=500.0)
    _, on_the_spot = made(bent(turn_deg))
    assert len(with_radius) - len(on_the_spot) == bands


@pytest.mark.parametrize("radius_m", [0.0, 500.0])
def test_each_part_runs_on_from_its_own_legs_start(radius_m: float) -> None:
    """Across 180 degrees the first leg's longitudes run past it, the second's begin below -180."""
    spot = Spot(-179.9999, 0.0)
    parts, of_leg = made(bent(84.0, 90.0), radius_m=radius_m, spot=spot)
    legs = route(bent(84.0, 90.0), spot).legs
    assert legs[0].start.lon_deg > 179.0 and legs[1].start.lon_deg < -179.0
    for number, leg in enumerate(of_leg):
        assert np.abs(parts.lon_deg[number] - legs[leg].start.lon_deg).max() < 0.1
