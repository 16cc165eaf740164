"""Boxes about a route's corridors, worked out by hand: a mile is a sixtieth of a degree."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.objects import DepthArea
from routecheck.model.route import LegLine
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.surroundings import Surroundings, surroundings
from tests.survey.charts import depth_area, route

DEGREE_M = 111_120.0
Point = tuple[float, float]


def legs(*stops: Point, line: LegLine = LegLine.RHUMB) -> tuple[LegCorridor, ...]:
    drawn = route(stops, line=line)
    return corridors(drawn, ((926.0, 1852.0),) * len(drawn.legs))


def grown(box: tuple[float, ...], room_deg: float) -> tuple[float, ...]:
    """A box with room all round, in longitude as much as its latitude furthest from the equator,
    room and all, needs."""
    west, south, east, north = box
    furthest = min(max(abs(south), abs(north)) + room_deg, 89.0)
    lon = min(room_deg / np.cos(np.radians(furthest)), 180.0)
    return west - lon, max(south - room_deg, -90.0), east + lon, min(north + room_deg, 90.0)


MILE_DEG, ROOM_DEG = 1.0 / 60.0, 3.0 / 60.0
ROUTES: list[tuple[list[Point], list[tuple[float, ...]]]] = [
    # The half-width, the wider one, is a mile; the boxes' own corners are the legs' ends.
    ([(10.0, 50.0), (10.05, 50.02)], [(10.0, 50.0, 10.05, 50.02)]),
    ([(10.05, 50.02), (10.0, 50.0)], [(10.0, 50.0, 10.05, 50.02)]),
    ([(-10.0, -60.02), (-10.05, -60.0)], [(-10.05, -60.02, -10.0, -60.0)]),
    ([(3.0, -0.01), (3.0, 0.03)], [(3.0, -0.01, 3.0, 0.03)]),
    ([(20.0, 89.2), (20.5, 89.25)], [(20.0, 89.2, 20.5, 89.25)]),
    (
        [(10.0, 50.0), (10.05, 50.02), (10.1, 49.99)],
        [(10.0, 50.0, 10.05, 50.02), (10.05, 49.99, 10.1, 50.02)],
    ),
    (
        [(179.96, -17.0), (-179.98, -17.01), (-179.94, -17.0), (179.99, -17.04)],
        [
            (179.96, -17.01, 180.02, -17.0), (180.02, -17.01, 180.06, -17.0),
            (179.99, -17.04, 180.06, -17.0),
        ],
    ),
    (
        [(-179.96, 17.0), (179.98, 17.01), (179.92, 17.0)],
        [(-180.02, 17.0, -179.96, 17.01), (-180.08, 17.0, -180.02, 17.01)],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("stops", "boxes"), ROUTES)
def test_boxes_about_the_legs(stops: list[Point], boxes: list[tuple[float, ...]]) -> None:
    found = surroundings(legs(*stops))
    tight = np.array([grown(box, MILE_DEG) for box in boxes])
    assert found.boxes_deg == pytest.approx(
        np.array([grown(tuple(box), ROOM_DEG) for box in tight]), abs=1e-9
    )
    low, high = tight.min(axis=0), tight.max(axis=0)
    assert found.route_deg == pytest.approx((low[0], low[1], high[2], high[3]), abs=1e-9)
    low, high = found.boxes_deg.min(axis=0), found.boxes_deg.max(axis=0)
    assert found.window_deg == (low[0], low[1], high[2], high[3])


def test_longitudes_run_on_from_leg_to_leg() -> None:
    stops = [(179.96, -17.0), (-179.98, -17.0), (-179.94, -17.0), (179.99, -17.0)]
    found = surroundings(legs(*stops))
    assert found.turns_deg == (0.0, 360.0, 360.0)
    assert shapely.get_coordinates(found.track)[:, 0] == pytest.approx(
        [179.96, 180.02, 180.02, 180.06, 180.06, 179.99], abs=1e-9
    )
    assert set(shapely.get_coordinates(found.track)[:, 1]) == {-17.0}
    # Charts may lie in any of the longitudes that the window has, and run on past them.
    assert found.turns == (-360.0, 0.0, 360.0, 720.0)
    west = surroundings(legs((-179.95, 17.0), (179.99, 17.0), (179.9, 17.0)))
    assert west.turns_deg == (0.0, -360.0)
    assert west.turns == (-720.0, -360.0, 0.0, 360.0)
    for lon in (-179.8, -10.0, 0.0, 10.0, 179.8):
        assert surroundings(legs((lon, 0.0), (lon, 0.1))).turns == (-360.0, 0.0, 360.0)
    # Round the world and on, for the sake of the sum, either way.
    for way in (1.0, -1.0):
        places = [way * 120.0 * n for n in range(9)]
        found = surroundings(legs(*((lon - 360.0 * round(lon / 360.0), 89.5) for lon in places)))
        assert shapely.get_coordinates(found.track)[-1] == pytest.approx([way * 960.0, 89.5])
        assert sorted(way * turn for turn in found.turns) == [360.0 * k for k in range(-1, 5)]


def test_no_legs_have_no_surroundings() -> None:
    with pytest.raises(ValueError, match="a picture needs at least one leg"):
        surroundings(())


def test_long_legs_have_a_box_for_each_of_their_pieces() -> None:
    (leg,) = legs((10.0, 50.0), (10.0, 50.25))
    found = surroundings((leg,))
    assert len(found.boxes_deg) == len(leg.chunks) == 4
    starts = np.array([chunk.frame.start_lat_deg for chunk in leg.chunks])
    room_deg = MILE_DEG + ROOM_DEG
    assert found.boxes_deg[:, 1] == pytest.approx(starts - room_deg)
    assert found.boxes_deg[:, 3] == pytest.approx(np.append(starts[1:], 50.25) + room_deg)
    assert shapely.get_coordinates(found.track) == pytest.approx(
        np.array([*((10.0, lat) for lat in starts), (10.0, 50.25)]), abs=1e-9
    )
    (curved,) = legs((175.0, 50.0), (-175.0, 50.0), line=LegLine.GREAT_CIRCLE)
    lon, lat = shapely.get_coordinates(surroundings((curved,)).track).T
    assert (np.diff(lon) > 0.0).all() and lon[[0, -1]] == pytest.approx([175.0, 185.0])
    assert lat.max() > 50.1


def test_a_picture_of_the_pole_reaches_round_the_world_and_not_past_the_pole() -> None:
    found = surroundings(legs((10.0, 80.0), (10.0, 80.1)), 12.0 * DEGREE_M)
    (west, south, east, north) = found.window_deg
    assert (west, east) == pytest.approx(
        (
            10.0 - 180.0 - MILE_DEG / np.cos(np.radians(80.1 + MILE_DEG)),
            190.0 + MILE_DEG / np.cos(np.radians(80.1 + MILE_DEG)),
        ),
        abs=1e-6,
    )
    assert (south, north) == pytest.approx((68.0 - MILE_DEG, 90.0))
    found = surroundings(legs((10.0, -80.0), (10.0, -80.1)), 12.0 * DEGREE_M)
    assert found.window_deg[1::2] == pytest.approx((-90.0, -68.0 + MILE_DEG))


# Ends of the leg, room in metres -> what may be left of a line, in metres
DRAWN = [
    # 12 miles north and south with a mile of corridor at either end, and three miles of room:
    # 20 miles in 4000 pixels.
    ((10.0, 50.0), (10.0, 50.2), 3.0 * 1852.0, 20.0 * 1852.0 / 4000.0),
    # 24 minutes of longitude, a mile of corridor at either end: half of their width is the rule.
    ((10.0, 0.0), (10.4, 0.0), 3.0 * 1852.0, (13.0 + 6.0) * 1852.0 / 4000.0),
    ((10.0, 0.0), (10.0, 0.001), 1.0, 2.06 * 1852.0 / 4000.0),
    # As fine as 0.3 m, and never coarser than 25 m.
    ((10.0, 0.0), (10.0, 0.001), -1500.0, 0.3),
    ((10.0, 0.0), (10.0, 0.85), 3.0 * 1852.0, 25.0),
    ((10.0, 0.0), (10.0, 8.0), 3.0 * 1852.0, 25.0),
]  # fmt: skip


@pytest.mark.parametrize(("start", "end", "room_m", "tolerance_m"), DRAWN)
def test_how_finely_it_is_drawn(
    start: Point, end: Point, room_m: float, tolerance_m: float
) -> None:
    found = surroundings(legs(start, end), room_m)
    assert found.tolerance_deg * DEGREE_M == pytest.approx(tolerance_m, rel=1e-3)


def area(key: str, shape: Any) -> DepthArea:
    return depth_area(key, shape, 5.0)


@cache
def small() -> Surroundings:
    return surroundings(legs((10.0, 0.0), (10.1, 0.0)))


def near(shape: Any, around: Surroundings | None = None) -> shapely.Geometry | None:
    """What is found of a shape that stands between two others far away."""
    around = around or small()
    far = shapely.box(50.0, 50.0, 51.0, 51.0)
    things = [area("before", far), area("it", shape), area("after", far)]
    found, shapes = around.near(things)
    assert len(found) == len(shapes) <= 1
    if not found:
        return None
    assert found[0] is things[1]
    return shapes[0]


def test_shapes_are_clipped_to_the_window() -> None:
    box = shapely.box
    west, south, east, north = small().window_deg
    inside = box(10.02, -0.01, 10.03, 0.01)
    kept = near(inside)
    assert kept is not None and kept.equals(inside)
    rim = box(*small().window_deg)
    assert near(rim) is not None and near(rim).equals(rim)  # type: ignore[union-attr]
    for shape, expected in (
        (box(0.0, -0.01, 10.03, 0.01), box(west, -0.01, 10.03, 0.01)),
        (box(10.03, -0.01, 20.0, 0.01), box(10.03, -0.01, east, 0.01)),
        (box(10.02, -5.0, 10.03, 0.01), box(10.02, south, 10.03, 0.01)),
        (box(10.02, -0.01, 10.03, 5.0), box(10.02, -0.01, 10.03, north)),
        (box(0.0, -9.0, 10.03, 0.01), box(west, south, 10.03, 0.01)),
        (box(10.02, -0.01, 20.0, 9.0), box(10.02, -0.01, east, north)),
        (box(0.0, -9.0, 20.0, 9.0), rim),
    ):
        clipped = near(shape)
        assert clipped is not None and clipped.equals(expected)
        by_rect = small().clipped(shape, 0.0)
        assert by_rect.equals(expected)
    assert near(box(11.0, 0.0, 12.0, 1.0)) is None
    # Its bounds hold the window, but it goes round it.
    assert near(shapely.LineString([(0.0, -9.0), (20.0, -9.0), (20.0, 9.0)])) is None
    assert small().near([])[0] == []


def test_what_crosses_itself_is_clipped_all_the_same() -> None:
    """Two triangles that meet in a point: half of each lies in the window."""
    bow = shapely.Polygon([(10.0, -1.0), (10.1, 1.0), (10.1, -1.0), (10.0, 1.0)])
    clipped = near(bow)
    assert clipped is not None
    whole = shapely.make_valid(bow).intersection(shapely.box(*small().window_deg))
    assert clipped.area == pytest.approx(whole.area) and whole.area > 0.0


def test_shapes_of_other_longitudes_are_moved_to_the_routes() -> None:
    around = surroundings(legs((179.95, 0.0), (-179.95, 0.0)))
    for west in (180.0, -180.0, 540.0):
        found = near(shapely.box(west, -0.01, west + 0.02, 0.02), around)
        assert found is not None
        assert found.bounds == pytest.approx((180.0, -0.01, 180.02, 0.02))
    east = around.clipped(shapely.box(-180.0, -0.01, -179.0, 0.02), 360.0)
    assert east.bounds == pytest.approx((180.0, -0.01, around.window_deg[2], 0.02))
    both, shapes = around.near([area("w", shapely.box(179.9, 0, 180, 0.02)),
                                area("e", shapely.box(-180, 0, -179.9, 0.02))])  # fmt: skip
    assert sorted(thing.key for thing in both) == ["cell/e", "cell/w"]
    assert shapely.union_all(shapes).bounds == pytest.approx((179.9, 0.0, 180.1, 0.02))
