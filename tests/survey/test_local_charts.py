"""What each chart round a chunk covers, clears and hides; in metres on the equator."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import DatumZone
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Source, SourceKind
from routecheck.survey.local import LocalChart, on_chart_datum, split, usable_datum
from tests.survey.charts import (
    covered,
    depth_area,
    land,
    rock,
    sounding,
    source,
    unsurveyed,
    zone,
)
from tests.survey.equator import EAST_M, Shape, at, box, locals_on, plane

# The strip of 1,000 m north to south of a corridor of 100 m: its west from 0 to 2,500 m.
WEST, EAST = box(-400.0, 2500.0, -500.0, 500.0), box(2500.0, 5400.0, -500.0, 500.0)
WHOLE = box(-400.0, 5400.0, -500.0, 500.0)


def cell(name: str, *areas: Shape, cover: Shape | None = WHOLE, **more: object) -> Chart:
    of = {key: more.pop(key) for key in list(more) if key in Source.__dataclass_fields__}
    facts = {
        "depth_areas": tuple(depth_area(str(n), a, 9.0, name) for n, a in enumerate(areas)),
        "coverage": () if cover is None else (covered(cover, name),),
        **more,
    }
    return Chart(source=source(name, **of), **facts)  # type: ignore[arg-type]


def spans(shape: Shape) -> list[tuple[int, int]]:
    """From where to where its parts reach along the leg, in metres; all are strips across it."""
    return sorted(
        (round(part.bounds[0] * EAST_M), round(part.bounds[2] * EAST_M))
        for part in shapely.get_parts(shape)
        if not part.is_empty
    )


def local(name: str, *charts: Chart) -> LocalChart:
    (one,) = [c for c in locals_on(plane(), *charts) if c.source.id == name]
    return one


def test_depth_cover_is_what_is_stated_and_covered_and_not_taken() -> None:
    both = cell("a", WHOLE)
    assert spans(local("a", both).depth_cover()) == [(-400, 5400)]
    assert spans(local("a", cell("a", WHOLE, cover=WEST)).depth_cover()) == [(-400, 2500)]
    assert spans(local("a", cell("a", WEST)).depth_cover()) == [(-400, 2500)]
    assert spans(local("a", cell("a", WEST, cover=None)).depth_cover()) == [(-400, 2500)]
    island = (land("l", EAST, "a"),)
    assert spans(local("a", cell("a", WEST, solids=island)).depth_cover()) == [(-400, 5400)]
    fine = cell("fine", EAST, cover=EAST, scale=10_000.0)
    assert spans(local("a", both, fine).depth_cover()) == [(-400, 2500)]


@pytest.mark.parametrize(
    "blank",
    [
        {"unsurveyed": (unsurveyed("u", EAST, "a"),)},
        {"depth_areas": (depth_area("d", WHOLE, 9.0, "a"), depth_area("b", EAST, None, "a"))},
    ],
)
def test_what_is_blank_clears_nothing_and_hides_nothing(blank: dict[str, object]) -> None:
    large = cell("a", WHOLE, scale=10_000.0, **blank)
    assert spans(local("a", large).depth_cover()) == [(-400, 2500)]
    small = local("small", large, cell("small", WHOLE))
    assert spans(small.effective(WHOLE)) == [(2500, 5400)]
    # But there the smaller scale may not clear either.
    assert spans(small.taken) == [(-400, 5400)] and small.depth_cover().is_empty


def test_without_a_datum_that_can_clear_a_larger_scale_hides_nothing() -> None:
    for facts, hidden in (
        ({"datum": "MSL"}, []),
        ({"datum": "unknown"}, []),
        ({"datum": "MSL", "datum_below_msl_m": 0.0}, [(-400, 2500)]),
    ):
        large = cell("a", WEST, cover=WEST, scale=10_000.0, **facts)
        small = local("small", large, cell("small", WHOLE))
        assert spans(small.hidden) == hidden
        assert spans(small.taken) == [(-400, 2500)]


@pytest.mark.parametrize(
    ("large", "small", "takes"),
    [
        ({"scale": 19_999.0}, {"scale": 20_000.0}, True),
        ({"scale": 20_000.0}, {"scale": 20_000.0}, False),
        ({"scale": 180_000.0}, {"scale": 200_000.0}, True),
        ({"scale": 180_001.0}, {"scale": 200_000.0}, False),  # too coarse itself
        ({"scale": 20_000.0}, {"scale": None}, False),  # who states no scale may be the largest
        ({"scale": None}, {"scale": 20_000.0}, False),
        ({"scale": 10_000.0}, {"scale": None, "kind": SourceKind.VECTOR}, False),  # a user's own
        ({"scale": 10_000.0, "kind": SourceKind.VECTOR}, {"scale": 20_000.0}, False),
    ],
)
def test_who_takes_from_whom(
    large: dict[str, object], small: dict[str, object], takes: bool
) -> None:
    one = local("small", cell("large", WEST, cover=WEST, **large), cell("small", WHOLE, **small))
    wanted = [(-400, 2500)] if takes else []
    assert spans(one.taken) == spans(one.hidden) == wanted
    assert spans(one.effective(WHOLE)) == ([(2500, 5400)] if takes else [(-400, 5400)])


def test_two_larger_scales_take_both_what_they_cover() -> None:
    charts = (
        cell("a", WEST, cover=WEST, scale=10_000.0),
        cell("b", EAST, cover=box(3000.0, 5400.0, -500.0, 500.0), scale=12_000.0),
        cell("c", WHOLE),
    )
    one = local("c", *charts)
    assert spans(one.taken) == spans(one.hidden) == [(-400, 2500), (3000, 5400)]


def test_only_charts_that_hold_anything_near_are_local() -> None:
    far = box(90_000.0, 95_000.0, -500.0, 500.0)
    names = [
        c.source.id
        for c in locals_on(
            plane(),
            cell("far", far, cover=far),
            cell("cover alone", cover=WHOLE),
            cell("rock alone", cover=far, dangers=(rock("r", *at(100.0, 0.0), of="rock alone"),)),
            cell("coarse", WHOLE, scale=500_000.0),
        )
    ]
    assert names == ["cover alone", "rock alone", "coarse"]
    assert [
        c.coarse for c in locals_on(plane(), cell("a", WHOLE), cell("b", WHOLE, scale=2e5))
    ] == [
        False,
        True,
    ]


def datum_zone(datum: str, shape: Shape) -> DatumZone:
    return DatumZone(key=f"a/{datum}", cls="M_SDAT", source="a", geometry=shape, datum=datum)


@pytest.mark.parametrize(
    ("facts", "zoned", "clears"),
    [
        ({}, {}, [(-400, 5400)]),
        ({}, {"MLLW": EAST}, [(-400, 5400)]),
        ({}, {"MSL": EAST}, [(-400, 2500)]),
        ({"datum": "MSL"}, {}, []),
        ({"datum": "MSL"}, {"MLLW": EAST}, [(2500, 5400)]),
        ({"datum": "MSL"}, {"NAP": EAST}, []),
        ({"datum": "MSL", "datum_below_msl_m": 1.0}, {}, [(-400, 5400)]),
        ({"datum": "MSL", "datum_below_msl_m": 1.0}, {"MSL": EAST}, [(-400, 2500)]),
    ],
)
def test_only_a_low_water_datum_clears(
    facts: dict[str, object], zoned: dict[str, Shape], clears: list[tuple[int, int]]
) -> None:
    zones = tuple(datum_zone(datum, shape) for datum, shape in zoned.items())
    assert spans(local("a", cell("a", WHOLE, datum_zones=zones, **facts)).clears()) == clears


@pytest.mark.parametrize(
    ("datum", "offset_m", "usable", "brought"),
    [
        ("LAT", None, True, (5.0, "LAT")),
        ("LAT", 1.5, True, (5.0, "LAT")),
        ("MSL", None, False, (5.0, "MSL")),
        ("MSL", 1.5, True, (3.5, "chart datum")),
        ("MSL", 0.0, True, (5.0, "chart datum")),
        ("unknown", 1.5, False, (5.0, "unknown")),
    ],
)
def test_datums(
    datum: str, offset_m: float | None, usable: bool, brought: tuple[float, str]
) -> None:
    of = source(datum=datum, datum_below_msl_m=offset_m)
    assert usable_datum(of) is usable
    assert on_chart_datum(of, datum, 5.0) == brought


def test_where_the_quality_is_stated_and_where_depths_are_doubtful() -> None:
    zones = (zone("k", WEST, 1, "a"), zone("u", EAST, 6, "a"))
    held = {"unknown": UNKNOWN_QUALITY, "stated": CATZOC_QUALITY[1]}
    for said, zoned, known in (
        ("unknown", (), []),
        ("unknown", zones, [(-400, 2500)]),
        ("unknown", zones[:1], [(-400, 2500)]),
        ("stated", (), [(-400, 5400)]),
        ("stated", zones, [(-400, 2500)]),
        ("stated", zones[:1], [(-400, 5400)]),
    ):
        chart = cell("a", WHOLE, quality=held[said], quality_zones=zoned)
        assert spans(local("a", chart).known()) == known, (said, len(zoned))
    middle = box(1000.0, 2000.0, -500.0, 500.0)
    marked = replace(depth_area("m", middle, 9.0, "a"), unreliable=True)
    dot = replace(sounding("s", *at(4000.0, 0.0), 9.0, of="a"), unreliable=True)
    chart = cell("a", depth_areas=(depth_area("w", WHOLE, 9.0, "a"), marked), soundings=(dot,))
    assert spans(local("a", chart).doubtful()) == [(1000, 2000)]
    assert spans(local("a", chart).known()) == [(-400, 1000), (2000, 5400)]


def pieces(*shapes: Shape, regions: tuple[tuple[str, Shape], ...]) -> list[tuple[str, int, str]]:
    held = np.empty(len(shapes), dtype=object)
    held[:] = shapes
    found = split(held, regions, "rest")
    return [(label, origin, f"{p:.1f}") for p, label, origin in zip(*found, strict=True)]


def test_shapes_are_cut_along_regions() -> None:
    """Each part once, by the first region that holds it, and what is left by none."""
    left, right = shapely.box(0, 0, 2, 2), shapely.box(2, 0, 4, 2)
    regions = (("left", left), ("right", right))
    line = shapely.LineString([(1, 1), (5, 1)])
    assert pieces(line, regions=regions) == [
        ("left", 0, "LINESTRING (1.0 1.0, 2.0 1.0)"),
        ("right", 0, "LINESTRING (2.0 1.0, 4.0 1.0)"),
        ("rest", 0, "LINESTRING (4.0 1.0, 5.0 1.0)"),
    ]
    assert pieces(shapely.Point(2, 1), shapely.Point(9, 9), regions=regions) == [
        ("left", 0, "POINT (2.0 1.0)"),
        ("rest", 1, "POINT (9.0 9.0)"),
    ]
    # What merely touches a border from outside belongs to its own side.
    touching = shapely.LineString([(2, 1), (3, 1)])
    assert pieces(touching, regions=regions) == [("right", 0, "LINESTRING (2.0 1.0, 3.0 1.0)")]
    assert pieces(touching, regions=regions[:1]) == [("rest", 0, "LINESTRING (2.0 1.0, 3.0 1.0)")]
    assert pieces(touching, regions=()) == [("rest", 0, "LINESTRING (2.0 1.0, 3.0 1.0)")]
    assert pieces(regions=regions) == []
    inside = shapely.box(0.5, 0.5, 1.5, 1.5)
    areas = split(np.array([inside, shapely.box(1, 0, 3, 2)], dtype=object), regions, "rest")
    assert list(zip(areas[1], areas[2], strict=True)) == [("left", 0), ("left", 1), ("right", 1)]
    assert [a.area for a in areas[0]] == [1.0, 2.0, 2.0]
    overlapping = (("first", left), ("second", shapely.box(1, 0, 4, 2)))
    areas = split(np.array([shapely.box(0, 0, 4, 2)], dtype=object), overlapping, "rest")
    assert list(zip(areas[1], (a.area for a in areas[0]), strict=True)) == [
        ("first", 4.0),
        ("second", 4.0),
    ]


def test_a_shape_that_the_overlay_loses_is_kept_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Shape, "intersection", lambda _self, _other: shapely.Polygon())
    regions = (("left", shapely.box(0, 0, 2, 2)),)
    assert pieces(shapely.Point(2, 1), regions=regions) == [("rest", 0, "POINT (2.0 1.0)")]
    assert [label for label, *_ in pieces(shapely.box(1, 1, 3, 3), regions=regions)] == ["rest"]
