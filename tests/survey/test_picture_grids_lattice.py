"""Where pooled cells are drawn: positions that run on, and no more of them than are needed."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.survey.picture_grids import _lattice, _positions
from tests.survey.memory_grid import Floats, MemoryGrid
from tests.survey.test_picture_grids_windows import window


class Wrapping(MemoryGrid):
    """Longitudes come back from -180 to 180, each by itself."""

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        lon, lat = super().to_position(column, row)
        return (lon + 180.0) % 360.0 - 180.0, lat


def around(west: float, east: float) -> Any:
    return SimpleNamespace(window_deg=(west, 0.0, east, 10.0))


@pytest.mark.parametrize("turn", [-360.0, 0.0, 360.0])
def test_positions_run_on_in_the_turn_of_the_route(turn: float) -> None:
    held = Wrapping(np.full((5, 9), 9.0), x=176.0, y=60.0, dx=1.0, dy=2.0)
    column, row = np.meshgrid(np.arange(9.0), np.arange(5.0))
    lon, lat = _positions(held, column, row, around(170.0 + turn, 200.0 + turn))
    assert lon.tolist() == (176.0 + turn + column).tolist()
    assert lat.tolist() == (60.0 - 2.0 * row).tolist()
    # Of a route on the other side of the turn the nearer whole turn is taken.
    lon, _ = _positions(held, column, row, around(-10.0, 30.0))
    assert lon[0, 0] == 176.0
    lon, _ = _positions(held, column, row, around(345.0, 405.0))
    assert lon[0, 0] == 536.0
    lon, _ = _positions(held, column, row, around(-30.0, 10.0))
    assert lon[0, 0] == -184.0


def test_of_a_straight_grid_four_corners_are_enough() -> None:
    """Three rows and two columns of pooled cells, each of four by four, from row 2, column 5."""
    held = MemoryGrid(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    lon, lat = _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))
    assert lon.tolist() == [[12.25, 16.25], [12.25, 16.25]]
    assert lat.tolist() == [[59.625, 59.625], [56.625, 56.625]]


class Bent(MemoryGrid):
    """Bends of either coordinate along columns or rows, in degrees half-way."""

    bend = (0.0, 0.0, 0.0, 0.0)

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        lon, lat = super().to_position(column, row)
        across = 1.0 - ((column - 8.5) / 4.0) ** 2  # from 4.5 to 12.5, and 1 in the middle
        down = 1.0 - ((row - 7.5) / 6.0) ** 2
        a, b, c, d = self.bend
        return lon + a * across + b * down, lat + c * across + d * down


@pytest.mark.parametrize("which", range(4))
@pytest.mark.parametrize("size_deg", [9e-8, 1.5e-7, -9e-8, -1.5e-7, 0.01])
def test_of_a_bent_grid_as_many_as_keep_it_true(which: int, size_deg: float) -> None:
    """As straight as a ten-millionth of a degree (a centimetre) it is drawn by its corners."""
    held = Bent(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    held.bend = tuple(size_deg if n == which else 0.0 for n in range(4))  # type: ignore[assignment]
    one = window(2, 12, 5, 11)
    lon, lat = _lattice(held, one, 4, (3, 2), around(0.0, 20.0))
    if abs(size_deg) < 1e-7:
        assert lon.shape == lat.shape == (2, 2)
        return
    column, row = np.meshgrid(np.linspace(4.5, 12.5, 13), np.linspace(1.5, 13.5, 13))
    expected = held.to_position(column, row)
    assert lon.shape == lat.shape == (13, 13)
    assert np.abs(lon - expected[0]).max() < 1e-12 and np.abs(lat - expected[1]).max() < 1e-12


def test_a_skewed_grid_is_straight_and_a_twisted_one_is_not() -> None:
    class Skewed(MemoryGrid):
        twist = 0.0

        def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
            lon, lat = super().to_position(column, row)
            return lon + 0.125 * row, lat + 0.25 * column + self.twist * column * row

    held = Skewed(np.full((30, 30), 9.0), x=10.0, y=60.0, dx=0.5, dy=0.25)
    lon, lat = _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))
    assert lon.tolist() == [[12.4375, 16.4375], [13.9375, 17.9375]]
    assert lat.tolist() == [[60.75, 62.75], [57.75, 59.75]]
    # Twisted, each row and column is straight still, and four corners tell it all.
    held.twist = 0.01
    assert _lattice(held, window(2, 12, 5, 11), 4, (3, 2), around(0.0, 20.0))[0].shape == (2, 2)
