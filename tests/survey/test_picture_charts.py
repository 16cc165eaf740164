"""The map's water, chart by chart: what hides what, how good it is, and how finely it is drawn."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import (
    CoverageArea,
    DatumZone,
    DepthArea,
    QualityZone,
    Solid,
    SolidKind,
)
from routecheck.model.picture import WaterArea, WaterPicture
from routecheck.model.source import UNKNOWN_QUALITY, Quality, SourceKind
from routecheck.survey import picture as module
from routecheck.survey.picture import picture
from routecheck.survey.settings import CLEARED_BELOW_M
from tests.survey.charts import depth_area, source, unsurveyed
from tests.survey.test_picture import SEA, cell, covers, here, legs

EAST = shapely.box(10.04, 49.5, 10.5, 50.5)
WEST_AT, EAST_AT = (10.02, 50.0), (10.08, 50.0)
PATCH = shapely.box(10.02, 50.0, 10.03, 50.01)


def shown(*charts: Chart) -> WaterPicture:
    return picture(ChartSet(charts=charts), here())


def scaled(name: str, scale: float | None, shape: Any = SEA, **facts: Any) -> Chart:
    return replace(
        cell(name, 5.0, shape), source=source(name, scale=scale, **facts.pop("of", {})), **facts
    )


def only(found: WaterPicture) -> WaterArea:
    (area,) = found.areas
    return area


def test_what_the_map_is_told_to_draw_beneath() -> None:
    assert shown().coarse_clears_from_m == CLEARED_BELOW_M == 200.0
    assert shown().areas == shown().ground == shown().remarks == ()


def test_a_loose_file_takes_nothing_from_a_cell_and_no_cell_takes_from_it() -> None:
    vector = {"kind": SourceKind.VECTOR}
    loose = scaled("loose", 5000.0, EAST, of=vector)
    harbour, coast = scaled("harbour", 2000.0, EAST), scaled("coast", 20000.0)
    found = shown(loose, coast, harbour)
    assert covers(found, *EAST_AT) == ["harbour", "loose"]
    assert covers(found, *WEST_AT) == ["coast"]
    assert covers(shown(loose, coast), *EAST_AT) == ["coast", "loose"]
    bare = scaled("loose", None, EAST, of=vector)
    assert covers(shown(bare, harbour), *EAST_AT) == ["harbour", "loose"]
    assert not any(area.coarse for area in shown(bare, harbour).areas)


def test_a_cell_that_hides_its_scale_lies_beneath_all_others() -> None:
    hiding, coast = scaled("hiding", None), scaled("coast", 90000.0, EAST)
    found = shown(hiding, coast)
    assert covers(found, *EAST_AT) == ["coast"]
    assert covers(found, *WEST_AT) == ["hiding"]
    assert {area.source: area.coarse for area in found.areas} == {"hiding": True, "coast": False}


def test_of_two_cells_that_are_too_coarse_neither_hides_the_other() -> None:
    found = shown(scaled("small", 900000.0), scaled("larger", 500000.0, EAST))
    assert covers(found, *EAST_AT) == ["larger", "small"]


def test_what_is_said_not_to_be_covered_hides_nothing() -> None:
    """CATCOV 2 (IHO S-57 ed. 3.1, attribute 18): no coverage available."""
    without = CoverageArea(key="w", cls="M_COVR", source="l", geometry=SEA, covered=False)
    large = scaled("large", 5000.0, EAST)
    large = replace(large, coverage=(*large.coverage, without))
    found = shown(scaled("small", 20000.0), large)
    assert covers(found, *WEST_AT) == ["small"]
    assert covers(found, *EAST_AT) == ["large"]


def test_a_cell_without_a_coverage_hides_what_its_depth_areas_show() -> None:
    found = shown(scaled("small", 20000.0), scaled("large", 5000.0, EAST, coverage=()))
    assert covers(found, *WEST_AT) == ["small"]
    assert covers(found, *EAST_AT) == ["large"]
    # With one it hides no more than that, whatever else it draws.
    wide = scaled("large", 5000.0, EAST)
    wide = replace(wide, depth_areas=(depth_area("a", SEA, 9.0, of="large"),))
    assert covers(shown(scaled("small", 20000.0), wide), *WEST_AT) == ["large", "small"]


def zone(key: str, shape: Any, catzoc: int | None) -> QualityZone:
    return QualityZone(key=key, cls="M_QUAL", source="one", geometry=shape, catzoc=catzoc)


def rated(area: DepthArea, *zones: QualityZone, quality: Quality = UNKNOWN_QUALITY) -> float | None:
    chart = Chart(
        source=source("one", quality=quality), depth_areas=(area,), quality_zones=tuple(zones)
    )
    return only(shown(chart)).vertical_uncertainty_m


def test_how_wrong_an_areas_depth_may_be() -> None:
    """CATZOC A1: 0.5 m + 1 % of the depth, B: 1 m + 2 % (IHO S-57 ed. 3.1, attribute 72)."""
    area = depth_area("a", PATCH, 10.0, of="one")
    good, fair = zone("g", SEA, 1), zone("f", shapely.box(10.0, 49.9, 10.025, 50.1), 3)
    far = zone("x", shapely.box(10.05, 49.9, 10.06, 50.1), 4)
    known = Quality(name="q", vertical_m=0.25, vertical_share=0.05)
    assert rated(area) is None
    assert rated(area, good) == pytest.approx(0.6)
    assert rated(area, good, fair, far) == pytest.approx(1.2)
    assert rated(area, zone("u", SEA, 6)) is None
    assert rated(area, quality=known) == pytest.approx(0.75)
    assert rated(area, good, quality=known) == pytest.approx(0.75)
    # SOUACC of the area itself counts where it is the worse, and says nothing alone.
    assert rated(replace(area, depth_uncertainty_m=3.0), good) == 3.0
    assert rated(replace(area, depth_uncertainty_m=0.1), good) == pytest.approx(0.6)
    assert rated(replace(area, depth_uncertainty_m=3.0)) is None
    assert rated(replace(area, unreliable=True), good, quality=known) is None


def datum(key: str, shape: Any, name: str) -> DatumZone:
    return DatumZone(key=key, cls="M_SDAT", source="one", geometry=shape, datum=name)


def test_from_which_datum_an_areas_depth_is_measured() -> None:
    one = Chart(source=source("one"), depth_areas=(depth_area("a", PATCH, 10.0, of="one"),))
    assert only(shown(one)).datum == "LAT"
    here, again = datum("d", SEA, "MLLW"), datum("e", SEA, "MLWS")
    assert only(shown(replace(one, datum_zones=(here, again)))).datum == "MLLW"
    assert only(shown(replace(one, datum_zones=(again, here)))).datum == "MLWS"
    beside = datum("b", shapely.box(10.05, 49.9, 10.06, 50.1), "MLLW")
    assert only(shown(replace(one, datum_zones=(beside,)))).datum == "LAT"
    blank = replace(one, depth_areas=(depth_area("a", PATCH, None, of="one"),))
    assert only(shown(replace(blank, datum_zones=(here,)))).datum == "MLLW"
    unseen = replace(one, depth_areas=(), unsurveyed=(unsurveyed("u", PATCH, of="one"),))
    found = only(shown(unseen))
    assert (found.datum, found.charted_depth_m, found.vertical_uncertainty_m) == ("LAT", None, None)


def test_a_charts_coastline_is_a_line_and_its_land_an_area() -> None:
    shore = shapely.LineString([(10.02, 50.0), (10.024, 50.004), (10.03, 50.0)])
    kinds = [(SolidKind.LAND, PATCH), (SolidKind.COASTLINE, shore), (SolidKind.STRUCTURE, PATCH)]
    solids = tuple(
        Solid(key=str(n), cls="c", source="one", geometry=shape, kind=kind)
        for n, (kind, shape) in enumerate(kinds)
    )
    found = shown(Chart(source=source("one"), solids=solids))
    assert [(g.structure, g.geometry.geom_type, g.source) for g in found.ground] == [
        (False, "Polygon", "one"), (True, "LineString", "one"), (True, "Polygon", "one"),
    ]  # fmt: skip
    lines = replace(Chart(source=source("one")), solids=solids[1:2])
    assert [g.geometry.length for g in shown(lines).ground] == [pytest.approx(shore.length)]


def test_the_shores_of_land_are_drawn_with_fewer_corners_and_piers_are_left_as_they_are() -> None:
    """A corner every seven metres of a circle, of which a screen cannot show half."""
    islet = shapely.Point(10.02, 50.0).buffer(0.004, quad_segs=200)
    solids = tuple(
        Solid(key=kind, cls="c", source="one", geometry=islet, kind=kind)
        for kind in (SolidKind.LAND, SolidKind.STRUCTURE)
    )
    land, pier = (g.geometry for g in shown(Chart(source=source("one"), solids=solids)).ground)
    assert shapely.get_num_coordinates(land) < 400
    assert land.symmetric_difference(islet).area < 0.02 * islet.area
    assert shapely.get_num_coordinates(pier) == shapely.get_num_coordinates(islet) == 801


def test_what_another_chart_shows_whole_leaves_nothing() -> None:
    found = shown(scaled("small", 20000.0, PATCH), scaled("large", 5000.0))
    assert [area.source for area in found.areas] == ["large"]


def test_mixed_shapes_keep_their_areas_alone() -> None:
    """What clipping leaves of an area: its areas, not the lines and points beside them."""
    box, line = shapely.box(0.0, 0.0, 1.0, 1.0), shapely.LineString([(3.0, 0.0), (3.0, 1.0)])
    pair = shapely.MultiPolygon([shapely.box(5, 0, 6, 1), shapely.box(7, 0, 8, 1)])
    held = np.empty(5, dtype=object)
    held[:] = [
        box,
        shapely.GeometryCollection([shapely.box(10, 0, 11, 1), line, shapely.Point(20.0, 0.0)]),
        line,
        pair,
        shapely.GeometryCollection([line, shapely.MultiPolygon([shapely.box(12, 0, 13, 2)])]),
    ]
    simple = module._simplified(held, 1e-6)
    assert [shape.geom_type for shape in simple] == [
        "Polygon", "MultiPolygon", "Polygon", "MultiPolygon", "MultiPolygon",
    ]  # fmt: skip
    assert [shape.area for shape in simple] == pytest.approx([1.0, 1.0, 0.0, 2.0, 2.0])
    assert held[2] is line


def test_the_track_is_drawn_every_half_mile_and_with_400_parts_at_most() -> None:
    short, mile, long = legs((10.0, 0.0), (10.005, 0.0), (10.0217, 0.0), (14.0, 0.0))
    tracks = picture(ChartSet(), (short, mile, long)).tracks
    # 0.3 miles, a hair over one mile, and 239 miles.
    assert [len(track.along_m) for track in tracks] == [2, 4, 401]
    for track, leg in zip(tracks, (short, mile, long), strict=True):
        assert track.along_m == pytest.approx(
            np.linspace(0.0, leg.length_m, len(track.along_m)), abs=1e-9
        )
        lon, lat, _ = leg.track(track.along_m)
        assert (track.lon_deg.tolist(), track.lat_deg.tolist()) == (lon.tolist(), lat.tolist())


def test_the_corridors_outline_of_a_long_leg_bends_with_it() -> None:
    """Thirty miles at 65 degrees: one straight piece would leave the curved corridor by 100 m."""
    (leg,) = legs((10.0, 65.0), (10.9, 65.3))
    (drawn,) = picture(ChartSet(), (leg,)).corridors
    whole = leg.outline
    assert drawn.leg == 1
    assert drawn.geometry.symmetric_difference(whole).area < 0.02 * whole.area
    over = legs((179.9, 10.0), (-179.8, 10.0), (-179.7, 10.1))
    shapes = [one.geometry for one in picture(ChartSet(), over).corridors]
    assert shapes[1].bounds[0] == pytest.approx(180.2, abs=0.01)
    assert shapes[0].intersects(shapes[1])


def test_as_many_areas_as_may_be_are_all_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    boxes = [shapely.box(10.0, 50.0 + k * 0.004, 10.1, 50.004 + k * 0.004) for k in range(5)]
    areas = tuple(depth_area(str(k), box, 5.0, of="one") for k, box in enumerate(boxes))
    chart = Chart(source=source("one"), depth_areas=areas)
    for most, remarks in ((5, 0), (4, 1)):
        monkeypatch.setattr(module, "MOST_AREAS", most)
        found = shown(chart)
        assert [area.key for area in found.areas] == [f"one/{k}" for k in range(most)]
        assert len(found.remarks) == remarks
