"""Charts that were not read whole."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.chart_problem import chart_problem
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
