"""Marks drawn as lines or areas, from the reader to what is said of them: never nothing."""

from __future__ import annotations

from typing import Any

import pytest
import shapely

from routecheck.checks.mark_too_close_to_call import mark_too_close_to_call
from routecheck.checks.marked_danger_too_close import marked_danger_too_close
from routecheck.checks.wrong_side_of_cardinal import wrong_side_of_cardinal
from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import mark_row
from routecheck.readers.charted import Draft, Row
from routecheck.readers.features import add
from tests.buoys import FAR_M, GEOD, HERE, NEAR_M, Place, charts, met, passage, source, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def read(cls: str, *places: Place, shape: Any = shapely.LineString, **values: Any) -> Chart:
    """A chart that holds one object drawn through these places."""
    draft = Draft(source="cell")
    row = Row(cls=cls, ident="1", geometry=shape([HERE.at(p) for p in places]), values=values)
    add(row, draft)
    return draft.chart(source())


def said(chart: Chart, width_m: float = 50.0) -> list[tuple[str, Severity]]:
    held = charts(chart.marks, [zone(0.0, "A")])
    seen = view(met(UP, held, width_m=width_m), width_m)
    every = (
        wrong_side_of_mark, wrong_side_of_cardinal, mark_too_close_to_call,
        marked_danger_too_close,
    )  # fmt: skip
    return [(one.check, one.severity) for check in every for one in check(seen, passage())]


@pytest.mark.parametrize("shape", [shapely.LineString, shapely.Polygon])
@pytest.mark.parametrize(
    ("cls", "values", "check"),
    [
        ("BOYLAT", {"CATLAM": 1}, "wrong-side-of-mark"),
        ("BCNLAT", {"CATLAM": 2}, "wrong-side-of-mark"),
        ("BOYLAT", {}, "wrong-side-of-mark"),
        ("BOYCAR", {"CATCAM": 4}, "wrong-side-of-cardinal"),
        ("mark", {"_KIND": "starboard-hand"}, "wrong-side-of-mark"),
    ],
)
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_side_is_not_assessed_as_long_as_any_part_is_near(
    shape: Any, cls: str, values: dict[str, Any], check: str, side: float
) -> None:
    for nearest_m, wanted in ((-60.0, 1), (0.0, 1), (NEAR_M - 5.0, 1), (NEAR_M + 150.0, 0)):
        corners = [(nearest_m, 0.0), (nearest_m + 200.0, 300.0), (nearest_m + 200.0, 0.0)]
        chart = read(cls, *((side * x, y) for x, y in corners), shape=shape, **values)
        assert not chart.unknown
        found = [one for one in said(chart) if one[0] == check]
        assert found == [(check, Severity.NOT_ASSESSED)] * wanted
        (one,) = met(UP, charts(chart.marks))
        assert mark_row(one, view([one]), passage()).outcome is MarkOutcome.NOT_ASSESSED


def test_it_is_met_as_far_off_as_its_nearest_part_is() -> None:
    chart = read("BOYLAT", (FAR_M - 1.0, 0.0), (FAR_M + 800.0, 0.0))
    assert len(met(UP, charts(chart.marks))) == 1
    chart = read("BOYLAT", (FAR_M + 5.0, 0.0), (FAR_M + 800.0, 0.0))
    assert met(UP, charts(chart.marks)) == []


def test_what_stands_on_a_danger_may_stand_at_its_nearest_part() -> None:
    chart = read("BOYISD", (NEAR_M - 5.0, 0.0), (NEAR_M + 700.0, 0.0))
    assert said(chart) == [("marked-danger-too-close", Severity.CAUTION)]
    chart = read("BOYISD", (5.0, 0.0), (700.0, 0.0))
    assert said(chart) == [("marked-danger-too-close", Severity.DANGER)]


@pytest.mark.parametrize("cls", ["BOYSPP", "BOYSAW", "BCNSPP"])
def test_one_without_a_side_that_may_stand_in_the_corridor_may_be_struck(cls: str) -> None:
    chart = read(cls, (40.0, 0.0), (500.0, 0.0))
    assert said(chart) == [("mark-too-close-to-call", Severity.CAUTION)]
    assert said(read(cls, (60.0, 0.0), (500.0, 0.0))) == []


def test_an_outline_is_judged_as_a_mark_with_its_uncertainty() -> None:
    """Of twenty metres at most from the middle: the outline of a beacon."""
    outline = [(-110.0, 0.0), (-90.0, 0.0), (-90.0, 10.0), (-110.0, 10.0)]
    chart = read("BCNLAT", *outline, shape=shapely.Polygon, CATLAM=1)
    (mark,) = chart.marks
    assert 11.0 < mark.spread_m < 11.3 and not mark.drawn_wide
    assert said(chart) == []
    assert said(chart, width_m=95.0) == [("mark-too-close-to-call", Severity.CAUTION)]
    (one,) = met(UP, ChartSet(charts=(chart,)))
    assert one.position_uncertainty_m == pytest.approx(10.0 + mark.spread_m)
    assert one.distance_m == pytest.approx(100.0, abs=0.1)


@pytest.mark.parametrize("lat_deg", [-80.0, -1e-4, 0.0, 54.0, 84.0])
def test_no_part_lies_further_off_than_is_said(lat_deg: float) -> None:
    places = [GEOD.fwd(10.0, lat_deg, b, 900.0)[:2] for b in range(0, 360, 30)]
    draft = Draft(source="cell")
    row = Row(cls="BOYSAW", ident="1", geometry=shapely.LineString(places), values={})
    add(row, draft)
    (mark,) = draft.chart(source()).marks
    off_m = [GEOD.inv(mark.lon_deg, mark.lat_deg, *place)[2] for place in places]
    assert max(off_m) <= mark.spread_m <= 1.02 * max(off_m)


def test_one_too_wide_for_a_mark_is_a_problem_of_the_whole_chart() -> None:
    chart = read("BOYLAT", (500.0, 0.0), (3500.0, 0.0), CATLAM=1)
    assert not chart.marks
    (problem,) = chart.problems
    assert (problem.bounds, problem.severity) == (None, Severity.NOT_ASSESSED)
    assert "BOYLAT 1 is a mark drawn as a LineString" in problem.text
    assert [thing.cls for thing in chart.unknown] == ["BOYLAT"]


def test_several_points_are_several_marks() -> None:
    chart = read("BOYLAT", (-100.0, 0.0), (100.0, 0.0), shape=shapely.MultiPoint, CATLAM=1)
    assert [mark.spread_m for mark in chart.marks] == [0.0, 0.0]
    assert len({mark.key for mark in chart.marks}) == 2
    assert said(chart) == [("wrong-side-of-mark", Severity.DANGER)]
