"""Holes on small grids of odd blocks, cell by cell: what the grid does not see of the corridor."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.gridplane import GridPlane
from routecheck.survey.unseen import unseen
from tests.survey.memory_grid import MemoryGrid, route_through
from tests.survey.test_unseen import brute_hole

ROWS, COLUMNS = 13, 11
STEP_DEG = 0.001


def grid(
    valid: np.ndarray, reach: float = 0.5, x: float = 10.0, epsg: int | None = None
) -> MemoryGrid:
    depth = np.where(valid, 9.0, np.nan)
    if epsg is not None:
        place = {"x": 565_000.0, "y": 5_984_000.0, "dx": 65.0, "dy": 111.0}
        return MemoryGrid(depth, **place, epsg=epsg, reach=reach, block=(5, 4))
    return MemoryGrid(depth, x=x, y=54.0, dx=STEP_DEG, dy=STEP_DEG, reach=reach, block=(5, 4))


def at(of: MemoryGrid, column: float, row: float) -> tuple[float, float]:
    lon, lat = of.to_position(np.array([column]), np.array([row]))
    return (float(lon[0]) + 180.0) % 360.0 - 180.0, float(lat[0])


def leg(
    of: MemoryGrid, start: tuple[float, float], end: tuple[float, float], width_m: float
) -> LegCorridor:
    points = [at(of, *start), at(of, *end)]
    return corridors(route_through(points), ((width_m, width_m),))[0]


def check(of: MemoryGrid, corridor: LegCorridor) -> BaseGeometry:
    """The hole is what brute force finds of the very same parts; nothing of it is missed."""
    every = np.arange(len(corridor.stretches(_step_m(of, corridor)).lon_deg))
    hole = unseen(of, corridor, every)
    assert hole.is_valid
    parts = corridor.stretches(_step_m(of, corridor))
    column, row = of.to_cell(parts.lon_deg, parts.lat_deg)
    expected = brute_hole(of, shapely.make_valid(shapely.polygons(np.stack([column, row], axis=2))))
    if hole.is_empty:
        assert expected.area < 1e-9
        return hole
    found = of.in_cells(hole if of.into is None else shapely.segmentize(hole, 0.0002))
    assert expected.difference(found).area <= 1e-6 * max(expected.area, 1e-3)
    extra = 1e-6 if of.into is None else 2e-3
    assert found.difference(expected).area <= extra * max(expected.area, 1e-3)
    return hole


def _step_m(of: MemoryGrid, corridor: LegCorridor) -> float:
    route = corridor.route
    return GridPlane(of).step_m(float(max(route.port_m.max(), route.starboard_m.max())))


ALL = np.ones((ROWS, COLUMNS), dtype=bool)


PATTERNS = {
    "cell": (slice(6, 7), slice(5, 6)),
    "column": (slice(0, 13), slice(3, 4)),
    "rows": (slice(4, 6), slice(0, 11)),
    "middle": (slice(3, 9), slice(2, 9)),
}
"""Across the edges of the blocks, which are 5 rows and 4 columns large."""


@pytest.mark.parametrize(("reach", "x"), [(0.5, 10.0), (1.0, 10.0), (0.5, 370.0), (1.0, -350.0)])
@pytest.mark.parametrize("pattern", PATTERNS)
def test_cells_rows_and_columns(reach: float, x: float, pattern: str) -> None:
    valid = ALL.copy()
    valid[PATTERNS[pattern]] = False
    of = grid(valid, reach, x)
    assert check(of, leg(of, (0.2, 6.1), (9.7, 5.9), 400.0)).area > 0.0


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("seed", range(4))
def test_random_holes(reach: float, seed: int) -> None:
    rng = np.random.default_rng(seed)
    valid = rng.random((ROWS, COLUMNS)) > (0.1, 0.3, 0.6, 0.9)[seed]
    of = grid(valid, reach)
    check(of, leg(of, (0.4, 0.7), (9.8, 11.6), 250.0))
    check(of, leg(of, (9.8, 2.7), (1.1, 9.6), 700.0))


BEYOND = {
    "east": ((5.0, 6.0), (15.0, 6.0)),
    "west": ((5.0, 6.0), (-5.0, 6.5)),
    "south": ((5.0, 6.0), (5.2, 20.0)),
    "north": ((5.0, 6.0), (5.0, -7.0)),
    "wholly": ((20.0, 20.0), (25.0, 22.0)),
}


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("side", BEYOND)
def test_beyond_each_edge(reach: float, side: str) -> None:
    of = grid(ALL, reach)
    assert check(of, leg(of, *BEYOND[side], 120.0)).area > 0.0


@pytest.mark.parametrize("reach", [0.5, 1.0])
def test_inside_there_is_no_hole(reach: float) -> None:
    of = grid(ALL, reach)
    assert check(of, leg(of, (2.0, 3.0), (8.0, 9.0), 60.0)).is_empty


@pytest.mark.parametrize("seed", range(2))
def test_a_projected_grid(seed: int) -> None:
    rng = np.random.default_rng(seed)
    of = grid(rng.random((ROWS, COLUMNS)) > 0.2, epsg=32632)
    hole = check(of, leg(of, (1.4, 1.7), (8.8, 10.6), 150.0))
    assert hole.area > 0.0
    check(of, leg(of, (5.0, 6.0), (16.0, 7.0), 150.0))
