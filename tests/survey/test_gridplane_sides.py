"""Sizes in a grid's plane: sides of cells, lengths of stretches, slack, columns of a whole turn."""

from __future__ import annotations

import math

import numpy as np
import pytest

from routecheck.survey.gridplane import GridPlane
from routecheck.survey.parts import STRETCH_M
from tests.survey.memory_grid import Floats, MemoryGrid

A_M, E2 = 6378137.0, 0.00669437999014  # WGS 84 (NIMA TR8350.2, 3rd ed., table 3.1)


class Bent(MemoryGrid):
    """A grid whose positions and cells may be given any further shape by a test."""

    def __init__(self, rows: int = 21, columns: int = 31, **facts: float) -> None:
        place = {"x": 10.0, "y": 60.0, "dx": 0.1, "dy": 0.05} | facts
        super().__init__(np.full((rows, columns), 9.0), **place)  # type: ignore[arg-type]
        self.bend = (0.0, 0.0, 0.0, 0.0)

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        lon, lat = super().to_position(column, row)
        a, b, c, d = self.bend
        across, down = column * column / 900.0, row * row / 400.0
        return lon + a * across + b * down, lat + c * across + d * down


def radii_m(lat_deg: float) -> tuple[float, float]:
    """Of the parallel and of the meridian, by the ellipse's own formulae."""
    sine = math.sin(math.radians(lat_deg))
    w = math.sqrt(1.0 - E2 * sine * sine)
    return A_M * math.cos(math.radians(lat_deg)) / w, A_M * (1.0 - E2) / w**3


@pytest.mark.parametrize(("rows", "columns"), [(21, 31), (4, 5), (1, 1)])
@pytest.mark.parametrize("y", [60.0, -70.0, 1.0])
def test_sides_are_those_of_the_cell_in_the_middle(rows: int, columns: int, y: float) -> None:
    grid = Bent(rows, columns, y=y, dx=0.3, dy=0.5)
    parallel_m, meridian_m = radii_m(y - 0.5 * (rows - 1) / 2.0)
    sides = math.radians(0.3) * parallel_m, math.radians(0.5) * meridian_m
    assert GridPlane(grid).cell_sides_m == pytest.approx(
        (min(sides), max(sides)), rel=1e-8
    )  # both ways: at 60 degrees the meridian's is the larger


def test_sides_are_measured_from_the_middle_on_where_cells_differ() -> None:
    """31 columns and 21 rows, each farther from the last by twice a thousandth of a degree: from
    column 15 to 16 and from row 10 to 11 it is 31 and 21 thousandths more."""
    grid = Bent(x=0.0, y=0.5, dx=0.1, dy=0.05)
    grid.bend = (0.9, 0.0, 0.0, -0.4)
    parallel_m, meridian_m = radii_m(0.5 - 10.0 * 0.05 - 0.001 * 10.0**2)
    sides = math.radians(0.131) * parallel_m, math.radians(0.071) * meridian_m
    assert GridPlane(grid).cell_sides_m == pytest.approx((min(sides), max(sides)), rel=1e-8)


def test_sides_of_a_skewed_cell_and_across_the_antimeridian() -> None:
    class Skewed(MemoryGrid):
        """Columns go a degree east and half a degree north; rows a quarter west, one south."""

        def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
            lon = 179.5 + column - 0.25 * row
            return (lon + 180.0) % 360.0 - 180.0, 0.5 * column - row

    grid = Skewed(np.full((1, 1), 9.0), x=0.0, y=0.0, dx=1.0, dy=1.0)
    parallel_m, meridian_m = radii_m(0.0)
    degree = math.radians(1.0)
    across = math.hypot(degree * parallel_m, 0.5 * degree * meridian_m)
    down = math.hypot(0.25 * degree * parallel_m, degree * meridian_m)
    assert GridPlane(grid).cell_sides_m == pytest.approx((down, across), rel=1e-8)


def plane_of(smaller_m: float, larger_m: float) -> GridPlane:
    plane = GridPlane(Bent())
    plane.__dict__["cell_sides_m"] = (smaller_m, larger_m)
    return plane


@pytest.mark.parametrize(
    ("cell_m", "widest_m", "stretches"),
    # A stretch is 0.05 nmi, 92.6 m. Of cells up to 0.1 nmi the stretch is no shorter than a cell.
    [
        (1.0, 9e9, 1),
        (92.6, 50.0, 1),
        (92.7, 50.0, 2),
        (2.0 * STRETCH_M, 9e9, 2),
        # Larger cells: three, or the half-width, whichever is more, in whole stretches.
        (185.3, 50.0, 7),
        (308.0, 50.0, 10),
        (308.0, 940.0, 11),
        (400.0, 1851.0, 20),
        (617.0, 0.0, 20),
        (9000.0, 0.0, 20),
        (9000.0, 9e9, 20),
    ],
)
def test_how_long_stretches_are(cell_m: float, widest_m: float, stretches: int) -> None:
    assert plane_of(1.0, cell_m).step_m(widest_m) == pytest.approx(stretches * 92.6, rel=1e-12)


def test_slack_is_what_a_chord_leaves_the_rhumb_line_by() -> None:
    """s**2 tan(lat) / (8 R), with R = 6,350 km; at 60 degrees the tangent is the root of three."""
    lat = np.array([[10.0, -60.0], [20.0, 30.0]])
    expected_m = 1852.0**2 * math.sqrt(3.0) / (8.0 * 6.35e6)  # 0.117 m
    assert plane_of(50.0, 900.0).slack(1852.0, lat) == pytest.approx(
        1e-6 + expected_m / 50.0, rel=1e-12
    )
    # At one stretch none is needed but for rounding.
    assert plane_of(50.0, 900.0).slack(STRETCH_M, lat) == 1e-6
    assert plane_of(50.0, 900.0).slack(1.01 * STRETCH_M, lat) > 1.5e-6
    # No farther than 89 degrees, whose tangent is 57.29.
    assert plane_of(1.0, 9.0).slack(1852.0, np.array([[90.0]])) == pytest.approx(
        1852.0**2 * 57.2899616 / (8.0 * 6.35e6), rel=1e-5
    )


@pytest.mark.parametrize(
    ("bend", "straight"),
    [((0.0, 0.0, 0.0, 0.0), True), ((1e-9, 0.0, 0.0, 1e-9), True)]
    + [(tuple(1e-7 * row), False) for row in np.eye(4)],
)
def test_straight_in_longitude_and_latitude(bend: tuple[float, ...], straight: bool) -> None:
    grid = Bent()
    grid.bend = bend  # type: ignore[assignment]
    assert GridPlane(grid).runs_with_lonlat is straight


def test_a_cell_that_is_twisted_is_not_straight() -> None:
    class Twisted(Bent):
        """Straight along its edges; within, longitude goes with column times row."""

        def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
            lon, lat = super().to_position(column, row)
            return lon + 1e-6 * column * row, lat

    assert GridPlane(Twisted()).runs_with_lonlat is False
    utm = MemoryGrid(np.full((9, 9), 9.0), x=5e5, y=6e6, dx=500.0, dy=500.0, epsg=32632)
    assert GridPlane(utm).runs_with_lonlat is False


class Broad(MemoryGrid):
    """A grid of a given breadth, 0.5 degrees a column, whose columns may bend by a test's wish."""

    def __init__(self, breadth_deg: float, west_deg: float = -175.0) -> None:
        columns = round(breadth_deg / 0.5)
        super().__init__(np.full((9, columns), 9.0), x=west_deg, y=54.0, dx=0.5, dy=0.5)
        self.wraps_columns = 0
        self.breadth_deg = breadth_deg
        self.column_bend = self.row_bend = 0.0
        self.lost: float | None = None

    def bounds_deg(self) -> tuple[float, float, float, float]:
        return self.x, 50.0, self.x + self.breadth_deg, 54.0

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        column, row = super().to_cell(lon_deg, lat_deg)
        bent = (column / 100.0) ** 2
        column, row = column + self.column_bend * bent, row + self.row_bend * bent
        # Its projection holds nothing but the grid.
        column = np.where((lat_deg >= 50.0) & (lat_deg <= 54.0), column, np.nan)
        if self.lost == 0.0:
            column = np.where(lon_deg > lon_deg.mean(), np.inf, column)
        if self.lost == 1.0:
            row = np.where(lon_deg > lon_deg.mean(), np.inf, row)
        return column, row


@pytest.mark.parametrize(("breadth_deg", "turn"), [(299.5, 0.0), (300.0, 720.0), (359.5, 720.0)])
def test_a_grid_nearly_round_the_earth_has_columns_of_a_turn(
    breadth_deg: float, turn: float
) -> None:
    for west_deg in (-175.0, 0.0, 100.0):
        grid = Broad(breadth_deg, west_deg)
        assert GridPlane(grid).turn_columns == pytest.approx(turn, rel=1e-12)


def test_columns_of_a_turn_need_straight_columns_and_rows() -> None:
    for name in ("column_bend", "row_bend"):
        for bend, turn in ((1e-8, 720.0), (1e-2, 0.0)):
            grid = Broad(350.0)
            setattr(grid, name, bend)
            assert GridPlane(grid).turn_columns == pytest.approx(turn, rel=1e-6), (name, bend)
    for lost in (0.0, 1.0):
        grid = Broad(350.0)
        grid.lost = lost
        assert GridPlane(grid).turn_columns == 0.0


def test_columns_of_a_turn_that_run_west() -> None:
    class Mirrored(Broad):
        def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
            column, row = super().to_cell(lon_deg, lat_deg)
            return self.columns - 1.0 - column, row

    assert GridPlane(Mirrored(350.0)).turn_columns == pytest.approx(720.0, rel=1e-12)


def test_a_grid_that_says_how_many_columns_a_turn_has_is_believed() -> None:
    grid = MemoryGrid(np.full((9, 720), 9.0), x=-179.75, y=2.0, dx=0.5, dy=0.5)
    assert GridPlane(grid).turn_columns == 720.0
    grid.wraps_columns = 721
    assert GridPlane(grid).turn_columns == 721.0
