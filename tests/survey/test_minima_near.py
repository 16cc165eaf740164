"""Which marks come within reach of which lines of a track, by boxes and then by distance."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from routecheck.survey.corridors import corridors
from routecheck.survey.markset import MarkSet
from routecheck.survey.marktrack import MarkTrack, mark_track
from routecheck.survey.minima import _boxes, near_lines
from tests.survey.memory_grid import GEOD, rhumb_track, route_through

A_M, E2 = 6378137.0, 0.00669437999014  # WGS 84 (NIMA TR8350.2, 3rd ed., table 3.1)
MERIDIAN_M = A_M * (1.0 - E2)  # radius of the meridian on the equator, where it is least
Place = tuple[float, float]


def track(*points: Place) -> MarkTrack:
    legs = len(points) - 1
    return mark_track(corridors(route_through(points), ((100.0, 100.0),) * legs))


def held(*places: Place) -> MarkSet:
    at = np.array(places, dtype=float).reshape(-1, 2)
    return MarkSet(marks=(), sources=(), lon_deg=at[:, 0], lat_deg=at[:, 1])


def pairs(on: MarkTrack, reach_m: float, *places: Place) -> list[tuple[int, int]]:
    found = near_lines(on, held(*places), reach_m)
    return list(zip(found.mark.tolist(), found.line.tolist(), strict=True))


def abeam(lon: float, north_m: float) -> Place:
    """A place north of the equator, by the geodesic."""
    _, lat, _ = GEOD.fwd(lon, 0.0, 0.0, north_m)
    return lon, float(lat)


def test_a_metre_more_than_the_reach_for_rounding() -> None:
    east = track((10.0, 0.0), (10.1, 0.0))
    places = [abeam(10.05, m) for m in (0.0, 300.0, 300.9, 301.05, 302.0, -300.9, -301.05)]
    assert pairs(east, 300.0, *places) == [(0, 0), (1, 0), (2, 0), (5, 0)]
    # Off an end by the straight distance, not by the distance along.
    off = [GEOD.fwd(10.1, 0.0, 45.0, m)[:2] for m in (300.5, 301.5)]
    assert pairs(east, 300.0, *off) == [(0, 0)]


def test_where_the_mark_stands_along_and_beside_the_line() -> None:
    east = track((10.0, 0.0), (10.1, 0.0), (10.1, 0.1))
    found = near_lines(east, held(abeam(10.09, 200.0), abeam(10.02, -100.0)), 1200.0)
    assert found.mark.tolist() == [0, 0, 1] and found.line.tolist() == [0, 1, 0]
    degree_m = math.radians(1.0) * A_M
    assert found.along_m == pytest.approx([0.09 * degree_m, 200.0, 0.02 * degree_m], rel=1e-5)
    assert found.cross_m == pytest.approx([-200.0, -0.01 * degree_m, 100.0], rel=1e-5)


@pytest.mark.parametrize(
    ("lon", "lat"), [(10.0, 0.0), (179.93, 40.0), (-179.95, -60.0), (20.0, 84.0), (-75.0, -30.0)]
)
def test_every_mark_against_every_line_by_geodesics(lon: float, lat: float) -> None:
    """Marks at random about a track of long lines; distances by pyproj from points 300 m apart,
    of which the nearest is 3 m too far at most."""
    dice = np.random.default_rng(7)
    wide = 0.12 / math.cos(math.radians(lat))
    points = [(lon, lat), (lon + wide, lat + 0.15), (lon - wide, lat + 0.2), (lon, lat - 0.1)]
    points = [((x + 180.0) % 360.0 - 180.0, y) for x, y in points]
    on, reach_m = track(*points), 5000.0
    places = [
        ((lon + x * 1.4 * wide + 180.0) % 360.0 - 180.0, lat + 0.05 + 0.22 * y)
        for x, y in dice.uniform(-1.0, 1.0, (40, 2))
    ]
    found = set(pairs(on, reach_m, *places))
    for line, samples in enumerate(rhumb_track(points, 300.0)):
        for mark, (x, y) in enumerate(places):
            count = len(samples)
            far = GEOD.inv(samples[:, 0], samples[:, 1], np.full(count, x), np.full(count, y))[2]
            if abs(far.min() - reach_m) > 5.0:
                assert ((mark, line) in found) == (far.min() < reach_m), (mark, line, far.min())
    assert 15 < len(found) < 90


def bounds(on: MarkTrack, reach_m: float) -> list[tuple[int, tuple[float, ...]]]:
    lines, boxes = _boxes(on, reach_m)
    return sorted(
        (int(line), shapely.bounds(box).tolist()) for line, box in zip(lines, boxes, strict=True)
    )


def test_a_line_of_three_metres_has_one_box() -> None:
    ((line, (west, south, east, north)),) = bounds(track((10.0, 0.0), (10.00003, 0.0)), 0.0)
    assert line == 0 and (west, east) == pytest.approx((10.0, 10.00003), abs=1e-12)
    assert (south, north) == (0.0, 0.0)


def test_boxes_of_a_long_line_are_five_miles_long_at_most() -> None:
    """11.1 nmi north along a meridian from the equator: three boxes, a hundredth wider than the
    reach in latitude, and in longitude by the parallel that is nearest to the pole."""
    on = track((10.0, 0.0), (10.0, 0.185))
    found = bounds(on, 1000.0)
    assert [line for line, _ in found] == [0, 0, 0]
    margin = 1.01 * math.degrees(1000.0 / MERIDIAN_M)
    for n, (_, (west, south, east, north)) in enumerate(sorted(found, key=lambda one: one[1][1])):
        assert south == pytest.approx(0.185 / 3.0 * n - margin, abs=1e-6)
        assert north == pytest.approx(0.185 / 3.0 * (n + 1) + margin, abs=1e-6)
        steepest = math.radians(0.185 / 3.0 * (n + 1) + margin)
        radius_m = A_M * math.cos(steepest) / math.sqrt(1.0 - E2 * math.sin(steepest) ** 2)
        wide = 1.01 * math.degrees(1000.0 / radius_m)
        assert (west, east) == pytest.approx((10.0 - wide, 10.0 + wide), abs=1e-9)
    # Five miles exactly, 9,260 m, are one box; a metre more makes two.
    for length_m, count in ((9259.9, 1), (9260.1, 2)):
        lat = float(GEOD.fwd(10.0, 0.0, 0.0, length_m)[1])
        assert len(bounds(track((10.0, 0.0), (10.0, lat)), 1.0)) == count


def test_boxes_widen_with_the_latitude_on_either_side_and_hold_both_ends() -> None:
    margin = 1.01 * math.degrees(1000.0 / MERIDIAN_M)
    for south, north in ((60.0, 60.05), (-60.05, -60.0)):
        for ends in ((south, north), (north, south)):
            ((_, found),) = bounds(track((10.0, ends[0]), (10.02, ends[1])), 1000.0)
            steepest = math.radians(60.05 + margin)
            radius_m = A_M * math.cos(steepest) / math.sqrt(1.0 - E2 * math.sin(steepest) ** 2)
            wide = 1.01 * math.degrees(1000.0 / radius_m)
            expected = (10.0 - wide, south - margin, 10.02 + wide, north + margin)
            assert found == pytest.approx(expected, abs=1e-8)
            ((_, back),) = bounds(track((10.02, ends[1]), (10.0, ends[0])), 1000.0)
            assert back == pytest.approx(expected, abs=1e-8)


def test_next_to_a_pole_a_box_goes_round_the_earth() -> None:
    """At 89.9 degrees, as far as it is reckoned, a parallel is 70.2 km round: 1 km is 5.18 of
    360 degrees, and 80 km are all of them."""
    on = track((10.0, 89.95), (10.0, 89.96))
    ((_, (west, _, east, _)),) = bounds(on, 1000.0)
    radius_m = A_M * math.cos(math.radians(89.9)) / math.sqrt(1.0 - E2)
    assert (east - west) / 2.0 == pytest.approx(1.01 * math.degrees(1000.0 / radius_m), rel=1e-4)
    every = [found for _, found in bounds(on, 80_000.0)]
    assert {round(east - west, 6) for west, _, east, _ in every} == {360.0}
    # One turn off beside it, so that they hold all from 180 W to 180 E together.
    assert min(found[0] for found in every) <= -180.0 and max(found[2] for found in every) >= 180.0


def test_boxes_stand_on_both_sides_of_the_antimeridian() -> None:
    on = track((179.99, 0.0), (-179.98, 0.0))
    wide = 1.01 * math.degrees(1000.0 / A_M)
    (_, first), (_, second) = bounds(on, 1000.0)
    assert (first[0], first[2]) == pytest.approx((-180.01 - wide, -179.98 + wide), abs=1e-7)
    assert (second[0], second[2]) == pytest.approx((179.99 - wide, 180.02 + wide), abs=1e-7)
    # On it, with no room at all: at 180 degrees either way, and nowhere else.
    along = track((180.0, 0.0), (180.0, 0.05))
    assert [(found[0], found[2]) for _, found in bounds(along, 0.0)] == [
        (-180.0, -180.0),
        (180.0, 180.0),
    ]
    # Far from it once.
    assert len(bounds(track((10.0, 0.0), (10.03, 0.0)), 1000.0)) == 1
    for lon in (-170.0, 170.0):
        assert len(bounds(track((lon, 0.0), (lon + 0.03, 0.0)), 1000.0)) == 1
