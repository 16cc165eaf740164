"""The survey whole: what is asked and told of each leg."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet, Grid, Problem, Severity, Unread
from routecheck.model.route import Route
from routecheck.model.source import SourceKind
from routecheck.model.view import LegView
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.survey.charts import covered, depth_area, rock, route, source, zone
from tests.survey.memory_grid import MemoryGrid

ROUTE = route([(-0.02, 0.0), (0.0, 0.0), (0.02, 0.0)])
SHORT = route([(-0.004, 0.0), (0.004, 0.0)])
WATER = shapely.box(-0.2, -0.2, 0.2, 0.2)
FAR = shapely.box(5.0, 5.0, 6.0, 6.0)
HERE_DEG = (-0.001, -0.001, 0.001, 0.001)
FAR_DEG = (5.0, 5.0, 5.1, 5.1)


def cell(name: str = "cell", scale: float = 20000.0, depth_m: float = 20.0, **more: Any) -> Chart:
    facts: dict[str, Any] = {
        "source": source(name, scale=scale),
        "depth_areas": (depth_area("sea", WATER, depth_m, of=name),),
        "coverage": (covered(WATER, of=name),),
    }
    return Chart(**{**facts, **more})


def loose(name: str = "loose", **more: Any) -> Chart:
    return Chart(source=source(name, scale=None, kind=SourceKind.VECTOR), **more)


def views(
    *charts: Chart,
    grids: tuple[Grid, ...] = (),
    unread: tuple[Unread, ...] = (),
    on: Route = ROUTE,
    **settings: Any,
) -> tuple[LegView, ...]:
    held = ChartSet(charts=charts, grids=grids, unread=unread)
    return survey(on, held, SurveySettings(**{"cross_track_m": 100.0, **settings}))[1]


def texts(view: LegView) -> list[str]:
    return [problem.text for problem in view.problems]


def test_what_progress_is_told() -> None:
    said: list[tuple[int, int, str]] = []
    survey(
        ROUTE,
        ChartSet(charts=(cell(),)),
        SurveySettings(cross_track_m=100.0),
        progress=lambda done, of, what: said.append((done, of, what)),
    )
    assert said == [(0, 2, "leg 1"), (1, 2, "leg 2"), (2, 2, "survey done")]


def test_each_leg_has_its_corridors_facts() -> None:
    on = route([(-0.02, 0.0), (0.0, 0.0), (0.0, 0.03)], port_m=20.0, starboard_m=60.0)
    held = ChartSet(charts=(cell(),))
    corridors, (first, second) = survey(
        on, held, SurveySettings(cross_track_m=100.0, floor_m=30.0, floor_from="fix")
    )
    for corridor, view in zip(corridors, (first, second), strict=True):
        assert (view.length_m, view.start_along_m) == (corridor.length_m, corridor.start_along_m)
        assert (view.course_deg, view.end_course_deg) == (
            corridor.course_deg, corridor.end_course_deg,
        )  # fmt: skip
        assert (view.port_m, view.starboard_m) == (30.0, 60.0)
        assert view.width_from == "route, raised to 30.0 m (fix)"
        assert view.remarks == ("corridor from route, raised to 30.0 m (fix)",)
    assert (first.leg, second.leg) == on.legs
    assert (first.course_deg, second.course_deg) == pytest.approx((90.0, 0.0))
    assert views(cell())[0].remarks == ()


def test_a_chart_is_asked_if_it_holds_a_coverage_an_object_or_a_problem() -> None:
    lost = Problem(source="lost", text="nothing could be read of it")
    bare = Chart(source=source("bare"), coverage=(covered(WATER, of="bare"),))
    # It covers all layers, but says nothing of depth.
    assert {gap.layer for gap in views(bare, on=SHORT)[0].gaps} == {"depth"}
    assert {gap.layer for gap in views(loose(), on=SHORT)[0].gaps} > {"depth", "dangers"}
    alone = loose(depth_areas=(depth_area("sea", WATER, 9.0, of="loose"),))
    assert {gap.layer for gap in views(alone, on=SHORT)[0].gaps}.isdisjoint({"depth"})
    first, second = views(cell(), loose("lost", problems=(lost,)))
    assert (first.problems, second.problems) == ((lost,), ())


@pytest.mark.parametrize(
    ("file", "name"),
    [
        ("OTHER.000", "OTHER.000"),
        ("charts/OTHER.000", "OTHER.000"),
        ("a/b/charts/OTHER.000", "OTHER.000"),
        ("C:\\charts\\b\\OTHER.000", "OTHER.000"),
    ],
)
def test_what_was_left_unread_is_told_once_by_its_name(file: str, name: str) -> None:
    unread = (
        Unread(file=file, why="it is cut short"),
        Unread(file="notes.txt", why="a text", looks_like_chart=False),
    )
    first, second = views(cell(), unread=unread)
    assert first.problems == (
        Problem(
            source=name,
            text="left unread, and may cover this water: it is cut short",
            severity=Severity.NOT_ASSESSED,
            used=False,
        ),
    )
    assert second.problems == ()


def test_what_is_told_once_a_route_comes_before_the_first_legs_own() -> None:
    west, east = (-0.02, -0.01, -0.01, 0.01), (0.01, -0.01, 0.02, 0.01)
    first_own, second_own = (
        Problem(source="cell", text=text, bounds=bounds)
        for text, bounds in (("first", west), ("second", east))
    )
    lost = Problem(source="loose", text="lost")
    far = depth_area("far", FAR, 9.0, of="loose")
    first, second = views(
        cell(problems=(first_own, second_own)),
        loose(depth_areas=(far,), problems=(lost,)),
        unread=(Unread(file="x.000", why="why"),),
    )
    assert [problem.source for problem in first.problems] == ["x.000", "loose", "cell"]
    assert texts(first)[1:] == ["lost", "first"]
    assert texts(second) == ["second"]
    assert (first.leg, second.leg) == ROUTE.legs


def memory(depth_m: Any, name: str = "memory", cell_m: float = 89.0, **where: Any) -> Any:
    """Cells of 0.0008 degrees about the route, or elsewhere."""
    facts = {"x": -0.032, "y": 0.032, "dx": 0.0008, "dy": 0.0008}
    made: Any = MemoryGrid(np.broadcast_to(depth_m, (80, 80)) * 1.0, **{**facts, **where})
    made.source = replace(made.source, id=name, resolution_m=cell_m)
    return made


def test_a_grid_that_holds_no_depth_on_a_leg_is_not_among_its_grids() -> None:
    first, second = views(cell(), grids=(memory(np.where(np.arange(80) < 45, np.nan, 9.0)),))
    assert first.grids == ()
    assert len(second.grids) == 1


@pytest.mark.parametrize("beside", [(), (cell("rough", 900000.0),)])
def test_a_coarse_grid_counts_where_no_adequate_chart_states_a_depth(
    beside: tuple[Chart, ...],
) -> None:
    """DESIGN: where an adequate source covers, what is too coarse neither clears nor condemns."""
    east = shapely.box(0.0, -0.2, 0.2, 0.2)
    chart = cell(depth_areas=(depth_area("e", east, 9.0),), coverage=(covered(east),))
    grids = (memory(2.0, "coarse", 500.0), memory(np.nan, "fine"))
    first, second = (view.grids[0] for view in views(chart, *beside, grids=grids))
    assert first.source.id == second.source.id == "coarse"
    assert first.counts.all()
    # The stretch at the seam is not covered whole.
    assert not second.counts[second.along_from_m > 100.0].any()
    assert second.counts[second.along_from_m == 0.0].any()


def test_a_coarse_grid_alone_counts_and_an_adequate_one_beside_a_chart() -> None:
    (alone,) = views(grids=(memory(2.0, "coarse", 500.0),), on=SHORT)
    assert alone.grids[0].counts.all()
    grids = (memory(2.0, "coarse", 500.0), memory(9.0, "fine"))
    (view,) = views(cell(), grids=grids, on=SHORT)
    by_name = {met.source.id: met.counts for met in view.grids}
    assert by_name["fine"].all() and not by_name["coarse"].any()
    (view,) = views(cell(), grids=grids[:1], on=SHORT)
    assert not view.grids[0].counts.any()
    (view,) = views(cell("rough", 900000.0), grids=grids[:1], on=SHORT)
    assert view.grids[0].counts.all()


def test_sources_that_differ_and_old_surveys_are_in_the_view() -> None:
    old = replace(zone("z", WATER, 1), surveyed=1939)
    (view,) = views(cell(quality_zones=(old,)), grids=(memory(2.0, cell_m=50.0),), on=SHORT)
    (found,) = view.disagreements
    assert (found.shoaler_depth_m, found.deeper_depth_m) == (2.0, 20.0)
    (run,) = view.old_surveys
    assert run.year == 1939


def test_dangers_lie_where_the_rock_is_charted() -> None:
    first, second = views(cell(dangers=(rock("r", 0.01, 0.0005),)))
    assert first.dangers == ()
    (met,) = second.dangers
    assert met.place.along_m == pytest.approx(1113.2, abs=0.5)
    assert met.place.cross_m == pytest.approx(-55.3, abs=0.5)
