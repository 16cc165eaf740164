"""Cells on the very edge of a touch, runs cut at blocks, and batches, without rounding."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.survey import cells
from routecheck.survey.cells import Runs, least, most, spread, touched_runs

ROWS, COLUMNS = 5, 7
Cells = set[tuple[int, int]]


def box(west: float, north: float, east: float, south: float) -> list[tuple[float, float]]:
    """Corners (column, row) of a rectangle of cells' coordinates; rows count downward."""
    return [(west, north), (east, north), (east, south), (west, south)]


def diamond(column: float, row: float, half: float) -> list[tuple[float, float]]:
    return [(column, row - half), (column + half, row), (column, row + half), (column - half, row)]


def runs(
    *rings: list[tuple[float, float]], reach: float = 0.5, slack: float = 0.0, block: int = 99
) -> list[Runs]:
    corners = np.array(rings, dtype=float)
    return list(
        touched_runs(
            corners[:, :, 0].T,
            corners[:, :, 1].T,
            reach=reach,
            slack=slack,
            rows=ROWS,
            columns=COLUMNS,
            block_columns=block,
        )
    )


def touched(ring: list[tuple[float, float]], reach: float = 0.5, slack: float = 0.0) -> Cells:
    return {
        (int(row), column)
        for some in runs(ring, reach=reach, slack=slack)
        for row, first, last in zip(some.row, some.first, some.last, strict=True)
        for column in range(int(first), int(last) + 1)
    }


def brute(ring: list[tuple[float, float]], reach: float) -> Cells:
    quad = shapely.MultiPoint(ring).convex_hull
    return {
        (row, column)
        for row in range(ROWS)
        for column in range(COLUMNS)
        if quad.intersects(shapely.box(column - reach, row - reach, column + reach, row + reach))
    }


# Just touching the grid's outer edge from outside, at each side; a step further out nothing.
TOUCHING = [
    (box(-3.0, 1.0, -0.5, 1.25), {(1, 0)}),
    (box(-3.0, 1.0, -0.75, 1.25), set()),
    (box(6.5, 1.0, 9.0, 1.25), {(1, 6)}),
    (box(6.75, 1.0, 9.0, 1.25), set()),
    (box(2.0, -3.0, 2.25, -0.5), {(0, 2)}),
    (box(2.0, -3.0, 2.25, -0.75), set()),
    (box(2.0, 4.5, 2.25, 9.0), {(4, 2)}),
    (box(2.0, 4.75, 2.25, 9.0), set()),
    # A corner alone.
    (box(-2.0, -2.0, -0.5, -0.5), {(0, 0)}),
    (box(6.5, 4.5, 8.0, 8.0), {(4, 6)}),
    # The whole grid, from far outside it.
    (box(-20.0, -20.0, 20.0, 20.0), {(r, c) for r in range(ROWS) for c in range(COLUMNS)}),
    # On the edge between two cells both count; where four meet, all four.
    (box(2.5, 2.0, 2.5, 2.0), {(2, 2), (2, 3)}),
    (box(2.5, 2.5, 2.5, 2.5), {(2, 2), (2, 3), (3, 2), (3, 3)}),
    # Within one cell.
    (box(2.75, 2.0, 3.25, 2.25), {(2, 3)}),
]


@pytest.mark.parametrize(("ring", "expected"), TOUCHING)
def test_closed_squares_touch_at_their_very_edge(
    ring: list[tuple[float, float]], expected: Cells
) -> None:
    assert touched(ring) == expected == brute(ring, 0.5)
    assert touched(ring[::-1]) == expected, "the other way round the ring"


@pytest.mark.parametrize("reach", [0.5, 0.75, 1.0])
def test_slopes_against_exact_geometry(reach: float) -> None:
    """Slopes of one and quarters of a cell: no rounding, so a slack of 0 is exact."""
    for half in (0.25, 1.0, 2.5):
        for column in np.arange(-1.0, 8.0, 0.75):
            for row in np.arange(-1.0, 6.0, 0.75):
                ring = diamond(float(column), float(row), half)
                assert touched(ring, reach) == brute(ring, reach)


def test_slack_is_as_much_more_reach() -> None:
    for column in np.arange(-1.0, 8.0, 0.75):
        ring = diamond(float(column), 1.25, 0.75)
        assert touched(ring, 0.5, 0.25) == brute(ring, 0.75)
        assert touched(ring, 0.5, 0.5) == brute(ring, 1.0)


@pytest.mark.parametrize(("reach", "end"), [(0.5, 1), (1.0, 2), (1.0, 3)])
def test_a_part_that_ends_a_rounding_short_of_a_row(reach: float, end: int) -> None:
    """The last bit is lost when the reach is added, and not when it is taken off again: the row
    is looked at, and no edge of the part is found in it."""
    south = float(np.nextafter(end - reach, -np.inf))
    assert south + reach == end and end - reach > south
    ring = box(2.0, -1.0, 3.0, south)
    assert touched(ring, reach) == brute(ring, reach)
    # Beside a part that does reach it.
    (some,) = runs(ring, box(2.0, -1.0, 3.0, end), reach=reach)
    assert (some.first >= 0).all() and (some.last >= some.first).all()
    assert (some.last < COLUMNS).all()


def test_least_and_most_of_four_wherever_they_stand() -> None:
    four = np.array([[1.0, 2.0, 3.0, 4.0]])
    turned = np.concatenate([np.roll(four, n, axis=1) for n in range(4)]).T
    assert least(turned).tolist() == [1.0] * 4
    assert most(turned).tolist() == [4.0] * 4


def test_a_run_is_cut_at_each_block_it_passes_into() -> None:
    """Columns 1 to 6 of row 2, in blocks of two columns: 1 | 2 3 | 4 5 | 6."""
    (some,) = runs(box(1.0, 2.0, 6.0, 2.25), box(2.0, 4.0, 3.0, 4.25), block=2)
    found = sorted(zip(some.part, some.row, some.first, some.last, strict=True))
    assert found == [(0, 2, 1, 1), (0, 2, 2, 3), (0, 2, 4, 5), (0, 2, 6, 6), (1, 4, 2, 3)]
    (some,) = runs(box(0.0, 2.0, 6.0, 2.25), block=3)
    assert sorted(zip(some.first, some.last, strict=True)) == [(0, 2), (3, 5), (6, 6)]


def test_runs_of_several_batches_keep_their_numbers() -> None:
    made = Runs(
        part=np.array([0, 1, 1]),
        row=np.array([5, 6, 7]),
        first=np.array([1, 2, 3]),
        last=np.array([4, 5, 6]),
    )
    looked_up = made.of(np.array([40, 50]))
    both = Runs.joined([looked_up, made.some(slice(1, 3))])
    assert both.part.tolist() == [40, 50, 50, 1, 1]
    assert both.row.tolist() == [5, 6, 7, 6, 7]
    assert both.first.tolist() == [1, 2, 3, 2, 3]
    assert both.last.tolist() == [4, 5, 6, 5, 6]


def test_a_range_that_runs_backward_is_empty() -> None:
    which, value = spread(np.array([3, 9, 0]), np.array([1, 11, 2]))
    assert which.tolist() == [1, 1, 2, 2]
    assert value.tolist() == [9, 10, 0, 1]


def pieces(low: list[int], stop: list[int]) -> list[list[tuple[int, int, int]]]:
    return [
        list(zip(*(part.tolist() for part in batch), strict=True))
        for batch in cells._batches(np.array(low), np.array(stop))
    ]


def test_a_batch_ends_with_the_part_that_fills_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten bands at once: 4 + 4 + 4 pass 10, two more reach 20, the last is left over."""
    monkeypatch.setattr(cells, "_BANDS_AT_ONCE", 10)
    found = pieces([1] * 7, [5, 5, 1, 5, 5, 5, 5])
    assert [[part for part, _, _ in batch] for batch in found] == [[0, 1, 3], [4, 5], [6]]
    assert {(first, end) for batch in found for _, first, end in batch} == {(1, 5)}
    assert pieces([3, 4], [3, 0]) == []


def test_a_tall_part_is_cut_into_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cells, "_TALLEST", 4)
    assert pieces([2, 7, 9], [12, 7, 3]) == [[(0, 2, 6), (0, 6, 10), (0, 10, 12)]]
    assert pieces([2, 5], [7, 9]) == [[(0, 2, 6), (0, 6, 7), (1, 5, 9)]]
    assert pieces([2], [12]) == [[(0, 2, 6), (0, 6, 10), (0, 10, 12)]]
    assert pieces([0, 0], [4, 8]) == [[(0, 0, 4), (1, 0, 4), (1, 4, 8)]]


def test_what_is_held_at_once_is_bounded() -> None:
    """65,536 bands and the piece that passes this, of 16,384 rows at most."""
    found = pieces([0] * 5, [70_000, 10, 16_384, 100_000, 16_385])
    bands = [end - first for batch in found for _, first, end in batch]
    assert sum(bands) == 70_000 + 10 + 16_384 + 100_000 + 16_385
    assert max(bands) == 16_384
    sizes = [sum(end - first for _, first, end in batch) for batch in found]
    assert 65_536 - 16_384 <= max(sizes) <= 65_536 + 16_384
    assert len(found) == 4
