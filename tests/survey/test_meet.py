"""Which depths, dangers and solids a chunk meets, where, and what they are worth.

Places are (along, cross) in metres on a leg along the equator, with a corridor of 100 m.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import (
    Charted,
    Danger,
    DatumZone,
    DepthArea,
    SolidKind,
    Span,
    UnknownObject,
)
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Quality
from routecheck.model.view import DepthFrom, Place, Touch
from routecheck.survey.meet import Meetings, depths_in_order, in_order, joined, meet_chart
from tests.survey.charts import contour, depth_area, land, rock, sounding, source, unsurveyed, zone
from tests.survey.equator import at, box, locals_on, plane, planes, shape

CM = 0.01
SEA = box(-3000.0, 20000.0, -3000.0, 3000.0)
ZONED = source(quality=UNKNOWN_QUALITY)


def meet(chart: Chart, length_m: float = 5000.0) -> Meetings:
    found = Meetings()
    for on in planes(length_m):
        for local in locals_on(on, chart):
            meet_chart(on, local, found)
    return found


def spot(key: str, along_m: float, cross_m: float, depth_m: float | None, **more: object) -> Danger:
    return rock(key, *at(along_m, cross_m), depth_m, **more)


def test_a_depth_of_each_kind() -> None:
    area = DepthArea(
        key="cell/a", cls="DRGARE", source="cell", geometry=box(1000.0, 2000.0, -50.0, -20.0),
        name="basin", charted_depth_m=5.0, deep_end_m=6.0, unreliable=True,
    )  # fmt: skip
    line = contour("c", shapely.LineString([at(3000.0, -150.0), at(3000.0, 60.0)]), 2.0)
    dot = replace(sounding("s", *at(4000.0, 30.0), 7.5), unreliable=True)
    bare = depth_area("bare", box(4200.0, 4300.0, -50.0, 50.0), None)
    a, c, s = depths_in_order(
        meet(Chart(source=source(), depth_areas=(area, bare), contours=(line,), soundings=(dot,)))
        .depths
    )  # fmt: skip
    assert [(m.key, m.cls, m.name, m.depth_from) for m in (a, c, s)] == [
        ("cell/a", "DRGARE", "basin", DepthFrom.AREA),
        ("cell/c", "DEPCNT", "", DepthFrom.CONTOUR),
        ("cell/s", "SOUNDG", "", DepthFrom.SOUNDING),
    ]
    assert [(m.charted_depth_m, m.deep_end_m, m.unreliable, m.datum) for m in (a, c, s)] == [
        (5.0, 6.0, True, "LAT"),
        (2.0, None, False, "LAT"),
        (7.5, None, True, "LAT"),
    ]
    assert a.place.cross_m == pytest.approx(-20.0, abs=CM)
    assert (a.place.along_from_m, a.place.along_to_m) == pytest.approx((1000.0, 2000.0), abs=CM)
    assert (c.place.along_m, c.place.cross_m) == pytest.approx((3000.0, 0.0), abs=CM)
    assert (s.place.along_m, s.place.cross_m) == pytest.approx((4000.0, 30.0), abs=CM)
    # Of the contour the 60 m to starboard and the corridor's 100 m to port are in reach.
    reach = [shapely.from_wkb(m.reach_wkb) for m in (a, c, s)]
    assert reach[0].area == pytest.approx(30000.0, abs=1.0)
    assert reach[1].length == pytest.approx(160.0, abs=0.05)
    assert not any(m.coarse for m in (a, c, s))
    small = source(scale=200_000.0)
    assert all(m.coarse for m in meet(Chart(source=small, soundings=(dot,))).depths.values())


@pytest.mark.parametrize("depth_m", [0.0, -0.4])
def test_a_depth_of_nothing_is_a_depth(depth_m: float) -> None:
    found = meet(Chart(source=source(), depth_areas=(depth_area("a", SEA, depth_m),)))
    # And one of which no doubt is charted (QUASOU) is not doubted.
    assert [(m.charted_depth_m, m.unreliable) for m in found.depths.values()] == [(depth_m, False)]


@pytest.mark.parametrize(
    ("depth_m", "stated_m", "name"),
    # CATZOC B: 1 m and 2 % of the depth (IHO S-57 ed. 3.1, attribute 72): 1.2 m at 10 m.
    [
        (10.0, None, "CATZOC B"),
        (10.0, 1.1, "CATZOC B"),
        (10.0, 1.2, "CATZOC B"),
        (10.0, 1.21, "CATZOC B, SOUACC 1.21 m"),
        (0.0, 1.0, "CATZOC B"),
        (0.0, 1.01, "CATZOC B, SOUACC 1.01 m"),
        (None, 1.01, "CATZOC B, SOUACC 1.01 m"),
    ],
)
def test_what_a_depth_states_of_itself_counts_where_it_is_worse(
    depth_m: float | None, stated_m: float | None, name: str
) -> None:
    danger = spot("r", 1000.0, 10.0, depth_m, depth_uncertainty_m=stated_m)
    dots = ()
    if depth_m is not None:
        dots = (replace(sounding("s", *at(1000.0, 0.0), depth_m), depth_uncertainty_m=stated_m),)
    found = meet(
        Chart(source=ZONED, dangers=(danger,), soundings=dots, quality_zones=(zone("b", SEA, 3),))
    )
    assert [m.quality.name for m in found.dangers.values()] == [name]
    assert {m.quality.name for m in found.depths.values()} <= {name}
    assert len(found.depths) == len(dots)


@pytest.mark.parametrize(
    ("quality", "depth_m", "own_m", "belt_m"),
    # CATZOC A1: 5 m and 5 % of the depth; C and D: 500 m. 0.5 mm at 1:20,000 is 10 m.
    [
        (CATZOC_QUALITY[1], 20.0, None, 6.0),
        (CATZOC_QUALITY[1], -2.0, None, 5.1),
        (CATZOC_QUALITY[1], None, None, 5.0),
        (CATZOC_QUALITY[1], 0.0, None, 5.0),
        (CATZOC_QUALITY[1], 20.0, 7.0, 7.0),
        (CATZOC_QUALITY[1], 20.0, 2.0, 6.0),
        (CATZOC_QUALITY[4], 20.0, None, 500.0),
        (CATZOC_QUALITY[6], 20.0, None, 10.0),
        (CATZOC_QUALITY[6].at_least(None, 30.0), 20.0, None, 30.0),
        (CATZOC_QUALITY[6].at_least(None, 8.0), 20.0, None, 10.0),
        (Quality(name="exact", vertical_m=0.0, horizontal_m=0.0), 20.0, None, 0.0),
    ],
)
def test_position_belts_of_depths_and_dangers(
    quality: Quality, depth_m: float | None, own_m: float | None, belt_m: float
) -> None:
    danger = spot("r", 1000.0, 10.0, depth_m, position_uncertainty_m=own_m)
    chart = Chart(source=source(quality=quality), dangers=(danger,))
    (met,) = meet(chart).dangers.values()
    assert met.place.belt_m == pytest.approx(belt_m)
    if depth_m is not None:
        dot = sounding("s", *at(2000.0, 10.0), depth_m)
        chart = replace(chart, soundings=(replace(dot, position_uncertainty_m=own_m),))
        (depth,) = meet(chart).depths.values()
        assert depth.place.belt_m == pytest.approx(belt_m)


@pytest.mark.parametrize(("own_m", "belt_m"), [(None, 10.0), (0.0, 0.0), (30.0, 30.0)])
def test_position_belts_of_what_stands_or_is_drawn(own_m: float | None, belt_m: float) -> None:
    """Its own accuracy, even a better one; else 0.5 mm at the scale, not that of soundings."""
    where = {"geometry": box(1000.0, 1100.0, 0.0, 50.0), "position_uncertainty_m": own_m}
    solid = replace(land("l", SEA), **where)
    chart = Chart(
        source=source(quality=CATZOC_QUALITY[4]),
        solids=(solid, replace(solid, key="cell/p", kind=SolidKind.STRUCTURE)),
        spans=(Span(key="cell/b", cls="BRIDGE", source="cell", **where),),  # type: ignore[arg-type]
        unsurveyed=(replace(unsurveyed("u", SEA), **where),),
        unknown=(UnknownObject(key="cell/x", cls="XXXXXX", source="cell", why="?", **where),),  # type: ignore[arg-type]
    )
    found = meet(chart)
    held = (*found.solids.values(), *found.spans.values(), *found.unsurveyed.values())
    every = (*held, *found.unknown.values())
    assert [m.object.key for m in every] == ["cell/l", "cell/p", "cell/b", "cell/u", "cell/x"]
    assert [m.place.belt_m for m in every] == [belt_m] * 5
    assert {(m.datum, m.shift_m, m.area_depth_m) for m in every} == {("", 0.0, None)}


def test_an_object_in_two_chunks_is_met_once_over_its_whole_reach() -> None:
    # Two chunks of 5,000 m. The point of the wedge lies in the second, at (6000, -10).
    wedge = shape((4000.0, -80.0), (6000.0, -10.0), (7000.0, -80.0))
    chart = Chart(
        source=source(),
        depth_areas=(depth_area("a", wedge, 3.0),),
        solids=(land("l", wedge),),
    )
    found = meet(chart, 10000.0)
    (depth,), (solid,) = found.depths.values(), found.solids.values()
    for place in (depth.place, solid.place):
        assert (place.along_m, place.cross_m) == pytest.approx((6000.0, -10.0), abs=CM)
        reach = place.along_from_m, place.along_to_m
        assert reach == pytest.approx((4000.0, 7000.0), abs=CM)
    whole = shapely.from_wkb(depth.reach_wkb)
    assert whole.area == pytest.approx(3000.0 * 70.0 / 2.0, abs=1.0)


def test_an_area_in_two_zones_of_quality_is_met_once_in_each() -> None:
    zones = (zone("b", box(-200.0, 2500.0, -500.0, 500.0), 3), zone("a2", SEA, 2))
    found = meet(Chart(source=ZONED, depth_areas=(depth_area("a", SEA, 9.0),), quality_zones=zones))
    reach = {
        m.quality.name: (m.place.along_from_m, m.place.along_to_m) for m in found.depths.values()
    }
    assert list(reach) == ["CATZOC B", "CATZOC A2"]
    assert reach["CATZOC B"] == pytest.approx((0.0, 2500.0), abs=CM)
    assert reach["CATZOC A2"] == pytest.approx((2500.0, 5000.0), abs=CM)


@pytest.mark.parametrize(
    ("catzoc", "depth_m", "worse"),
    # A1 at 10 m: 0.6 m; B: 1.2 m; C: 2.5 m; one that states 1.5 m beside B is worse than B.
    [((1, 4), 10.0, "CATZOC C"), ((4, 1), 10.0, "CATZOC C"), ((3, 1), None, "CATZOC B"),
     ((1, 6), 10.0, "CATZOC A1"), ((6, 5), 10.0, "CATZOC U (unassessed)")],
)  # fmt: skip
def test_a_danger_in_two_zones_has_the_worse_ones_quality(
    catzoc: tuple[int, int], depth_m: float | None, worse: str
) -> None:
    first, second = catzoc
    zones = (zone("w", box(900.0, 1020.0, -500.0, 500.0), first),
             zone("e", box(1020.0, 1200.0, -500.0, 500.0), second))  # fmt: skip
    wreck = replace(spot("w", 1000.0, 0.0, depth_m), geometry=box(1000.0, 1040.0, 10.0, 20.0))
    (met,) = meet(Chart(source=ZONED, dangers=(wreck,), quality_zones=zones)).dangers.values()
    assert met.quality.name == worse
    reach = met.place.along_from_m, met.place.along_to_m
    assert reach == pytest.approx((1000.0, 1040.0), abs=CM)


@pytest.mark.parametrize("first_m", [900.0, 1020.0])
def test_unassessed_is_worse_than_exact(first_m: float) -> None:
    """Neither has a figure that the other exceeds."""
    zones = (zone("u", box(first_m, first_m + 120.0, -500.0, 500.0), 6),)
    wreck = replace(spot("w", 1000.0, 0.0, 10.0), geometry=box(1000.0, 1040.0, 10.0, 20.0))
    (met,) = meet(Chart(source=source(), dangers=(wreck,), quality_zones=zones)).dangers.values()
    assert met.quality.name == "CATZOC U (unassessed)"


def test_a_danger_knows_the_shoalest_water_that_it_lies_in() -> None:
    areas = (
        depth_area("deep", box(900.0, 1500.0, -200.0, 200.0), 20.0),
        depth_area("shoal", box(1000.0, 1500.0, -200.0, 200.0), 5.0),
        depth_area("bare", box(900.0, 1500.0, -200.0, 200.0), None),
        depth_area("far", box(3000.0, 3500.0, -200.0, 200.0), 1.0),
    )
    dangers = (spot("in both", 1200.0, 0.0, None), spot("edge", 1000.0, 0.0, None),
               spot("deep", 950.0, 0.0, None), spot("none", 2500.0, 0.0, None))  # fmt: skip
    dots = (sounding("s", *at(950.0, 0.0), 3.0),)  # no area: it says nothing of the water round it
    chart = Chart(source=source(), depth_areas=areas, dangers=dangers, soundings=dots)
    found = meet(chart).dangers
    said = {met.object.key: met.area_depth_m for met in found.values()}
    assert said == {"cell/in both": 5.0, "cell/edge": 5.0, "cell/deep": 20.0, "cell/none": None}


@pytest.mark.parametrize(("first", "second", "least"), [(4.0, 7.0, 4.0), (7.0, 4.0, 4.0), (None, 7.0, 7.0), (7.0, None, 7.0)])  # fmt: skip  # noqa: E501
def test_the_shoalest_water_of_both_chunks(
    first: float | None, second: float | None, least: float
) -> None:
    """A long wreck; each chunk sees no more than the areas within 550 m of it."""
    wreck = replace(spot("w", 0.0, 0.0, None), geometry=box(3000.0, 7000.0, 10.0, 20.0))
    areas = (
        depth_area("w", box(3000.0, 4000.0, -200.0, 200.0), first),
        depth_area("e", box(6500.0, 7000.0, -200.0, 200.0), second),
    )
    found = meet(Chart(source=source(), depth_areas=areas, dangers=(wreck,)), 10000.0).dangers
    assert [met.area_depth_m for met in found.values()] == [least]


def test_the_datum_that_holds_at_a_danger() -> None:
    """Its zone's; else the cell's, which a stated offset brings to chart datum."""
    zones = (DatumZone(key="cell/z", cls="M_SDAT", source="cell", datum="MLLW",
                       geometry=box(900.0, 1100.0, -200.0, 200.0)),)  # fmt: skip
    dangers = (spot("in", 1000.0, 0.0, 3.0), spot("out", 2000.0, 0.0, 3.0))
    of = source(datum="MSL", datum_below_msl_m=1.5)
    found = meet(Chart(source=of, dangers=dangers, datum_zones=zones)).dangers.values()
    said = {met.object.key: (met.datum, met.shift_m) for met in found}
    assert said == {"cell/in": ("MLLW", 0.0), "cell/out": ("chart datum", -1.5)}


@pytest.mark.parametrize("danger_deg", [-360.0, 0.0, 360.0])
@pytest.mark.parametrize("area_deg", [-360.0, 0.0, 360.0])
def test_the_water_and_datum_of_a_danger_however_longitudes_are_written(
    danger_deg: float, area_deg: float
) -> None:
    """Across 180 degrees a chart's longitudes, or those of two of its objects, may lie a whole
    turn from the leg's."""

    def turned(where: shapely.Geometry, turn_deg: float) -> shapely.Geometry:
        return shapely.transform(where, lambda xy: xy + np.array([turn_deg, 0.0]))

    water = turned(box(900.0, 1100.0, -200.0, 200.0), area_deg)
    zones = (DatumZone(key="cell/z", cls="M_SDAT", source="cell", datum="MSL", geometry=water),)
    danger = spot("in", 1000.0, 0.0, 3.0)
    danger = replace(danger, geometry=turned(danger.geometry, danger_deg))
    chart = Chart(
        source=source(),
        dangers=(danger,),
        datum_zones=zones,
        depth_areas=(depth_area("a", water, 20.0),),
    )
    (met,) = meet(chart).dangers.values()
    assert (met.datum, met.area_depth_m) == ("MSL", 20.0)


def place(
    along_m: float, cross_m: float, touch: Touch = Touch.CORRIDOR, half_m: float = 10.0
) -> Place:
    return Place(
        along_m=along_m, cross_m=cross_m, lon_deg=0.0, lat_deg=0.0, touch=touch,
        along_from_m=along_m - half_m, along_to_m=along_m + half_m,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("nearer", "other"),
    [
        (place(90.0, 20.0), place(10.0, -30.0)),  # the less off, to either side
        (place(90.0, -20.0), place(10.0, 30.0)),
        (place(90.0, 60.0), place(10.0, 0.0, Touch.BELT)),  # what lies in the corridor
        (place(10.0, 20.0), place(90.0, -20.0)),  # the first along the leg
    ],
)
def test_of_two_places_the_nearer_with_the_reach_of_both(nearer: Place, other: Place) -> None:
    whole = replace(nearer, along_from_m=0.0, along_to_m=100.0)
    assert joined(nearer, other) == joined(other, nearer) == whole


def test_in_order_along_the_leg_and_of_one_place_by_name() -> None:
    dangers = tuple(spot(k, a, 0.0, 2.0) for k, a in [("c", 9.0), ("b", 7.0), ("a", 7.0)])
    dots = tuple(sounding(k, *at(a, 0.0), 2.0) for k, a in [("c", 9.0), ("b", 7.0), ("a", 7.0)])
    found = meet(Chart(source=source(), dangers=dangers, soundings=dots))
    wanted = ["cell/a", "cell/b", "cell/c"]
    assert [met.object.key for met in in_order(found.dangers)] == wanted
    assert [met.key for met in depths_in_order(found.depths)] == wanted


def test_what_a_better_chart_hides_is_not_met() -> None:
    on = plane()
    fine = source("fine", scale=10000.0)
    west = box(-500.0, 2500.0, -500.0, 500.0)
    better = Chart(source=fine, depth_areas=(depth_area("f", west, 9.0, of="fine"),))
    rocks: tuple[Charted, ...] = (spot("w", 1000.0, 0.0, 2.0), spot("e", 3000.0, 0.0, 2.0))
    coarse = Chart(source=source(), dangers=rocks, depth_areas=(depth_area("a", SEA, 9.0),))  # type: ignore[arg-type]
    found = Meetings()
    for local in locals_on(on, coarse, better):
        meet_chart(on, local, found)
    assert list(found.dangers) == ["cell/e"]
    reach = {m.key: (m.place.along_from_m, m.place.along_to_m) for m in found.depths.values()}
    assert reach["fine/f"] == pytest.approx((0.0, 2500.0), abs=CM)
    assert reach["cell/a"] == pytest.approx((2500.0, 5000.0), abs=CM)
