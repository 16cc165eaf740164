"""Water that a survey must not pass over in silence: found by looking for false clears."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet, Grid, Problem
from routecheck.model.heights import SeriesHeights
from routecheck.model.route import LegLine, Route
from routecheck.model.source import SourceKind
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import LegView
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.survey.charts import covered, depth_area, rock, route, source
from tests.survey.memory_grid import MemoryGrid

GEOD = Geod(ellps="WGS84")
WATER = shapely.box(-0.2, -0.2, 0.2, 0.2)
ROUTE = route([(-0.02, 0.0), (0.02, 0.0)])
ACROSS = (-0.001, -0.001, 0.001, 0.001)


def cell(name: str, scale: float = 20000.0, depth_m: float = 20.0, **more: object) -> Chart:
    facts: dict[str, object] = {
        "source": source(name, scale=scale),
        "depth_areas": (depth_area("sea", WATER, depth_m, of=name),),
        "coverage": (covered(WATER, of=name),),
    }
    return Chart(**{**facts, **more})  # type: ignore[arg-type]


def views_of(
    *charts: Chart, grids: tuple[Grid, ...] = (), on: Route = ROUTE, width_m: float = 100.0
) -> tuple[LegView, ...]:
    _, views = survey(
        on, ChartSet(charts=charts, grids=grids), SurveySettings(cross_track_m=width_m)
    )
    return views


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_cells_of_one_scale_neither_hides_what_the_other_shows(order: int) -> None:
    # IMO Res. MSC.232(82), 11.2, prefers the largest scale; between equals nothing is to choose.
    charts = (
        cell("a", depth_m=20.0),
        cell("b", depth_m=3.0, dangers=(rock("r", 0.0, 0.0, of="b"),)),
    )
    (view,) = views_of(*charts[::order])
    assert [met.object.key for met in view.dangers] == ["b/r"]
    assert {met.charted_depth_m for met in view.depths} == {20.0, 3.0}


@pytest.mark.parametrize("kind", list(SourceKind)[:2])
def test_an_area_without_a_depth_is_a_hole_though_another_lies_under_it(kind: SourceKind) -> None:
    """Found on 2026-11-25: the depth of the area beneath was taken for both."""
    sea = cell("cell", source=source("cell", kind=kind))
    blank = depth_area("blank", shapely.box(*ACROSS), None)
    (view,) = views_of(replace(sea, depth_areas=(*sea.depth_areas, blank)))
    assert not views_of(sea)[0].gaps
    assert [gap.why for gap in view.gaps] == ["cell charts water here without a depth"]


@pytest.mark.parametrize("scale", [5000.0, None])
def test_what_a_chart_lost_is_told_where_it_holds_nothing_else(scale: float | None) -> None:
    far = depth_area("far", shapely.box(5.0, 5.0, 6.0, 6.0), 9.0, of="lossy")
    here = Problem(source="lossy", text="its only object here was lost", bounds=ACROSS)
    elsewhere = Problem(source="lossy", text="elsewhere", bounds=(5.0, 5.0, 5.1, 5.1))
    kind = SourceKind.VECTOR if scale is None else SourceKind.CHART_CELL
    lossy = Chart(
        source=source("lossy", scale=scale, kind=kind),
        depth_areas=(far,),
        problems=(here, elsewhere),
    )
    (view,) = views_of(cell("cell"), lossy)
    assert [problem.text for problem in view.problems] == [here.text]


def test_what_was_lost_and_could_lie_anywhere_is_told_once_a_route() -> None:
    far = depth_area("far", shapely.box(5.0, 5.0, 6.0, 6.0), 9.0, of="loose")
    lost = Problem(source="loose", text="its shape cannot be read")
    loose = Chart(
        source=source("loose", scale=None, kind=SourceKind.VECTOR),
        depth_areas=(far,),
        problems=(lost,),
    )
    on = route([(-0.02, 0.0), (0.0, 0.0), (0.02, 0.0)])
    first, second = views_of(cell("cell"), loose, on=on)
    assert first.problems == (lost,) and not second.problems
    # One that says what it covers, and covers none of this, has lost nothing here.
    bounded = replace(loose, coverage=(covered(shapely.box(5.0, 5.0, 6.0, 6.0), of="loose"),))
    first, second = views_of(cell("cell"), bounded, on=on)
    assert not first.problems and not second.problems


def test_a_cell_that_lost_its_coverage_says_so_though_another_covers() -> None:
    lost = Problem(source="harbour", text="its coverage was lost")
    harbour = Chart(
        source=source("harbour", scale=5000.0),
        dangers=(rock("r", 0.0, 0.0, of="harbour"),),
        problems=(lost,),
    )
    (view,) = views_of(cell("coast"), harbour)
    assert view.problems == (lost,)


def test_a_part_of_a_grid_that_cannot_be_read_is_told_though_a_chart_covers_it() -> None:
    grid = MemoryGrid(np.full((80, 80), np.nan), x=-0.04, y=0.04, dx=0.001, dy=0.001)
    grid.source = replace(grid.source, resolution_m=110.0)
    here = Problem(source="memory", text="this part cannot be read", bounds=(-0.04, -0.04, 0, 0.04))
    other = replace(here, text="nor can that", bounds=(0.03, 0.03, 0.04, 0.04))
    grid.problems = (here, other)
    (view,) = views_of(cell("cell"), grids=(grid,))
    assert view.problems == (here,)


@pytest.mark.parametrize(("lat_deg", "half_m"), [(50.0, 18520.0), (80.0, 9260.0)])
def test_a_great_circles_wide_corridor_has_no_wedge_between_its_pieces(
    lat_deg: float, half_m: float
) -> None:
    (start, end) = (0.0, lat_deg), (4.0, lat_deg + 0.3)
    track = np.array(GEOD.npts(*start, *end, 400))
    course = np.array(GEOD.inv(*track[:-1].T, *track[1:].T)[0])
    rocks = []
    for side in (-90.0, 90.0):
        lon, lat, _ = GEOD.fwd(*track[:-1].T, course + side, np.full(399, 0.99 * half_m))
        rocks += [rock(f"{side}/{i}", x, y) for i, (x, y) in enumerate(zip(lon, lat, strict=True))]
    (view,) = views_of(
        Chart(source=source(), dangers=tuple(rocks)),
        on=route([start, end], line=LegLine.GREAT_CIRCLE),
        width_m=half_m,
    )
    # Every one lies a hundredth inside of the corridor's edge, by another implementation.
    assert {met.object.key for met in view.dangers if met.place.touch == "corridor"} == {
        one.key for one in rocks
    }


@pytest.mark.parametrize("back", [(-0.02, 0.0), (-0.02, 1e-7), (-0.02, 1e-4)])
def test_a_turn_straight_back_with_a_radius_is_surveyed(back: tuple[float, float]) -> None:
    on = route([(-0.02, 0.0), (0.02, 0.0), back], turn_radius_m=300.0)
    for view in views_of(cell("cell"), on=on):
        assert view.depths and not view.gaps


def test_the_boat_of_these_tests_would_be_told() -> None:
    """The same through the checks: a rock that only an equal cell shows is a danger."""
    from routecheck.api import vet

    boat = Boat(name="b", draught_m=2.0, margins=Margins(cross_track_m=100.0))
    charts = ChartSet(charts=(cell("a"), cell("b", dangers=(rock("r", 0.0, 0.0, of="b"),))))
    assert vet(ROUTE, charts, boat).report.verdict == "hazards"


def test_a_long_danger_lies_in_the_shoalest_of_its_depth_areas_whichever_piece_met_it_last() -> (
    None
):
    # 15 nmi of leg: three pieces, of which only the first comes near the shoal.
    shoal, deep = shapely.box(-0.01, -0.05, 0.02, 0.05), shapely.box(0.02, -0.05, 0.3, 0.05)
    foul = rock("foul", 0.0, 0.0, depth_in_area_range=True)
    foul = replace(foul, geometry=shapely.box(0.0, -0.0005, 0.25, 0.0005))
    chart = Chart(
        source=source(),
        depth_areas=(depth_area("shoal", shoal, 1.0), depth_area("deep", deep, 20.0)),
        dangers=(foul,),
    )
    (view,) = views_of(chart, on=route([(0.0, 0.0), (0.25, 0.0)]))
    assert [met.area_depth_m for met in view.dangers] == [1.0]


def test_a_grid_on_a_datum_that_the_tide_does_not_relate_to_counts_as_a_chart_does() -> None:
    from routecheck.api import vet

    start = datetime(2027, 1, 1, tzinfo=UTC)
    time_s = start.timestamp() + np.arange(0.0, 48 * 3600.0, 600.0)
    sample_m = 1.0 + 1.5 * np.cos((time_s - time_s[0]) / (12.4 * 3600.0) * 2.0 * np.pi)
    station = TideStation(name="s", heights=SeriesHeights(time_s=time_s, sample_m=sample_m))
    tide = Tide(datum="MLLW", uncertainty_m=0.0, stations=(station,))
    grid = MemoryGrid(np.full((80, 80), 3.2), x=-0.04, y=0.04, dx=0.001, dy=0.001)
    grid.source = replace(grid.source, resolution_m=50.0)
    boat = Boat(name="b", draught_m=2.0, speed_kn=5.0, margins=Margins(cross_track_m=100.0))
    # At high water: 3.2 m on LAT, but nobody says where MLLW stands, and the tide falls 0.5 below.
    departs = start + timedelta(hours=12)
    for charts in (
        ChartSet(charts=(cell("cell", depth_m=3.2),)),
        ChartSet(charts=(cell("cell"),), grids=(grid,)),
    ):
        assert vet(ROUTE, charts, boat, tide=tide, depart=departs).report.verdict == "hazards"


def test_a_wreck_on_the_very_end_of_a_long_great_circle_lies_in_the_corridor() -> None:
    # Found by the campaign on 2026-11-25: by a rounding it lay a hair beyond the last piece of the
    # leg and a hair short of the round end, and was told as outside of the corridor.
    start, end = (179.70307265731662, -65.83636858396213), (-179.85603285940886, -65.83705839697677)
    chart = Chart(source=source(), dangers=(rock("r", 180.14396714059112, end[1]),))
    (view,) = views_of(chart, on=route([start, end], line=LegLine.GREAT_CIRCLE), width_m=39.183)
    assert [met.place.touch for met in view.dangers] == ["corridor"]
