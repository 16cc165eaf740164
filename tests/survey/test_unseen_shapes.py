"""What is made of shapes on the way from cells to longitude and latitude, one shape at a time."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.survey.cells import Runs
from routecheck.survey.corridors import corridors
from routecheck.survey.gridplane import GridPlane
from routecheck.survey.shoalest import shoalest
from routecheck.survey.unseen import _areas, _blind, _flattened, _to_lonlat, unseen
from tests.survey.memory_grid import MemoryGrid, route_through

SQUARE = shapely.box(1.0, 1.0, 2.0, 3.0)
LINE = shapely.LineString([(4.0, 0.0), (4.0, 3.0)])
POINT = shapely.Point(0.0, 0.0)
DEGREES = MemoryGrid(np.full((9, 9), 5.0), x=10.0, y=54.0, dx=0.5, dy=0.25)


def test_only_what_has_an_area_is_kept() -> None:
    both = shapely.GeometryCollection([LINE, SQUARE, POINT])
    two = shapely.GeometryCollection([SQUARE, LINE, shapely.box(5.0, 5.0, 6.0, 6.0)])
    shapes = np.array([SQUARE, LINE, POINT, both, two, shapely.GeometryCollection([LINE, POINT])])
    kept = _flattened(shapes)
    assert shapely.area(kept).tolist() == [2.0, 0.0, 0.0, 2.0, 3.0, 0.0]
    assert shapely.is_empty(kept).tolist() == [False, True, True, False, False, True]
    assert (shapely.get_dimensions(kept) == 2).all()
    assert kept[3].equals(SQUARE)
    # The shapes that were given are left as they are.
    assert shapes[1] is LINE
    plain = np.array([SQUARE, SQUARE])
    assert _flattened(plain) is plain


@pytest.mark.parametrize(
    ("near_deg", "east"),
    [(10.0, 10.0), (370.0, 370.0), (-350.0, -350.0), (195.0, 370.0), (-175.0, -350.0)],
)
def test_cells_to_degrees_on_the_turn_that_is_wanted(near_deg: float, east: float) -> None:
    """Columns of half a degree from 10 E, rows of a quarter down from 54 N; within half a turn."""
    shapes = np.array(
        [shapely.Polygon(), SQUARE, shapely.Polygon(), shapely.box(0.0, 0.0, 2.0, 2.0)]
    )
    there = _to_lonlat(GridPlane(DEGREES), shapes, np.full(4, near_deg))
    assert [shape.is_empty for shape in there] == [True, False, True, False]
    assert there[1].bounds == pytest.approx((east + 0.5, 53.25, east + 1.0, 53.75))
    assert there[3].bounds == pytest.approx((east, 53.5, east + 1.0, 54.0))
    nothing = np.array([shapely.Polygon()])
    assert _to_lonlat(GridPlane(DEGREES), nothing, np.zeros(1))[0].is_empty


def test_long_edges_bend_with_the_projection() -> None:
    """UTM zone 32 a degree off its meridian: an edge of 15 km along a row bends by some 6 m."""
    grid = MemoryGrid(
        np.full((9, 300), 5.0), x=5.6e5, y=6e6, dx=50.0, dy=50.0, epsg=32632, block=(4, 64)
    )
    box = shapely.box(0.0, 2.0, 299.0, 3.0)
    (there,) = _to_lonlat(GridPlane(grid), np.array([box]), np.array([10.0]))
    # Every point of the edge lies on it in lon/lat, to a few millimetres.
    along = np.linspace(0.0, 299.0, 1000)
    lon, lat = grid.to_position(along, np.full(1000, 2.0))
    off_deg = shapely.distance(shapely.points(lon, lat), there.boundary)
    assert off_deg.max() < 3e-8
    assert shapely.covers(there, shapely.points(lon, lat)).all()


def test_parts_are_numbered_as_those_of_the_profile() -> None:
    """On a route whose legs are of many widths, the step goes by the widest."""
    valid = np.random.default_rng(3).random((40, 40)) > 0.2
    grid = MemoryGrid(
        np.where(valid, 9.0, np.nan), x=10.0, y=54.0, dx=0.002, dy=0.002, block=(7, 9)
    )
    points = [(10.01, 53.95), (10.05, 53.96), (10.06, 53.93)]
    for widths in (((900.0, 100.0), (60.0, 50.0)), ((80.0, 900.0), (90.0, 50.0))):
        legs = corridors(route_through(points), widths)
        for corridor, profile in zip(legs, shoalest(grid, legs), strict=True):
            which = np.flatnonzero(profile.any_invalid | profile.off_grid)
            assert len(which)
            own = unseen(grid, corridor, which, profile)
            assert own.equals(unseen(grid, corridor, which))


def test_runs_that_follow_one_another_make_one_box_but_of_one_part_alone() -> None:
    """(part, row, first, last); all cells are blind, half a cell either way."""
    told = [
        (0, 1, 1, 2), (0, 2, 1, 2), (0, 3, 1, 2),  # one under the other: one box
        (1, 4, 1, 2),  # the same columns, a row further on, of another part
        (1, 5, 2, 2), (1, 6, 2, 3),  # another first, then another last column
        (2, 0, 5, 6), (2, 2, 5, 6),  # a row between them
        (3, 3, 5, 6),
    ]  # fmt: skip
    part, row, first, last = np.array(told).T
    order = np.array([4, 0, 7, 2, 8, 1, 5, 3, 6])
    runs = Runs(part=part[order], row=row[order], first=first[order], last=last[order])
    grid = MemoryGrid(np.full((9, 9), np.nan), x=10.0, y=54.0, dx=1.0, dy=1.0, block=(9, 9))
    quads = np.array([shapely.box(-9.0, -9.0, 99.0, 99.0)] * 4)
    holes, whose = _blind(grid, runs, quads)
    found = {(int(w), hole.bounds) for w, hole in zip(whose, holes, strict=True)}
    assert found == {
        (0, (0.5, 0.5, 2.5, 3.5)),
        (1, (0.5, 3.5, 2.5, 4.5)),
        (1, (1.5, 4.5, 2.5, 5.5)),
        (1, (1.5, 5.5, 3.5, 6.5)),
        (2, (4.5, -0.5, 6.5, 0.5)),
        (2, (4.5, 1.5, 6.5, 2.5)),
        (3, (4.5, 2.5, 6.5, 3.5)),
    }


def test_all_round_the_earth_but_for_one_column() -> None:
    """Columns of half a degree from 179.75 W to 179.25 E: the last half degree is missing."""
    grid = MemoryGrid(np.full((40, 719), 9.0), x=-179.75, y=29.75, dx=0.5, dy=0.5)
    tracks = {
        # The latitudes at 179.5 E and at the antimeridian, a quarter or a half of the way along.
        (20.075, 20.15): [(179.0, 20.0), (-179.0, 20.3)],
        (20.15, 20.225): [(-179.0, 20.0), (179.0, 20.3)],
    }
    for (low, high), points in tracks.items():
        corridor = corridors(route_through(points), ((3000.0, 3000.0),))[0]
        profile = shoalest(grid, (corridor,))[0]
        every = np.arange(len(profile.parts.lon_deg))
        west, south, east, north = unseen(grid, corridor, every, profile).bounds
        assert (west % 360.0, east % 360.0) == pytest.approx((179.5, 180.0), abs=1e-9)
        # 3,000 m, 0.027 degrees, to either side.
        assert (south, north) == pytest.approx((low - 0.027, high + 0.027), abs=0.002)


@pytest.mark.parametrize("near_deg", [179.9, -179.9])
def test_a_shape_across_the_antimeridian_is_not_torn(near_deg: float) -> None:
    """UTM zone 60 reaches to 180 E; 20 km of it on either side."""
    grid = MemoryGrid(np.full((9, 9), 5.0), x=8.1e5, y=1e6, dx=5e3, dy=5e3, epsg=32660)
    corners, _ = grid.to_position(np.array([0.0, 8.0]), np.array([4.0, 4.0]))
    assert corners[0] > 179.0 and corners[1] < -179.0
    (there,) = _to_lonlat(
        GridPlane(grid), np.array([shapely.box(0.0, 3.0, 8.0, 5.0)]), np.array([near_deg])
    )
    west, _, east, _ = there.bounds
    wide_deg = (corners[1] - corners[0]) % 360.0
    assert east - west == pytest.approx(wide_deg, abs=0.02)
    assert near_deg - 1.0 < west < east < near_deg + 1.0


def test_holes_of_any_block_are_found() -> None:
    """The first block that is met is the second of the grid, then the last."""
    grid = MemoryGrid(np.full((4, 8), np.nan), x=10.0, y=54.0, dx=1.0, dy=1.0, block=(2, 4))
    quads = np.array([shapely.box(-9.0, -9.0, 99.0, 99.0)])
    for row, column in ((0, 5), (1, 4), (2, 1), (3, 7), (0, 0)):
        at = {"part": 0, "row": row, "first": column, "last": column}
        runs = Runs(**{name: np.array([n]) for name, n in at.items()})
        holes, _ = _blind(grid, runs, quads)
        half = 0.5
        assert [hole.bounds for hole in holes] == [
            (column - half, row - half, column + half, row + half)
        ]


def test_a_mere_touch_is_no_hole() -> None:
    flat = shapely.Polygon([(0.0, 0.0), (1.0, 1.0), (0.0, 0.0)])
    kept = _areas(np.array([flat, SQUARE, LINE, shapely.MultiPolygon([SQUARE])]))
    assert [shape.wkt for shape in kept] == 2 * [SQUARE.wkt]
