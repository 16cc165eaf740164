"""Objects near a place, and what a chart says of its own coverage, quality and datum there."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import CoverageArea, DatumZone, Mark, MarkKind, Solid, SolidKind
from routecheck.model.source import CATZOC_QUALITY, Quality
from routecheck.survey.chart_index import ChartIndex
from tests.survey.charts import covered, depth_area, land, rock, source, unsurveyed, zone

box = shapely.box
SEARCH = box(10.0, 50.0, 11.0, 51.0)


def near(chart: Chart, search: shapely.Geometry = SEARCH) -> dict[str, tuple[float, ...]]:
    found = ChartIndex(chart).near(search)
    return {o.key: s.bounds for o, s in zip(found.objects, found.shapes, strict=True)}


def test_objects_near_are_clipped_to_the_search() -> None:
    chart = Chart(
        source=source(),
        depth_areas=(
            depth_area("over", box(9.5, 50.5, 10.5, 52.0), 5.0),
            depth_area("all", box(0.0, 0.0, 60.0, 60.0), 5.0),
            depth_area("west", box(9.0, 50.0, 9.9, 51.0), 5.0),
        ),
        dangers=(rock("r", 10.2, 50.2),),
        marks=(
            Mark(key="cell/m", cls="BOYLAT", source="cell", geometry=shapely.Point(10.5, 50.5),
                 kind=MarkKind.NORTH),
        ),
    )  # fmt: skip
    assert near(chart) == {
        "cell/over": (10.0, 50.5, 10.5, 51.0),
        "cell/all": SEARCH.bounds,
        "cell/r": (10.2, 50.2, 10.2, 50.2),
    }
    marks = ChartIndex(chart).marks_near(SEARCH)
    assert [m.key for m in marks.objects] == ["cell/m"]
    assert [shape.bounds for shape in marks.shapes] == [(10.5, 50.5, 10.5, 50.5)]
    assert not ChartIndex(chart).marks_near(box(10.6, 50.0, 11.0, 51.0)).objects
    assert near(Chart(source=source())) == {}


@pytest.mark.parametrize(
    ("charted", "search", "bounds"),
    [
        # A chart in [-180, 180), a search that runs on past 180 either way, and the reverse.
        (box(-179.5, 0.0, -179.0, 1.0), box(179.0, 0.0, 180.8, 1.0), (180.5, 0.0, 180.8, 1.0)),
        (box(179.0, 0.0, 179.5, 1.0), box(-180.8, 0.0, -179.0, 1.0), (-180.8, 0.0, -180.5, 1.0)),
        (box(180.5, 0.0, 181.0, 1.0), box(-179.6, 0.0, -179.0, 1.0), (-179.5, 0.0, -179.0, 1.0)),
        (box(-181.0, 0.0, -180.5, 1.0), box(179.0, 0.0, 179.6, 1.0), (179.0, 0.0, 179.5, 1.0)),
    ],
)
def test_the_same_place_a_whole_turn_off(
    charted: shapely.Geometry, search: shapely.Geometry, bounds: tuple[float, ...]
) -> None:
    chart = Chart(source=source(), depth_areas=(depth_area("a", charted, 5.0),))
    assert near(chart, search) == {"cell/a": pytest.approx(bounds)}


def test_a_chart_round_the_earth_is_near_once_for_each_of_its_sides() -> None:
    sides = (depth_area("w", box(-180.0, 0.0, -170.0, 1.0), 5.0),
             depth_area("e", box(170.0, 0.0, 180.0, 1.0), 5.0))  # fmt: skip
    found = near(Chart(source=source(), depth_areas=sides), box(175.0, 0.0, 185.0, 1.0))
    assert found == {"cell/e": (175.0, 0.0, 180.0, 1.0), "cell/w": (180.0, 0.0, 185.0, 1.0)}


@pytest.mark.parametrize(
    ("edge", "touches"),
    [
        (box(9.0, 50.2, 10.0, 50.4), True), (box(11.0, 50.2, 12.0, 50.4), True),
        (box(10.2, 49.0, 10.4, 50.0), True), (box(10.2, 51.0, 10.4, 52.0), True),
        (box(9.0, 50.2, 9.999, 50.4), False), (box(11.001, 50.2, 12.0, 50.4), False),
        (box(10.2, 49.0, 10.4, 49.999), False), (box(10.2, 51.001, 10.4, 52.0), False),
    ],
)  # fmt: skip
def test_what_touches_the_searchs_edge_is_near(edge: shapely.Geometry, touches: bool) -> None:
    chart = Chart(source=source(), depth_areas=(depth_area("a", edge, 5.0),))
    assert bool(near(chart)) is touches


@pytest.mark.parametrize(
    ("scale", "horizontal_m", "own_m", "margin_m"),
    # 550 m at least: CATZOC C and D are 500 m off (IHO S-57 ed. 3.1, attribute 72).
    [
        (20_000.0, None, None, 550.0),
        (20_000.0, 499.0, None, 550.0),
        (20_000.0, 501.0, None, 551.0),
        (1_102_000.0, None, None, 551.0),  # 0.5 mm at the scale
        (20_000.0, None, 549.0, 550.0),
        (20_000.0, None, 900.0, 900.0),
    ],
)
def test_how_far_off_an_object_may_concern_the_corridor(
    scale: float, horizontal_m: float | None, own_m: float | None, margin_m: float
) -> None:
    quality = Quality(name="q", vertical_m=1.0, horizontal_m=horizontal_m)
    of = source(scale=scale, quality=quality)
    loose = rock("r", 10.0, 50.0, position_uncertainty_m=own_m)
    sure = rock("s", 10.0, 50.0)
    assert ChartIndex(Chart(source=of, dangers=(loose, sure))).margin_m == margin_m
    zoned = replace(zone("z", SEARCH, 1), position_uncertainty_m=own_m)
    assert ChartIndex(Chart(source=of, quality_zones=(zoned,))).margin_m == margin_m
    # What a shift from an older datum may be off by comes on top of any of these.
    shifted = Chart(source=replace(of, system_off_m=12.0), dangers=(loose, sure))
    assert ChartIndex(shifted).margin_m == margin_m + 12.0


def qualities(*zones: tuple[int, shapely.Geometry]) -> list[tuple[str, tuple[float, ...]]]:
    """By CATZOC."""
    made = tuple(zone(str(n), s, q) for n, (q, s) in enumerate(zones))
    found = ChartIndex(Chart(source=source(), quality_zones=made)).quality_regions(SEARCH)
    return [(quality.name, region.bounds) for quality, region in found]


LEFT, RIGHT = box(10.0, 50.0, 10.6, 51.0), box(10.4, 50.0, 11.0, 51.0)


def test_regions_of_quality_the_worst_first_and_disjoint() -> None:
    # Unassessed is worse than all, then D, then by the uncertainty in 10 m of water, then the belt.
    assert qualities((1, LEFT), (4, RIGHT)) == [
        ("CATZOC C", RIGHT.bounds),
        ("CATZOC A1", (10.0, 50.0, 10.4, 51.0)),
    ]
    for one, other in ((6, 4), (5, 4), (6, 5), (3, 2), (2, 1), (4, 3)):
        names = [CATZOC_QUALITY[one].name, CATZOC_QUALITY[other].name]
        for zones in (((one, SEARCH), (other, box(9.0, 49.0, 12.0, 52.0))),
                      ((other, LEFT), (one, RIGHT))):  # fmt: skip
            found = [name for name, _ in qualities(*zones)]
            assert found == names[: len(found)] and found
    # Two zones of one quality make one region; one that is covered whole makes none.
    assert qualities((3, LEFT), (3, RIGHT)) == [("CATZOC B", SEARCH.bounds)]
    assert qualities((4, SEARCH), (3, LEFT)) == [("CATZOC C", SEARCH.bounds)]
    assert qualities((4, box(20.0, 50.0, 21.0, 51.0))) == []


@pytest.mark.parametrize(("stated_m", "worse"), [(1.19, "CATZOC B"), (1.21, "SOUACC 1.21 m")])
def test_qualities_are_compared_in_ten_metres_of_water(stated_m: float, worse: str) -> None:
    """CATZOC B: 1 m and 2 %, 1.2 m there."""
    zones = (
        replace(zone("s", SEARCH, 6), catzoc=None, depth_uncertainty_m=stated_m),
        zone("b", SEARCH, 3),
    )
    found = ChartIndex(Chart(source=source(), quality_zones=zones)).quality_regions(SEARCH)
    assert [quality.name for quality, _ in found] == [worse]


def test_a_wider_belt_is_worse_where_depths_are_alike() -> None:
    """CATZOC A1: 5 m and 5 % of the depth, 5.5 m in 10 m of water and 5.55 m in 11."""
    zones = (zone("a", SEARCH, 1), replace(zone("p", SEARCH, 1), position_uncertainty_m=5.52))
    found = ChartIndex(Chart(source=source(), quality_zones=zones)).quality_regions(SEARCH)
    assert [quality.name for quality, _ in found] == ["CATZOC A1, POSACC 5.52 m"]


def test_regions_with_a_datum_of_their_own() -> None:
    zones = tuple(
        DatumZone(key=f"cell/{d}", cls="M_SDAT", source="cell", geometry=s, datum=d)
        for d, s in (("MSL", LEFT), ("MLLW", RIGHT), ("LAT", box(0.0, 0.0, 1.0, 1.0)))
    )
    found = ChartIndex(Chart(source=source(), datum_zones=zones)).datum_regions(SEARCH)
    assert [(datum, shape.bounds) for datum, shape in found] == [
        ("MSL", LEFT.bounds),
        ("MLLW", RIGHT.bounds),
    ]


def test_what_a_chart_covers() -> None:
    areas = (depth_area("d", LEFT, 0.0), depth_area("b", RIGHT, None))
    loose = Chart(source=source(), depth_areas=areas, unsurveyed=(unsurveyed("u", SEARCH),))
    index = ChartIndex(loose)
    assert index.coverage(SEARCH, index.near(SEARCH)).equals(LEFT)
    island = box(10.8, 50.0, 10.9, 51.0)
    solids = (
        land("l", island),
        Solid(key="cell/p", cls="SLCONS", source="cell", geometry=SEARCH, kind=SolidKind.STRUCTURE),
    )
    with_land = ChartIndex(replace(loose, solids=solids))
    expected = shapely.union(LEFT, island)
    assert with_land.near(SEARCH).depth_cover.equals(expected)
    # Where it has coverage of its own, that alone: CATCOV 1 without CATCOV 2.
    no = CoverageArea(key="cell/n", cls="M_COVR", source="cell", geometry=LEFT, covered=False)
    index = ChartIndex(replace(loose, coverage=(covered(box(10.0, 50.0, 12.0, 50.5)), no)))
    found = index.coverage(SEARCH, index.near(SEARCH))
    assert found.equals(box(10.6, 50.0, 11.0, 50.5))
    far = ChartIndex(replace(loose, coverage=(covered(box(20.0, 50.0, 21.0, 51.0)),)))
    assert far.coverage(SEARCH, far.near(SEARCH)).is_empty
    assert [o.key for o in ChartIndex(Chart(source=source(), quality_zones=(zone("z", LEFT, 6),)))
            .zones_near(SEARCH).objects] == ["cell/z"]  # fmt: skip
