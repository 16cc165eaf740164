"""Depth areas of two charts that do not go together; in metres on the equator.

The corridor is 100 m either side of a leg of 5,000 m; 0.5 mm at 1:20,000 is 10 m (common practice).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import DepthArea
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Quality, Source
from routecheck.model.view import Disagreement
from routecheck.survey.compare_charts import charts_differ
from tests.survey.charts import EXACT, contour, covered, depth_area, land, rock, source, zone
from tests.survey.equator import Shape, at, box, locals_on, plane

SEA = box(-500.0, 6000.0, -500.0, 500.0)
HALF = Quality(name="half a metre", vertical_m=0.5, horizontal_m=0.0)


def area(
    low_m: float | None, high_m: float | None, where: Shape = SEA, cls: str = "DEPARE"
) -> DepthArea:
    return replace(depth_area(f"{low_m}", where, low_m), deep_end_m=high_m, cls=cls)


def chart(name: str, *areas: DepthArea, **more: object) -> Chart:
    of = {key: more.pop(key) for key in list(more) if key in Source.__dataclass_fields__}
    facts = {"coverage": (covered(SEA, name),), **more}
    return Chart(source=source(name, **of), depth_areas=areas, **facts)  # type: ignore[arg-type]


def found(*charts: Chart) -> list[Disagreement]:
    return list(charts_differ(plane(), locals_on(plane(), *charts)))


def told(*charts: Chart) -> list[tuple[str, float, str, float, float]]:
    return [
        (d.shoaler.id, d.shoaler_depth_m, d.deeper.id, d.deeper_depth_m, round(d.uncertainty_m, 6))
        for d in found(*charts)
    ]


SHOAL, DEEP = chart("shoal", area(2.0, 5.0)), chart("deep", area(20.0, 30.0))
BOTH = [("shoal", 5.0, "deep", 20.0, 0.0)]


def test_a_shoal_end_deeper_than_the_others_deep_end() -> None:
    assert told(SHOAL, DEEP) == told(DEEP, SHOAL) == BOTH
    assert told(SHOAL, chart("c", area(5.0, 10.0))) == []
    assert told(SHOAL, chart("c", area(3.0, 50.0))) == []
    assert told(SHOAL) == told() == []
    assert told(SHOAL, chart("c", area(None, 30.0))) == []
    assert told(SHOAL, chart("c")) == told(chart("c"), SHOAL) == []


@pytest.mark.parametrize(
    ("low_m", "high_m", "cls", "end_m"),
    [
        (2.0, None, "DEPARE", None),  # how deep it is at most is not said
        (2.0, None, "DRGARE", 2.0),  # dredged to that depth
        (2.0, 3.0, "DRGARE", 3.0),
        (-2.0, 0.0, "DEPARE", 0.0),
        (0.0, None, "DRGARE", 0.0),
    ],
)
def test_the_deep_end(low_m: float, high_m: float | None, cls: str, end_m: float | None) -> None:
    wanted = [] if end_m is None else [("shoal", end_m, "deep", 20.0, 0.0)]
    assert told(chart("shoal", area(low_m, high_m, cls=cls)), DEEP) == wanted


@pytest.mark.parametrize(
    ("deep", "shoal", "deep_m", "room_m"),
    [
        (HALF, EXACT, 5.5, None),
        (HALF, EXACT, 5.75, 0.5),
        (EXACT, HALF, 5.5, None),
        (HALF, HALF, 6.0, None),
        (HALF, HALF, 6.25, 1.0),
        # CATZOC C: 2 m and 5 % of each depth: 2.25 m at 5 m, 2.5 m at 10 m.
        (CATZOC_QUALITY[4], CATZOC_QUALITY[4], 10.0, 4.75),
        (UNKNOWN_QUALITY, EXACT, 5.25, 0.0),
    ],
)
def test_within_the_uncertainties_of_both_they_agree(
    deep: Quality, shoal: Quality, deep_m: float, room_m: float | None
) -> None:
    held = (
        chart("shoal", area(2.0, 5.0), quality=shoal),
        chart("deep", area(deep_m, 30.0), quality=deep),
    )
    wanted = [] if room_m is None else [("shoal", 5.0, "deep", deep_m, room_m)]
    assert told(*held) == wanted


def test_a_depth_of_nothing_counts() -> None:
    wet, dry = chart("wet", area(0.0, 5.0)), chart("dry", area(-3.0, -1.0))
    assert told(wet, dry) == [("dry", -1.0, "wet", 0.0, 0.0)]


def test_only_areas_that_state_a_depth_are_compared() -> None:
    dry = chart("dry", area(-3.0, -1.0))
    assert told(dry, chart("bare", area(None, None))) == []
    wreck = replace(rock("w", 0.0, 0.0, 40.0), geometry=box(1000.0, 2000.0, -90.0, 90.0))
    other = chart(
        "other",
        area(2.0, 4.0),
        dangers=(wreck,),
        solids=(land("l", box(3000.0, 3500.0, -90.0, 90.0)),),
        contours=(contour("c", shapely.LineString([at(0.0, 0.0), at(5000.0, 0.0)]), 60.0),),
    )
    assert told(SHOAL, other) == told(other, SHOAL) == []


def test_quality_where_they_share_their_water() -> None:
    """The worst zone there and the source's own; not one elsewhere."""
    west, east = box(-500.0, 2000.0, -500.0, 500.0), box(2000.0, 6000.0, -500.0, 500.0)
    shoal = chart("shoal", area(2.0, 5.0, box(500.0, 1000.0, -500.0, 500.0)))
    zones = (zone("w", west, 3, "deep"), zone("e", east, 4, "deep"))
    deep = chart("deep", area(20.0, 30.0), quality_zones=zones)
    assert told(shoal, deep) == [("shoal", 5.0, "deep", 20.0, 1.4)]  # CATZOC B: 1 m and 2 %
    rough = replace(deep, source=replace(deep.source, quality=CATZOC_QUALITY[4]))
    assert told(shoal, rough) == [("shoal", 5.0, "deep", 20.0, 3.0)]
    both = chart("shoal", area(2.0, 5.0, box(1500.0, 2500.0, -500.0, 500.0)))
    assert told(both, deep) == [("shoal", 5.0, "deep", 20.0, 3.0)]


def test_both_are_brought_to_chart_datum() -> None:
    msl = {"datum": "MSL", "datum_below_msl_m": 1.0}
    assert told(chart("shoal", area(2.0, 5.0), **msl), DEEP) == [("shoal", 4.0, "deep", 20.0, 0.0)]
    assert told(SHOAL, chart("deep", area(20.0, 30.0), **msl)) == [
        ("shoal", 5.0, "deep", 19.0, 0.0)
    ]
    assert told(SHOAL, chart("deep", area(6.0, 30.0), **msl)) == []


def test_what_is_too_coarse_or_on_a_datum_of_its_own_is_not_compared() -> None:
    assert told(SHOAL, chart("deep", area(20.0, 30.0), datum="MSL")) == []
    assert told(SHOAL, chart("deep", area(20.0, 30.0), scale=200_000.0)) == []
    assert told(chart("shoal", area(2.0, 5.0), scale=200_000.0), DEEP) == []


@pytest.mark.parametrize(
    ("scales", "wide_m", "differs"),
    [
        ((20_000.0, 20_000.0), 19.9, False),  # 10 m and 10 m
        ((20_000.0, 20_000.0), 20.1, True),
        ((10_000.0, 20_000.0), 14.9, False),
        ((20_000.0, 10_000.0), 15.1, True),
        ((1_000.0, 1_000.0), 4.95, False),  # 5 m at least
        ((1_000.0, 1_000.0), 5.05, True),
    ],
)
def test_what_both_show_is_wider_than_their_scales_can_place(
    scales: tuple[float, float], wide_m: float, differs: bool
) -> None:
    strip = box(1000.0, 3000.0, 10.0, 10.0 + wide_m)
    held = (chart("shoal", area(2.0, 5.0, strip), scale=scales[0]),
            chart("deep", area(20.0, 30.0), scale=scales[1]))  # fmt: skip
    assert bool(told(*held)) is differs


def test_only_what_lies_in_the_corridor_is_compared() -> None:
    off = box(1000.0, 3000.0, 101.0, 500.0)
    assert told(chart("shoal", area(2.0, 5.0, off)), DEEP) == []
    partly = box(1000.0, 3000.0, 90.0, 500.0)  # 10 m of it
    assert told(chart("shoal", area(2.0, 5.0, partly)), DEEP) == []
    beside = chart("shoal", area(2.0, 5.0, box(-500.0, 2000.0, -500.0, 500.0)))
    assert told(beside, chart("deep", area(20.0, 30.0, box(2000.0, 6000.0, -500.0, 500.0)))) == []


def test_where_they_differ() -> None:
    (one,) = found(chart("shoal", area(2.0, 5.0, box(1000.0, 2000.0, 20.0, 60.0))), DEEP)
    assert (one.along_m, one.cross_m) == pytest.approx((1000.0, 40.0), abs=0.01)
    assert (one.lon_deg, one.lat_deg) == pytest.approx(at(1500.0, 40.0), abs=1e-8)


def test_every_pair_of_three_charts_and_of_their_areas() -> None:
    """One that is bare, or has only areas without a depth, stops no other."""
    two = chart("two", area(40.0, 50.0), area(60.0, 70.0))
    bare = chart("a bare", area(None, None))
    assert sorted(told(bare, SHOAL, DEEP, two)) == [
        ("deep", 30.0, "two", 40.0, 0.0),
        ("deep", 30.0, "two", 60.0, 0.0),
        ("shoal", 5.0, "deep", 20.0, 0.0),
        ("shoal", 5.0, "two", 40.0, 0.0),
        ("shoal", 5.0, "two", 60.0, 0.0),
    ]
