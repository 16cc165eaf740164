"""Depths of no stated accuracy."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.unknown_quality import unknown_quality
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import QualityZone
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.sketch import CELL_M, charts_of, passage


def in_zone(catzoc: int) -> list[Finding]:
    """What is found where all water, deep enough, lies in one zone of confidence."""
    route, charts = charts_of("99999")
    chart = charts.charts[0]
    zone = QualityZone(
        key="sketch/M_QUAL/1",
        cls="M_QUAL",
        source="sketch",
        geometry=chart.coverage[0].geometry,
        catzoc=catzoc,
    )
    charts = replace(charts, charts=(replace(chart, quality_zones=(zone,)),))
    _, views = survey(route, charts, SurveySettings(cross_track_m=CELL_M / 2.0))
    return [one for view in views for one in unknown_quality(view, passage())]


def test_catzoc_d_is_one_caution() -> None:
    """a leg through CATZOC D, deep enough, gets one caution, not one an object"""
    (one,) = in_zone(5)
    assert one.severity is Severity.CAUTION
    assert "CATZOC D" in one.title


def test_catzoc_b_says_nothing() -> None:
    assert in_zone(3) == []
