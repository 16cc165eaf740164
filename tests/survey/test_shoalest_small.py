"""The engine on small hand-made grids with one odd cell, along the equator."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from routecheck.survey import shoalest as engine
from routecheck.survey.cells import Runs
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.gather import Found, read_runs
from routecheck.survey.profile import GridProfile
from routecheck.survey.shoalest import shoalest, widest_m
from tests.survey.memory_grid import MemoryGrid, route_through

# Cells of 0.002 degrees, 223 m, whose edges lie on whole multiples of it: columns begin at 10 E,
# row 3 is the first south of the equator.
CELL, ROWS, COLUMNS = 0.002, 6, 40


def grid(*odd: tuple[int, int, float], x: float = 10.0, rest: float = 20.0) -> MemoryGrid:
    depth = np.full((ROWS, COLUMNS), rest)
    for row, column, value in odd:
        depth[row, column] = value
    return MemoryGrid(depth, x=x + CELL / 2.0, y=2.5 * CELL, dx=CELL, dy=CELL, block=(4, 16))


def legs(
    *lon: float, widths: Sequence[tuple[float, float]] | None = None
) -> tuple[LegCorridor, ...]:
    """Legs eastward along the equator."""
    count = len(lon) - 1
    chosen = tuple(widths) if widths is not None else ((100.0, 100.0),) * count
    return corridors(route_through([(at, 0.0) for at in lon]), chosen)


def odd_part(profile: GridProfile, depth_m: float) -> tuple[int, int, float, float]:
    (where, *more) = np.flatnonzero(profile.charted_depth_m == depth_m)
    for other in more:  # parts on either side of a cell see the same one
        assert profile.column[other] == profile.column[where]
    return (
        int(profile.row[where]),
        int(profile.column[where]),
        float(profile.lon_deg[where]),
        float(profile.lat_deg[where]),
    )


@pytest.mark.parametrize(("row", "column"), [(3, 0), (2, 20), (3, 39), (2, 0)])
def test_where_the_one_shoal_cell_stands(row: int, column: int) -> None:
    made = grid((row, column, 3.0))
    (found,) = shoalest(made, legs(10.0, 10.08))
    expected = (row, column, 10.001 + CELL * column, 0.005 - CELL * row)
    assert odd_part(found, 3.0) == pytest.approx(expected)
    assert set(found.charted_depth_m.tolist()) == {3.0, 20.0}
    assert not found.any_invalid.any()
    # Half of the round ends lies beyond the grid.
    assert found.off_grid.any() and not found.off_grid.all()


def test_a_row_out_of_reach_and_one_in_reach_of_one_side_alone() -> None:
    """Rows 1 and 4 begin 222 m off the track."""
    made = grid((1, 20, 3.0), (4, 20, 4.0))
    assert least(shoalest(made, legs(10.0, 10.08))) == [20.0]
    wide = ((230.0, 100.0),)
    assert least(shoalest(made, legs(10.0, 10.08, widths=wide))) == [3.0]
    assert least(shoalest(made, legs(10.0, 10.08, widths=(wide[0][::-1],)))) == [4.0]


def least(found: Sequence[GridProfile]) -> list[float]:
    return [float(np.min(one.charted_depth_m, initial=np.inf)) for one in found]


def test_each_leg_has_its_own_parts_and_one_far_off_has_none() -> None:
    made = grid((3, 5, 3.0), (3, 17, 4.0), (3, 35, 5.0))
    route = legs(10.005, 10.025, 10.05, 10.075, 11.0, 12.0, 10.06, widths=((50.0, 50.0),) * 6)
    found = shoalest(made, route)
    assert least(found) == [3.0, 4.0, 5.0, 20.0, np.inf, 20.0] or least(found)[:3] == [
        3.0,
        4.0,
        5.0,
    ]
    assert len(found[4].row) == 0 and len(found[0].row) > 0
    # Some legs alone: the same as among all.
    some = shoalest(made, (route[2], route[0]))
    for one, whole in zip(some, (found[2], found[0]), strict=True):
        assert one.charted_depth_m.tolist() == whole.charted_depth_m.tolist()
        assert one.along_from_m.tolist() == whole.along_from_m.tolist()
    # Nothing near at all: nothing is read, and no leg has parts.
    away = grid(x=60.0)
    assert [len(one.row) for one in shoalest(away, route)] == [0] * 6
    assert not away.asked


def test_a_cell_without_a_depth_is_told_of_the_parts_that_touch_it() -> None:
    (found,) = shoalest(grid((3, 20, np.nan)), legs(10.0, 10.08))
    west, east = found.parts.lon_deg.min(axis=1), found.parts.lon_deg.max(axis=1)
    touching = (west <= 10.042) & (east >= 10.04)
    assert touching.any() and (found.any_invalid == touching).all()
    # All of it invalid: no depth, and the place is that of nothing.
    (none,) = shoalest(grid(rest=np.nan), legs(10.01, 10.07))
    assert np.isinf(none.charted_depth_m).all() and none.any_invalid.all()
    assert (none.column == -1).all() and (none.lon_deg == 0.0).all()
    assert (none.lat_deg == 0.0).all()


@pytest.mark.parametrize("turn", [-360.0, 360.0])
def test_a_grid_that_counts_longitudes_a_turn_off(turn: float) -> None:
    (found,) = shoalest(grid((3, 20, 3.0), x=10.0 + turn), legs(10.0, 10.08))
    assert odd_part(found, 3.0)[2] == pytest.approx(10.041)


def test_the_greatest_half_width_of_all_given_legs() -> None:
    widths = ((100.0, 300.0), (50.0, 20.0), (400.0, 10.0))
    made = legs(10.0, 10.1, 10.2, 10.3, widths=widths)
    assert widest_m(made) == 400.0
    assert widest_m(made[:2]) == 300.0
    assert widest_m(made[1:2]) == 50.0
    assert widest_m(made[:1]) == 300.0


def test_runs_are_read_when_there_are_many_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """Batches of some 60 bands; once more than 100 runs wait they are read."""
    read: list[int] = []

    def noted(held: MemoryGrid, waiting: list[Runs], found: Found) -> None:
        read.append(sum(len(one.part) for one in waiting))
        read_runs(held, waiting, found)

    monkeypatch.setattr(engine, "read_runs", noted)
    whole = shoalest(grid((3, 20, 3.0)), legs(10.0, 10.08))
    assert len(read) == 1
    total = read.pop()
    monkeypatch.setattr(engine, "_RUNS_AT_ONCE", 10)
    monkeypatch.setattr("routecheck.survey.cells._BANDS_AT_ONCE", 8)
    again = shoalest(grid((3, 20, 3.0)), legs(10.0, 10.08))
    # Tall parts of 4 rows pass 8 by 3 at most; two such batches pass 10.
    assert len(read) > 5 and max(read) <= 22 and min(read[:-1]) > 10
    assert sum(read) == total
    assert again[0].charted_depth_m.tolist() == whole[0].charted_depth_m.tolist()
    # Exactly as many as may wait are not read yet.
    monkeypatch.setattr(engine, "_RUNS_AT_ONCE", total)
    read.clear()
    shoalest(grid((3, 20, 3.0)), legs(10.0, 10.08))
    assert read == [total]


def test_parts_are_searched_some_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    made = grid((3, 5, 3.0), (2, 30, 4.0), (3, 20, np.nan))
    # The last leg is far off: not all parts are near.
    route = legs(10.0, 10.04, 10.08, 14.0, widths=((50.0, 80.0),) * 3)
    whole = shoalest(made, route)
    for at_once in (1, 3, 7):
        monkeypatch.setattr(engine, "_PARTS_AT_ONCE", at_once)
        for one, other in zip(shoalest(made, route), whole, strict=True):
            for name in ("charted_depth_m", "column", "row", "any_invalid", "off_grid"):
                assert getattr(one, name).tolist() == getattr(other, name).tolist()
