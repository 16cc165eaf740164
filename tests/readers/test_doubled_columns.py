"""Two columns for one thing: the worse for the boat counts, and what differs is told.

Our own rule; that of two depths the shoaler is taken is common practice.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.objects import Charted
from tests.readers.test_vector import POINT, SQUARE, read, refused

LINE = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])
METRES = 'unit = "m"'
MEASURES = [
    # class, shape, the field of the chart, what is read, S-57's column, another for the same
    ("DEPARE", SQUARE, "depth_areas", "charted_depth_m", "DRVAL1", "depth"),
    ("DRGARE", SQUARE, "depth_areas", "charted_depth_m", "DRVAL1", "min_depth"),
    ("DEPCNT", LINE, "contours", "charted_depth_m", "VALDCO", "depth"),
    ("SOUNDG", POINT, "soundings", "charted_depth_m", "VALSOU", "depth"),
    ("SOUNDG", POINT, "soundings", "charted_depth_m", "VALSOU", "DEPTH"),
    ("UWTROC", POINT, "dangers", "charted_depth_m", "VALSOU", "Depth"),
    ("WRECKS", POINT, "dangers", "charted_depth_m", "VALSOU", "valsou"),
    ("GATCON", LINE, "dangers", "charted_depth_m", "DRVAL1", "depth"),
    ("PIPSOL", LINE, "dangers", "charted_depth_m", "DRVAL1", "depth"),
    ("BRIDGE", LINE, "spans", "vertical_clearance_m", "VERCLR", "clearance"),
]


def only(chart: Chart, where: str) -> Any:
    (thing,) = getattr(chart, where)
    assert isinstance(thing, Charted)
    return thing


@pytest.mark.parametrize(("cls", "shape", "where", "what", "ours", "other"), MEASURES)
@pytest.mark.parametrize(("first", "second"), [(9.0, 2.0), (2.0, 9.0)])
def test_the_lesser_counts_and_is_told(
    tmp_path: Path, cls: str, shape: Any, where: str, what: str, ours: str, other: str,
    first: float, second: float,
) -> None:  # fmt: skip
    row = {"class": cls, ours: first, other: second, "geometry": shape}
    chart = read(tmp_path, row, sidecar=METRES)
    assert getattr(only(chart, where), what) == 2.0
    (problem,) = chart.problems
    assert problem.severity is Severity.CAUTION
    assert f"{ours} {first:g} and {other} {second:g}" in problem.text
    assert problem.bounds == shape.bounds


@pytest.mark.parametrize(("cls", "shape", "where", "what", "ours", "other"), MEASURES)
@pytest.mark.parametrize("blank", ["ours", "other"])
def test_where_one_is_blank_the_other_counts(
    tmp_path: Path, cls: str, shape: Any, where: str, what: str, ours: str, other: str, blank: str
) -> None:
    row = {"class": cls, ours: 2.0, other: 2.0, "geometry": shape}
    row[ours if blank == "ours" else other] = None
    # Another row has both, so that the file has both columns.
    far = {"class": cls, ours: 4.0, other: 4.0, "geometry": shapely.transform(shape, _away)}
    chart = read(tmp_path, row, far, sidecar=METRES)
    # Between two contours lies water of its own.
    assert [getattr(one, what) for one in getattr(chart, where)[:2]] == [2.0, 4.0]
    assert chart.problems == ()


def _away(places: Any) -> Any:
    return places + 1.0


@pytest.mark.parametrize("odd", ["deep", "NaN", 1e30, True])
@pytest.mark.parametrize("swapped", [False, True])
def test_an_unreadable_one_is_not_assessed_and_the_other_condemns(
    tmp_path: Path, odd: Any, swapped: bool
) -> None:
    first, second = (3.0, odd) if swapped else (odd, 3.0)
    row = {"class": "DEPARE", "DRVAL1": first, "depth": second, "geometry": SQUARE}
    # A column of text and one of numbers: GDAL makes text of the whole column.
    text = {"class": "DEPARE", "DRVAL1": "4", "depth": "4", "geometry": shapely.box(11, 54, 12, 55)}
    chart = read(tmp_path, row, text, sidecar=METRES)
    assert [area.charted_depth_m for area in chart.depth_areas] == [3.0, 4.0]
    (problem,) = chart.problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert problem.bounds == SQUARE.bounds


def test_without_a_unit_the_other_column_condemns_and_never_clears(tmp_path: Path) -> None:
    chart = read(
        tmp_path,
        {"class": "DEPARE", "DRVAL1": 9.0, "depth": 2.0, "geometry": SQUARE},
        {"class": "DEPARE", "DRVAL1": 9.0, "depth": 30.0, "geometry": SQUARE},
        {"class": "DEPARE", "DRVAL1": None, "depth": 30.0, "geometry": SQUARE},
    )
    assert [area.charted_depth_m for area in chart.depth_areas] == [2.0, 9.0, None]
    told = [(problem.severity, problem.text) for problem in chart.problems]
    assert [severity for severity, _ in told] == [Severity.CAUTION] * 2 + [Severity.NOT_ASSESSED]
    assert "nothing states the unit of depth 30" in told[2][1]


def test_a_column_without_a_unit_that_says_nothing_refuses_no_file(tmp_path: Path) -> None:
    land = {"class": "LNDARE", "DRVAL1": None, "depth": None, "geometry": SQUARE}
    water = {"class": "DEPARE", "DRVAL1": 5.0, "depth": 5.0, "geometry": SQUARE}
    assert read(tmp_path, land, water).problems == ()
    wreck = {"class": "WRECKS", "depth": 5.0, "geometry": POINT}
    assert "nothing states the unit of its column 'depth'" in refused(tmp_path, wreck)


def test_where_heights_stand_for_depths_the_greater_is_shoaler(tmp_path: Path) -> None:
    row = {"class": "DEPARE", "DRVAL1": -9.0, "depth": -2.0, "geometry": SQUARE}
    chart = read(tmp_path, row, sidecar=METRES + '\nquantity = "elevation"')
    assert only(chart, "depth_areas").charted_depth_m == 2.0


def test_a_column_that_the_sidecar_names_counts_beside_s57s(tmp_path: Path) -> None:
    row = {"class": "DEPARE", "top": 9.0, "DRVAL1": 2.0, "geometry": SQUARE}
    chart = read(tmp_path, row, sidecar=METRES + '\ncolumns = { depth = "top" }')
    assert only(chart, "depth_areas").charted_depth_m == 2.0
    assert [one.severity for one in chart.problems] == [Severity.CAUTION]


def test_a_sounding_whose_third_coordinate_is_shoaler(tmp_path: Path) -> None:
    places = [shapely.Point(10.05, 54.05, z) for z in (2.0, 0.0, 7.0, -7.0, 30.0)]
    rows = [{"class": "SOUNDG", "VALSOU": 7.0, "geometry": place} for place in places]
    chart = read(tmp_path, *rows)
    assert [one.charted_depth_m for one in chart.soundings] == [2.0, 7.0, 7.0, 7.0, 7.0]
    (problem,) = chart.problems
    assert problem.severity is Severity.CAUTION
    assert "SOUNDG 1" in problem.text


def test_restrictions_of_both_columns_count(tmp_path: Path) -> None:
    row = {"class": "RESARE", "RESTRN": "1", "restrictions": "7", "geometry": SQUARE}
    assert only(read(tmp_path, row), "areas").restrictions == (1, 7)


def test_anything_else_that_is_said_in_two_ways_counts_as_not_stated(tmp_path: Path) -> None:
    chart = read(
        tmp_path,
        {"class": "BOYLAT", "COLOUR": "3", "colours": "green", "geometry": POINT},
        {"class": "BOYLAT", "COLOUR": "3", "colours": "Red", "geometry": POINT},
        {"class": "BOYLAT", "COLOUR": "4", "MARSYS": "1", "region": "B", "geometry": POINT},
        {"class": "BOYLAT", "COLOUR": "4", "MARSYS": "1", "region": "a", "geometry": POINT},
        {"class": "BOYLAT", "COLOUR": "4", "region": "North Sea", "geometry": POINT},
    )
    assert [mark.colours for mark in chart.marks] == [(), ("red",), *[("green",)] * 3]
    assert [mark.region for mark in chart.marks] == ["", "", "", "A", ""]
    assert [one.severity for one in chart.problems] == [Severity.NOT_ASSESSED] * 2
    assert "BOYLAT 1:" in chart.problems[0].text
    assert "BOYLAT 3:" in chart.problems[1].text


def test_a_track_that_may_be_one_way_is_told(tmp_path: Path) -> None:
    row = {"class": "RECTRC", "TRAFIC": 4, "flow": 3, "geometry": LINE}
    chart = read(tmp_path, row, sidecar='columns = { TRAFIC = "flow" }')
    assert [one.severity for one in chart.problems] == [Severity.NOT_ASSESSED]


def test_an_object_of_two_classes_is_read_as_both(tmp_path: Path) -> None:
    row = {"class": "DEPARE", "acronym": "LNDARE", "DRVAL1": 20, "geometry": SQUARE}
    chart = read(tmp_path, row)
    assert (len(chart.depth_areas), len(chart.solids)) == (1, 1)
