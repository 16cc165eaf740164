"""Depths in the third coordinate of what is no sounding: the shoaler counts, and is told.

That of two depths for one place the shoaler is taken, and that 0 stands for none, is common
practice. EXPSOU 1 (not shoaler than the range of its depth area), CATWRK 1 (non-dangerous), CATOBS
7 (foul ground): IHO S-57 edition 3.1, appendix A, chapter 2, attributes 93, 71, 42.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Severity
from tests.readers.test_vector import POINT, SQUARE, read

AT = (POINT.x, POINT.y)
LINE_3D = shapely.LineString([(10.0, 54.0, 25.0), (10.1, 54.0, 1.0), (10.2, 54.0, 9.0)])
AREA_3D = shapely.Polygon([(10.0, 54.0, 25.0), (10.1, 54.0, 1.0), (10.1, 54.1, 25.0)])


@pytest.mark.parametrize("cls", ["UWTROC", "WRECKS", "OBSTRN", "MARCUL"])
@pytest.mark.parametrize("shape", [shapely.Point(*AT, 1.0), LINE_3D, AREA_3D])
def test_the_shoaler_counts_and_is_told(tmp_path: Path, cls: str, shape: Any) -> None:
    chart = read(tmp_path, {"class": cls, "VALSOU": 25.0, "geometry": shape})
    (danger,) = chart.dangers
    assert danger.charted_depth_m == 1.0
    assert not danger.geometry.has_z
    (problem,) = chart.problems
    assert problem.severity is Severity.CAUTION
    assert problem.bounds == shape.bounds
    assert problem.text.endswith("is 25 m, that of its position 1 m; the shoaler counts")


@pytest.mark.parametrize("z", [0.0, 30.0, 25.0, -25.0])
def test_one_that_says_no_less_water_changes_nothing(tmp_path: Path, z: float) -> None:
    row = {"class": "UWTROC", "VALSOU": 25.0, "geometry": shapely.Point(*AT, z)}
    chart = read(tmp_path, row)
    assert [one.charted_depth_m for one in chart.dangers] == [25.0]
    assert chart.problems == ()


def test_it_goes_by_the_unit_and_the_sign_of_the_file(tmp_path: Path) -> None:
    row = {"class": "WRECKS", "VALSOU": -25.0, "geometry": shapely.Point(*AT, -10.0)}
    chart = read(tmp_path, row, sidecar='quantity = "elevation"\nunit = "ft"')
    assert chart.dangers[0].charted_depth_m == pytest.approx(3.048)


@pytest.mark.parametrize(("cls", "name"), [("PIPSOL", "DRVAL1"), ("GATCON", "DRVAL1")])
def test_over_pipes_and_sills_as_well(tmp_path: Path, cls: str, name: str) -> None:
    chart = read(tmp_path, {"class": cls, name: 25.0, "geometry": LINE_3D})
    assert [one.charted_depth_m for one in chart.dangers] == [1.0]
    assert [one.severity for one in chart.problems] == [Severity.CAUTION]


@pytest.mark.parametrize(
    "values",
    [
        {"class": "OBSTRN", "EXPSOU": 1},
        {"class": "WRECKS", "CATWRK": 1},
        {"class": "OBSTRN", "CATOBS": 7},
    ],
)
def test_beside_no_depth_of_what_counts_as_passable_it_is_told(
    tmp_path: Path, values: dict[str, Any]
) -> None:
    chart = read(tmp_path, {**values, "geometry": shapely.Point(*AT, 1.0)})
    assert [one.charted_depth_m for one in chart.dangers] == [None]
    (problem,) = chart.problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert "(1 m), which may be one" in problem.text
    assert read(tmp_path, {**values, "geometry": POINT}).problems == ()


def test_land_with_heights_is_no_danger(tmp_path: Path) -> None:
    shape = shapely.force_3d(SQUARE, 12.0)
    chart = read(tmp_path, {"class": "LNDARE", "geometry": shape})
    assert (len(chart.solids), chart.problems) == (1, ())
