"""Holes: what of the corridor a grid does not see, against the squares of all its cells."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.survey.corridors import corridors
from routecheck.survey.shoalest import shoalest, unseen
from tests.survey.memory_grid import MemoryGrid, route_through
from tests.survey.test_shoalest import PLACES, Points, grid_at, walk


def brute_hole(grid: MemoryGrid, quads: np.ndarray) -> BaseGeometry:
    """Invalid cells' squares and all beyond the grid, cut to the quadrilaterals, in cells."""
    squares = grid.squares()[~grid.valid]
    rim = 0.5 if grid.reach == 0.5 else 0.0
    held = shapely.box(-rim, -rim, grid.columns - 1 + rim, grid.rows - 1 + rim)
    whole = shapely.union_all(quads)
    blind = whole.intersection(shapely.union_all(squares))
    return shapely.union_all([blind, whole.difference(held)])


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("place", PLACES)
def test_the_hole_is_the_invalid_cells_and_what_is_beyond_the_grid(
    place: str, reach: float
) -> None:
    rng = np.random.default_rng(23)
    for _ in range(3):
        grid, lon, lat = grid_at(rng, place, 60.0, reach, holes=0.05)
        grid.valid[30:50, 20:60] = False
        points: Points = walk(rng, lon, lat, 60.0 * 25.0, legs=3)
        route = route_through(points)
        legs = corridors(route, ((130.0, 130.0),) * 3)
        for corridor, profile in zip(legs, shoalest(grid, legs), strict=True):
            which = np.flatnonzero(profile.any_invalid | profile.off_grid)
            hole = unseen(grid, corridor, which, profile)
            assert hole.is_valid
            assert hole.equals(unseen(grid, corridor, which))
            if not len(which):
                assert hole.is_empty
                continue
            column, row = grid.to_cell(profile.parts.lon_deg, profile.parts.lat_deg)
            quads = shapely.polygons(np.stack([column, row], axis=2))
            expected = brute_hole(grid, shapely.make_valid(quads))
            fine = hole if grid.into is None else shapely.segmentize(hole, 0.0002)
            found = grid.in_cells(fine)
            assert expected.difference(found).area < 1e-6 * expected.area
            extra = 1e-6 if grid.into is None else 1e-3
            assert found.difference(expected).area < extra * expected.area


def test_parts_that_the_grid_sees_whole_have_no_hole() -> None:
    grid = MemoryGrid(np.full((20, 20), 9.0), x=10.0, y=54.0, dx=0.01, dy=0.01)
    corridor = corridors(route_through([(10.05, 53.9), (10.15, 53.92)]), ((200.0, 200.0),))[0]
    every = np.arange(len(corridor.stretches().lon_deg))
    assert unseen(grid, corridor, every[:5]).area == 0.0
    assert unseen(grid, corridor, every[:0]).is_empty


def test_round_the_earth_there_is_no_hole_at_the_seam() -> None:
    grid = MemoryGrid(np.full((40, 720), 9.0), x=-179.75, y=29.75, dx=0.5, dy=0.5)
    for points in ([(179.0, 20.0), (-179.0, 20.3)], [(-179.0, 20.0), (179.0, 20.3)]):
        corridor = corridors(route_through(points), ((3000.0, 3000.0),))[0]
        profile = shoalest(grid, (corridor,))[0]
        every = np.arange(len(profile.row))
        assert unseen(grid, corridor, every, profile).area == 0.0
        grid.valid[:, 719] = False
        profile = shoalest(grid, (corridor,))[0]
        hole = unseen(grid, corridor, np.flatnonzero(profile.any_invalid), profile)
        west, _, east, _ = hole.bounds
        assert (east - west) == pytest.approx(0.5, abs=1e-9)
        assert min(abs(west - 179.5), abs(west + 180.5)) < 1e-9
        grid.valid[:, 719] = True


def test_a_part_out_of_reach_of_the_projection_is_a_hole() -> None:
    """A whole turn round from a transverse Mercator zone there are no coordinates at all."""
    grid = MemoryGrid(np.full((9, 9), 5.0), x=5e5, y=6e6, dx=50.0, dy=50.0, epsg=32632)
    corridor = corridors(route_through([(99.0, 0.0), (99.1, 0.0)]), ((200.0, 200.0),))[0]
    every = np.arange(len(corridor.stretches().lon_deg))
    hole = unseen(grid, corridor, every)
    assert hole.area == pytest.approx(corridor.outline.area, rel=1e-6)
