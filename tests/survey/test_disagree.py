"""A grid's cells against the depth areas that they lie in; in metres on the equator.

Cells are 100 m wide, the corridor 100 m either side of the leg. The uncertainties of both sources
together are the room within which they agree.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import DepthArea
from routecheck.model.source import Quality, Source
from routecheck.model.view import Disagreement
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.corridors import corridors
from routecheck.survey.disagree import Comparison, compare
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.shoalest import shoalest
from tests.survey.charts import EXACT, contour, covered, depth_area, rock, route, source
from tests.survey.equator import EAST_M, Shape, at, box, leg_grid, locals_on, plane, planes
from tests.survey.memory_grid import MemoryGrid

SEA = box(-500.0, 20000.0, -500.0, 500.0)
METRE = Quality(name="a metre", vertical_m=1.0, horizontal_m=0.0)
HALF = Quality(name="half a metre", vertical_m=0.5, horizontal_m=0.0)


def short() -> ChunkPlane:
    """A leg of 1,000 m."""
    return plane(1000.0)


def area(
    low_m: float | None, high_m: float | None, where: Shape = SEA, of: str = "cell"
) -> DepthArea:
    return replace(depth_area(f"{low_m} to {high_m}", where, low_m, of), deep_end_m=high_m)


def chart(*areas: DepthArea, name: str = "cell", **of: object) -> Chart:
    facts = {"quality": METRE, **of}
    return Chart(source=source(name, **facts), depth_areas=areas, coverage=(covered(SEA, name),))


def flat(depth_m: float, columns: int = 13) -> np.ndarray:
    return np.full((5, columns), depth_m)


def told(
    held: Chart, depth_m: float, chart_of: dict[str, object] | None = None, **grid_of: object
) -> list[tuple[str, float, str, float, float]]:
    found = Comparison()
    if chart_of:
        held = replace(held, source=replace(held.source, **chart_of))  # type: ignore[arg-type]
    one = leg_grid(short(), flat(depth_m), **{"quality": HALF, **grid_of})
    compare(short(), locals_on(short(), held), [one], found)
    return [
        (d.shoaler.id, round(d.shoaler_depth_m, 4), d.deeper.id, round(d.deeper_depth_m, 4),
         round(d.uncertainty_m, 4))
        for d in found.worst()
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("low_m", "high_m", "depth_m", "differs"),
    [
        (5.0, 10.0, 7.0, None),
        (5.0, 10.0, 3.5, None),
        (5.0, 10.0, 3.25, ("memory", 3.25, "cell", 5.0, 1.5)),
        (5.0, 10.0, 11.5, None),
        (5.0, 10.0, 11.75, ("cell", 10.0, "memory", 11.75, 1.5)),
        (5.0, None, 5000.0, None),  # how deep it is at most is not said
        (5.0, None, 3.25, ("memory", 3.25, "cell", 5.0, 1.5)),
        # Found by this test on 2026-11-28: a deep end of 0 m, where it dries, is said.
        (-2.0, 0.0, 1.5, None),
        (-2.0, 0.0, 1.75, ("cell", 0.0, "memory", 1.75, 1.5)),
        (0.0, 5.0, -1.75, ("memory", -1.75, "cell", 0.0, 1.5)),
        (None, None, -9.0, None),
    ],
)
def test_within_the_room_of_both_they_agree(
    low_m: float | None,
    high_m: float | None,
    depth_m: float,
    differs: tuple[str, float, str, float, float] | None,
) -> None:
    assert told(chart(area(low_m, high_m)), depth_m) == ([differs] if differs else [])


def test_uncertainty_by_the_depth_that_is_charted() -> None:
    tenth = Quality(name="a tenth", vertical_m=0.0, vertical_share=0.1)
    held = chart(area(5.0, 10.0), quality=tenth)
    assert told(held, 4.0, quality=EXACT) == [("memory", 4.0, "cell", 5.0, 0.5)]
    assert told(held, 4.5, quality=EXACT) == []
    assert told(held, 4.25, quality=tenth) == []  # 0.5 m and 0.425 m
    assert told(held, 4.0, quality=tenth) == [("memory", 4.0, "cell", 5.0, 0.9)]


def test_both_are_brought_to_chart_datum() -> None:
    msl = {"datum": "MSL", "datum_below_msl_m": 1.0}
    held = chart(area(5.0, 10.0))
    assert told(held, 3.25, msl) == []  # 4 m there
    assert told(held, 2.25, msl) == [("memory", 2.25, "cell", 4.0, 1.5)]
    assert told(held, 11.25, msl) == [("cell", 9.0, "memory", 11.25, 1.5)]
    assert told(held, 4.25, **msl) == [("memory", 3.25, "cell", 5.0, 1.5)]
    assert told(held, 4.5, **msl) == []


def test_depths_on_a_datum_of_their_own_are_not_compared() -> None:
    held = chart(area(5.0, 10.0))
    assert told(held, 0.0) != []
    assert told(held, 0.0, {"datum": "MSL"}) == told(held, 0.0, datum="unknown") == []


def test_where_a_grid_holds_nothing_it_says_nothing() -> None:
    depth_m = flat(7.0)
    depth_m[:, 4:9] = np.nan
    found = Comparison()
    compare(
        short(),
        locals_on(short(), chart(area(5.0, 10.0))),
        [leg_grid(short(), depth_m)],
        found,
    )
    compare(
        short(),
        locals_on(short(), chart(area(5.0, 10.0))),
        [leg_grid(short(), depth_m * np.nan)],
        found,
    )
    assert found.worst() == ()


def test_only_depth_areas_are_compared() -> None:
    """A contour and a rock at the very cell that is the shoalest of its part."""
    depth_m = flat(7.0)
    depth_m[2, 3] = 6.0
    held = replace(
        chart(area(5.0, 10.0), quality=EXACT),
        contours=(contour("c", shapely.LineString([at(250.0, -50.0), at(250.0, 50.0)]), 1.0),),
        dangers=(rock("r", *at(250.0, 0.0), 1.0),),
    )
    found = Comparison()
    compare(short(), locals_on(short(), held), [leg_grid(short(), depth_m)], found)
    assert found.worst() == ()


def only(found: Comparison) -> Disagreement:
    (one,) = found.worst()
    return one


@pytest.mark.parametrize(
    ("row", "column", "along_m", "cross_m"),
    [
        (2, 3, 250.0, 0.0),
        (1, 5, 450.0, -100.0),
        (3, 5, 450.0, 100.0),
        (2, 0, 0.0, 0.0),  # its centre lies 50 m before the leg
        (2, 11, 1000.0, 0.0),  # … and beyond it
    ],
)
def test_where_they_differ_most(row: int, column: int, along_m: float, cross_m: float) -> None:
    depth_m = flat(4.0)  # everywhere 1 m too shoal, at one place 3 m
    depth_m[row, column] = 2.0
    found = Comparison()
    held = chart(area(5.0, 10.0), quality=EXACT)
    compare(short(), locals_on(short(), held), [leg_grid(short(), depth_m)], found)
    one = only(found)
    assert (one.shoaler_depth_m, one.deeper_depth_m) == (2.0, 5.0)
    assert (one.along_m, one.cross_m) == pytest.approx((along_m, cross_m), abs=0.01)
    centre = at(-50.0 + 100.0 * column, -200.0 + 100.0 * row)
    assert (one.lon_deg, one.lat_deg) == pytest.approx(centre, abs=1e-9)


def test_along_the_leg_and_not_along_the_chunk() -> None:
    first, second = planes(10000.0)
    depth_m = flat(7.0, 103)
    depth_m[2, 70] = 2.0  # 6,950 m along
    grid = leg_grid(second, depth_m)
    found = Comparison()
    for on in (first, second):
        compare(on, locals_on(on, chart(area(5.0, 10.0), quality=EXACT)), [grid], found)
    assert only(found).along_m == pytest.approx(6950.0, abs=0.01)
    apart = Comparison()
    compare(first, locals_on(first, chart(area(5.0, 10.0))), [grid], apart)
    assert apart.worst() == ()


def test_longitudes_stay_within_half_a_turn() -> None:
    (leg,) = corridors(route([(179.99, 0.0), (-179.99, 0.0)]), ((100.0, 100.0),))
    on = ChunkPlane(leg, leg.chunks[0])
    depth_m = flat(7.0, 30)
    depth_m[2, 25] = 2.0
    held = MemoryGrid(depth_m, x=179.98, y=0.002, dx=0.001, dy=0.001)
    one = LegGrid(grid=held, profile=shoalest(held, [leg])[0], coarse=False)
    sea = shapely.box(-180.5, -1.0, -179.5, 1.0)
    found = Comparison()
    compare(on, locals_on(on, chart(area(5.0, 10.0, sea))), [one], found)
    assert only(found).lon_deg == pytest.approx(-179.995, abs=1e-9)
    assert only(found).along_m == pytest.approx(0.015 * EAST_M, abs=0.01)


def test_every_pair_of_sources() -> None:
    """Charts and grids, each against each; one without a datum or an area stops no other."""
    charts = (
        chart(name="0 bare"),
        chart(area(3.0, 4.0, of="1 msl"), name="1 msl", datum="MSL"),
        chart(area(5.0, 10.0, of="2 shoal"), name="2 shoal", quality=EXACT),
        chart(area(20.0, 30.0, of="3 deep"), name="3 deep", quality=EXACT),
    )
    grids = [
        leg_grid(short(), flat(1.0), id="g1"),
        leg_grid(short(), flat(50.0), id="g2", datum="MSL"),
        leg_grid(short(), flat(15.0), id="g3"),
    ]
    found = Comparison()
    compare(short(), locals_on(short(), *charts), grids, found)
    assert [(d.shoaler.id, d.deeper.id) for d in found.worst()] == [
        ("2 shoal", "3 deep"),
        ("2 shoal", "g3"),
        ("g1", "2 shoal"),
        ("g1", "3 deep"),
        ("g1", "g3"),
        ("g3", "3 deep"),
    ]


def differing(shoaler: str, shoal_m: float, deep_m: float, along_m: float) -> Disagreement:
    def of(name: str) -> Source:
        return source(name)

    return Disagreement(
        shoaler=of(shoaler), deeper=of("deep"), shoaler_depth_m=shoal_m, deeper_depth_m=deep_m,
        uncertainty_m=1.0, along_m=along_m, cross_m=0.0, lon_deg=0.0, lat_deg=0.0,
    )  # fmt: skip


def test_of_each_pair_the_widest_is_kept() -> None:
    found = Comparison()
    b1, b2, b3, b4 = (differing("b", *f) for f in [(4.0, 9.0, 1.0), (1.0, 5.0, 2.0),
                                                  (9.0, 15.0, 3.0), (1.0, 7.0, 4.0)])  # fmt: skip
    a1 = differing("a", 1.0, 2.0, 5.0)
    for one in (b1, b2, b3, b4, a1):
        found.note(one)
    assert found.worst() == (a1, b3)
