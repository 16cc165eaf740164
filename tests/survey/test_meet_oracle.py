"""What the survey meets, against brute force that shares no code with it.

The oracle walks each rhumb line on ellipsoidal Mercator (EPSG:3395 by PROJ), where it is straight,
and measures geodesic distances to it from every point (Karney's geodesic, by PROJ).
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod, Transformer

from routecheck.model.chart import Chart
from routecheck.model.view import LegView, Touch
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.survey.charts import (
    chart_set,
    covered,
    depth_area,
    rock,
    route,
    sounding,
    source,
)

GEOD = Geod(ellps="WGS84")
TO_MERCATOR = Transformer.from_crs("EPSG:4326", "EPSG:3395", always_xy=True)
TURN_M = 2.0 * np.pi * 6378137.0


def walk(points: list[tuple[float, float]], step_m: float = 15.0) -> tuple[np.ndarray, np.ndarray]:
    """Points of the whole track, no further apart than about `step_m`."""
    lons, lats = [], []
    for (lon1, lat1), (lon2, lat2) in pairwise(points):
        x1, y1 = TO_MERCATOR.transform(lon1, lat1)
        x2, y2 = TO_MERCATOR.transform(lon2, lat2)
        x2 += TURN_M * np.round((x1 - x2) / TURN_M)
        count = int(np.hypot(x2 - x1, y2 - y1) / step_m) + 2
        lon, lat = TO_MERCATOR.transform(
            np.linspace(x1, x2, count), np.linspace(y1, y2, count), direction="INVERSE"
        )
        lons.append(lon)
        lats.append(lat)
    return np.concatenate(lons), np.concatenate(lats)


def off_track_m(track: tuple[np.ndarray, np.ndarray], lon: float, lat: float) -> float:
    lons, lats = track
    return float(GEOD.inv(lons, lats, np.full_like(lons, lon), np.full_like(lats, lat))[2].min())


def met_keys(views: tuple[LegView, ...], touch: Touch = Touch.CORRIDOR) -> set[str]:
    met = {m.key for v in views for m in v.depths if m.place.touch is touch}
    return met | {m.object.key for v in views for m in v.dangers if m.place.touch is touch}


def wrapped(lon: float) -> float:
    return (lon + 180.0) % 360.0 - 180.0


@st.composite
def scenes(draw: st.DrawFn) -> tuple[list[tuple[float, float]], float, list[tuple[float, float]]]:
    """(waypoints, half-width, points about the track), anywhere between 78 S and 78 N."""
    lat = draw(st.floats(-76.0, 76.0))
    lon = draw(st.sampled_from([-179.99, 179.99, 0.0, 12.3]))
    points = [(lon, lat)]
    for _ in range(draw(st.integers(1, 3))):
        course = draw(st.floats(0.0, 360.0))
        lon2, lat2, _ = GEOD.fwd(
            points[-1][0], points[-1][1], course, draw(st.floats(300.0, 9000.0))
        )
        points.append((wrapped(lon2), lat2))
    width_m = draw(st.floats(20.0, 1800.0))
    objects = []
    for _ in range(draw(st.integers(1, 25))):
        at = draw(st.sampled_from(points))
        lon2, lat2, _ = GEOD.fwd(*at, draw(st.floats(0, 360)), draw(st.floats(0.0, 3.0)) * width_m)
        objects.append((wrapped(lon2), lat2))
    return points, width_m, objects


@given(scenes())
def test_a_point_is_met_exactly_when_it_lies_within_the_half_width(
    scene: tuple[list[tuple[float, float]], float, list[tuple[float, float]]],
) -> None:
    points, width_m, objects = scene
    chart = Chart(
        source=source(),
        soundings=tuple(sounding(f"s{i}", lon, lat, 1.0) for i, (lon, lat) in enumerate(objects)),
        dangers=tuple(rock(f"r{i}", lon, lat) for i, (lon, lat) in enumerate(objects)),
    )
    _, views = survey(route(points), chart_set(chart), SurveySettings(cross_track_m=width_m))
    met = met_keys(views)
    track = walk(points)
    for i, (lon, lat) in enumerate(objects):
        off_m = off_track_m(track, lon, lat)
        if off_m <= width_m:
            assert {f"cell/s{i}", f"cell/r{i}"} <= met, (i, off_m, width_m)
        # The samples are up to 7.5 m from the nearest point of the track; bends are circumscribed.
        nearest_m = np.sqrt(max(0.0, off_m**2 - 8.0**2)) if off_m > 8.0 else 0.0
        if nearest_m > width_m * 1.001 + 0.1:
            assert not {f"cell/s{i}", f"cell/r{i}"} & met, (i, off_m, width_m)


@given(scenes(), st.floats(30.0, 4000.0), st.integers(3, 9))
def test_an_area_with_any_point_in_the_corridor_is_met(
    scene: tuple[list[tuple[float, float]], float, list[tuple[float, float]]],
    size_m: float,
    corners: int,
) -> None:
    points, width_m, objects = scene
    areas, rims = [], []
    for i, (lon, lat) in enumerate(objects[:6]):
        bearings = np.linspace(0.0, 360.0, corners, endpoint=False)
        rim = np.array([GEOD.fwd(lon, lat, b, size_m)[:2] for b in bearings])
        if np.ptp(rim[:, 0]) > 180.0:
            continue  # charts are cut at the antimeridian; the halves are areas of their own
        shape = shapely.Polygon(rim)
        areas.append(depth_area(f"a{i}", shape, 1.0))
        ring = shapely.get_coordinates(shapely.segmentize(shape, size_m / 111000.0 / 20.0))
        rims.append((f"cell/a{i}", np.vstack([ring, [[shape.centroid.x, shape.centroid.y]]])))
    chart = Chart(source=source(), depth_areas=tuple(areas))
    _, views = survey(route(points), chart_set(chart), SurveySettings(cross_track_m=width_m))
    met = met_keys(views)
    track = walk(points, 60.0)
    for key, rim in rims:
        if any(off_track_m(track, lon, lat) <= width_m for lon, lat in rim):
            assert key in met


def test_the_shoalest_depth_of_a_leg_is_told_with_its_place() -> None:
    chart = Chart(
        source=source(),
        depth_areas=(
            depth_area("deep", shapely.box(9.9, 49.9, 10.2, 50.1), 20.0),
            depth_area("shoal", shapely.box(10.05, 50.0005, 10.06, 50.0105), 3.0),
        ),
        coverage=(covered(shapely.box(9.9, 49.9, 10.2, 50.1)),),
    )
    _, (view,) = survey(
        route([(10.0, 50.0), (10.1, 50.0)]), chart_set(chart), SurveySettings(cross_track_m=100.0)
    )
    shoal = next(m for m in view.depths if m.key == "cell/shoal")
    # 0.0005 degrees of latitude at 50 N: 55.6 m (meridian distance, GeographicLib).
    assert shoal.place.cross_m == pytest.approx(-55.6, abs=0.1)
    assert shoal.place.along_from_m == pytest.approx(GEOD.inv(10.0, 50.0, 10.05, 50.0)[2], abs=1.0)
    assert not view.gaps


def test_a_wider_chart_gap_is_a_hole_with_its_area() -> None:
    chart = Chart(
        source=source(),
        depth_areas=(
            depth_area("west", shapely.box(9.9, 49.9, 10.04, 50.1), 20.0),
            depth_area("east", shapely.box(10.05, 49.9, 10.2, 50.1), 20.0),
        ),
        coverage=(covered(shapely.box(9.9, 49.9, 10.2, 50.1)),),
    )
    _, (view,) = survey(
        route([(10.0, 50.0), (10.1, 50.0)]), chart_set(chart), SurveySettings(cross_track_m=100.0)
    )
    (gap,) = view.gaps
    length_m = GEOD.inv(10.04, 50.0, 10.05, 50.0)[2]
    assert gap.layer == "depth"
    assert gap.area_m2 == pytest.approx(200.0 * length_m, rel=2e-3)


@given(
    st.floats(-70.0, 70.0),
    st.floats(0.0, 360.0),
    st.floats(5_000.0, 90_000.0),
    st.floats(30.0, 900.0),
    st.floats(30.0, 900.0),
    st.lists(st.tuples(st.floats(0.02, 0.98), st.floats(-1000.0, 1000.0)), min_size=1, max_size=20),
)
def test_each_side_has_its_own_half_width_all_along_a_long_leg(
    lat: float,
    course: float,
    length_m: float,
    port_m: float,
    starboard_m: float,
    places: list[tuple[float, float]],
) -> None:
    lon2, lat2, _ = GEOD.fwd(20.0, lat, course, length_m)
    points = [(20.0, lat), (wrapped(lon2), lat2)]
    lons, lats = walk(points, 30.0)
    rocks, sides = [], []
    for i, (share, off_m) in enumerate(places):
        at = int(share * (len(lons) - 2))
        ahead, _, _ = GEOD.inv(lons[at], lats[at], lons[at + 1], lats[at + 1])
        lon, lat_of, _ = GEOD.fwd(lons[at], lats[at], ahead + 90.0, off_m)
        rocks.append(rock(f"r{i}", lon, lat_of))
        sides.append(off_m)
    _, (view,) = survey(
        route(points, port_m=port_m, starboard_m=starboard_m),
        chart_set(Chart(source=source(), dangers=tuple(rocks))),
        SurveySettings(cross_track_m=1.0),
    )
    met = {m.object.key: m.place for m in view.dangers}
    for i, off_m in enumerate(sides):
        limit_m = starboard_m if off_m >= 0.0 else port_m
        if abs(off_m) <= limit_m * 0.999:
            assert met[f"cell/r{i}"].cross_m == pytest.approx(off_m, rel=1e-4, abs=0.05)
        if abs(off_m) > limit_m * 1.002 + 0.1:
            assert f"cell/r{i}" not in met
