"""Sources that differ at one place."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.sources_disagree import sources_disagree
from routecheck.model.chart import Severity
from routecheck.model.view import Disagreement
from tests.sketch import SOURCE, passage, view_of


def test_grid_against_depth_area() -> None:
    """a grid cell of 40 m in a depth area of 2 to 5 m is told with both"""
    one = Disagreement(
        shoaler=replace(SOURCE, id="chart"),
        deeper=replace(SOURCE, id="grid"),
        shoaler_depth_m=2.0,
        deeper_depth_m=40.0,
        uncertainty_m=1.5,
        along_m=10.0,
        cross_m=0.0,
        lon_deg=0.0,
        lat_deg=0.0,
    )
    view = replace(view_of("999"), disagreements=(one,))
    (note,) = sources_disagree(view, passage())
    assert note.severity is Severity.NOTE
    assert "chart" in note.title and "grid" in note.title
    assert (note.sums["shoaler_depth_m"], note.sums["deeper_depth_m"]) == (2.0, 40.0)
    assert list(sources_disagree(view_of("999"), passage())) == []
