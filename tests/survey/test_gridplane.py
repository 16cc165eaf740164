"""The plane of a grid: how long stretches are there, and how far their edges may stray."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.nav.rhumb import rhumb_direct
from routecheck.survey.corridors import STRETCH_M, corridors
from routecheck.survey.gridplane import GridPlane
from tests.survey.memory_grid import MemoryGrid, rhumb_track, route_through
from tests.survey.test_shoalest import profiles


@pytest.mark.parametrize(
    ("cell_deg", "half_width_m", "stretches"),
    # Along the equator a degree is some 111 km; a stretch is 92.6 m.
    [
        (0.00001, 50.0, 1),
        (0.0008, 50.0, 1),
        (0.0009, 5000.0, 2),
        (0.0016, 50.0, 2),
        (0.002, 50.0, 8),
        (15 / 3600, 463.0, 16),
        (15 / 3600, 1852.0, 20),
        (15 / 3600, 18_520.0, 20),
        (1.0, 185.0, 20),
    ],
)
def test_coarse_cells_have_longer_stretches_of_whole_multiples(
    cell_deg: float, half_width_m: float, stretches: int
) -> None:
    size = 9 if cell_deg > 1e-4 else 900
    start = -cell_deg * (size // 2)
    depth = np.full((size, size), 30.0)
    grid = MemoryGrid(depth, x=start, y=-start, dx=cell_deg, dy=cell_deg)
    profile = profiles(grid, [(start / 2.0, 0.0), (-start / 2.0, 0.0)], half_width_m)[0]
    assert profile.step_m == pytest.approx(stretches * STRETCH_M, rel=1e-12)


def test_slack_is_more_than_a_straight_edge_strays_from_the_true_one() -> None:
    """Points at the exact cross-track distance, by geodesics, half-way along long stretches."""
    geod, astray = Geod(ellps="WGS84"), []
    for lat in (-75.0, -40.0, 10.0, 55.0, 75.0):
        for course in (30.0, 45.0, 120.0):
            grid = MemoryGrid(np.full((99, 99), 9.0), x=9.9, y=lat + 0.2, dx=0.006, dy=0.004)
            plane = GridPlane(grid)
            points = [(10.0, lat), rhumb_direct(10.0, lat, course, 9_000.0)]
            corridor = corridors(route_through(points), ((400.0, 400.0),))[0]
            step_m = plane.step_m(400.0)
            parts = corridor.stretches(step_m)
            column, row = grid.to_cell(parts.lon_deg, parts.lat_deg)
            whole = shapely.union_all(shapely.polygons(np.stack([column, row], axis=2)))
            track = rhumb_track(points, step_m / 20.0)[0]
            for side in (-90.0, 90.0):
                lon, lats, _ = geod.fwd(
                    *track[:, :2].T, track[:, 2] + side, np.full(len(track), 400)
                )
                at = grid.to_cell(np.asarray(lon), np.asarray(lats))
                off = shapely.distance(whole, shapely.points(np.column_stack(at)))
                astray.append(float(off.max()))
                assert off.max() <= plane.slack(step_m, parts.lat_deg)
    assert max(astray) > 1e-6, "no edge strays: this tests nothing"
