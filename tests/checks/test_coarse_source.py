"""Deep water that only a coarse source covers."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.coarse_source import coarse_source
from routecheck.model.chart import Severity
from routecheck.model.source import SourceKind
from routecheck.model.view import CoarseWater
from tests.sketch import SOURCE, passage, view_of


def test_deep_water_of_a_coarse_grid() -> None:
    """460 m cells, all deeper than 200 m, give one caution a leg"""
    view = view_of("99999")
    water = CoarseWater(
        source=replace(SOURCE, id="ocean", kind=SourceKind.GRID, resolution_m=460.0),
        along_from_m=0.0,
        along_to_m=500.0,
        shoalest_m=812.0,
        lon_deg=0.0,
        lat_deg=0.0,
        cross_m=0.0,
    )
    (one,) = coarse_source(replace(view, coarse_water=(water,)), passage())
    assert one.severity is Severity.CAUTION
    assert "460 m" in one.title
    assert one.sums["shoalest_m"] == 812.0
    assert list(coarse_source(view, passage())) == []
