"""Which problems of charts and grids concern a leg, and which could lie anywhere."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, Problem, Severity
from tests.survey.charts import covered, depth_area, rock, route, source
from tests.survey.test_survey import FAR, FAR_DEG, HERE_DEG, cell, loose, memory, texts, views

ANYWHERE = [
    # severity, bounds, with a coverage -> whether it is told
    (Severity.NOT_ASSESSED, None, False, True),
    (Severity.CAUTION, None, False, False),
    (Severity.NOTE, None, False, False),
    (Severity.NOT_ASSESSED, FAR_DEG, False, False),
    (Severity.CAUTION, FAR_DEG, False, False),
    (Severity.NOT_ASSESSED, None, True, False),
]


@pytest.mark.parametrize(("severity", "bounds", "bounded", "told"), ANYWHERE)
def test_which_losses_could_lie_anywhere(
    severity: Severity,
    bounds: tuple[float, float, float, float] | None,
    bounded: bool,
    told: bool,
) -> None:
    lost = Problem(source="loose", text="lost", severity=severity, bounds=bounds)
    chart = loose(
        depth_areas=(depth_area("far", FAR, 9.0, of="loose"),),
        coverage=(covered(FAR, of="loose"),) if bounded else (),
        problems=(lost,),
    )
    first, second = views(cell(), chart)
    assert first.problems == ((lost,) if told else ())
    assert second.problems == ()


def test_what_a_leg_has_told_already_is_not_told_again() -> None:
    lost = Problem(source="loose", text="lost")
    chart = loose(
        depth_areas=(depth_area("near", shapely.box(0.005, -0.1, 0.1, 0.1), 9.0, of="loose"),),
        problems=(lost,),
    )
    views_ = views(cell(), chart, on=route([(-0.06, 0.0), (-0.03, 0.0), (0.02, 0.0)]))
    assert [texts(view) for view in views_] == [[], ["lost"]]


def test_problems_of_a_chart_that_a_larger_scale_hides_are_not_told() -> None:
    """All that it covers here is shown by the harbour's cell, but for the west of the first leg."""
    here = Problem(source="coast", text="here", bounds=HERE_DEG)
    whole = Problem(source="coast", text="whole")
    coast = cell("coast", 90000.0, problems=(here, whole))
    harbour = cell("harbour", 10000.0)
    assert [texts(view) for view in views(coast, harbour)] == [[], []]
    assert [texts(view) for view in views(coast)] == [["here", "whole"]] * 2
    east = shapely.box(-0.015, -0.2, 0.2, 0.2)
    some = cell(
        "harbour", 10000.0, depth_areas=(depth_area("e", east, 9.0, of="harbour"),),
        coverage=(covered(east, of="harbour"),),
    )  # fmt: skip
    first, _ = views(coast, some)
    assert texts(first) == ["here", "whole"]


def test_a_chart_whose_coverage_was_lost_is_not_hidden() -> None:
    lost = Problem(source="lost", text="its coverage was lost")
    bare = Chart(
        source=source("lost", scale=90000.0),
        dangers=(rock("r", 0.0, 0.0, of="lost"),),
        problems=(lost,),
    )
    assert [view.problems for view in views(cell("harbour", 10000.0), bare)] == [(lost,), (lost,)]


def test_problems_on_either_side_of_the_antimeridian() -> None:
    """A leg's longitudes run on over it, those of what was lost need not."""
    sea = shapely.box(179.0, -1.0, 181.0, 1.0)
    places = {
        "west": (179.96, -0.01, 179.97, 0.01),
        "east": (-179.97, -0.01, -179.96, 0.01),
        "past": (180.01, -0.01, 180.02, 0.01),
        "before": (-180.02, -0.01, -180.01, 0.01),
        "far": (178.0, -0.01, 178.1, 0.01),
        "north": (-179.97, 0.5, -179.96, 0.6),
    }
    problems = tuple(Problem(source="c", text=text, bounds=where) for text, where in places.items())
    chart = cell(
        "c", depth_areas=(depth_area("a", sea, 9.0, of="c"),), coverage=(covered(sea, of="c"),),
        problems=problems,
    )  # fmt: skip
    for ends in ([(179.95, 0.0), (-179.95, 0.0)], [(-179.95, 0.0), (179.95, 0.0)]):
        (view,) = views(chart, on=route(ends))
        assert texts(view) == ["before", "east", "past", "west"]


LOST, RAISED = Severity.NOT_ASSESSED, Severity.CAUTION
COLUMNS = np.arange(80)
HOLED, EAST = (np.where(n > COLUMNS, np.nan, 9.0) for n in (30, 41))
# depths, where they lie, severity and bounds of the problem -> the legs that are told
OF_GRIDS = [
    (9.0, 0.0, RAISED, None, [1, 2]),
    (9.0, 0.0, RAISED, FAR_DEG, [1, 2]),
    (9.0, 5.0, RAISED, None, []),
    (9.0, 5.0, LOST, None, []),
    (np.nan, 0.0, RAISED, None, []),
    (np.nan, 0.0, RAISED, HERE_DEG, []),
    (np.nan, 0.0, LOST, None, [1, 2]),
    (np.nan, 0.0, LOST, HERE_DEG, [1, 2]),
    (np.nan, 0.0, LOST, FAR_DEG, []),
    # Depths on half of the first leg, and on the second alone.
    (HOLED, 0.0, RAISED, None, [1, 2]),
    (HOLED, 0.0, LOST, FAR_DEG, [1, 2]),
    (EAST, 0.0, RAISED, None, [2]),
    (EAST, 0.0, LOST, FAR_DEG, [2]),
    (EAST, 0.0, LOST, None, [1, 2]),
]


@pytest.mark.parametrize(("depth_m", "off_deg", "severity", "bounds", "legs"), OF_GRIDS)
def test_problems_of_grids(
    depth_m: Any,
    off_deg: float,
    severity: Severity,
    bounds: tuple[float, float, float, float] | None,
    legs: list[int],
) -> None:
    """What was lost concerns a leg wherever its water was; the rest where the grid holds depths."""
    grid = memory(depth_m, x=-0.032 + off_deg)
    grid.problems = (Problem(source="memory", text="p", severity=severity, bounds=bounds),)
    found = views(cell(), grids=(grid,))
    assert [view.leg.number for view in found if view.problems] == legs


@pytest.mark.parametrize(("off_m", "told"), [(0.9, True), (1.6, False)])
def test_what_a_grid_lost_beside_the_corridor_is_no_affair_of_the_leg(
    off_m: float, told: bool
) -> None:
    south = (100.0 + off_m) / 110_574.4  # metres to a degree of latitude at the equator, WGS 84
    grid = memory(np.nan)
    grid.problems = (Problem(source="memory", text="p", bounds=(-0.01, south, 0.01, 0.1)),)
    found = views(cell(), grids=(grid,))
    assert [bool(view.problems) for view in found] == [told, told]


def test_a_long_leg_is_told_of_what_was_lost_at_one_of_its_ends() -> None:
    grid = memory(np.nan)
    grid.problems = (Problem(source="memory", text="p", bounds=HERE_DEG),)
    (view,) = views(cell(), grids=(grid,), on=route([(-0.03, 0.0), (0.3, 0.0)]))
    assert texts(view) == ["p"]
