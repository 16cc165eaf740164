"""What of a grid is drawn: windows near the route, in what groups and blocks, and how fine."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.survey import picture_grids as module
from routecheck.survey.picture_grids import (
    _blocks,
    _cells,
    _factor,
    _groups_of,
    _run_on,
    _whole,
    _Window,
    _windows,
)
from tests.survey.memory_grid import Floats, MemoryGrid

Box = tuple[float, float, float, float]
Four = tuple[int, int, int, int]


def window(row_from: int, row_to: int, column_from: int, column_to: int) -> _Window:
    return _Window(row_from=row_from, row_to=row_to, column_from=column_from, column_to=column_to)


def four(one: _Window) -> Four:
    return one.row_from, one.row_to, one.column_from, one.column_to


class Patient(MemoryGrid):
    """A grid that is asked how far round the earth it goes a thousand times at most."""

    asked_of_turn = 0

    @property
    def wraps_columns(self) -> int:  # type: ignore[override]
        self.asked_of_turn += 1
        if self.asked_of_turn > 1000:
            raise RuntimeError("asked without end")
        return self.turn

    @wraps_columns.setter
    def wraps_columns(self, turn: int) -> None:
        self.turn = turn


def grid(rows: int = 10, columns: int = 20, *, x: float = 10.5, wraps: int = 0) -> MemoryGrid:
    """Cells of a degree; centres of the first at 10.5 E, 59.5 N: column = lon - 10.5."""
    made = Patient(np.full((rows, columns), 9.0), x=x, y=59.5, dx=1.0, dy=1.0, block=(4, 6))
    made.wraps_columns = wraps
    return made


def windows(held: MemoryGrid, *boxes: Box) -> list[Four]:
    around: Any = SimpleNamespace(boxes_deg=np.array(boxes, dtype=float))
    return [four(one) for one in _windows(held, around)]


@pytest.mark.parametrize(
    ("box", "expected"),
    [
        # Columns 3.5 to 6.5 and rows 3.5 to 5.5, and a cell more than whole ones that hold them.
        ((14.0, 54.0, 17.0, 56.0), [(2, 7, 2, 8)]),
        # Columns 4 to 6 and rows 4 to 5 exactly.
        ((14.5, 54.5, 16.5, 55.5), [(3, 6, 3, 7)]),
        # Cut at each edge of the grid.
        ((5.0, 54.0, 12.0, 56.0), [(2, 7, 0, 3)]),
        ((28.0, 54.0, 40.0, 56.0), [(2, 7, 16, 19)]),
        ((14.0, 58.0, 17.0, 70.0), [(0, 3, 2, 8)]),
        ((14.0, 40.0, 17.0, 52.0), [(6, 9, 2, 8)]),
        ((0.0, 0.0, 90.0, 89.0), [(0, 9, 0, 19)]),
        # Its outermost rows and columns alone, and just beyond.
        ((8.0, 54.0, 9.5, 56.0), [(2, 7, 0, 0)]),
        ((8.0, 54.0, 9.25, 56.0), [(2, 7, 0, 0)]),
        ((8.0, 54.0, 8.5, 56.0), []),
        ((30.5, 54.0, 33.0, 56.0), [(2, 7, 19, 19)]),
        ((31.5, 54.0, 33.0, 56.0), []),
        ((14.0, 60.5, 17.0, 62.0), [(0, 0, 2, 8)]),
        ((14.0, 61.5, 17.0, 62.0), []),
        ((14.0, 47.0, 17.0, 49.5), [(9, 9, 2, 8)]),
        ((14.0, 47.0, 17.0, 48.5), []),
    ],
)
def test_windows_hold_what_a_box_meets(box: Box, expected: list[Four]) -> None:
    assert windows(grid(), box) == expected


def test_each_box_has_its_window_in_turn() -> None:
    found = windows(grid(), (14.0, 54.0, 17.0, 56.0), (80.0, 0, 81.0, 1), (20.0, 54.0, 22.0, 56.0))
    assert found == [(2, 7, 2, 8), (2, 7, 8, 13)]


def test_what_the_projection_does_not_hold_is_passed_over() -> None:
    class Partly(MemoryGrid):
        """No columns east of 16 E, no rows south of 55 N."""

        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return np.where(lon_deg > 16.0, np.inf, column), np.where(lat_deg < 55.0, np.nan, row)

    held = Partly(np.full((10, 20), 9.0), x=10.5, y=59.5, dx=1.0, dy=1.0)
    # Of five samples a side: 12, 14, 16, (18, 20) E and (54), 55, 56, 57, 58 N.
    assert windows(held, (12.0, 54.0, 20.0, 58.0)) == [(0, 6, 0, 7)]
    assert windows(held, (17.0, 54.0, 18.0, 58.0), (12.0, 50.0, 13.0, 54.0)) == []
    assert windows(held, (17.0, 54.0, 18.0, 58.0), (12.0, 56.0, 14.0, 58.0)) == [(0, 5, 0, 5)]


def test_the_middle_of_a_box_counts_where_the_grid_is_curved() -> None:
    class Curved(MemoryGrid):
        """Its rows bend up three degrees half-way along the box from 14 to 18 E."""

        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return column, row - 3.0 * (1.0 - ((lon_deg - 16.0) / 2.0) ** 2)

    held = Curved(np.full((10, 20), 9.0), x=10.5, y=59.5, dx=1.0, dy=1.0)
    assert windows(held, (14.0, 54.0, 18.0, 55.0)) == [(0, 7, 2, 9)]


def test_round_the_earth_a_box_on_the_seam_runs_on() -> None:
    held = grid(columns=360, x=-179.5, wraps=360)
    assert windows(held, (178.0, 54.0, 181.0, 56.0)) == [(2, 7, 356, 362)]
    assert windows(held, (-181.0, 54.0, -179.0, 56.0)) == [(2, 7, 357, 362)]
    # One after the other over the seam, eastward and westward.
    east = windows(held, (178.0, 54, 179.0, 56), (180.5, 54, 181.0, 56), (183.0, 54, 184.0, 56))
    assert [one[2:] for one in east] == [(356, 360), (359, 362), (361, 365)]
    west = windows(held, (-179.0, 54, -178.0, 56), (-182.0, 54, -181.0, 56))
    assert [one[2:] for one in west] == [(-1, 3), (-4, 0)]


def test_windows_are_moved_by_whole_turns_next_to_the_last() -> None:
    held = grid(columns=360, x=-179.5, wraps=360)
    made = [
        window(1, 2, 350, 355),
        window(3, 4, 10, 15),
        window(5, 6, 200, 205),
        window(0, 1, 9, 12),
    ]
    found = [four(one) for one in _run_on(held, made)]
    # 200 is 170 columns from 370, and 9 is 191 from 200 but 169 a turn on.
    assert found == [(1, 2, 350, 355), (3, 4, 370, 375), (5, 6, 200, 205), (0, 1, 369, 372)]
    back = [window(1, 2, 5, 9), window(3, 4, 340, 345), window(5, 6, 345, 349)]
    assert [one.column_from for one in _run_on(held, back)] == [5, -20, -15]
    assert [one.column_to for one in _run_on(held, back)] == [9, -15, -11]
    # Once round the earth, each next to the last one and not to the first.
    ring = [window(1, 2, column, column + 5) for column in (0, 100, 200, 300, 40, 140)]
    assert [one.column_from for one in _run_on(held, ring)] == [0, 100, 200, 300, 400, 500]
    assert _run_on(held, []) == []
    assert _run_on(grid(), made) == made


def test_the_whole_of_windows_and_its_cells() -> None:
    whole = _whole([window(5, 9, 30, 40), window(2, 7, 35, 60), window(4, 12, 20, 33)])
    assert four(whole) == (2, 12, 20, 60)
    assert _cells(whole) == 11 * 41
    assert _cells(window(3, 3, 7, 7)) == 1


def groups(*made: _Window) -> list[list[Four]]:
    return [[four(one) for one in group] for group in _groups_of(made)]


def test_windows_are_drawn_together_without_much_empty_room(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_CELLS", 50)
    # 5 x 5 each; side by side 5 x 10: small enough.
    one, beside = (0, 4, 0, 4), (0, 4, 5, 9)
    assert groups(window(*one), window(*beside)) == [[one, beside]]
    # 5 x 15 is 75: half as much again as 50, and so still in one.
    off = (0, 4, 10, 14)
    assert groups(window(*one), window(*off)) == [[one, off]]
    # 5 x 16 is 80: too much of it empty.
    far = (0, 4, 11, 15)
    assert groups(window(*one), window(*far)) == [[one], [far]]
    # A third that fits the last one, and a fourth that does not.
    near = (5, 9, 11, 15)
    found = groups(*(window(*w) for w in (one, far, near, one, beside)))
    assert found == [[one], [far, near], [one, beside]]
    assert groups() == []
    # As many as one array holds are drawn together however empty it is: 1 x 50, and not 1 x 51.
    for column, count in ((49, 1), (50, 2)):
        assert len(groups(window(0, 0, 0, 0), window(0, 0, column, column))) == count


def brute(held: Patient, made: list[_Window]) -> set[tuple[int, int, int]]:
    """The blocks of all cells of windows, one by one."""
    found = set()
    turn = held.wraps_columns
    for one in made:
        for column in range(one.column_from, one.column_to + 1):
            turns, inside = divmod(column, turn) if turn else (0, column)
            if inside < held.columns:
                block = inside // held.block_columns
                start = turns * turn + block * held.block_columns
                for row in range(one.row_from, one.row_to + 1):
                    found.add((row // held.block_rows, block, start))
    return found


@pytest.mark.parametrize(
    ("columns", "wraps", "made"),
    [
        (20, 0, [window(0, 9, 0, 19)]),
        (20, 0, [window(3, 4, 5, 6)]),
        (20, 0, [window(4, 4, 6, 6), window(0, 3, 17, 19)]),
        (20, 0, [window(8, 9, 11, 12)]),
        # Round the earth; with a seam of two columns that the grid does not hold; twice round.
        (20, 20, [window(0, 9, 15, 27)]),
        (20, 20, [window(2, 5, -7, 3)]),
        (18, 20, [window(2, 5, 15, 22)]),
        (18, 20, [window(2, 5, 18, 19)]),
        (18, 20, [window(2, 5, -2, 0)]),
        (18, 20, [window(0, 0, 30, 62)]),
        (19, 20, [window(0, 9, -41, 5)]),
    ],
)
def test_blocks_of_windows_against_every_cell(
    columns: int, wraps: int, made: list[_Window]
) -> None:
    held = grid(columns=columns, wraps=wraps)
    assert _blocks(held, made) == brute(held, made)


@pytest.mark.parametrize(
    ("rows", "columns", "most", "factor"),
    [(10, 10, 100, 1), (10, 10, 99, 2), (10, 10, 25, 2), (10, 10, 24, 3), (1, 1, 100, 1),
     (30, 30, 100, 3), (1, 160_000, None, 1), (1, 160_001, None, 2)],
)  # fmt: skip
def test_pooled_cells_are_as_small_as_their_number_allows(
    rows: int, columns: int, most: int | None, factor: int
) -> None:
    one = window(7, 7 + rows - 1, 20, 20 + columns - 1)
    assert _factor(one, module.MOST_CELLS if most is None else most) == factor
