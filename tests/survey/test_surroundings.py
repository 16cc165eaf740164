"""Where a picture of a route looks, and which charts are read for it: boxes, turns and clipping.

A degree of latitude is taken as 60 nautical miles of 1,852 m (SI brochure, 9th ed., table 8), so
that 1,852 m are a sixtieth of a degree; of longitude by the cosine of the steepest latitude.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Charted
from routecheck.survey.corridors import corridors
from routecheck.survey.neighbourhood import neighbourhood
from routecheck.survey.settings import SurveySettings
from routecheck.survey.surroundings import Surroundings, moved, surroundings
from tests.survey.charts import depth_area, rock, route

MILE_M, MINUTE = 1852.0, 1.0 / 60.0
Points = list[tuple[float, float]]
SHORT: Points = [(0.0, 0.0), (0.05, 0.0)]


def around(points: Points, half_m: float = MILE_M, room_m: float | None = None) -> Surroundings:
    one = route(points)
    legs = corridors(one, ((half_m, half_m / 2.0),) * len(one.legs))
    return surroundings(legs) if room_m is None else surroundings(legs, room_m)


def cos(lat_deg: float) -> float:
    return math.cos(math.radians(lat_deg))


def test_a_leg_along_the_equator() -> None:
    """The corridor's greater half-width, then three miles of room."""
    found = around(SHORT)
    east = MINUTE / cos(MINUTE)
    assert found.route_deg == pytest.approx((-east, -MINUTE, 0.05 + east, MINUTE), abs=1e-9)
    more = east + 3.0 * MINUTE / cos(4.0 * MINUTE)
    wanted = (-more, -4.0 * MINUTE, 0.05 + more, 4.0 * MINUTE)
    assert found.window_deg == pytest.approx(wanted, abs=1e-9)
    assert found.boxes_deg == pytest.approx(np.array([wanted]), abs=1e-9)
    assert (found.turns_deg, found.turns) == ((0.0,), (-360.0, 0.0, 360.0))
    assert shapely.get_coordinates(found.track) == pytest.approx(np.array(SHORT), abs=1e-9)


def test_to_starboard_it_may_be_the_wider() -> None:
    (leg,) = corridors(route(SHORT), ((0.0, MILE_M),))
    assert surroundings([leg]).route_deg[3] == pytest.approx(MINUTE)


@pytest.mark.parametrize("south", [False, True])
def test_a_leg_northward_in_high_latitude_has_a_box_a_chunk(south: bool) -> None:
    sign = -1.0 if south else 1.0
    found = around([(10.0, 60.0 * sign), (10.0, 60.5 * sign)], room_m=MILE_M)
    # 55,707 m of the meridian (Geographica: 111.41 km a degree at 60 N) in chunks of 9,260 m.
    assert found.boxes_deg.shape == (7, 4)
    first, last = found.boxes_deg[0], found.boxes_deg[-1]
    step = 0.5 / 7.0
    for box, near, far in ((first, 60.0, 60.0 + step), (last, 60.5 - step, 60.5)):
        low, high = near - 2.0 * MINUTE, far + 2.0 * MINUTE
        half = MINUTE / cos(far + MINUTE) + MINUTE / cos(far + 2.0 * MINUTE)
        lats = (-high, -low) if south else (low, high)
        wanted = (10.0 - half, lats[0], 10.0 + half, lats[1])
        assert box == pytest.approx(wanted, abs=2e-5)


def test_beside_the_pole() -> None:
    found = around([(0.0, 89.9), (0.5, 89.9)], room_m=12.0 * MILE_M)
    west, south, east, north = found.window_deg
    assert (south, north) == (pytest.approx(89.9 - 13.0 * MINUTE), 90.0)
    # Beyond 89 degrees a degree of longitude counts as it is there.
    assert east == pytest.approx(0.5 + 13.0 * MINUTE / cos(89.0), abs=1e-6)
    assert west == pytest.approx(-13.0 * MINUTE / cos(89.0), abs=1e-6)
    down = around([(0.0, -89.9), (0.5, -89.9)], room_m=12.0 * MILE_M).window_deg
    assert down[1] == -90.0 and down[3] == pytest.approx(-89.9 + 13.0 * MINUTE)
    wide = around([(0.0, 88.0), (0.5, 88.0)], room_m=600.0 * MILE_M).window_deg
    assert wide[2] - wide[0] == pytest.approx(360.0 + 0.5 + 2.0 * MINUTE / cos(88.0 + MINUTE))


@pytest.mark.parametrize(
    ("points", "room_m", "metres"),
    # A 4,000th of the window, by its height or by half its width; from 0.3 m to 25 m.
    [
        ([(0.0, 0.0), (0.0, 0.5)], MILE_M, (32.0 * MILE_M + 2.0 * MILE_M) / 4000.0),
        ([(0.0, 0.0), (1.0, 0.0)], MILE_M, (31.0 * MILE_M + 2.0 * MILE_M) / 4000.0),
        (SHORT, 1.0, (2.5 * MILE_M + 2.0) / 4000.0),
        ([(0.0, 0.0), (0.001, 0.0)], 1.0, None),
        ([(0.0, 0.0), (0.0, 5.0)], MILE_M, 25.0),
    ],
)
def test_how_finely_it_is_drawn(points: Points, room_m: float, metres: float | None) -> None:
    half_m = MILE_M if metres else 1.0
    found = around([(lon + 20.0, lat) for lon, lat in points], half_m=half_m, room_m=room_m)
    assert found.tolerance_deg * 60.0 * MILE_M == pytest.approx(metres or 0.3, rel=1e-4)


def test_legs_run_on_over_the_antimeridian() -> None:
    found = around([(179.9, 0.0), (-179.9, 0.0), (-179.8, 0.0), (179.95, 0.0)])
    assert found.turns_deg == (0.0, 360.0, 360.0)
    lons = shapely.get_coordinates(found.track)[:, 0]
    assert lons.min() == pytest.approx(179.9) and lons.max() == pytest.approx(180.2)
    assert found.turns == (-360.0, 0.0, 360.0, 720.0)
    west = around([(-179.9, 0.0), (179.9, 0.0), (179.8, 0.0)])
    assert west.turns_deg == (0.0, -360.0)
    assert west.window_deg[0] < -180.2 and west.turns == (-720.0, -360.0, 0.0, 360.0)
    for lon in (100.0, 170.0, -170.0):
        assert around([(lon, 0.0), (lon + 0.1, 0.0)]).turns == (-360.0, 0.0, 360.0)


def keys(found: Surroundings, *things: Charted) -> dict[str, tuple[float, ...]]:
    held, shapes = found.near(things)
    return {t.key.removeprefix("cell/"): s.bounds for t, s in zip(held, shapes, strict=True)}


def test_what_is_near_meets_a_box_and_is_clipped_to_the_window() -> None:
    # North, then east: the window's south-east corner is far from both legs.
    found = around([(0.0, 0.0), (0.0, 1.0), (1.0, 1.0)])
    west, south, east, north = found.window_deg
    inside = depth_area("inside", shapely.box(0.01, 0.5, 0.02, 0.6), 5.0)
    whole = depth_area("whole", shapely.box(-5.0, -5.0, 5.0, 5.0), 5.0)
    things = (
        inside,
        whole,
        depth_area("corner", shapely.box(0.5, 0.1, 0.6, 0.2), 5.0),
        depth_area("corner, a turn east", shapely.box(360.5, 0.1, 360.6, 0.2), 5.0),
        depth_area("corner, a turn west", shapely.box(-359.5, 0.1, -359.4, 0.2), 5.0),
        rock("on", 0.0, 0.5),
        rock("off", 3.0, 0.5),
        depth_area("half", shapely.box(-1.0, 0.5, 0.0, 0.6), 5.0),
        depth_area("top", shapely.box(0.5, 1.0, 0.6, 2.0), 5.0),
        depth_area("right", shapely.box(0.9, 1.0, 2.0, 1.01), 5.0),
        depth_area("bottom", shapely.box(0.0, -2.0, 0.01, 0.5), 5.0),
    )
    assert keys(found, *things) == {
        "inside": (0.01, 0.5, 0.02, 0.6),
        "whole": found.window_deg,
        "on": (0.0, 0.5, 0.0, 0.5),
        "half": (west, 0.5, 0.0, 0.6),
        "top": (0.5, 1.0, 0.6, north),
        "right": (0.9, 1.0, east, 1.01),
        "bottom": (0.0, south, 0.01, 0.5),
    }
    (shape,) = found.near([inside])[1]
    assert shape.equals_exact(inside.geometry, 0.0)
    held, shapes = found.near([])
    assert held == [] and shapes.shape == (0,)
    clipped = found.clipped(shapely.box(-5.0, 0.2, 5.0, 0.4), 0.0)
    assert clipped.bounds == pytest.approx((west, 0.2, east, 0.4)) and south < 0.0


def test_what_is_charted_a_whole_turn_off_is_near() -> None:
    found = around([(179.9, 0.0), (-179.9, 0.0)])
    things = (rock("e", -179.95, 0.0), rock("w", 179.95, 0.0), rock("far", 0.0, 0.0),
              depth_area("past", shapely.box(180.02, 0.0, 180.04, 0.01), 5.0))  # fmt: skip
    assert keys(found, *things) == {
        "w": pytest.approx((179.95, 0.0, 179.95, 0.0)),
        "e": pytest.approx((180.05, 0.0, 180.05, 0.0)),
        "past": pytest.approx((180.02, 0.0, 180.04, 0.01)),
    }
    across = depth_area("across", shapely.box(-180.5, 0.0, -179.95, 0.01), 5.0)
    west = found.window_deg[0]
    assert keys(found, across) == {"across": pytest.approx((west, 0.0, 180.05, 0.01))}
    beyond = depth_area("beyond", shapely.box(-179.95, 0.0, -170.0, 0.01), 5.0)
    east = found.window_deg[2]
    assert keys(found, beyond) == {"beyond": pytest.approx((180.05, 0.0, east, 0.01))}
    clipped = found.clipped(shapely.box(-180.5, 0.0, -179.95, 0.01), 360.0)
    assert clipped.bounds == pytest.approx((west, 0.0, 180.05, 0.01))
    point = shapely.Point(1.0, 2.0)
    assert moved(point, 0.0) is point
    assert moved(point, -360.0).equals(shapely.Point(-359.0, 2.0))


def test_a_shape_that_the_overlay_refuses_is_made_valid_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real: Callable[..., BaseGeometry] = BaseGeometry.intersection

    def intersection(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
        if not one.is_valid:
            raise GEOSException("TopologyException: side location conflict")
        return real(one, other)

    monkeypatch.setattr(BaseGeometry, "intersection", intersection)
    found = around(SHORT)
    bow = shapely.Polygon([(-9.0, -9.0), (9.0, 9.0), (9.0, -9.0), (-9.0, 9.0)])
    assert keys(found, depth_area("bow", bow, 5.0)) == {"bow": found.window_deg}


def test_no_legs() -> None:
    with pytest.raises(ValueError, match="at least one leg"):
        surroundings([])


def test_the_neighbourhood_has_room_for_bends_and_marks() -> None:
    """The widest corridor once more, since bends reach beyond a leg's own box, and `mark_far_m`."""
    settings = SurveySettings(cross_track_m=100.0, floor_m=30.0, mark_far_m=500.0)
    one, other = route(SHORT, port_m=200.0), route([(20.0, 0.0), (20.05, 0.0)], starboard_m=10.0)
    boxes = neighbourhood([one, other], settings)
    assert boxes.shape == (2, 4)
    for box, reach_m, lon in ((boxes[0], 200.0 + 200.0 + 500.0, 0.0), (boxes[1], 700.0, 20.0)):
        reach = reach_m / (60.0 * MILE_M)
        wanted = (lon - reach, -reach, lon + 0.05 + reach, reach)
        assert box == pytest.approx(wanted, abs=1e-7)
    assert neighbourhood([], settings).shape == (0, 4)


def test_the_widest_leg_of_a_route_counts_for_all() -> None:
    one = route([*SHORT, (0.1, 0.0)], port_m=10.0, starboard_m=10.0)
    wide = replace(one.legs[1], xtd_starboard_m=300.0)
    settings = SurveySettings(cross_track_m=100.0, mark_far_m=500.0)
    first, second = neighbourhood([replace(one, legs=(one.legs[0], wide))], settings)
    degree_m = 60.0 * MILE_M
    assert first[3] == pytest.approx((10.0 + 300.0 + 500.0) / degree_m, abs=1e-9)
    assert second[3] == pytest.approx((300.0 + 300.0 + 500.0) / degree_m, abs=1e-9)
