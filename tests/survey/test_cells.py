"""Cells that quadrilaterals touch, against exact geometry on whole and half numbers."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.survey import cells
from routecheck.survey.cells import spread, touched_runs

ROWS, COLUMNS = 12, 15
coordinates = st.integers(-6, 36).map(lambda n: n / 2.0)
points = st.tuples(coordinates, coordinates)


def touched(column: np.ndarray, row: np.ndarray, reach: float, block: int) -> list[set]:
    """The cells of each quadrilateral, by the code under test."""
    found: list[set] = [set() for _ in column]
    for runs in touched_runs(
        column.T,
        row.T,
        reach=reach,
        slack=1e-9,
        rows=ROWS,
        columns=COLUMNS,
        block_columns=block,
    ):
        for part, r, first, last in zip(runs.part, runs.row, runs.first, runs.last, strict=True):
            assert first // block == last // block
            new = {(int(r), int(c)) for c in range(first, last + 1)}
            assert new and not new & found[part]
            found[part] |= new
    return found


def squares(reach: float) -> np.ndarray:
    column, row = np.meshgrid(np.arange(COLUMNS), np.arange(ROWS))
    return shapely.box(column - reach, row - reach, column + reach, row + reach)


@given(
    st.lists(st.lists(points, min_size=4, max_size=4), min_size=1, max_size=8),
    st.sampled_from([0.5, 1.0, 1.5]),
    st.integers(1, 20),
)
def test_closed_edges_and_corners_count_on_whole_and_half_numbers(
    drawn: list[list[tuple[float, float]]], reach: float, block: int
) -> None:
    """Hulls of up to four points: quadrilaterals, triangles, lines and single points."""
    rings = []
    for four in drawn:
        hull = shapely.MultiPoint(four).convex_hull
        ring = shapely.get_coordinates(hull)
        ring = ring[:-1] if len(ring) > 3 else ring
        rings.append((hull, [ring[i % len(ring)] for i in range(4)] if len(ring) < 4 else ring[:4]))
    corners = np.array([ring for _, ring in rings], dtype=float)
    found = touched(corners[:, :, 0], corners[:, :, 1], reach, block)
    for (hull, _), mine in zip(rings, found, strict=True):
        expected = shapely.intersects(hull, squares(reach))
        assert mine == {(int(r), int(c)) for r, c in zip(*np.nonzero(expected), strict=True)}


@pytest.mark.parametrize("tallest", [3, 1 << 14])
def test_batches_give_the_same_cells(monkeypatch: pytest.MonkeyPatch, tallest: int) -> None:
    rng = np.random.default_rng(2)
    middle = rng.uniform(-2.0, 16.0, (60, 1, 2))
    angle = np.sort(rng.uniform(0.0, 2.0 * np.pi, (60, 4)), axis=1)
    corners = middle + rng.uniform(0.5, 6.0, (60, 1, 1)) * np.stack(
        [np.cos(angle), np.sin(angle)], axis=2
    )
    whole = touched(corners[:, :, 0], corners[:, :, 1], 0.5, 4)
    monkeypatch.setattr(cells, "_BANDS_AT_ONCE", 7)
    monkeypatch.setattr(cells, "_TALLEST", tallest)
    assert touched(corners[:, :, 0], corners[:, :, 1], 0.5, 4) == whole
    for ring, mine in zip(corners, whole, strict=True):
        expected = shapely.intersects(shapely.Polygon(ring), squares(0.5))
        assert mine == {(int(r), int(c)) for r, c in zip(*np.nonzero(expected), strict=True)}


def test_spread_counts_up_in_every_range() -> None:
    which, value = spread(np.array([5, 2, 9]), np.array([8, 2, 10]))
    assert which.tolist() == [0, 0, 0, 2]
    assert value.tolist() == [5, 6, 7, 9]
