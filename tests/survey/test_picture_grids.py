"""Grids for the map: pooled to the shoalest, against a check of every cell."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pytest
from numpy.typing import NDArray

from routecheck.model.chart import ChartSet, Problem
from routecheck.model.picture import CellState, WaterGrid
from routecheck.model.source import CATZOC_QUALITY, Quality, Source, SourceKind
from routecheck.survey import picture_grids as module
from routecheck.survey.picture import picture
from tests.survey.charts import source
from tests.survey.test_picture import here, legs


@dataclass
class ArrayGrid:
    """A grid in memory; `turned` skews it against the meridians."""

    depth: NDArray[np.float32]
    valid: NDArray[np.bool_]
    west: float
    north: float
    step: float
    reach: float = 0.5
    turned: float = 0.0
    wraps_columns: int = 0
    source: Source = field(
        default_factory=lambda: source(
            "g", kind=SourceKind.GRID, scale=None, resolution_m=30.0, quality=CATZOC_QUALITY[3]
        )
    )
    block_rows: int = 64
    block_columns: int = 48
    problems: tuple[Problem, ...] = ()
    decoded: list[tuple[int, int]] = field(default_factory=list)

    @property
    def rows(self) -> int:
        return self.depth.shape[0]

    @property
    def columns(self) -> int:
        return self.depth.shape[1]

    def bounds_deg(self) -> tuple[float, float, float, float]:
        raise AssertionError("not needed")

    def to_position(self, column: object, row: object) -> tuple[object, object]:
        c, r = np.asarray(column, dtype=float), np.asarray(row, dtype=float)
        lon = self.west + self.step * (c + 0.5)
        lat = self.north - self.step * (r + 0.5)
        lon, lat = lon + self.turned * (lat - 50.0), lat - self.turned * (lon - 10.0)
        return (lon + 180.0) % 360.0 - 180.0, lat

    def to_cell(self, lon: object, lat: object) -> tuple[object, object]:
        x = np.asarray(lon, dtype=float)
        if not self.turned:
            x = self.west + (x - self.west) % 360.0
        y = np.asarray(lat, dtype=float)
        t = self.turned
        # Two equations in the unsheared position: x = a + t (b - 50), y = b - t (a - 10).
        plain_lon = (x - t * (y - 50.0) + t * t * 10.0) / (1.0 + t * t)
        plain_lat = y + t * (plain_lon - 10.0)
        return (plain_lon - self.west) / self.step - 0.5, (self.north - plain_lat) / self.step - 0.5

    def block(self, i: int, j: int) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
        self.decoded.append((i, j))
        part = (
            slice(i * self.block_rows, (i + 1) * self.block_rows),
            slice(j * self.block_columns, (j + 1) * self.block_columns),
        )
        return self.depth[part], self.valid[part]


def random_grid(seed: int = 1, size: int = 700, **changes: object) -> ArrayGrid:
    random = np.random.default_rng(seed)
    depth = random.uniform(-2.0, 40.0, (size, size)).astype(np.float32)
    valid = random.random((size, size)) > 0.002
    valid[:, :80] = False
    depth[~valid] = 0.0
    facts: dict[str, object] = {"west": 9.8, "north": 50.2, "step": 0.0006}
    return ArrayGrid(depth=depth, valid=valid, **(facts | changes))  # type: ignore[arg-type]


def drawn(grid: ArrayGrid, *others: ArrayGrid) -> WaterGrid:
    shown = picture(ChartSet(grids=(grid, *others)), here())  # type: ignore[arg-type]
    return shown.grids[0]


def spot(one: WaterGrid, row: float, column: float) -> tuple[float, float]:
    """Position of a corner of pooled cells, by bilinear interpolation of the lattice."""
    (rows, columns), (m, n) = one.state.shape, one.lon_deg.shape
    y, x = row / rows * (m - 1), column / columns * (n - 1)
    i, j = min(int(y), m - 2), min(int(x), n - 2)
    weights = np.outer([1 - (y - i), y - i], [1 - (x - j), x - j])
    part = (slice(i, i + 2), slice(j, j + 2))
    return float((one.lon_deg[part] * weights).sum()), float((one.lat_deg[part] * weights).sum())


@pytest.mark.parametrize("cells", [200_000, 20_000, 900])
@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("turned", [0.0, 0.03])
def test_pooled_cells_hold_the_shoalest_of_all_that_touch_them(
    monkeypatch: pytest.MonkeyPatch, cells: int, reach: float, turned: float
) -> None:
    monkeypatch.setattr(module, "MOST_CELLS", cells)
    grid = random_grid(reach=reach, turned=turned)
    one = drawn(grid)
    assert one.state.size <= 1.3 * cells
    rows, columns = one.state.shape
    random = np.random.default_rng(2)
    met = set()
    for row, column in zip(
        random.integers(0, rows, 60).tolist(), random.integers(0, columns, 60).tolist(), strict=True
    ):
        corners = [spot(one, row + a, column + b) for a, b in ((0, 0), (1, 1))]
        c, r = grid.to_cell(*np.array(corners).T)
        first_row, last_row = sorted(np.asarray(r).tolist())
        first_column, last_column = sorted(np.asarray(c).tolist())
        # Cells whose own square (node: whose neighbours' squares) meets the inside of the pooled.
        r0 = max(0, int(np.ceil(first_row - reach + 1e-6)))
        r1 = int(np.floor(last_row + reach - 1e-6))
        c0 = max(0, int(np.ceil(first_column - reach + 1e-6)))
        c1 = int(np.floor(last_column + reach - 1e-6))
        depth = grid.depth[r0 : r1 + 1, c0 : c1 + 1]
        valid = grid.valid[r0 : r1 + 1, c0 : c1 + 1]
        state = CellState(int(one.state[row, column]))
        met.add(state)
        edge = row in (0, rows - 1) or column in (0, columns - 1)
        if not valid.any():
            assert state is CellState.EMPTY
            continue
        if not edge:
            assert one.charted_depth_m[row, column] == depth[valid].min()
            if reach == 0.5:
                assert (state is CellState.WHOLE) == bool(valid.all())
        if state is CellState.WHOLE:
            assert valid.all() or reach > 0.5
    assert CellState.WHOLE in met or cells == 900


def test_only_blocks_near_the_route_are_decoded() -> None:
    grid = random_grid(size=3000, west=9.0, north=51.0)
    drawn(grid)
    assert 0 < len(grid.decoded) < 0.3 * (3000 / 64) * (3000 / 48)
    assert len(set(grid.decoded)) == len(grid.decoded)


def test_a_grid_too_large_to_decode_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_DECODED", 1000)
    shown = picture(ChartSet(grids=(random_grid(),)), here())  # type: ignore[arg-type]
    assert shown.grids == ()
    assert "too large" in shown.remarks[0]


def test_a_grid_elsewhere_is_not_drawn() -> None:
    assert picture(ChartSet(grids=(random_grid(west=40.0),)), here()).grids == ()  # type: ignore[arg-type]


def test_coarse_grids_and_datums_are_told() -> None:
    rough = random_grid()
    rough.source = source(
        "r", kind=SourceKind.GRID, scale=None, resolution_m=460.0, datum="MSL",
        datum_below_msl_m=1.25, quality=Quality(name="q", vertical_m=None),
    )  # fmt: skip
    one = drawn(rough)
    assert one.coarse
    assert one.datum == "chart datum"
    assert one.vertical_fixed_m is None
    plain = drawn(random_grid())
    whole = plain.state == CellState.WHOLE
    assert np.allclose(one.charted_depth_m[whole], plain.charted_depth_m[whole] - 1.25, atol=1e-5)


def test_a_better_grid_takes_the_place_of_a_poorer_one() -> None:
    best, poor = random_grid(), random_grid(seed=9)
    best.valid[:] = True
    best.valid[:, :300] = False
    poor.valid[:] = True
    poor.source = source(
        "p", kind=SourceKind.GRID, scale=None, resolution_m=90.0, quality=CATZOC_QUALITY[4]
    )
    shown = picture(ChartSet(grids=(poor, best)), here())  # type: ignore[arg-type]
    by = {one.source: one for one in shown.grids}
    left = by["p"].state != CellState.EMPTY
    right = by["g"].state == CellState.WHOLE
    assert left.any()
    assert right.any()
    assert not (left & right).any()
    assert (left | right)[2:-2, 2:-2].all()


def test_a_grid_round_the_earth_is_in_one_piece_at_the_antimeridian() -> None:
    columns = 3600
    depth = np.tile(np.arange(columns, dtype=np.float32) + 1.0, (400, 1))
    grid = ArrayGrid(
        depth=depth, valid=np.ones_like(depth, dtype=bool), west=-180.0, north=3.0, step=0.1,
        wraps_columns=columns,
    )  # fmt: skip
    over = legs((179.7, 1.0), (-179.6, 1.1))
    (one,) = picture(ChartSet(grids=(grid,)), over).grids  # type: ignore[arg-type]
    assert one.lon_deg.min() < 179.7 < 180.4 < one.lon_deg.max() < 182.0
    assert (one.state != CellState.EMPTY).all()
    middle = one.state.shape[0] // 2
    values = one.charted_depth_m[middle]
    assert {3599.0, 3600.0, 1.0, 2.0} <= set(values.tolist())
    at_line = int(np.flatnonzero(values == 1.0)[0])
    assert spot(one, middle, at_line)[0] == pytest.approx(180.0, abs=1e-6)
    assert all(j < columns // 48 + 1 for _, j in grid.decoded)
    assert len(grid.decoded) < 20


def test_a_long_passage_is_drawn_in_pieces() -> None:
    size = 4000
    depth = np.full((size, size), 50.0, dtype=np.float32)
    depth[2000, 2000] = 3.0
    grid = ArrayGrid(
        depth=depth, valid=np.ones_like(depth, dtype=bool), west=0.0, north=60.0, step=0.004
    )
    # Through the middle of cell (2000, 2000), which lies at 8.002 E, 51.998 N.
    far = legs((1.0, 59.0), (8.002, 51.998), (15.0, 45.0))
    shown = picture(ChartSet(grids=(grid,)), far).grids  # type: ignore[arg-type]
    assert len(shown) > 3
    assert sum(one.state.size for one in shown) < 3.5 * module.MOST_CELLS
    shoal = [one for one in shown if (one.charted_depth_m[one.state > 0] == 3.0).any()]
    assert shoal
    for one in shoal:
        row, column = np.argwhere((one.charted_depth_m == 3.0) & (one.state > 0))[0]
        corners = np.array([spot(one, row + a, column + b) for a in (0, 1) for b in (0, 1)])
        assert (corners.min(axis=0) <= (8.002, 51.998)).all()
        assert (corners.max(axis=0) >= (8.002, 51.998)).all()
        # Not miles wide: a pooled cell stays under 0.1 degree.
        assert np.ptp(corners, axis=0).max() < 0.1
