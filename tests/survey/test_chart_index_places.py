"""A chart's objects found by place; its regions of quality and datum, and what it covers."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import (
    CoverageArea,
    DatumZone,
    MarkKind,
    QualityZone,
    Solid,
    SolidKind,
)
from routecheck.model.source import CATZOC_QUALITY, Quality, SourceKind
from routecheck.survey.chart_index import ChartIndex, Near
from tests import buoys
from tests.survey.charts import (
    contour,
    depth_area,
    land,
    rock,
    sounding,
    source,
    unsurveyed,
    zone,
)

box = shapely.box
SEARCH = box(10.0, 50.0, 11.0, 51.0)


def index(**facts: Any) -> ChartIndex:
    return ChartIndex(Chart(**{"source": source(), **facts}))


def found(near: Near) -> dict[str, tuple[float, ...]]:
    """The bounds of what was found, by key; each is found once."""
    assert len(near.objects) == len(near.shapes)
    keys = [thing.key for thing in near.objects]
    assert len(set(keys)) == len(keys)
    return {
        key: tuple(round(x, 9) for x in shape.bounds)
        for key, shape in zip(keys, near.shapes, strict=True)
    }


def areas_about(west: float, south: float, east: float, north: float) -> tuple[Any, ...]:
    """Five areas: within, and over each of the four sides of a search by half a degree."""
    middle = (west + east) / 2.0, (south + north) / 2.0
    spots = {
        "within": (*middle,),
        "west": (west, middle[1]),
        "east": (east, middle[1]),
        "south": (middle[0], south),
        "north": (middle[0], north),
    }
    return tuple(
        depth_area(key, box(x - 0.25, y - 0.25, x + 0.25, y + 0.25), 5.0)
        for key, (x, y) in spots.items()
    )


def test_objects_are_clipped_to_the_search() -> None:
    chart = index(depth_areas=areas_about(10.0, 50.0, 11.0, 51.0))
    assert found(chart.near(SEARCH)) == {
        "cell/within": (10.25, 50.25, 10.75, 50.75),
        "cell/west": (10.0, 50.25, 10.25, 50.75),
        "cell/east": (10.75, 50.25, 11.0, 50.75),
        "cell/south": (10.25, 50.0, 10.75, 50.25),
        "cell/north": (10.25, 50.75, 10.75, 51.0),
    }
    assert chart.near(SEARCH).shapes.dtype == object


@pytest.mark.parametrize(
    "search",
    [
        box(9.0, 50.0, 9.7, 51.0), box(11.3, 50.0, 12.0, 51.0),
        box(10.0, 49.0, 11.0, 49.7), box(10.0, 51.3, 11.0, 52.0),
    ],
)  # fmt: skip
def test_nothing_is_found_beside_what_a_chart_holds(search: shapely.Geometry) -> None:
    near = index(depth_areas=areas_about(10.0, 50.0, 11.0, 51.0)).near(search)
    assert near.objects == () and near.shapes.shape == (0,)
    nothing = index().near(search)
    assert nothing.objects == () and nothing.shapes.shape == (0,)


@pytest.mark.parametrize("turn_deg", [-360.0, 0.0, 360.0])
def test_longitudes_a_whole_turn_off_are_the_same(turn_deg: float) -> None:
    """The search runs on over the antimeridian; a chart's longitudes need not."""
    chart = index(depth_areas=areas_about(10.0, 50.0, 11.0, 51.0), soundings=(
        sounding("s", 10.5, 50.5, 3.0), sounding("far", 12.0, 50.5, 3.0),
    ))  # fmt: skip
    there = found(chart.near(box(10.0 + turn_deg, 50.0, 11.0 + turn_deg, 51.0)))
    assert set(there) == {
        "cell/s",
        *(f"cell/{n}" for n in ("within", "west", "east", "south", "north")),
    }
    assert there["cell/s"] == (10.5 + turn_deg, 50.5, 10.5 + turn_deg, 50.5)
    assert there["cell/west"] == (10.0 + turn_deg, 50.25, 10.25 + turn_deg, 50.75)


def test_what_lies_on_either_side_of_the_antimeridian_is_found_from_either() -> None:
    west, east = box(179.0, 0.0, 180.0, 1.0), box(-180.0, 0.0, -179.0, 1.0)
    chart = index(depth_areas=(depth_area("w", west, 5.0), depth_area("e", east, 5.0)))
    assert found(chart.near(box(179.5, 0.2, 180.5, 0.8))) == {
        "cell/w": (179.5, 0.2, 180.0, 0.8), "cell/e": (180.0, 0.2, 180.5, 0.8),
    }  # fmt: skip
    assert found(chart.near(box(-180.5, 0.2, -179.5, 0.8))) == {
        "cell/w": (-180.5, 0.2, -180.0, 0.8), "cell/e": (-180.0, 0.2, -179.5, 0.8),
    }  # fmt: skip


def test_marks_are_not_among_them() -> None:
    mark = buoys.mark((0.0, 0.0), MarkKind.PORT_HAND)
    at = mark.geometry
    near = index(marks=(mark,), dangers=(rock("r", at.x, at.y),)).near(at.buffer(0.1))
    assert [thing.key for thing in near.objects] == ["cell/r"]


WIDEST_M = 550.0
"""Half a kilometre, CATZOC C's (IHO S-57 ed. 3.1, attribute 72), and a tenth more."""


def test_how_far_off_an_object_may_lie_and_still_matter() -> None:
    fine = source(scale=20000.0)
    assert index(source=fine).margin_m == WIDEST_M
    # Half a millimetre on a chart of 1:2,000,000 is a kilometre.
    assert index(source=source(scale=2e6)).margin_m == pytest.approx(1000.0)
    wide = Quality(name="q", vertical_m=1.0, horizontal_m=600.0)
    assert index(source=source(quality=wide)).margin_m == 650.0
    nobody = Quality(name="q", vertical_m=1.0)
    assert index(source=source(quality=nobody)).margin_m == WIDEST_M
    near, far = (rock(str(m), 10.0, 50.0, position_uncertainty_m=m) for m in (5.0, 900.0))
    blank = rock("none", 10.0, 50.0)
    assert index(dangers=(near, blank)).margin_m == WIDEST_M
    assert index(dangers=(near, far, blank)).margin_m == 900.0
    poor = QualityZone(
        key="z", cls="M_QUAL", source="cell", geometry=SEARCH, catzoc=4,
        position_uncertainty_m=700.0,
    )  # fmt: skip
    assert index(quality_zones=(poor,)).margin_m == 700.0


def regions(*zones: QualityZone) -> list[tuple[str, float]]:
    return [
        (quality.name, round(shape.area, 9))
        for quality, shape in index(quality_zones=zones).quality_regions(SEARCH)
    ]


def names(*catzocs: int) -> list[str]:
    return [CATZOC_QUALITY[catzoc].name for catzoc in catzocs]


def test_where_zones_overlap_the_worst_holds() -> None:
    """From what nobody has assessed to what is best: U, D, C, B, A2, A1."""
    strips = [(6, 0.1), (5, 0.2), (4, 0.3), (3, 0.4), (2, 0.5), (1, 0.6)]
    zones = [zone(str(c), box(10.0, 50.0, 10.0 + width, 51.0), c) for c, width in strips]
    worst_first = names(6, 5, 4, 3, 2, 1)
    for order in (zones, zones[::-1]):
        assert regions(*order) == [(name, 0.1) for name in worst_first]
    # One that lies under a worse one throughout is nowhere.
    assert regions(zone("a", box(10.0, 50.0, 10.5, 51.0), 1), zone("u", SEARCH, 6)) == [
        (names(6)[0], 1.0)
    ]
    # Several of one quality are one region.
    pair = [zone(str(n), box(10.0 + n / 2.0, 50.0, 10.2 + n / 2.0, 51.0), 3) for n in (0, 1)]
    assert regions(*pair) == [(names(3)[0], 0.4)]
    assert regions() == regions(zone("far", box(0.0, 0.0, 1.0, 1.0), 3)) == []
    near = index(quality_zones=tuple(zones)).zones_near(box(10.55, 50.0, 11.0, 51.0))
    assert [thing.key for thing in near.objects] == ["cell/1"]


def test_of_two_that_are_as_exact_in_depth_the_less_exact_in_place_is_worse() -> None:
    """A2 and B: both 1 m + 2 %, but 20 m and 50 m in position."""
    assert regions(zone("b", SEARCH, 3), zone("a", SEARCH, 2)) == [(names(3)[0], 1.0)]
    assert regions(zone("a", SEARCH, 2), zone("b", SEARCH, 3)) == [(names(3)[0], 1.0)]


def test_regions_with_a_datum_of_their_own() -> None:
    zones = tuple(
        DatumZone(key=d, cls="M_SDAT", source="cell", geometry=shape, datum=d)
        for d, shape in (("MLLW", box(9.0, 50.0, 10.5, 51.0)), ("MSL", box(10.8, 50.0, 12.0, 51.0)))
    )
    chart = index(datum_zones=zones)
    assert [(datum, shape.bounds) for datum, shape in chart.datum_regions(SEARCH)] == [
        ("MLLW", (10.0, 50.0, 10.5, 51.0)), ("MSL", (10.8, 50.0, 11.0, 51.0)),
    ]  # fmt: skip
    assert index().datum_regions(SEARCH) == []


def cover(key: str, shape: shapely.Geometry, covered: bool = True) -> CoverageArea:
    return CoverageArea(key=key, cls="M_COVR", source="cell", geometry=shape, covered=covered)


def test_what_a_chart_covers() -> None:
    """M_COVR less what is said not to be covered; without one what it charts as depth or land."""
    left, right = box(10.0, 50.0, 10.5, 51.0), box(10.5, 50.0, 11.0, 51.0)
    hole = box(10.5, 50.0, 10.75, 51.0)
    chart = index(
        coverage=(cover("l", left), cover("r", right), cover("h", hole, covered=False)),
        depth_areas=(depth_area("a", SEARCH, 5.0),),
    )
    near = chart.near(SEARCH)
    assert chart.coverage(SEARCH, near).equals(shapely.union(left, box(10.75, 50.0, 11.0, 51.0)))
    nothing = index(coverage=(cover("h", hole, covered=False),))
    assert nothing.coverage(SEARCH, nothing.near(SEARCH)).is_empty


def test_a_loose_file_covers_where_it_states_a_depth_and_its_land() -> None:
    coast = shapely.LineString([(10.6, 50.0), (10.6, 51.0)])
    quay = box(10.6, 50.0, 10.7, 51.0)
    solids = (
        land("islet", box(10.25, 50.0, 10.5, 51.0)),
        Solid(key="c", cls="COALNE", source="cell", geometry=coast, kind=SolidKind.COASTLINE),
        Solid(key="q", cls="SLCONS", source="cell", geometry=quay, kind=SolidKind.STRUCTURE),
    )
    chart = index(
        source=source(kind=SourceKind.VECTOR, scale=None),
        depth_areas=(
            depth_area("a", box(10.0, 50.0, 10.25, 51.0), 0.0),
            depth_area("blank", box(10.8, 50.0, 10.9, 51.0), None),
        ),
        dangers=(rock("r", 10.95, 50.5, 3.0), rock("foul", 10.95, 50.6, geometry=quay)),
        soundings=(sounding("s", 10.96, 50.5, 3.0),),
        contours=(contour("k", box(10.9, 50.0, 10.95, 51.0).exterior, 3.0),),
        unsurveyed=(unsurveyed("u", box(10.5, 50.0, 10.6, 51.0)),),
        solids=solids,
    )
    near = chart.near(SEARCH)
    assert len(near.objects) == 10
    assert chart.coverage(SEARCH, near).equals(box(10.0, 50.0, 10.5, 51.0))
    assert np.all(shapely.is_valid(near.shapes))
