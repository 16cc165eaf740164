"""Tiles of a grid: whole, in part or empty, against every cell one by one."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.survey import gridtiles as module
from routecheck.survey.gridtiles import Tiles, _filled, _starts, tiles_of
from tests.survey.memory_grid import MemoryGrid


def grid(valid: np.ndarray, block: tuple[int, int] = (16, 16), **place: float) -> MemoryGrid:
    """Cells of a degree; the first centre at 10.5 E, 59.5 N, unless it is said otherwise."""
    where = {"x": 10.5, "y": 59.5, "dx": 1.0, "dy": 1.0} | place
    return MemoryGrid(np.where(valid, 9.0, np.nan), block=block, **where)  # type: ignore[arg-type]


def cell(row: int, column: int, size: int = 1) -> shapely.Polygon:
    return shapely.box(10 + column, 60 - row - size, 10 + column + size, 60 - row)


def same(one: shapely.Geometry, other: shapely.Geometry) -> bool:
    return bool(one.symmetric_difference(other).area < 1e-9)


def test_a_tile_a_cell_where_the_grid_is_small() -> None:
    valid = np.ones((4, 6), dtype=bool)
    valid[1, 2] = valid[3, 5] = valid[0, 0] = False
    found = tiles_of(grid(valid, block=(3, 4)))
    holes = shapely.union_all([cell(1, 2), cell(3, 5), cell(0, 0)])
    assert same(found.full, shapely.box(10, 56, 16, 60).difference(holes))
    assert found.part.is_empty and found.unseen is False
    empty = tiles_of(grid(~np.ones((2, 2), dtype=bool)))
    assert empty.full.is_empty and empty.part.is_empty


@pytest.mark.parametrize(
    ("rows", "columns"),
    # Tiles are 96 along the longer side, and as many across as keep them square.
    [
        (130, 70),
        (70, 130),
        (97, 97),
        (3, 200),
        (200, 3),
        (1, 1),
        (96, 5),
        (191, 20),
        (1, 193),
        (193, 1),
    ],
)
def test_tiles_against_every_cell(rows: int, columns: int) -> None:
    dice = np.random.default_rng(rows)
    valid = dice.random((rows, columns)) > 0.02
    valid[rows // 3 : rows // 2, : columns // 2] = False
    found = tiles_of(grid(valid, block=(64, 50)))
    down = min(rows, max(1, round(96 * rows / max(rows, columns))))
    across = min(columns, max(1, round(96 * columns / max(rows, columns))))
    assert max(down, across) == min(96, max(rows, columns))
    # The first cell of tile k is the first at or past k parts of the whole.
    row_of = np.searchsorted([-(-k * rows // down) for k in range(1, down)], range(rows), "right")
    column_of = np.searchsorted(
        [-(-k * columns // across) for k in range(1, across)], range(columns), "right"
    )
    every = np.zeros((down, across), dtype=int)
    held = np.zeros((down, across), dtype=int)
    np.add.at(every, (row_of[:, None], column_of[None, :]), 1)
    np.add.at(held, (row_of[:, None], column_of[None, :]), valid)
    assert (every > 0).all()
    whole, part = (held == every)[row_of][:, column_of], ((held > 0) & (held < every))[row_of]
    assert found.full.area == pytest.approx(whole.sum(), abs=1e-6)
    assert found.part.area == pytest.approx(part[:, column_of].sum(), abs=1e-6)
    r, c = (at.ravel() for at in np.mgrid[0:rows:5, 0:columns:3])
    centres = shapely.points(10.5 + c, 59.5 - r)
    for shape, flags in ((found.full, whole), (found.part, part[:, column_of])):
        shapely.prepare(shape)
        assert (shapely.contains(shape, centres) == flags[r, c]).all()


def test_a_tile_that_lacks_one_cell_of_a_great_many_is_not_whole() -> None:
    """Of 1,990 cells of the first tile one holds no depth, later 1,001 hold none."""
    valid = np.ones((10, 200), dtype=bool)
    valid[5, 150] = False
    edges = np.array([0, 10]), np.array([0, 199, 200])
    assert _filled(grid(valid), *edges).tolist() == [[0.999, 1.0]]
    valid[:, :100] = False
    assert _filled(grid(valid), *edges)[0, 0] == pytest.approx(989 / 1990)


def test_the_share_of_a_tile_over_several_blocks() -> None:
    valid = np.zeros((10, 12), dtype=bool)
    valid[2:7, 3:9] = True
    for block in ((3, 5), (10, 12), (1, 1), (4, 12), (10, 2), (7, 7)):
        share = _filled(grid(valid, block=block), np.array([0, 4, 10]), np.array([0, 6, 12]))
        # 2 rows of 4 and 3 of 6, 3 columns of 6 and 3 of 6.
        assert share == pytest.approx(np.array([[6 / 24, 6 / 24], [9 / 36, 9 / 36]]))


def test_where_groups_of_like_numbers_start() -> None:
    assert _starts(np.array([0, 0, 1, 3, 3, 3])).tolist() == [0, 2, 3]
    assert _starts(np.array([5])).tolist() == [0]


def test_a_grid_too_large_to_be_read_is_shown_whole_and_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = grid(np.zeros((5, 4), dtype=bool))
    monkeypatch.setattr(module, "MOST_CELLS", 20)
    assert tiles_of(made).unseen is False
    made.asked.clear()
    monkeypatch.setattr(module, "MOST_CELLS", 19)
    found = tiles_of(made)
    assert found.unseen is True and not made.asked
    assert same(found.full, shapely.box(10, 55, 14, 60)) and found.part.is_empty


def test_twenty_million_cells_are_read_at_most() -> None:
    class Vast(MemoryGrid):
        """Says that it is larger than what it holds."""

        def block(self, block_row: int, block_column: int):  # type: ignore[no-untyped-def]
            raise LookupError("read")

    made = Vast(np.ones((1, 1)), x=0.0, y=0.0, dx=1e-4, dy=1e-4)
    made.rows, made.columns = 4000, 5000
    with pytest.raises(LookupError, match="read"):
        tiles_of(made)
    made.rows, made.columns = 1, 20_000_001
    assert tiles_of(made).unseen is True
    assert Tiles(full=shapely.Polygon(), part=shapely.Polygon()).unseen is False


def test_each_block_is_read_once() -> None:
    made = grid(np.ones((33, 50), dtype=bool), block=(16, 16))
    tiles_of(made)
    assert dict(made.asked) == {(i, j): 1 for i in range(3) for j in range(4)}


def test_the_shape_follows_a_projected_grids_rows() -> None:
    """Every edge of a tile is a corner of the shape: on UTM rows are no straight parallels."""
    made = MemoryGrid(np.ones((3, 96)), x=5e5, y=6e6, dx=2000.0, dy=2000.0, epsg=32632)
    found = tiles_of(made).full
    column, row = np.meshgrid(np.arange(97) - 0.5, np.arange(4) - 0.5)
    lon, lat = made.to_position(column, row)
    at = {(round(x, 9), round(y, 9)) for x, y in shapely.get_coordinates(found)}
    rim = np.zeros(column.shape, dtype=bool)
    rim[[0, -1]] = rim[:, [0, -1]] = True
    corners = zip(lon[rim].tolist(), lat[rim].tolist(), strict=True)
    assert at == {(round(x, 9), round(y, 9)) for x, y in corners}
