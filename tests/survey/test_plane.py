"""A piece of corridor in its own plane, against PROJ's geodesics."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.route import LegLine
from routecheck.survey.corridors import LegCorridor, corridors, outward_m
from routecheck.survey.plane import ChunkPlane
from tests.survey.charts import route

GEOD = Geod(ellps="WGS84")
MILE_M = 1852.0
PORT_M, STARBOARD_M = 100.0, 300.0
# What the corridor really reaches to: a hair more, so that rounding loses no touch.
PORT_OUT_M, STARBOARD_OUT_M = outward_m(PORT_M), outward_m(STARBOARD_M)


def north(
    *miles: float, lon_deg: float = 10.0, lat_deg: float = 50.0, half: bool = False
) -> tuple[LegCorridor, ...]:
    """Legs due north, so that y is metres east and x is metres along the meridian."""
    stops = [(lon_deg, lat_deg)]
    for far in miles:
        _, lat, _ = GEOD.fwd(*stops[-1], 0.0, far * MILE_M)
        stops.append((lon_deg, lat))
    width = (0.5, 0.5) if half else (PORT_M, STARBOARD_M)
    return corridors(route(stops), (width,) * len(miles))


def planes(leg: LegCorridor) -> list[ChunkPlane]:
    return [ChunkPlane(leg, chunk) for chunk in leg.chunks]


@cache
def four() -> list[ChunkPlane]:
    """Pieces of 4.25 miles."""
    return planes(north(17.0)[0])


@cache
def one() -> ChunkPlane:
    """A mile in one piece."""
    return planes(north(1.0)[0])[0]


def held(*shapes: shapely.Geometry) -> np.ndarray:
    made = np.empty(len(shapes), dtype=object)
    made[:] = shapes
    return made


def at(x_m: float, y_m: float) -> tuple[float, float]:
    """The position so far north of (10, 50) and so far east of its meridian."""
    lon, lat, _ = GEOD.fwd(10.0, 50.0, 0.0, x_m)
    lon, lat, _ = GEOD.fwd(lon, lat, 90.0, y_m)
    return float(lon), float(lat)


def test_where_pieces_begin_and_end() -> None:
    assert [plane.from_m / MILE_M for plane in four()] == pytest.approx([0.0, 4.25, 8.5, 12.75])
    assert [plane.to_m / MILE_M for plane in four()] == pytest.approx([4.25, 8.5, 12.75, 17.0])
    assert [plane.first for plane in four()] == [True, False, False, False]
    assert [plane.last for plane in four()] == [False, False, False, True]
    assert one().first and one().last
    for plane in four():
        assert shapely.get_coordinates(plane.track).tolist() == [
            [plane.from_m, 0.0], [plane.to_m, 0.0],
        ]  # fmt: skip


@pytest.mark.parametrize("number", range(4))
def test_metres_along_the_leg_and_to_starboard(number: int) -> None:
    plane = four()[number]
    spots = [(0.3, 0.0), (0.5, 250.0), (0.7, -80.0)]
    spots = [(plane.from_m + part * 7000.0, cross_m) for part, cross_m in spots]
    turned = plane.to_plane(held(shapely.LineString([(*at(*spot), 7.0) for spot in spots])))
    xy = shapely.get_coordinates(turned[0])
    assert not shapely.has_z(turned[0])
    assert xy[[0, -1]] == pytest.approx(np.array(spots)[[0, -1]], abs=0.01)
    assert np.abs(xy - spots[1]).sum(axis=1).min() < 0.02
    for spot in spots:
        assert plane.to_position(*spot) == pytest.approx(at(*spot), abs=1e-7)


@pytest.mark.parametrize("lon_deg", [-180.0, -179.9999, 179.9999, 0.0, -90.0, 90.0])
@pytest.mark.parametrize("cross_m", [-200.0, 0.0, 200.0])
def test_positions_lie_from_180_west_to_180_east(lon_deg: float, cross_m: float) -> None:
    plane = planes(north(1.0, lon_deg=lon_deg)[0])[0]
    lon, lat = plane.to_position(900.0, cross_m)
    assert -180.0 <= lon < 180.0
    true_lon, true_lat, _ = GEOD.fwd(lon_deg, 50.0, 0.0, 900.0)
    true_lon, true_lat, _ = GEOD.fwd(true_lon, true_lat, 90.0, cross_m)
    # Square to the track on Mercator's chart, which is 4 mm off the geodesic's at 200 m.
    assert (lon - true_lon + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=5e-8)
    assert lat == pytest.approx(true_lat, abs=5e-8)


def test_pieces_lap_over_one_another_by_a_metre_and_end_in_the_legs_bends() -> None:
    for plane in four():
        west, south, east, north_ = plane.corridor_shape.bounds
        # A round end is as wide as the wider side.
        begins = -STARBOARD_OUT_M if plane.first else plane.from_m - 1.0
        ends = plane.to_m + (STARBOARD_OUT_M if plane.last else 1.0)
        rough = 0.5 if plane.first or plane.last else 1e-9
        assert west == pytest.approx(begins, abs=0.5 if plane.first else 1e-6)
        assert east == pytest.approx(ends, abs=0.5 if plane.last else 1e-6)
        assert south == pytest.approx(-PORT_OUT_M, abs=rough)
        assert north_ == pytest.approx(STARBOARD_OUT_M, abs=rough)
    whole = shapely.union_all([plane.corridor_shape for plane in four()])
    area_m2 = 17.0 * MILE_M * 400.0 + np.pi * (100.0**2 + 300.0**2) / 2.0
    assert whole.area == pytest.approx(area_m2, rel=1e-3)


def test_a_narrow_corridors_strip_ends_with_its_leg() -> None:
    first, *_, last = planes(north(17.0, half=True)[0])
    assert first.corridor_shape.bounds[0] == pytest.approx(-0.501, abs=0.002)
    assert last.corridor_shape.bounds[2] == pytest.approx(17.0 * MILE_M + 0.501, abs=0.002)


def test_a_leg_that_goes_straight_on_has_no_bends() -> None:
    """Then its strip alone is its corridor, a millimetre over at the ends."""
    _, middle, _ = corridors(
        route([(10.0, 0.0), (10.1, 0.0), (10.2, 0.0), (10.3, 0.0)]), ((PORT_M, STARBOARD_M),) * 3
    )
    assert len(middle.bends.lon_deg) == 0
    for plane in planes(middle):
        west, south, east, north_ = plane.corridor_shape.bounds
        assert west == pytest.approx(plane.from_m - (0.001 if plane.first else 1.0), abs=1e-6)
        assert east == pytest.approx(plane.to_m + (0.001 if plane.last else 1.0), abs=1e-6)
        assert (south, north_) == (-PORT_OUT_M, STARBOARD_OUT_M)


@pytest.mark.parametrize("widths", [(PORT_M, 9260.0), (9260.0, PORT_M)])
def test_pieces_of_a_great_circle_lap_over_by_what_opens_between_them(
    widths: tuple[float, float],
) -> None:
    """They meet at a hair's angle: that opens to its tangent times the wider half-width."""
    stops = [(0.0, 80.0), (6.0, 80.3)]
    (leg,) = corridors(route(stops, line=LegLine.GREAT_CIRCLE), (widths,))
    made = planes(leg)
    assert len(made) > 5
    course = np.array([chunk.frame.course_deg for chunk in leg.chunks])
    opens_m = outward_m(9260.0) * np.tan(np.radians(np.abs(np.diff(course))))
    assert len(set(opens_m.round(4).tolist())) > 3 and opens_m.min() > 1.0
    for n, plane in enumerate(made):
        west, _, east, _ = plane.corridor_shape.bounds
        if not plane.first:
            assert west == pytest.approx(plane.from_m - 1.0 - opens_m[n - 1], abs=1e-6)
        if not plane.last:
            assert east == pytest.approx(plane.to_m + 1.0 + opens_m[n], abs=1e-6)


@pytest.mark.parametrize("lat_deg", [50.0, 75.0])
def test_the_outline_bends_with_the_corridors_edge(lat_deg: float) -> None:
    """A point every few metres of the edge in the plane lies on the outline, within 2 cm."""
    stops = [(10.0, lat_deg), (10.5, lat_deg + 0.05)]
    (leg,) = corridors(route(stops), ((PORT_M, 1852.0),))
    plane = planes(leg)[1]
    edge = shapely.get_coordinates(shapely.segmentize(plane.corridor_shape.exterior, 50.0))
    lon, lat = plane.chunk.frame.from_frame(edge[:, 0] - plane.from_m, edge[:, 1])
    there = shapely.points(lon, lat)
    off_deg = shapely.distance(plane.outline.exterior, there)
    assert off_deg.max() * 111_200.0 < 0.02
    assert plane.outline.is_valid


def test_long_edges_are_straight_in_longitude_and_latitude() -> None:
    """Of a charted edge that runs 20 miles east at 75 degrees, every point is on its parallel."""
    stops = [(10.0, 75.0), (10.0, 75.05)]
    (leg,) = corridors(route(stops), ((PORT_M, STARBOARD_M),))
    plane = planes(leg)[0]
    line = shapely.LineString([(9.4, 75.02), (10.6, 75.02)])
    (turned,) = plane.to_plane(held(line))
    lon = np.linspace(9.4, 10.6, 777)
    along, cross = leg.chunks[0].frame.to_frame(lon, np.full(777, 75.02))
    assert shapely.distance(turned, shapely.points(along, cross)).max() < 0.02


@pytest.mark.parametrize("margin_m", [0.0, 50.0, 2000.0])
def test_a_search_holds_all_within_its_margin_and_little_more(margin_m: float) -> None:
    plane = four()[1]
    looked = plane.search(margin_m)
    west, south, east, north_ = plane.corridor_shape.bounds
    (turned,) = plane.to_plane(held(looked))
    found = np.array(turned.bounds) - (west, south, east, north_)
    room_m = np.abs(found)
    assert (found < 0.0).tolist() == [True, True, False, False]
    assert (room_m >= margin_m + 0.9).all() and (room_m < margin_m * 1.02 + 1.1).all()
