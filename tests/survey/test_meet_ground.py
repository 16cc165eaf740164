"""Which depth areas seabed that covers and uncovers lies in: water that does not dry, or a flat.

Our own rule: a flat says how high it dries itself; ground that reaches into water that does not
dry, or in one chunk of the leg lies where nobody says, is a danger of unknown depth. Places are
metres along a leg on the equator; what is expected is reckoned along it, without any geometry.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import Danger, DangerKind
from tests.survey.charts import depth_area, rock, source
from tests.survey.equator import at, box
from tests.survey.test_meet import meet

WET, NOBODY_SAYS = "wet", None


def ground(geometry: shapely.Geometry) -> Danger:
    return replace(
        rock("g", 0.0, 0.0, None), cls="SBDARE", kind=DangerKind.GROUND, geometry=geometry
    )


def lies_in(
    of: Danger, areas: list[tuple[float, float, float | None]], length_m: float = 5000.0
) -> str | float | None:
    """`areas` are (from, to, depth)."""
    waters = tuple(
        depth_area(f"{i}", box(from_m, to_m, -200.0, 200.0), depth_m)
        for i, (from_m, to_m, depth_m) in enumerate(areas)
    )
    chart = Chart(source=source(), depth_areas=waters, dangers=(of,))
    (met,) = meet(chart, length_m).dangers.values()
    depth_m = met.area_depth_m
    return WET if depth_m is not None and depth_m > 0.0 else depth_m


@pytest.mark.parametrize("seed", range(40))
def test_areas_side_by_side(seed: int) -> None:
    """Three areas and a ground whose ends may lie on their borders, all in steps of 50 m."""
    rng = np.random.default_rng(seed)
    ends = 1000.0 + 50.0 * np.sort(rng.choice(21, 4, replace=False))
    depths = rng.choice(np.array([-2.0, -1.5, -0.5, 0.0, 0.5, 5.0]), 3)
    from_m, to_m = 1000.0 + 50.0 * np.sort(rng.choice(21, 2, replace=False))
    middles = np.arange(from_m + 25.0, to_m, 50.0)
    which = np.searchsorted(ends, middles) - 1
    there = depths[which[(which >= 0) & (which < 3)]]
    expected = WET if (there > 0.0).any() else float(there.min()) if len(there) else NOBODY_SAYS
    areas = [(float(ends[i]), float(ends[i + 1]), float(depths[i])) for i in range(3)]
    of = ground(box(from_m, to_m, -20.0, 20.0))
    assert lies_in(of, areas) == expected


def test_a_line_or_a_point_has_no_inside_and_counts_as_it_lies() -> None:
    areas: list[tuple[float, float, float | None]] = [(1000.0, 2000.0, -2.0)]
    line = shapely.LineString([at(1100.0, 0.0), at(1900.0, 0.0)])
    assert lies_in(ground(line), areas) == lies_in(ground(shapely.Point(at(1500.0, 0.0))), areas)
    assert lies_in(ground(line), areas) == -2.0


@pytest.mark.parametrize(
    ("west", "east", "expected"),
    [
        (-2.0, 5.0, WET),
        (-2.0, 0.5, WET),
        (5.0, 0.5, WET),
        (-2.0, -1.0, -2.0),
        (-2.0, 0.0, -2.0),
        (-2.0, None, NOBODY_SAYS),
        (5.0, None, NOBODY_SAYS),
        (None, None, NOBODY_SAYS),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_in_two_chunks(
    west: float | None, east: float | None, expected: str | float | None, *, turned: bool
) -> None:
    """Each chunk, of 5,000 m, sees no more than the areas within 550 m of it."""
    if turned:
        west, east = east, west
    areas = [(3000.0, 4000.0, west), (6500.0, 7000.0, east)]
    assert lies_in(ground(box(3000.0, 7000.0, 10.0, 20.0)), areas, 10000.0) == expected
