"""What a corridor says of its leg: lengths, widths, courses, pieces; and its narrower side."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.route import LegLine
from routecheck.survey.corridors import LegCorridor, corridors
from tests.survey.charts import route

GEOD = Geod(ellps="WGS84")
MILE_M = 1852.0


def north(*miles: float, lat_deg: float = 50.0) -> tuple[LegCorridor, ...]:
    """Legs due north, each with widths of its own: (10 n, 20 n) metres for leg n."""
    stops = [(10.0, lat_deg)]
    for far in miles:
        _, lat, _ = GEOD.fwd(*stops[-1], 0.0, far * MILE_M)
        stops.append((10.0, lat))
    widths = tuple((10.0 * n, 20.0 * n) for n in range(1, len(stops)))
    return corridors(route(stops), widths)


def test_lengths_widths_and_where_each_leg_starts() -> None:
    legs = north(3.0, 0.5, 7.0)
    assert [leg.length_m / MILE_M for leg in legs] == pytest.approx([3.0, 0.5, 7.0], abs=1e-6)
    assert [leg.start_along_m / MILE_M for leg in legs] == pytest.approx([0.0, 3.0, 3.5], abs=1e-6)
    assert [(leg.port_m, leg.starboard_m) for leg in legs] == [
        (10.0, 20.0), (20.0, 40.0), (30.0, 60.0),
    ]  # fmt: skip
    assert [leg.leg.number for leg in legs] == [1, 2, 3]


@pytest.mark.parametrize(
    ("miles", "count"),
    [(0.002, 1), (0.5, 1), (4.99, 1), (5.0, 1), (5.1, 2), (10.0, 2), (10.1, 3), (17.0, 4)],
)
def test_pieces_are_of_five_miles_at_most_and_all_alike(miles: float, count: int) -> None:
    (leg,) = north(miles)
    chunks = leg.chunks
    assert len(chunks) == count
    assert chunks[0].along_m == 0.0
    assert [c.along_m / MILE_M for c in chunks] == pytest.approx(
        [n * miles / count for n in range(count)], abs=1e-6
    )
    assert [c.frame.length_m / MILE_M for c in chunks] == pytest.approx(
        [miles / count] * count, abs=1e-6
    )
    first, last = chunks[0].frame, chunks[-1].frame
    assert (first.start_lon_deg, first.start_lat_deg) == (10.0, 50.0)
    assert (last.end_lon_deg, last.end_lat_deg) == (10.0, leg.leg.end.lat_deg)
    for one, other in pairwise(chunks):
        assert (one.frame.end_lon_deg, one.frame.end_lat_deg) == (
            other.frame.start_lon_deg,
            other.frame.start_lat_deg,
        )


def test_a_little_over_five_miles_is_one_piece() -> None:
    """A thousandth of five miles, so that no piece is made for a rounding's sake."""
    assert len(north(5.004)[0].chunks) == 1


STOPS = [(-30.0, 60.0), (-28.0, 60.0), (-27.4, 59.0)]


def test_great_circles_one_after_the_other_by_geodesics() -> None:
    """Position and course along each, as PROJ has them; rhumb pieces of a mile or so turn by a
    fiftieth of a degree at most, so a course is as true as that."""
    legs = corridors(route(STOPS, line=LegLine.GREAT_CIRCLE), ((200.0, 200.0),) * 2)
    for leg, start, end in zip(legs, STOPS, STOPS[1:], strict=False):
        azimuth, back, length_m = GEOD.inv(*start, *end)
        assert leg.length_m == pytest.approx(length_m, rel=1e-7)
        assert leg.course_deg == pytest.approx(azimuth % 360.0, abs=0.02)
        assert leg.end_course_deg == pytest.approx((back + 180.0) % 360.0, abs=0.02)
        assert abs(leg.course_deg - leg.end_course_deg) > 0.3
        along = np.linspace(0.0, leg.length_m, 50)
        lon, lat, course = leg.track(along)
        assert course[0] == leg.course_deg and course[-1] == leg.end_course_deg
        ends = (np.full(50, one) for one in (*start, azimuth))
        true_lon, true_lat, true_back = GEOD.fwd(*ends, along)
        assert GEOD.inv(lon, lat, true_lon, true_lat)[2].max() < 0.2
        off_deg = (course - true_back - 180.0 + 180.0) % 360.0 - 180.0
        assert np.abs(off_deg).max() < 0.02
        # Each piece is one of the lines, with its own plane, as long as the lines are.
        assert [chunk.along_m for chunk in leg.chunks] == pytest.approx(
            np.cumsum([0.0, *(chunk.frame.length_m for chunk in leg.chunks)])[:-1], abs=1e-3
        )
        assert leg.chunks[0].frame.start_lon_deg == start[0]
        assert leg.chunks[-1].frame.end_lat_deg == end[1]
    first, second = legs
    assert second.start_along_m == pytest.approx(first.length_m)


def test_a_little_before_its_start_a_leg_is_still_on_its_first_line() -> None:
    (leg, _) = corridors(route(STOPS, line=LegLine.GREAT_CIRCLE), ((200.0, 200.0),) * 2)
    lon, lat, course = leg.track(np.array([-100.0]))
    true_lon, true_lat, _ = GEOD.fwd(*STOPS[0], leg.course_deg + 180.0, 100.0)
    assert GEOD.inv(lon[0], lat[0], true_lon, true_lat)[2] < 0.1
    assert course[0] == leg.course_deg


@pytest.mark.parametrize("widths", [(20.0, 1852.0), (1852.0, 20.0), (20.0, 20.0)])
def test_a_great_circle_is_as_true_as_its_narrower_side_needs(widths: tuple[float, float]) -> None:
    """2026-11-28: the chords were as long as the wider side allowed, and left out 0.9 m of the
    20 m of the other one, where that lay on the side of the pole."""
    start, end = (-1.0, 60.0), (1.0, 60.0)
    (leg,) = corridors(route([start, end], line=LegLine.GREAT_CIRCLE), (widths,))
    azimuth, _, length_m = GEOD.inv(*start, *end)
    count = 100
    along = np.linspace(0.0, length_m, count + 2)[1:-1]
    lon, lat, back = GEOD.fwd(*(np.full(count, one) for one in (*start, azimuth)), along)
    for side_deg, width_m in zip((-90.0, 90.0), widths, strict=True):
        bearing = back + 180.0 + side_deg
        shapely.prepare(leg.outline)
        for share_m, inside in ((width_m - 0.11, True), (width_m * 1.001 + 0.11, False)):
            there = GEOD.fwd(lon, lat, bearing, np.full(count, share_m))
            held = shapely.intersects_xy(leg.outline, there[0], there[1])
            assert held.all() if inside else not held.any()


def test_each_leg_has_its_own_bends() -> None:
    """A round end at the route's start and at its end, and half of each turn on either leg."""
    stops = [(10.0, 50.0), (10.0, 50.02), (10.03, 50.02), (10.03, 50.0)]
    legs = corridors(route(stops), ((100.0, 100.0),) * 3)
    for leg in legs:
        bends = leg.bends
        middle = leg.length_m / 2.0
        lon, lat, _ = leg.track(np.array([0.0, leg.length_m]))
        ends = np.where(bends.along_from_m < middle, 0, 1)
        assert set(ends.tolist()) == {0, 1}
        off_m = [
            GEOD.inv(np.full(4, lon[n]), np.full(4, lat[n]), x, y)[2].max()
            for n, x, y in zip(ends, bends.lon_deg, bends.lat_deg, strict=True)
        ]
        assert max(off_m) < 101.0
    everything = sum(len(leg.bends.lon_deg) for leg in legs)
    assert everything == len(legs[0].route.bends.lon_deg)
    # Stretches of a leg are its own, then its bends.
    parts = legs[1].stretches()
    bent = len(legs[1].bends.lon_deg)
    assert parts.lon_deg[-bent:].tolist() == legs[1].bends.lon_deg.tolist()
    assert parts.along_to_m[: -bent or None].max() == legs[1].length_m
    assert legs[1].stretches(1000.0).along_to_m[0] == 1000.0
