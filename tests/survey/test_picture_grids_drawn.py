"""Grids that are drawn: which, how finely, what they say of themselves, and what is told."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.model.picture import CellState, WaterGrid
from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.survey import picture_grids as module
from routecheck.survey.picture_grids import water_grids
from routecheck.survey.settings import SurveySettings
from tests.survey.memory_grid import MemoryGrid

SETTINGS = SurveySettings(cross_track_m=100.0)
STATED = Quality(name="stated", vertical_m=0.5, vertical_share=0.02)
Box = tuple[float, float, float, float]
HERE: Box = (10.0, 50.0, 30.0, 60.0)


def grid(depth_m: Any, *, rows: int = 10, columns: int = 20, **facts: Any) -> Any:
    """Cells of a degree that fill `HERE` exactly, and the more of them the farther."""
    depth = np.broadcast_to(np.asarray(depth_m, dtype=float), (rows, columns)).copy()
    made = MemoryGrid(depth, x=10.5, y=59.5, dx=1.0, dy=1.0, block=(8, 8))
    made.source = replace(made.source, **({"resolution_m": 50.0, "quality": STATED} | facts))
    return made


def drawn(*grids: Any, boxes: tuple[Box, ...] = (HERE,)) -> tuple[tuple[WaterGrid, ...], list[str]]:
    at = np.array(boxes)
    window = (at[:, 0].min(), at[:, 1].min(), at[:, 2].max(), at[:, 3].max())
    around: Any = SimpleNamespace(boxes_deg=at, window_deg=window)
    return water_grids(grids, around, SETTINGS)


def half(value: float) -> np.ndarray:
    """Depths in the western ten columns alone."""
    depth = np.full((10, 20), np.nan)
    depth[:, :10] = value
    return depth


def test_a_grid_as_it_stands() -> None:
    depth = np.arange(200.0).reshape(10, 20)
    depth[3, 4] = np.nan
    ((one,), remarks) = drawn(grid(depth, id="g"))
    assert remarks == []
    assert np.array_equal(one.charted_depth_m, np.where(np.isfinite(depth), depth, 0.0))
    assert one.charted_depth_m.dtype == np.float32
    state = np.full((10, 20), CellState.WHOLE)
    state[3, 4] = CellState.EMPTY
    assert np.array_equal(one.state, state)
    assert one.lon_deg.tolist() == [[10.0, 30.0], [10.0, 30.0]]
    assert one.lat_deg.tolist() == [[60.0, 60.0], [50.0, 50.0]]
    assert (one.source, one.datum, one.coarse) == ("g", "LAT", False)
    assert (one.vertical_fixed_m, one.vertical_share) == (0.5, 0.02)


def test_on_mean_sea_level_with_an_offset_it_is_drawn_on_chart_datum() -> None:
    facts = {"datum": "MSL", "datum_below_msl_m": 1.5, "quality": UNKNOWN_QUALITY}
    ((one,), _) = drawn(grid(half(20.0), **facts))
    assert one.datum == "chart datum" and one.vertical_fixed_m is None
    assert (one.charted_depth_m[:, :10] == 18.5).all()
    # What is empty has no depth, whatever the datum.
    assert (one.charted_depth_m[:, 10:] == 0.0).all() and (one.state[:, 10:] == 0).all()


@pytest.mark.parametrize("cell_m", [100.0, 101.0])
def test_where_a_better_grid_is_whole_a_worse_one_is_not_drawn(cell_m: float) -> None:
    """Too coarse (over 100 m) it takes the place of nothing."""
    coarse = cell_m > 100.0
    (found, _) = drawn(grid(half(20.0), id="a", resolution_m=cell_m), grid(9.0, id="b"))
    assert [(one.source, one.coarse) for one in found] == [("a", coarse), ("b", False)]
    assert (found[1].state[:, :10] == (CellState.WHOLE if coarse else CellState.EMPTY)).all()
    assert (found[1].state[:, 10:] == CellState.WHOLE).all()
    # Where nothing of it is left it is not drawn at all, and takes no place itself.
    (found, _) = drawn(grid(9.0, id="a", resolution_m=cell_m), grid(7.0, id="b"))
    assert [one.source for one in found] == (["a", "b"] if coarse else ["a"])
    (found, _) = drawn(grid(np.nan, id="a"), grid(7.0, id="b"))
    assert [one.source for one in found] == ["b"]


def test_grids_elsewhere_are_passed_over_and_others_drawn() -> None:
    far = MemoryGrid(np.full((5, 5), 9.0), x=100.5, y=0.0, dx=1.0, dy=1.0)
    (found, remarks) = drawn(far, grid(9.0, id="b"))
    assert [one.source for one in found] == ["b"] and remarks == []


def test_a_grid_too_large_is_told_and_the_next_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Six blocks of 64 cells."""
    vast, small = grid(9.0, id="vast"), grid(half(7.0), id="small", columns=20)
    monkeypatch.setattr(module, "MOST_DECODED", 384)
    assert [one.source for one in drawn(vast)[0]] == ["vast"]
    monkeypatch.setattr(module, "MOST_DECODED", 383)
    small.block_rows, small.block_columns = 5, 5
    (found, remarks) = drawn(vast, small)
    assert [one.source for one in found] == ["small"]
    assert remarks == ["vast is too large round this route to be drawn."]


@pytest.mark.parametrize(("size", "read"), [(80_000_000, True), (80_000_001, False)])
def test_eighty_million_cells_are_decoded_at_most(size: int, read: bool) -> None:
    class Vast(MemoryGrid):
        def block(self, block_row: int, block_column: int) -> Any:
            raise LookupError("read")

    vast = Vast(np.full((1, 20), 9.0), x=10.5, y=59.5, dx=1.0, dy=1.0, block=(1, size))
    if read:
        with pytest.raises(LookupError, match="read"):
            drawn(vast)
    else:
        assert drawn(vast)[0] == () and len(drawn(vast)[1]) == 1


def test_pooled_cells_of_one_piece(monkeypatch: pytest.MonkeyPatch) -> None:
    """200 cells in 50: two by two each."""
    monkeypatch.setattr(module, "MOST_CELLS", 50)
    depth = np.arange(200.0).reshape(10, 20)
    ((one,), _) = drawn(grid(depth))
    assert np.array_equal(one.charted_depth_m, depth[::2, ::2])
    assert (one.state == CellState.WHOLE).all()


def pieces(count: int) -> tuple[Box, ...]:
    """Boxes that meet 6 by 6 cells each, far from each other along a diagonal."""
    return tuple((20.5 + 40 * n, 29.5 - 10 * n, 23.5 + 40 * n, 32.5 - 10 * n) for n in range(count))


@pytest.mark.parametrize(
    ("count", "most", "factor"),
    # Each piece has 36 cells. Up to three pieces may have as many pooled cells each as one, of
    # four or more all together three times as many.
    [(1, 35, 2), (1, 36, 1), (2, 36, 1), (3, 36, 1), (3, 35, 2), (4, 36, 2), (4, 48, 1),
     (4, 47, 2), (5, 59, 2), (5, 60, 1)],
)  # fmt: skip
def test_several_pieces_share_what_may_be_drawn(
    monkeypatch: pytest.MonkeyPatch, count: int, most: int, factor: int
) -> None:
    monkeypatch.setattr(module, "MOST_CELLS", most)
    held = grid(9.0, rows=100, columns=200)
    held.block_rows, held.block_columns = 3, 3
    (found, _) = drawn(held, boxes=pieces(count))
    assert len(found) == count
    for n, one in enumerate(found):
        assert one.state.shape == (6 // factor, 6 // factor)
        assert one.lon_deg[0, 0] == 19.0 + 40 * n and one.lon_deg[0, 1] == 25.0 + 40 * n
        assert one.lat_deg[0, 0] == 34.0 - 10 * n and one.lat_deg[1, 0] == 28.0 - 10 * n
    # Each piece reads its own blocks alone, and each once.
    assert set(held.asked.values()) == {1}
    assert len(held.asked) <= 9 * count


def test_a_better_grid_drawn_in_pieces_takes_the_place_in_each(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_CELLS", 36)
    better, worse = (grid(9.0, rows=100, columns=200, id=name) for name in ("a", "b"))
    (found, _) = drawn(better, worse, boxes=pieces(2))
    assert [one.source for one in found] == ["a", "a"]
