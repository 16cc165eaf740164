"""Charts that were not read whole."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.chart_problem import chart_problem
from routecheck.judgement import judge
from routecheck.model.chart import Problem, Severity
from routecheck.model.finding import Finding
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.sketch import CELL_M, charts_of, passage


def with_problem(problem: Problem) -> list[Finding]:
    route, charts = charts_of("99999")
    charts = replace(charts, charts=(replace(charts.charts[0], problems=(problem,)),))
    _, views = survey(route, charts, SurveySettings(cross_track_m=CELL_M / 2.0))
    return [one for view in views for one in chart_problem(view, passage())]


def test_failed_update() -> None:
    """a failed update of a cell that covers the leg is not assessed"""
    (one,) = with_problem(Problem(source="sketch", text="update 002 could not be applied"))
    assert one.severity is Severity.NOT_ASSESSED
    assert "update 002" in one.title


@pytest.mark.parametrize("severity", [Severity.CAUTION, Severity.NOTE])
def test_as_grave_as_the_reader_says(severity: Severity) -> None:
    (one,) = with_problem(Problem(source="sketch", text="a ring was mended", severity=severity))
    assert one.severity is severity


def test_problem_elsewhere_says_nothing() -> None:
    far = Problem(source="sketch", text="a ring was lost", bounds=(10.0, 10.0, 10.1, 10.1))
    assert with_problem(far) == []


def test_a_text_that_ends_in_a_full_stop_gets_no_second() -> None:
    (one,) = with_problem(Problem(source="sketch", text="it is cut short."))
    assert one.explanation.startswith("it is cut short. The chart was used")
    assert one.title == "sketch: it is cut short"


def test_groups_that_a_chart_problem_leaves_open_say_what_to_do() -> None:
    """Found on 2026-11-28: "marks: not assessed", and no word of what would help."""
    route, charts = charts_of("99999")
    problem = Problem(source="sketch", text="a ring was lost")
    charts = replace(charts, charts=(replace(charts.charts[0], problems=(problem,)),))
    route, views = survey(route, charts, SurveySettings(cross_track_m=CELL_M / 2.0))
    # Nothing but the problem leaves the groups open.
    views = tuple(replace(one, gaps=()) for one in views)
    report = judge(route, views, charts, passage().boat)
    open_ = [group for group in report.groups if group.outcome == "not-assessed"]
    assert {"marks", "dangers"} <= {group.group for group in open_}
    assert all(group.settle for group in open_)
    told = {group.group: group.settle for group in open_}
    assert told["marks"] == "get a sound copy of the chart and all its updates"
