"""The water round a route for the map: what is in it, which source counts, where it lies."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import (
    CoverageArea,
    DatumZone,
    QualityZone,
    Solid,
    SolidKind,
    Unsurveyed,
)
from routecheck.model.picture import WaterPicture
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import UNKNOWN_QUALITY
from routecheck.survey import picture as module
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.picture import picture
from routecheck.survey.settings import SurveySettings
from routecheck.survey.surroundings import ROOM_M, surroundings
from tests.survey.charts import depth_area, source

SEA = shapely.box(9.5, 49.5, 10.5, 50.5)


def legs(*points: tuple[float, float]) -> tuple[LegCorridor, ...]:
    stops = [Waypoint(name=str(i), lon_deg=x, lat_deg=y) for i, (x, y) in enumerate(points)]
    route = Route(
        name="r",
        file="r",
        legs=tuple(
            Leg(number=i + 1, start=stops[i], end=stops[i + 1]) for i in range(len(stops) - 1)
        ),
    )
    return corridors(route, tuple((100.0, 200.0) for _ in route.legs))


@cache
def here() -> tuple[LegCorridor, ...]:
    return legs((10.0, 50.0), (10.05, 50.02), (10.1, 50.0))


def cell(name: str, depth_m: float, shape: shapely.Geometry, scale: float = 20000.0) -> Chart:
    return Chart(
        source=source(name, scale=scale),
        depth_areas=(depth_area("a", shape, depth_m, of=name),),
        coverage=(
            CoverageArea(key=f"{name}/c", cls="M_COVR", source=name, geometry=shape, covered=True),
        ),
    )


def covers(shown: WaterPicture, lon: float, lat: float) -> list[str]:
    point = shapely.Point(lon, lat)
    return sorted(a.source for a in shown.areas if a.geometry.intersects(point))


def test_track_and_corridor_are_those_of_the_legs() -> None:
    shown = picture(ChartSet(), here())
    assert [t.leg for t in shown.tracks] == [1, 2]
    assert (shown.tracks[0].lon_deg[0], shown.tracks[0].lat_deg[0]) == (10.0, 50.0)
    assert shown.tracks[0].lon_deg[-1] == pytest.approx(shown.tracks[1].lon_deg[0])
    for drawn, leg in zip(shown.corridors, here(), strict=True):
        whole = leg.outline
        assert drawn.geometry.symmetric_difference(whole).area < 1e-3 * whole.area
    west, south, east, north = shown.bounds_deg
    assert west < 10.0 < 10.1 < east
    assert south < 50.0 < 50.02 < north


def test_water_reaches_three_miles_and_not_to_the_horizon() -> None:
    chart = cell("one", 5.0, SEA)
    (area,) = picture(ChartSet(charts=(chart,)), here()).areas
    west, south, east, north = area.geometry.bounds
    room_deg = ROOM_M / 1852.0 / 60.0
    assert south == pytest.approx(50.0 - room_deg, abs=0.01)
    assert north == pytest.approx(50.02 + room_deg, abs=0.01)
    assert 9.8 < west < 9.95
    assert 10.15 < east < 10.3


def test_what_lies_far_off_is_left_out() -> None:
    far = cell("far", 5.0, shapely.box(20.0, 50.0, 21.0, 51.0))
    shown = picture(ChartSet(charts=(far,)), here())
    assert shown.areas == ()


def test_of_two_adequate_cells_the_larger_scale_is_shown() -> None:
    small = cell("small", 5.0, SEA, scale=90000.0)
    large = cell("large", 9.0, shapely.box(10.04, 49.5, 10.5, 50.5), scale=12000.0)
    shown = picture(ChartSet(charts=(small, large)), here())
    assert covers(shown, 10.02, 50.0) == ["small"]
    assert covers(shown, 10.08, 50.0) == ["large"]


def test_of_two_cells_of_one_scale_neither_hides_the_other() -> None:
    first = cell("first", 5.0, SEA)
    second = cell("second", 9.0, shapely.box(10.04, 49.5, 10.5, 50.5))
    shown = picture(ChartSet(charts=(first, second)), here())
    assert covers(shown, 10.08, 50.0) == ["first", "second"]


def test_a_coarse_cell_takes_nothing_from_an_adequate_one_and_lies_beneath() -> None:
    coarse = cell("coarse", 5.0, SEA, scale=500000.0)
    fine = cell("fine", 9.0, shapely.box(10.04, 49.5, 10.5, 50.5))
    shown = picture(ChartSet(charts=(coarse, fine)), here())
    assert {a.source: a.coarse for a in shown.areas} == {"coarse": True, "fine": False}
    assert covers(shown, 10.02, 50.0) == ["coarse"]
    assert covers(shown, 10.08, 50.0) == ["fine"]
    tight = SurveySettings(cross_track_m=0.0, smallest_scale=10000.0)
    assert all(a.coarse for a in picture(ChartSet(charts=(fine,)), here(), settings=tight).areas)


def test_unsurveyed_water_and_blank_depths_are_holes() -> None:
    patch = shapely.box(10.02, 50.0, 10.03, 50.01)
    chart = replace(
        cell("one", 5.0, SEA),
        unsurveyed=(Unsurveyed(key="u", cls="UNSARE", source="one", geometry=patch),),
    )
    chart = replace(
        chart, depth_areas=(*chart.depth_areas, depth_area("blank", patch, None, of="one"))
    )
    holes = [
        a for a in picture(ChartSet(charts=(chart,)), here()).areas if a.charted_depth_m is None
    ]
    assert sorted(a.key for a in holes) == ["one/blank", "u"]


def test_land_and_structures() -> None:
    island = shapely.box(10.02, 50.0, 10.03, 50.01)
    pier = shapely.LineString([(10.04, 50.0), (10.05, 50.01)])
    chart = replace(
        cell("one", 5.0, SEA),
        solids=(
            Solid(key="l", cls="LNDARE", source="one", geometry=island, kind=SolidKind.LAND),
            Solid(key="s", cls="SLCONS", source="one", geometry=pier, kind=SolidKind.STRUCTURE),
        ),
    )
    ground = picture(ChartSet(charts=(chart,)), here()).ground
    assert [(g.structure, g.geometry.geom_type) for g in ground] == [
        (False, "Polygon"),
        (True, "LineString"),
    ]


def test_the_worst_stated_uncertainty_under_an_area_holds() -> None:
    # CATZOC B: 1 m + 2 %, C: 2 m + 5 % of the depth: IHO S-57 ed. 3.1, attribute 72.
    zones = tuple(
        QualityZone(key=f"q{catzoc}", cls="M_QUAL", source="one", geometry=box, catzoc=catzoc)
        for catzoc, box in ((3, SEA), (4, shapely.box(10.0, 49.9, 10.01, 50.1)), (6, SEA))
    )
    chart = replace(cell("one", 10.0, SEA), quality_zones=zones)
    (area,) = picture(ChartSet(charts=(chart,)), here()).areas
    assert area.vertical_uncertainty_m == pytest.approx(2.5)
    bare = replace(chart, quality_zones=zones[2:], source=source("one", quality=UNKNOWN_QUALITY))
    assert picture(ChartSet(charts=(bare,)), here()).areas[0].vertical_uncertainty_m is None


def test_datums_come_from_zones_and_from_a_stated_offset() -> None:
    zone = DatumZone(key="d", cls="M_SDAT", source="one", geometry=SEA, datum="MLLW")
    chart = replace(cell("one", 10.0, SEA), datum_zones=(zone,))
    assert picture(ChartSet(charts=(chart,)), here()).areas[0].datum == "MLLW"
    level = replace(
        cell("one", 10.0, SEA), source=source("one", datum="MSL", datum_below_msl_m=1.5)
    )
    (area,) = picture(ChartSet(charts=(level,)), here()).areas
    assert (area.charted_depth_m, area.datum) == (8.5, "chart datum")


def test_longitudes_run_on_over_the_antimeridian() -> None:
    over = legs((179.95, -17.0), (-179.99, -17.01), (-179.9, -17.0), (179.98, -17.05))
    charts = ChartSet(
        charts=(
            cell("west", 5.0, shapely.box(179.0, -18.0, 180.0, -16.0)),
            cell("east", 7.0, shapely.box(-180.0, -18.0, -179.0, -16.0)),
            cell("past", 9.0, shapely.box(180.05, -17.02, 180.06, -17.0), scale=5000.0),
        )
    )
    shown = picture(charts, over)
    track = np.concatenate([t.lon_deg for t in shown.tracks])
    assert np.abs(np.diff(track)).max() < 0.2
    assert covers(shown, 179.97, -17.0) == ["west"]
    assert covers(shown, 180.03, -17.0) == ["east"]
    assert covers(shown, 180.055, -17.01) == ["past"]
    assert covers(shown, -179.97, -17.0) == []


def test_borders_between_neighbours_stay_common() -> None:
    x = np.linspace(9.95, 10.15, 9000)
    y = 50.01 + 0.002 * np.sin(400 * x) + 0.0001 * np.sin(9000 * x)
    border = np.column_stack([x, y])
    south = shapely.Polygon([*border, (10.15, 49.98), (9.95, 49.98)])
    north = shapely.Polygon([*border, (10.15, 50.04), (9.95, 50.04)])
    chart = Chart(
        source=source("one"),
        depth_areas=(depth_area("s", south, 5.0, of="one"), depth_area("n", north, 9.0, of="one")),
    )
    first, second = (a.geometry for a in picture(ChartSet(charts=(chart,)), here()).areas)
    assert shapely.get_num_coordinates(first) < 0.7 * shapely.get_num_coordinates(south)
    assert first.intersection(second).area < 1e-12
    assert not list(first.union(second).buffer(1e-9).interiors)


def test_a_rock_of_an_area_does_not_vanish() -> None:
    speck = shapely.box(10.02, 50.0, 10.0200004, 50.0000004)
    chart = Chart(source=source("one"), depth_areas=(depth_area("r", speck, 0.5, of="one"),))
    (area,) = picture(ChartSet(charts=(chart,)), here()).areas
    assert not area.geometry.is_empty


def test_too_many_areas_keep_the_nearest_and_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_AREAS", 5)
    boxes = [shapely.box(10.0, 50.0 + k * 0.004, 10.1, 50.004 + k * 0.004) for k in range(12)]
    chart = Chart(
        source=source("one"),
        depth_areas=tuple(
            depth_area(f"{k:02d}", box, 5.0, of="one") for k, box in enumerate(boxes)
        ),
    )
    shown = picture(ChartSet(charts=(chart,)), here())
    assert len(shown.areas) == 5
    assert "5 depth areas nearest to the track of 12" in shown.remarks[0]
    assert "one/00" in {a.key for a in shown.areas}


def test_no_legs_are_refused() -> None:
    with pytest.raises(ValueError):
        surroundings(())
