"""What grids' depths are worth, cell by cell; and grids and charts that tell different depths."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet
from routecheck.model.finding import Finding, Report
from routecheck.model.source import UNKNOWN_QUALITY, Quality
from tests.survey.charts import covered, depth_area, route, sounding, source
from tests.survey.memory_grid import MemoryGrid

ROUTE = route([(-0.02, 0.0), (0.02, 0.0)])
WATER = shapely.box(-0.2, -0.2, 0.2, 0.2)
# Draught 2 m and 1 m wanted: 3 m are needed.
BOAT = Boat(
    name="b", draught_m=2.0, speed_kn=5.0, margins=Margins(under_keel_m=1.0, cross_track_m=100.0)
)
SHAPE = (80, 80)
CELL_DEG = 0.0008
GOOD = Quality(name="survey", vertical_m=0.1)


def memory(values: Any) -> MemoryGrid:
    whole = np.broadcast_to(values, SHAPE) * 1.0
    return MemoryGrid(whole, x=-40 * CELL_DEG, y=40 * CELL_DEG, dx=CELL_DEG, dy=CELL_DEG)


def grid(
    depth_m: float | Any,
    *,
    off_m: Any = None,
    measured: Any = None,
    quality: Quality = UNKNOWN_QUALITY,
    cell_m: float = 89.0,
    name: str = "memory",
    **facts: Any,
) -> Any:
    """Cells of 89 m about the route; NaN in `off_m` is an uncertainty not stated."""
    made: Any = memory(depth_m)
    made.source = replace(made.source, id=name, resolution_m=cell_m, quality=quality, **facts)
    for attribute, values in (("uncertainty", off_m), ("measured", measured)):
        if values is not None:
            setattr(made, attribute, memory(-np.asarray(values)))
    return made


def cell(depth_m: float, **more: Any) -> Chart:
    facts: dict[str, Any] = {
        "source": source("cell"),
        "depth_areas": (replace(depth_area("sea", WATER, depth_m), deep_end_m=depth_m + 3.0),),
        "coverage": (covered(WATER),),
    }
    return Chart(**{**facts, **more})


def report(*grids: Any, charts: tuple[Chart, ...] = ()) -> Report:
    return vet(ROUTE, ChartSet(charts=charts, grids=tuple(grids)), BOAT).report


def of(found: Report, check: str) -> list[Finding]:
    return [one for one in found.findings if one.check == check]


def at(row: int, column: int, value: float, rest: float) -> np.ndarray:
    values = np.full(SHAPE, rest)
    values[row, column] = value
    return values


BY_CELL = Quality(name="stated cell by cell", vertical_m=0.3, by_cell=True)


def test_the_worst_uncertainty_of_the_touched_cells_is_in_the_sum() -> None:
    # The row through the route holds one cell whose depth may be 2.5 m wrong: 5 - 3 - 2.5 < 0.
    (found,) = of(
        report(grid(5.0, off_m=at(40, 40, 2.5, 0.3), quality=BY_CELL)), "too-little-water"
    )
    assert found.severity == "caution"
    assert found.sums["uncertainty_m"] == 2.5 and found.sums["margin_m"] == 2.0
    assert "stated cell by cell" in found.rests_on
    # Far from the corridor it is nobody's business.
    quiet = report(grid(5.0, off_m=at(5, 40, 2.5, 0.3), quality=BY_CELL))
    assert of(quiet, "too-little-water") == of(quiet, "unknown-quality") == []


def test_a_cell_without_an_uncertainty_is_of_unknown_quality_there() -> None:
    found = report(grid(9.0, off_m=at(40, 40, np.nan, 0.3), quality=BY_CELL))
    (one,) = of(found, "unknown-quality")
    assert one.severity == "caution" and "unknown" in one.title
    # Cells are 89 m, stretches 93 m: but a part of the leg is meant.
    assert 0.0 < one.along_to_m - one.along_m < 700.0
    assert not of(report(grid(9.0, off_m=0.3, quality=BY_CELL)), "unknown-quality")


def test_a_sidecars_figure_does_not_stand_in_for_a_cell_without_one() -> None:
    stated = Quality(name="as the sidecar states", vertical_m=0.2)
    found = report(grid(9.0, off_m=at(40, 40, np.nan, 0.3), quality=stated))
    (one,) = of(found, "unknown-quality")
    assert one.severity == "caution"


def test_the_sidecars_figure_counts_where_it_is_the_worse() -> None:
    stated = Quality(name="as the sidecar states", vertical_m=2.5)
    found = of(report(grid(5.0, off_m=0.3, quality=stated)), "too-little-water")
    assert {one.sums["uncertainty_m"] for one in found} == {2.5}


@pytest.mark.parametrize(("depth_m", "clears"), [(49.0, False), (51.0, True)])
def test_depths_that_nobody_measured_clear_nothing_shoal(depth_m: float, clears: bool) -> None:
    """GEBCO's type identifiers: a cell interpolated or predicted (common practice: 50 m)."""
    found = report(grid(depth_m, measured=at(40, 40, np.nan, 0.0), quality=GOOD))
    holes = [
        one for one in of(found, "water-not-covered") if "no measured depth" in one.explanation
    ]
    assert bool(holes) is not clears
    assert bool(of(found, "unknown-quality")) is clears
    quiet = report(grid(depth_m, measured=np.zeros(SHAPE), quality=GOOD))
    assert not of(quiet, "unknown-quality")
    assert not any("measured" in one.explanation for one in of(quiet, "water-not-covered"))


def test_a_depth_that_nobody_measured_still_condemns() -> None:
    found = report(grid(2.0, measured=np.full(SHAPE, np.nan), quality=GOOD))
    shoals = of(found, "too-little-water")
    assert shoals and all(one.severity == "danger" for one in shoals)
    assert all("interpolated or predicted, not measured" in one.rests_on for one in shoals)


@pytest.mark.parametrize(("depth_m", "told"), [(3.0, True), (3.01, False), (2.99, True)])
def test_a_sounding_of_unknown_quality_just_as_deep_as_needed(depth_m: float, told: bool) -> None:
    """DESIGN: caution where margin - u < 0. What no one states is more than 0, so at a margin of 0
    it passes only if the sounding is exactly right; though a known grid clears the water."""
    loose = Chart(
        source=source("loose", quality=UNKNOWN_QUALITY, scale=None),
        soundings=(sounding("s", 0.0, 0.0, depth_m, of="loose"),),
    )
    found = of(report(grid(20.0, quality=GOOD), charts=(loose,)), "too-little-water")
    assert bool(found) is told
    if told:
        assert found[0].severity == ("danger" if depth_m < 3.0 else "caution")
    exact = Chart(source=source("loose", scale=None), soundings=loose.soundings)
    known = of(report(grid(20.0, quality=GOOD), charts=(exact,)), "too-little-water")
    assert bool(known) is (depth_m < 3.0)


def shoalest_by(found: Report) -> set[tuple[str, str]]:
    return {(str(f.severity), f.source) for f in of(found, "too-little-water")}


def test_a_coarse_grid_of_40_m_and_a_chart_of_2_m_and_the_other_way_round() -> None:
    """The chart is adequate: it condemns, and what is too coarse neither clears nor condemns."""
    coarse = grid(40.0, cell_m=460.0)
    found = report(coarse, charts=(cell(2.0),))
    assert shoalest_by(found) == {("danger", "cell")}
    (note,) = of(found, "sources-disagree")
    assert note.severity == "note" and note.title.startswith("cell shows")
    coarse = grid(2.0, cell_m=460.0)
    found = report(coarse, charts=(cell(40.0),))
    assert shoalest_by(found) == set()
    (note,) = of(found, "sources-disagree")
    assert note.title == "memory shows 2.0 m where cell shows 40.0 m"
    # Alone it condemns, and clears nothing.
    found = report(coarse)
    assert {s for s, _ in shoalest_by(found)} == {"danger"}
    assert found.verdict == "hazards"
    assert report(grid(40.0, cell_m=460.0)).verdict == "incomplete"


@pytest.mark.parametrize(("grid_m", "chart_m", "by"), [(2.0, 40.0, "memory"), (40.0, 2.0, "cell")])
def test_of_an_adequate_chart_and_an_adequate_grid_the_shoaler_counts(
    grid_m: float, chart_m: float, by: str
) -> None:
    found = report(grid(grid_m, quality=GOOD), charts=(cell(chart_m),))
    assert shoalest_by(found) == {("danger", by)}
    assert len(of(found, "sources-disagree")) == 1


def test_two_grids_that_tell_different_depths_are_told() -> None:
    fine, other = grid(20.0, quality=GOOD, name="fine"), grid(9.0, name="other")
    (note,) = of(report(fine, other), "sources-disagree")
    assert (note.sums["shoaler_depth_m"], note.sums["deeper_depth_m"]) == (9.0, 20.0)
    assert note.title == "other shows 9.0 m where fine shows 20.0 m"
    assert note.sums["uncertainty_m"] == "not known, at least 0.1 m"
    assert "uncertainties together (as far as these are known)" in note.explanation
    # Within what either may be wrong they agree; the same depths always do.
    rough = grid(9.0, name="other", quality=Quality(name="rough", vertical_m=11.0))
    assert of(report(fine, rough), "sources-disagree") == []
    assert of(report(fine, grid(20.0, name="other")), "sources-disagree") == []
    by_cell = grid(9.0, name="other", off_m=11.0, quality=BY_CELL)
    assert of(report(fine, by_cell), "sources-disagree") == []
    # On a datum that cannot be related nothing is compared.
    msl = grid(9.0, name="other", datum="MSL")
    assert of(report(fine, msl), "sources-disagree") == []
    lower = grid(9.0, name="other", datum="MSL", datum_below_msl_m=2.0)
    (note,) = of(report(fine, lower), "sources-disagree")
    assert note.sums["shoaler_depth_m"] == 7.0


def test_one_shoal_cell_that_the_other_grid_does_not_show_is_told_where_it_lies() -> None:
    fine = grid(at(40, 60, 4.0, 20.0), quality=GOOD, name="fine")
    (note,) = of(report(fine, grid(20.0, name="other")), "sources-disagree")
    assert (note.sums["shoaler_depth_m"], note.sums["deeper_depth_m"]) == (4.0, 20.0)
    assert note.lon_deg == pytest.approx(20 * CELL_DEG)


@pytest.mark.parametrize("better_m", [2.0, 40.0])
def test_between_grids_the_better_counts(better_m: float) -> None:
    """DESIGN: between grids quality, then resolution, then date."""
    good, poor = grid(better_m, quality=GOOD, name="good"), grid(42.0 - better_m, name="poor")
    found = report(good, poor)
    assert shoalest_by(found) == ({("danger", "good")} if better_m == 2.0 else set())
    assert len(of(found, "sources-disagree")) == 1
