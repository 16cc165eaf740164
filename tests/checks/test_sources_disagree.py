"""Sources that differ at one place."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.sources_disagree import sources_disagree
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.model.view import Disagreement
from tests.sketch import SOURCE, passage, view_of


def noted(shoaler: Quality = SOURCE.quality, deeper: Quality = SOURCE.quality) -> Finding:
    """What is told of 2 m on a chart and 40 m in a grid."""
    one = Disagreement(
        shoaler=replace(SOURCE, id="chart", quality=shoaler),
        deeper=replace(SOURCE, id="grid", quality=deeper),
        shoaler_depth_m=2.0,
        deeper_depth_m=40.0,
        uncertainty_m=1.5,
        along_m=10.0,
        cross_m=0.0,
        lon_deg=0.0,
        lat_deg=0.0,
    )
    (note,) = sources_disagree(replace(view_of("999"), disagreements=(one,)), passage())
    return note


def test_grid_against_depth_area() -> None:
    """a grid cell of 40 m in a depth area of 2 to 5 m is told with both"""
    note = noted()
    assert note.severity is Severity.NOTE
    assert "chart" in note.title and "grid" in note.title
    assert (note.sums["shoaler_depth_m"], note.sums["deeper_depth_m"]) == (2.0, 40.0)
    assert list(sources_disagree(view_of("999"), passage())) == []


KNOWN = Quality(name="known", vertical_m=0.5, horizontal_m=5.0)


@pytest.mark.parametrize(
    ("shoaler", "deeper", "stated"),
    [
        (KNOWN, KNOWN, True),
        (KNOWN, UNKNOWN_QUALITY, False),
        (UNKNOWN_QUALITY, KNOWN, False),
        (UNKNOWN_QUALITY, UNKNOWN_QUALITY, False),
    ],
)
def test_a_sum_of_uncertainties_is_given_only_where_both_are_known(
    shoaler: Quality, deeper: Quality, *, stated: bool
) -> None:
    """Arithmetic: a sum with a term that nobody knows is not known."""
    note = noted(shoaler, deeper)
    assert ("(1.5 m)" in note.explanation) == stated
    assert (note.sums["uncertainty_m"] == 1.5) == stated
