"""Bridges and cables, until their clearance is judged."""

from __future__ import annotations

from dataclasses import replace

import shapely

from routecheck.checks.span_overhead import span_overhead
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Span
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.sketch import CELL_M, charts_of, passage


def with_bridge(south_deg: float, clearance_m: float | None) -> list[Finding]:
    """What is found on a drawing with a bridge from `south_deg` to the north."""
    route, charts = charts_of("99999")
    middle = route.legs[0].end.lon_deg / 2.0
    bridge = Span(
        key="sketch/BRIDGE/1",
        cls="BRIDGE",
        source="sketch",
        geometry=shapely.LineString([(middle, south_deg), (middle, south_deg + 0.001)]),
        vertical_clearance_m=clearance_m,
    )
    chart = replace(charts.charts[0], spans=(bridge,))
    settings = SurveySettings(cross_track_m=CELL_M / 2.0)
    _, views = survey(route, replace(charts, charts=(chart,)), settings)
    return [one for view in views for one in span_overhead(view, passage())]


def test_bridge_over_the_corridor_and_beside_it() -> None:
    """a bridge across the corridor is not assessed, one beside it says nothing"""
    (one,) = with_bridge(-0.0005, 4.5)
    assert one.severity is Severity.NOT_ASSESSED
    assert "4.5 m" in one.title
    assert with_bridge(0.001, 4.5) == []


def test_unknown_clearance_is_said() -> None:
    (one,) = with_bridge(-0.0005, None)
    assert one.severity is Severity.NOT_ASSESSED
    assert "no clearance charted" in one.title
