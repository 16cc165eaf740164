"""What a grid covers of a chunk, and the record of it along a leg, with one odd cell or a few."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.survey.along_grids import LegGrid, grid_cover
from routecheck.survey.corridors import corridors
from routecheck.survey.cover import GridCover
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.shoalest import shoalest
from tests.survey.memory_grid import MemoryGrid, route_through

# 11,132 m due east along the equator: two chunks, of 5,566 m each.
LEG = corridors(route_through([(10.0, 0.0), (10.1, 0.0)]), ((100.0, 100.0),))[0]
FIRST, SECOND = (ChunkPlane(LEG, chunk) for chunk in LEG.chunks)
GOOD = Quality(name="good", vertical_m=0.1)
# Cells of 0.002 degrees, 223 m, whose edges lie on whole multiples of it: row 5 is the first
# south of the track, column 10 the first of the leg, column 35 the first of the second chunk.
ROWS, COLUMNS, CELL = 10, 70, 0.002


def grid(depth_m: Any, **facts: Any) -> MemoryGrid:
    whole = np.broadcast_to(np.asarray(depth_m, dtype=float), (ROWS, COLUMNS)).copy()
    made = MemoryGrid(whole, x=9.981, y=0.009, dx=CELL, dy=CELL)
    made.source = replace(made.source, **facts)
    return made


def at(*cells: tuple[int, int], value: float = np.nan, rest: float = 20.0) -> np.ndarray:
    depth = np.full((ROWS, COLUMNS), rest)
    for cell in cells:
        depth[cell] = value
    return depth


def held(
    depth_m: Any, *, coarse: bool = False, off_m: Any = None, measured: Any = None, **facts: Any
) -> LegGrid:
    made = grid(depth_m, **facts)

    def beside(values: Any) -> Any:
        return None if values is None else shoalest(grid(values), (LEG,))[0]

    return LegGrid(
        grid=made,
        profile=shoalest(made, (LEG,))[0],
        coarse=coarse,
        uncertainty=beside(off_m),
        measured=beside(measured),
    )


def square(row: int, column: int) -> shapely.Polygon:
    west, north = 9.98 + CELL * column, 0.01 - CELL * row
    return shapely.box(west, north - CELL, west + CELL, north)


def same(found: shapely.Geometry, expected: shapely.Geometry) -> bool:
    return bool(found.symmetric_difference(expected).area < 1e-12)


def plain(found: GridCover) -> bool:
    """Neither deep, nor doubtful anywhere."""
    return all(shape.is_empty for shape in (found.deep, found.unknown, found.not_measured))


@pytest.mark.parametrize("depth_m", [np.nan, at(*((r, c) for r in range(10) for c in range(45)))])
def test_a_grid_without_a_depth_in_the_chunk_is_a_hole_throughout(depth_m: Any) -> None:
    found = grid_cover(FIRST, held(depth_m, quality=GOOD))
    assert found.hole.equals(FIRST.outline) and plain(found)
    assert (found.clears, found.coarse, found.quality) == (True, False, GOOD)
    assert found.source.quality == GOOD and found.shoalest_m == 0.0
    found = grid_cover(FIRST, held(depth_m, coarse=True, datum="MSL"))
    assert (found.clears, found.coarse, found.quality) == (False, True, UNKNOWN_QUALITY)
    # The other chunk has depths, if the grid has any.
    found = grid_cover(SECOND, held(depth_m, quality=GOOD))
    assert found.hole.equals(SECOND.outline) is not np.isfinite(depth_m).any()


def test_a_grid_that_comes_nowhere_near_is_a_hole_throughout() -> None:
    far = MemoryGrid(np.full((5, 5), 20.0), x=50.0, y=50.0, dx=CELL, dy=CELL)
    one = LegGrid(grid=far, profile=shoalest(far, (LEG,))[0], coarse=False)
    assert grid_cover(FIRST, one).hole.equals(FIRST.outline)


def test_a_cell_without_a_depth_is_a_hole_of_its_own_size() -> None:
    one = held(at((5, 20), (4, 50)), quality=GOOD)
    found = grid_cover(FIRST, one)
    inside = square(5, 20).intersection(LEG.outline)
    assert same(found.hole, inside) and plain(found)
    assert (found.clears, found.coarse, found.quality) == (True, False, GOOD)
    assert same(grid_cover(SECOND, one).hole, square(4, 50).intersection(LEG.outline))
    whole = grid_cover(FIRST, held(20.0, quality=GOOD))
    assert whole.hole.is_empty and plain(whole)


def test_beyond_the_grids_edge_is_a_hole() -> None:
    short = grid(20.0)
    short.columns = 30
    short.depth, short.valid = short.depth[:, :30], short.valid[:, :30]
    found = grid_cover(FIRST, LegGrid(grid=short, profile=shoalest(short, (LEG,))[0], coarse=False))
    edge = 9.98 + 30 * CELL
    assert found.hole.bounds[0] == pytest.approx(edge, abs=1e-9)
    assert found.hole.area > 0.9 * FIRST.outline.intersection(shapely.box(edge, -1, 11, 1)).area


DEEP = [
    # Depth throughout, whether coarse, datum; whether deep, and the shoalest that is 200 or more.
    (200.0, True, "LAT", True, 200.0),
    (199.9, True, "LAT", False, 0.0),
    (250.0, True, "LAT", True, 250.0),
    (250.0, False, "LAT", False, 250.0),
    (250.0, True, "MSL", False, 250.0),
]


@pytest.mark.parametrize(("depth_m", "coarse", "datum", "deep", "shoalest_m"), DEEP)
def test_a_coarse_grid_clears_what_is_two_hundred_metres_deep(
    depth_m: float, coarse: bool, datum: str, deep: bool, shoalest_m: float
) -> None:
    """Common practice: see `CLEARED_BELOW_M`."""
    found = grid_cover(FIRST, held(depth_m, coarse=coarse, datum=datum))
    assert found.deep.equals(FIRST.outline) is deep
    assert found.deep.is_empty is not deep
    assert found.shoalest_m == pytest.approx(shoalest_m)
    assert found.coarse is coarse


def test_the_shoalest_of_the_depths_that_a_coarse_grid_clears() -> None:
    depth = at((5, 22), value=220.0, rest=300.0)
    depth[5, 30], depth[5, 50] = 150.0, 210.0  # too shoal; in the other chunk
    assert grid_cover(FIRST, held(depth, coarse=True)).shoalest_m == 220.0
    assert grid_cover(SECOND, held(depth, coarse=True)).shoalest_m == 210.0


@pytest.mark.parametrize("odd_m", [150.0, np.nan])
def test_no_part_that_touches_a_shoaler_cell_is_deep(odd_m: float) -> None:
    """One cell in the middle of the first chunk: the parts that touch it are not deep, and what
    they share with others is not either; the rest of the chunk is."""
    one = held(at((5, 22), value=odd_m, rest=300.0), coarse=True)
    found = grid_cover(FIRST, one)
    shoal = square(5, 22).intersection(LEG.outline)
    assert not found.deep.is_empty
    assert found.deep.intersection(shoal).area < 1e-15
    west = shapely.box(10.0, -0.0008, 10.0 + 3 * CELL, 0.0008)
    east = shapely.box(10.0 + 18 * CELL, -0.0008, 10.048, 0.0008)
    assert found.deep.covers(west) and found.deep.covers(east)
    assert found.shoalest_m == 300.0
    stretch = one.profile.parts
    for n in np.flatnonzero(one.profile.charted_depth_m < 200.0):
        ring = shapely.Polygon(np.column_stack([stretch.lon_deg[n], stretch.lat_deg[n]]))
        assert found.deep.intersection(ring).area < 1e-15
    # Where all of the chunk is too shoal, though the other is deep, none of it is.
    shoaled = at(*((r, c) for r in range(10) for c in range(45)), value=150.0, rest=300.0)
    none = grid_cover(FIRST, held(shoaled, coarse=True))
    assert none.deep.is_empty and none.shoalest_m == 0.0


def test_where_the_uncertainty_of_a_depth_is_not_stated() -> None:
    by_cell = replace(GOOD, by_cell=True)
    odd = at((5, 22), rest=-0.3)
    for quality, doubtful in ((by_cell, True), (UNKNOWN_QUALITY, True), (GOOD, True)):
        found = grid_cover(FIRST, held(20.0, off_m=odd, quality=quality))
        assert found.unknown.is_empty is not doubtful
        if doubtful:
            shape = found.unknown
            assert shape.covers(square(5, 22).intersection(LEG.outline))
            assert not shape.intersects(shapely.box(10.0, -1.0, 10.0 + 3 * CELL, 1.0))
            assert not shape.intersects(shapely.box(10.0 + 18 * CELL, -1.0, 11.0, 1.0))
    # Where nobody states any, that is the quality of the whole, and no doubt of a part.
    assert grid_cover(FIRST, held(20.0)).unknown.is_empty
    assert grid_cover(FIRST, held(20.0, quality=by_cell)).unknown.area == pytest.approx(
        FIRST.outline.area, rel=0.2
    )


@pytest.mark.parametrize(("depth_m", "doubtful"), [(49.0, True), (50.0, False)])
def test_where_a_depth_was_not_measured(depth_m: float, doubtful: bool) -> None:
    found = grid_cover(FIRST, held(depth_m, measured=at((5, 22), rest=0.0), quality=GOOD))
    assert found.not_measured.is_empty is not doubtful
    if doubtful:
        assert found.not_measured.covers(square(5, 22).intersection(LEG.outline))
        assert found.not_measured.area < 0.5 * FIRST.outline.area
    assert grid_cover(SECOND, held(depth_m, measured=at((5, 22), rest=0.0))).not_measured.is_empty
