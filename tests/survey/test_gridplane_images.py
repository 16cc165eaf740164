"""Parts in a grid's plane: which may touch it, where they stand, and what lies beyond its edge."""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.survey.gridplane import GridPlane, Images
from tests.survey.memory_grid import Floats, MemoryGrid


def box(west: float, south: float, east: float, north: float) -> list[tuple[float, float]]:
    return [(west, south), (east, south), (east, north), (west, north)]


def corners(*boxes: list[tuple[float, float]]) -> tuple[Floats, Floats]:
    """(4, n) longitudes and latitudes."""
    ring = np.array(boxes, dtype=float)
    return ring[:, :, 0].T, ring[:, :, 1].T


class Bounded(MemoryGrid):
    """Ten rows and twenty columns of a degree, the outermost centres at 170 E and 171 W."""

    def __init__(self, reach: float = 0.5) -> None:
        super().__init__(np.full((10, 20), 9.0), x=170.0, y=4.5, dx=1.0, dy=1.0, reach=reach)

    def bounds_deg(self) -> tuple[float, float, float, float]:
        return 169.5, -5.0, 189.5, 5.0


# Bounds are closed, and longitudes count a whole turn off either way.
NEAR = [
    (box(180.0, 0.0, 181.0, 1.0), True),
    (box(-180.0, 0.0, -179.0, 1.0), True),
    (box(540.0, 0.0, 541.0, 1.0), True),
    (box(-541.0, 0.0, -540.0, 1.0), True),
    (box(168.0, 0.0, 169.5, 1.0), True),
    (box(168.0, 0.0, 169.25, 1.0), False),
    (box(-192.0, 0.0, -190.5, 1.0), True),
    (box(-192.0, 0.0, -190.75, 1.0), False),
    (box(189.5, 0.0, 191.0, 1.0), True),
    (box(189.75, 0.0, 191.0, 1.0), False),
    (box(-170.5, 0.0, -169.0, 1.0), True),
    (box(-170.25, 0.0, -169.0, 1.0), False),
    (box(160.0, 0.0, 200.0, 1.0), True),
    (box(0.0, 0.0, 1.0, 1.0), False),
    (box(180.0, 5.0, 181.0, 6.0), True),
    (box(180.0, 5.25, 181.0, 6.0), False),
    (box(180.0, -6.0, 181.0, -5.0), True),
    (box(180.0, -6.0, 181.0, -5.25), False),
    (box(180.0, -60.0, 181.0, 60.0), True),
]


def test_what_may_touch_the_grid_by_its_bounds() -> None:
    found = GridPlane(Bounded()).near(*corners(*(ring for ring, _ in NEAR)))
    assert found.tolist() == [near for _, near in NEAR]


def images(grid: MemoryGrid, *boxes: list[tuple[float, float]]) -> Images:
    return GridPlane(grid).images(*corners(*boxes))


@pytest.mark.parametrize(("reach", "rim"), [(0.5, 0.5), (0.25, 0.5), (1.0, 0.0), (0.53125, 0.0)])
def test_beyond_the_edge_of_cells_or_of_the_outermost_nodes(reach: float, rim: float) -> None:
    """Rows and columns of a degree: the edge is half a degree beyond the outermost centres, or
    through the outermost nodes. What touches it from inside is within."""
    west, north, east, south = 170.0 - rim, 4.5 + rim, 189.0 + rim, -4.5 - rim
    boxes = [
        box(west, south, east, north),
        box(west - 0.015625, south, east, north),
        box(west, south - 0.015625, east, north),
        box(west, south, east + 0.015625, north),
        box(west, south, east, north + 0.015625),
        box(-178.0, 1.0, -177.0, 2.0),
    ]
    found = images(Bounded(reach), *boxes)
    assert found.off_grid.tolist() == [False, True, True, True, True, False]
    assert found.part.tolist() == list(range(6))
    # Corners of the last: 182 and 183 E are columns 12 and 13, 1 and 2 N rows 3.5 and 2.5.
    assert found.column[:, 5].tolist() == [12.0, 13.0, 13.0, 12.0]
    assert found.row[:, 5].tolist() == [3.5, 3.5, 2.5, 2.5]


def test_one_corner_beyond_is_enough() -> None:
    for number in range(4):
        for step in ((-9.0, 0.0), (9.0, 0.0), (0.0, 9.0), (0.0, -9.0)):
            ring = box(177.0, -1.0, 181.0, 1.0)
            ring[number] = (ring[number][0] + step[0] * 1.5, ring[number][1] + step[1])
            assert images(Bounded(), ring).off_grid.tolist() == [True]


def test_parts_out_of_reach_of_the_projection_have_no_image() -> None:
    class Partly(Bounded):
        """No coordinates east of 185 E in the one, north of 3 N in the other."""

        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return np.where(column > 15.0, np.inf, column), np.where(row < 1.5, -np.inf, row)

    found = images(
        Partly(),
        box(172.0, 0.0, 173.0, 1.0),
        box(184.5, 0.0, 185.5, 1.0),
        box(172.0, 2.5, 173.0, 3.5),
        box(174.0, 0.0, 175.0, 1.0),
        box(186.0, 4.0, 187.0, 4.5),
    )
    assert found.part.tolist() == [0, 3]
    assert found.column.shape == found.row.shape == (4, 2)
    assert found.column[0].tolist() == [2.0, 4.0]
    assert found.row[0].tolist() == [4.5, 4.5]
    assert found.off_grid.tolist() == [False, True, True, False, True]


def round_the_earth(columns: int = 360, reach: float = 0.5) -> MemoryGrid:
    """A column a degree; the first centre at 179.5 W."""
    return MemoryGrid(np.full((10, columns), 9.0), x=-179.5, y=4.5, dx=1.0, dy=1.0, reach=reach)


def test_a_part_on_the_seam_stands_at_both_ends_of_the_grid() -> None:
    grid = round_the_earth()
    found = images(
        grid,
        box(0.0, 0.0, 1.0, 1.0),
        box(179.0, 0.0, 181.0, 1.0),
        box(-181.0, 0.0, -179.0, 1.0),
        box(20.0, 4.0, 21.0, 6.0),
    )
    where = list(zip(found.part.tolist(), found.column.min(axis=0).tolist(), strict=True))
    assert where == [(0, 179.5), (1, -1.5), (1, 358.5), (2, -1.5), (2, 358.5), (3, 199.5)]
    assert (np.ptp(found.column, axis=0) == [1.0, 2.0, 2.0, 2.0, 2.0, 1.0]).all()
    assert found.row[0].tolist() == [4.5, 4.5, 4.5, 4.5, 4.5, 0.5]
    # Round the earth there is nothing beyond, but north and south.
    assert found.off_grid.tolist() == [False, False, False, True]


@pytest.mark.parametrize(("reach", "room"), [(0.5, 1.5), (1.0, 2.0)])
def test_a_second_image_where_that_may_touch_the_outermost_cells(reach: float, room: float) -> None:
    """Cells reach so far, and one more cell for rounding and slack. The first column's centre is
    at 179.5 W, the last one's at 179.5 E."""
    seam = box(179.0, 0.0, 181.0, 1.0)  # or no part at all is looked at twice
    east, west = 180.5 - room, -180.5 + room
    for start, end, count in (
        (170.0, east - 0.0625, 1),
        (170.0, east, 2),
        (west + 0.0625, -170.0, 1),
        (west, -170.0, 2),
    ):
        found = images(round_the_earth(reach=reach), seam, box(start, 0.0, end, 1.0))
        assert found.part.tolist() == [0, 0] + [1] * count, (start, end)
        assert found.off_grid.tolist() == [False, False]


def nearly(columns: int) -> MemoryGrid:
    grid = round_the_earth(columns)
    grid.wraps_columns = 0
    return grid


def test_a_gap_in_the_ring_is_beyond_the_edge_but_both_sides_are_looked_at() -> None:
    """The last column, 179 to 180 E, is missing: 359 of 360."""
    found = images(nearly(359), box(178.5, 0.0, 180.5, 1.0), box(0.0, 0.0, 1.0, 1.0))
    assert found.part.tolist() == [0, 0, 1]
    assert found.column.min(axis=0).tolist() == [-2.0, 358.0, 179.5]
    assert found.off_grid.tolist() == [True, False]
    # Nothing is missing though it does not say so: nothing lies beyond.
    found = images(nearly(360), box(179.0, 0.0, 181.0, 1.0))
    assert found.off_grid.tolist() == [False]
    # Nodes hold what lies between them: 360 leave out the last step, 361 do not.
    for columns, off in ((360, True), (361, False)):
        grid = nearly(columns)
        grid.reach = 1.0
        assert images(grid, box(179.0, 0.0, 181.0, 1.0)).off_grid.tolist() == [off]


def test_parts_come_in_order_however_many_images_they_have() -> None:
    grid = round_the_earth()
    seam = box(179.0, 0.0, 181.0, 1.0)
    inner = box(0.0, 0.0, 1.0, 1.0)
    found = images(grid, seam, inner, seam, inner, seam)
    assert found.part.tolist() == [0, 0, 1, 2, 2, 3, 4, 4]


def test_all_corners_of_a_part_are_within_one_turn() -> None:
    """A part whose longitudes run past the seam, for a grid that wraps each corner by itself."""

    class Wrapping(MemoryGrid):
        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            return np.mod(lon_deg + 180.0, 360.0) - 0.5, (self.y - lat_deg) / self.dy

    grid = Wrapping(np.full((10, 360), 9.0), x=-179.5, y=4.5, dx=1.0, dy=1.0)
    found = images(grid, box(179.25, 0.0, 180.25, 1.0))
    assert sorted(found.column.min(axis=0).tolist()) == [-1.25, 358.75]
    assert (np.ptp(found.column, axis=0) == 1.0).all()


def test_positions_of_cells_in_the_turn_of_the_part() -> None:
    plane = GridPlane(Bounded())
    column, row = np.array([0, 19, 10]), np.array([0, 9, 4])
    lon, lat = plane.positions(column, row, np.array([-180.0, 180.0, 900.0]))
    assert lon.tolist() == [-190.0, 189.0, 900.0]
    assert lat.tolist() == [4.5, -4.5, 0.5]
    # 170 E is 190 degrees from 20 W the one way and 170 the other.
    lon, _ = plane.positions(np.array([0, 0]), np.array([0, 0]), np.array([-20.0, 360.0]))
    assert lon.tolist() == [-190.0, 530.0]
