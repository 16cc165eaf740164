"""What chart cells hold of the places where a mark may be, against geometry drawn by pyproj.

Places are metres from an origin, laid out by geodesics; a cell is a square with its middle so far
off that one side of it is the limit that is meant.
"""

from __future__ import annotations

import math
import random
from dataclasses import replace

import numpy as np
import pytest

from routecheck.model.chart import Chart
from routecheck.model.objects import CoverageArea, MarkKind
from routecheck.survey.mark_cover import covered_around
from tests.buoys import Place, Spot, chart, mark, source, square
from tests.survey.test_markset_which import kept

FIT = Spot(-150.0, 54.0)
HALF_M = 1000.0


def beside(limit_m: float, bearing_deg: float, spot: Spot = FIT, half_m: float = HALF_M) -> Chart:
    """A cell whose nearest limit lies on a bearing, so far off; it holds what lies this side."""
    turned = replace(spot, turn_deg=bearing_deg)
    shape = square(half_m, turned, (0.0, limit_m - half_m))
    return chart((), of=source("large", 10_000.0), covers=shape)


def holds(*cells: Chart, off_m: float, spot: Spot = FIT, at: Place = (0.0, 0.0)) -> bool:
    lon, lat = spot.at(at)
    (found,) = covered_around(cells, np.array([lon]), np.array([lat]), np.array([off_m]))
    return bool(found)


@pytest.mark.parametrize("lat_deg", [0.0, -54.0, 78.0])
@pytest.mark.parametrize("off_m", [20.0, 500.0])
def test_a_straight_limit_on_any_bearing(lat_deg: float, off_m: float) -> None:
    """Nearer than the mark may be it is not held, whichever way the limit runs."""
    spot = Spot(-150.0, lat_deg)
    for bearing_deg in range(0, 360, 5):
        inside = beside(0.995 * off_m, bearing_deg, spot, 3.0 * off_m)
        assert not holds(inside, off_m=off_m, spot=spot), bearing_deg
        beyond = beside(1.006 * off_m + 0.4, bearing_deg, spot, 3.0 * off_m)
        assert holds(beyond, off_m=off_m, spot=spot), bearing_deg


@pytest.mark.parametrize(
    ("gap_m", "held"), [(0.0, True), (0.21, True), (0.235, False), (0.5, False), (9.0, False)]
)
def test_a_gap_between_two_cells_that_no_edge_of_the_circle_meets(gap_m: float, held: bool) -> None:
    """South of the gap's middle by a third of how far the mark may be off. A fifth of a metre of
    latitude is no gap: such are left between cells that are meant to meet (common practice)."""
    south = beside(100.0 - gap_m / 2.0, 0.0)
    north = beside(-100.0 - gap_m / 2.0, 180.0)
    assert holds(south, north, off_m=300.0) is held
    assert holds(north, south, off_m=300.0) is held
    assert not holds(south, off_m=300.0)


def test_three_cells_hold_together_what_no_one_of_them_does() -> None:
    """They meet 1 m off: each holds a part of the circle."""
    west, east = beside(1.0, 90.0), beside(-1.0, 270.0)
    south = chart((), of=source("s", 10_000.0), covers=square(30.0, FIT, (1.0, -30.0)))
    holed = square(999.0, FIT, (1000.0, 0.0)).difference(square(25.0, FIT, (1.0, -30.0)))
    east = replace(east, coverage=(replace(east.coverage[0], geometry=holed),))
    assert not holds(west, east, off_m=50.0)
    assert holds(west, east, south, off_m=50.0)
    assert holds(south, east, west, off_m=50.0)


def test_a_part_that_a_cell_says_it_does_not_cover() -> None:
    """Small, and wholly between the place and the circle round it."""
    hole = CoverageArea(
        key="large/hole", cls="M_COVR", source="large", covered=False,
        geometry=square(10.0, FIT, (60.0, 80.0)),
    )  # fmt: skip
    whole = beside(900.0, 0.0)
    holed = replace(whole, coverage=(*whole.coverage, hole))
    assert holds(whole, off_m=300.0)
    assert not holds(holed, off_m=300.0)
    assert holds(holed, off_m=80.0)  # its nearest corner is 86 m off
    assert not holds(holed, off_m=92.0)
    assert not holds(holed, off_m=0.0, at=(60.0, 80.0))
    assert holds(holed, whole, off_m=300.0)  # another cell holds it


def test_a_place_that_is_exact_is_held_where_the_cell_is() -> None:
    assert holds(beside(1.0, 40.0), off_m=0.0)
    assert not holds(beside(-1.0, 40.0), off_m=0.0)
    assert not holds(off_m=0.0)
    bare = chart((), of=source("bare", 10_000.0))
    assert not holds(bare, off_m=20.0)
    assert holds(bare, beside(30.0, 40.0), off_m=20.0)


@pytest.mark.parametrize("turned", [(0.0, 0.0), (-360.0, 0.0), (0.0, 360.0)])
@pytest.mark.parametrize("lon_deg", [180.0, -180.0, 179.999, -179.999])
def test_at_the_antimeridian(lon_deg: float, turned: tuple[float, float]) -> None:
    """Two cells that meet on it, each with longitudes of its own way of writing."""
    spot = Spot(lon_deg, 10.0)
    both = square(HALF_M, Spot(180.0, 10.0))
    west, south, _, north = both.bounds

    def half(name: str, from_deg: float, by_deg: float) -> Chart:
        shape = type(both)(
            [(from_deg + x + by_deg, y) for x, y in
             ((0.0, south), (180.0 - west, south), (180.0 - west, north), (0.0, north))]
        )  # fmt: skip
        return chart((), of=source(name, 10_000.0), covers=shape)

    left, right = half("left", west, turned[0]), half("right", -180.0, turned[1])
    assert holds(left, right, off_m=300.0, spot=spot)
    assert not holds(left, off_m=300.0, spot=spot)
    assert not holds(right, off_m=300.0, spot=spot)


def test_random_cells_against_places_drawn_in_the_circle() -> None:
    """No place within the distance lies outside the cells where they are said to hold it all."""
    draw = random.Random(5)
    found = []
    for _ in range(60):
        off_m = draw.uniform(20.0, 400.0)
        squares = [
            (draw.uniform(100.0, 600.0), (draw.uniform(-300.0, 300.0), draw.uniform(-300.0, 300.0)))
            for _ in range(draw.randint(1, 4))
        ]
        cells = [
            chart((), of=source(f"c{i}", 10_000.0), covers=square(half_m, FIT, middle))
            for i, (half_m, middle) in enumerate(squares)
        ]

        def bare_m(x: float, y: float, squares: list[tuple[float, Place]] = squares) -> float:
            """How far outside every square, in the plane."""
            return min(max(abs(x - cx), abs(y - cy)) - half_m for half_m, (cx, cy) in squares)

        places = [
            (r * math.sin(b), r * math.cos(b))
            for r in np.linspace(0.0, off_m, 40)
            for b in np.linspace(0.0, 2.0 * math.pi, 90)
        ]
        worst_m = float(max(bare_m(*place) for place in places))
        if abs(worst_m) > 0.03 * off_m + 1.0:  # clear of the limit, by what is drawn between
            assert holds(*cells, off_m=off_m) is (worst_m < 0.0)
            found.append(worst_m < 0.0)
    assert 10 < sum(found) < len(found) - 10


@pytest.mark.parametrize(
    ("wide_m", "within_m", "stays"),
    [(0.0, 100.0, False), (19.0, 100.0, False), (300.0, 100.0, True), (300.0, 319.0, True),
     (300.0, 323.0, False)],
)  # fmt: skip
def test_a_mark_that_is_drawn_wide_may_stand_in_any_part_of_it(
    wide_m: float, within_m: float, stays: bool
) -> None:
    """Its middle lies within the larger cell's limit, its outline may reach beyond; and it may be
    20 m off (IHO S-44 ed. 6, table 2, order 2)."""
    drawn = mark((0.0, 500.0 - within_m), MarkKind.PORT_HAND, "drawn", spread_m=wide_m)
    small = chart((drawn,), of=source("small", 20_000.0))
    large = chart((), of=source("large", 10_000.0), covers=square(500.0))
    assert kept(large, small) == (["drawn"] if stays else [])
