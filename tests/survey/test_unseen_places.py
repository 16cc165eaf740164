"""What a grid does not see of a corridor, cell by cell; in metres on the equator.

Cells are 100 m wide, those of row 3 with their centres on the track; the corridor is 120 m either
side of a leg of 1,000 m. For such cells its parts are stretches of 185.2 m.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from pyproj import Transformer

from routecheck.survey.cells import Runs
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.gridplane import GridPlane
from routecheck.survey.shoalest import shoalest
from routecheck.survey.unseen import _flattened, _invalid, unseen
from tests.survey.charts import route
from tests.survey.equator import EAST_M, NORTH_M, Shape, at, box, plane
from tests.survey.memory_grid import MemoryGrid

HALF_M = 120.0
METRES2 = EAST_M * NORTH_M


def leg() -> LegCorridor:
    """The corridor of all tests."""
    return plane(1000.0, HALF_M).corridor


def grid(
    holes: tuple[tuple[int, int], ...] = (), columns: int = 14, rows: int = 7, reach: float = 0.5,
    block: tuple[int, int] = (2, 3),
) -> MemoryGrid:  # fmt: skip
    """From 150 m before the leg, and 300 m to port; row 3 is the track's."""
    depth = np.full((rows, columns), 9.0)
    for row, column in holes:
        depth[row, column] = np.nan
    lon, lat = at(-150.0, -300.0)
    return MemoryGrid(
        depth, x=lon, y=lat, dx=100.0 / EAST_M, dy=100.0 / NORTH_M, reach=reach, block=block
    )


def hole(of: MemoryGrid, which: list[int] | None = None) -> Shape:
    count = len(leg().stretches(GridPlane(of).step_m(HALF_M)).lon_deg)
    every = np.arange(count) if which is None else np.array(which)
    return unseen(of, leg(), every)


def same(one: Shape, other: Shape) -> bool:
    """To a square decimetre."""
    return shapely.symmetric_difference(one, other).area * METRES2 < 0.01


def square(row: int, column: int, reach: float = 0.5) -> Shape:
    along, cross, half = -150.0 + 100.0 * column, -300.0 + 100.0 * row, 100.0 * reach
    return box(along - half, along + half, cross - half, cross + half)


def in_corridor(shape: Shape) -> Shape:
    return shape.intersection(leg().outline)


@pytest.mark.parametrize(
    "holes",
    [
        ((3, 5),),
        ((3, 5), (3, 6)),  # side by side in two blocks
        ((3, 2), (3, 3), (3, 4), (3, 5), (3, 6), (3, 7), (3, 8)),
        ((2, 5), (3, 5), (4, 5)),  # rows that follow one another
        ((2, 5), (4, 5)),
        ((2, 5), (3, 5), (3, 6)),
        ((3, 5), (3, 7)),
        ((2, 4), (2, 5), (3, 5)),
        ((2, 5), (3, 4), (3, 5)),
        ((2, 4), (3, 5), (4, 6)),
        ((1, 5), (5, 5)),  # by 120 m the corridor does not reach them
        ((0, 0), (6, 13)),
        tuple((r, c) for r in range(7) for c in range(14)),
        (),
    ],
)
@pytest.mark.parametrize("block", [(2, 3), (16, 16), (1, 1)])
@pytest.mark.parametrize("reach", [0.5, 1.0])
def test_the_squares_of_invalid_cells(
    holes: tuple[tuple[int, int], ...], block: tuple[int, int], reach: float
) -> None:
    found = hole(grid(holes, reach=reach, block=block))
    assert same(found, in_corridor(shapely.union_all([square(*at, reach) for at in holes])))
    assert found.is_valid


@pytest.mark.parametrize(
    ("columns", "rows", "seen"),
    [
        (14, 7, None),
        (6, 7, box(-200.0, 400.0, -350.0, 350.0)),  # ends along the leg
        (4, 7, box(-200.0, 200.0, -350.0, 350.0)),  # … in its second part
        (14, 4, box(-200.0, 1200.0, -350.0, 50.0)),  # ends 50 m to starboard
        (14, 1, box(0.0, 0.0, 0.0, 0.0)),  # lies to port of it all
    ],
)
def test_what_lies_beyond_the_grid(columns: int, rows: int, seen: Shape | None) -> None:
    """Cells reach to their own edges, nodes no farther than the outermost."""
    found = hole(grid(columns=columns, rows=rows))
    outline = leg().outline
    assert same(found, shapely.Polygon() if seen is None else outline.difference(seen))
    if seen is not None and rows > 1:
        west, south, east, north = seen.bounds
        shorter = east - 50.0 / EAST_M if columns < 14 else east
        lower = south + 50.0 / NORTH_M if rows < 7 else south
        nodes = hole(grid(columns=columns, rows=rows, reach=1.0))
        assert same(nodes, outline.difference(shapely.box(west, lower, shorter, north)))


def test_both_at_once() -> None:
    found = hole(grid(((3, 5),), columns=8))
    beyond = leg().outline.difference(box(-200.0, 600.0, -350.0, 350.0))
    assert same(found, beyond.union(square(3, 5)))


def test_only_of_the_parts_that_are_asked_for() -> None:
    one = grid(((3, 5),))  # from 300 to 400 m
    first, second = box(300.0, 370.4, -50.0, 50.0), box(370.4, 400.0, -50.0, 50.0)
    assert same(hole(one, which=[1]), first) and same(hole(one, which=[2]), second)
    assert hole(one, which=[0, 3]).is_empty and hole(one, which=[]).is_empty
    assert same(hole(one, which=[0, 1, 2, 4]), square(3, 5))


def test_nowhere_near_all_of_it_is_beyond() -> None:
    lon, lat = at(90_000.0, 0.0)
    far = MemoryGrid(np.full((5, 5), 9.0), x=lon, y=lat, dx=0.001, dy=0.001)
    assert same(hole(far), leg().outline)


@pytest.mark.parametrize("turn", [-360.0, 360.0])
def test_longitudes_stay_with_the_leg(turn: float) -> None:
    one = grid(((3, 5),), columns=8)
    whole = hole(one)
    one.x += turn
    assert same(hole(one), whole)


def test_runs_of_invalid_cells() -> None:
    """In rows 4 and 5 of a block whose first column is 10."""
    valid = np.array([[True, False, False, True, False], [False, True, True, True, True]])
    given = Runs(part=np.array([7, 8, 9, 7]), row=np.array([4, 4, 5, 5]),
                 first=np.array([10, 12, 11, 10]), last=np.array([14, 13, 14, 10]))  # fmt: skip
    found = _invalid(given, valid, 4, 10)
    told = zip(found.part, found.row, found.first, found.last, strict=True)
    assert [tuple(map(int, one)) for one in told] == [
        (7, 4, 11, 12), (7, 4, 14, 14), (8, 4, 12, 12), (7, 5, 10, 10),
    ]  # fmt: skip
    none = _invalid(given, np.ones((2, 5), dtype=bool), 4, 10)
    assert len(none.part) == len(none.row) == len(none.first) == len(none.last) == 0


def test_the_areas_of_shapes_alone() -> None:
    area, line = shapely.box(0, 0, 1, 1), shapely.LineString([(0, 0), (1, 1)])
    mixed = shapely.GeometryCollection([area, line, shapely.box(2, 0, 3, 1)])
    held = np.array([area, line, shapely.Point(0, 0), mixed], dtype=object)
    found = _flattened(held)
    assert [shape.area for shape in found] == [1.0, 0.0, 0.0, 2.0]
    assert found[0] is area and found[1].is_empty and found[2].is_empty
    assert {shape.geom_type for shape in found} == {"Polygon", "MultiPolygon"}
    assert held[1] is line  # what was given stays as it is
    plain = np.array([area, shapely.box(2, 0, 3, 1)], dtype=object)
    assert _flattened(plain) is plain


def test_without_a_profile_parts_are_those_of_the_widest_leg() -> None:
    """Of cells of 500 m they are as long as the greatest half-width of the route, to a mile."""
    depth = np.full((30, 60), 9.0)
    depth[:, 20:25] = np.nan
    of = MemoryGrid(depth, x=-0.05, y=0.06, dx=500.0 / EAST_M, dy=500.0 / NORTH_M)
    points = [at(0.0, 0.0), at(12_000.0, 0.0), at(20_000.0, 0.0)]
    for widths in (
        ((100.0, 100.0), (100.0, 1800.0)),
        ((100.0, 100.0), (1800.0, 100.0)),
        ((1800.0, 100.0), (100.0, 100.0)),
        ((100.0, 1800.0), (100.0, 100.0)),
    ):
        legs = corridors(route(points), widths)
        for one, profile in zip(legs, shoalest(of, legs), strict=True):
            which = np.flatnonzero(profile.any_invalid)
            assert unseen(of, one, which).equals(unseen(of, one, which, profile))


@pytest.mark.parametrize("epsg", [32632, 32633])
def test_in_a_plane_of_its_own_a_hole_is_never_too_small(epsg: int) -> None:
    """Its edges are straight there, and bend in longitude and latitude."""
    depth = np.full((60, 60), 9.0)
    depth[10:50, 20:40] = np.nan
    into = Transformer.from_crs(4326, epsg, always_xy=True)
    x, y = into.transform(11.5, 60.0)  # 2.5 and 3.5 degrees off the planes' meridians
    of = MemoryGrid(depth, x=x - 1500.0, y=y + 1500.0, dx=50.0, dy=50.0, epsg=epsg)
    (one,) = corridors(route([(11.48, 60.0), (11.52, 60.0)]), ((1400.0, 1400.0),))
    (profile,) = shoalest(of, [one])
    found = unseen(of, one, np.flatnonzero(profile.any_invalid), profile)
    side = np.linspace(0.0, 1.0, 81)
    column = np.concatenate([19.5 + 20.0 * side, np.full(81, 19.5), np.full(81, 39.5)])
    row = np.concatenate([np.full(81, 29.5), 9.5 + 40.0 * side, 9.5 + 40.0 * side])
    lon, lat = of.to_position(column, row)
    within = shapely.contains_xy(one.outline, lon, lat)
    assert within.sum() > 200
    assert shapely.intersects_xy(found, lon, lat)[within].all()


def earth(columns: int, *, holes: tuple[int, ...] = ()) -> MemoryGrid:
    """Cells of ten degrees, three rows about the equator, from 180 W."""
    depth = np.full((3, columns), 9.0)
    depth[:, holes] = np.nan
    return MemoryGrid(depth, x=-175.0, y=10.0, dx=10.0, dy=10.0)


@pytest.mark.parametrize("points", [(179.99, -179.99), (-179.99, 179.99)])
def test_round_the_earth_and_with_a_gap(points: tuple[float, float]) -> None:
    """Longitudes run on from the leg's start: past 180 one way, past -180 the other."""
    (one,) = corridors(route([(lon, 0.0) for lon in points]), ((100.0, 100.0),))
    (whole,) = shoalest(earth(36), [one])
    every = np.arange(len(whole.parts.lon_deg))
    seam = 180.0 if points[0] > 0.0 else -180.0
    west_side = shapely.box(seam - 1.0, -1.0, seam, 1.0)
    east_side = shapely.box(seam, -1.0, seam + 1.0, 1.0)
    for of, beyond in (
        (earth(36), None),
        (earth(36, holes=(35,)), west_side),
        (earth(36, holes=(0,)), east_side),
        (earth(36, holes=(0, 35)), west_side.union(east_side)),
        (earth(35), west_side),  # ends ten degrees short of a full turn
        (earth(35, holes=(0,)), west_side.union(east_side)),
    ):
        found = unseen(of, one, every, whole)
        wanted = shapely.Polygon() if beyond is None else one.outline.intersection(beyond)
        assert same(found, wanted)
