"""Numbers that stand for "no value" in vector charts: common practice, as in grids."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from tests.readers.test_vector import POINT, SQUARE, read

LINE = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])


def told(chart: Chart, attribute: str) -> bool:
    (problem,) = chart.problems
    assert problem.severity is Severity.NOT_ASSESSED and problem.bounds is not None
    return f"{attribute} " in problem.text and "stands for no value" in problem.text


@pytest.mark.parametrize("fill", [9999, 9999.0, "9999", 9999.9, 9999.99])
def test_a_depth_that_is_a_fill_is_unknown(tmp_path: Path, fill: Any) -> None:
    chart = read(tmp_path, {"class": "UWTROC", "VALSOU": fill, "geometry": POINT})
    assert chart.dangers[0].charted_depth_m is None
    assert chart.dangers[0].default_depth_m is not None
    assert told(chart, "VALSOU")
    chart = read(tmp_path, {"class": "DEPARE", "DRVAL1": fill, "geometry": SQUARE})
    assert chart.depth_areas[0].charted_depth_m is None
    assert told(chart, "DRVAL1")


@pytest.mark.parametrize(
    ("unit", "quantity", "fill"),
    [("m", "elevation", -9999), ("ft", "depth", 32767), ("ft", "elevation", -32768)],
)
def test_in_other_units_and_as_a_height(
    tmp_path: Path, unit: str, quantity: str, fill: float
) -> None:
    sidecar = f'unit = "{unit}"\nquantity = "{quantity}"\n'
    row = {"class": "UWTROC", "VALSOU": fill, "geometry": POINT}
    chart = read(tmp_path, row, sidecar=sidecar)
    assert chart.dangers[0].charted_depth_m is None
    assert told(chart, "VALSOU")


def test_a_fill_that_condemns_is_left_to_condemn(tmp_path: Path) -> None:
    chart = read(tmp_path, {"class": "UWTROC", "VALSOU": -9999, "geometry": POINT})
    assert chart.dangers[0].charted_depth_m == -9999.0


@pytest.mark.parametrize("depth_m", [0.0, 99.0, 255.0, 999.0, 9998.0, 10_000.0])
def test_honest_depths_stay(tmp_path: Path, depth_m: float) -> None:
    chart = read(tmp_path, {"class": "UWTROC", "VALSOU": depth_m, "geometry": POINT})
    assert chart.dangers[0].charted_depth_m == depth_m
    assert chart.problems == ()


def test_a_sounding_by_its_position(tmp_path: Path) -> None:
    shape = {"type": "MultiPoint", "coordinates": [[10.0, 54.0, 9999.0], [10.1, 54.0, 7.0]]}
    chart = read(tmp_path, {"class": "SOUNDG", "geometry": shape})
    assert [one.charted_depth_m for one in chart.soundings] == [7.0]
    assert "a sounding without a depth" in chart.problems[0].text


@pytest.mark.parametrize(
    ("attribute", "field"),
    [
        ("VERCLR", "vertical_clearance_m"),
        ("VERCCL", "vertical_clearance_closed_m"),
        ("VERCOP", "vertical_clearance_open_m"),
        ("VERCSA", "safe_vertical_clearance_m"),
    ],
)
def test_a_clearance_that_is_a_fill_is_unknown(tmp_path: Path, attribute: str, field: str) -> None:
    for fill in (999, 999.9, 9999):
        chart = read(tmp_path, {"class": "BRIDGE", attribute: fill, "geometry": LINE})
        assert getattr(chart.spans[0], field) is None
        assert told(chart, attribute)
    chart = read(tmp_path, {"class": "BRIDGE", attribute: 99.9, "geometry": LINE})
    assert getattr(chart.spans[0], field) == 99.9
    assert chart.problems == ()


def test_an_uncertainty_of_that_size_is_kept(tmp_path: Path) -> None:
    row = {"class": "UWTROC", "VALSOU": 5, "SOUACC": 9999, "geometry": POINT}
    assert read(tmp_path, row).dangers[0].depth_uncertainty_m == 9999.0
