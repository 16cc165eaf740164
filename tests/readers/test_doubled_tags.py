"""Seamark tags beside S-57's columns, and tags that say one thing twice: the worse counts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Severity
from tests.readers.test_vector import POINT, read

ROCK = {"seamark:type": "rock", "geometry": POINT}
LINE = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])


@pytest.mark.parametrize("stated", [{"class": "UWTROC"}, {}])
@pytest.mark.parametrize(("column", "tag"), [(1.5, "6"), (6.0, "1.5"), (None, "1.5"), (1.5, None)])
def test_of_a_tag_and_a_column_the_shoaler_counts(
    tmp_path: Path, stated: dict[str, Any], column: float | None, tag: str | None
) -> None:
    row = ROCK | stated | {"VALSOU": column, "seamark:rock:depth": tag}
    chart = read(tmp_path, row)
    (danger,) = chart.dangers
    assert danger.charted_depth_m == 1.5
    assert danger.unreliable is (tag is not None)
    told = [one.severity for one in chart.problems]
    assert told == ([Severity.CAUTION] if column and tag else [])


def test_an_object_with_a_class_is_not_lost_for_a_tag_that_says_no_type(tmp_path: Path) -> None:
    row = {"class": "UWTROC", "VALSOU": 1.0, "seamark:type": None, "seamark:name": "Old Tom"}
    land = {"seamark:type": "rock", "geometry": POINT}
    chart = read(tmp_path, row | {"geometry": POINT}, land)
    assert 1.0 in [danger.charted_depth_m for danger in chart.dangers]


def test_tags_and_class_of_two_sorts_are_read_as_both(tmp_path: Path) -> None:
    row = {"class": "WRECKS", "VALSOU": 1.0, "seamark:type": "buoy_special_purpose"}
    chart = read(tmp_path, row | {"geometry": POINT})
    assert [danger.charted_depth_m for danger in chart.dangers] == [1.0]
    assert len(chart.marks) == 1


def test_the_lesser_air_of_a_tag_and_a_column(tmp_path: Path) -> None:
    row = {"seamark:type": "bridge", "seamark:bridge:clearance_height": "12", "VERCLR": 8.0}
    (span,) = read(tmp_path, row | {"geometry": LINE}).spans
    assert span.vertical_clearance_m == 8.0


def test_the_shoaler_of_two_tags_counts(tmp_path: Path) -> None:
    depths = {"seamark:rock:depth": "6", "seamark:rock:minimum_depth": "1.5"}
    chart = read(tmp_path, ROCK | depths)
    assert chart.dangers[0].charted_depth_m == 1.5
    assert [one.severity for one in chart.problems] == [Severity.CAUTION]


def test_tags_that_contradict_their_own_copy_are_two_objects(tmp_path: Path) -> None:
    tags = {"seamark:rock:depth": "1.5", "other_tags": '"seamark:rock:depth"=>"6"'}
    chart = read(tmp_path, ROCK | tags)
    assert sorted(danger.charted_depth_m or 0.0 for danger in chart.dangers) == [1.5, 6.0]


@pytest.mark.parametrize("unit", ["ft", "fm"])
def test_tags_are_in_metres_whatever_the_columns_are_in(tmp_path: Path, unit: str) -> None:
    bridge = {"seamark:type": "bridge", "seamark:bridge:clearance_height": "12", "geometry": LINE}
    chart = read(tmp_path, ROCK | {"seamark:rock:depth": "5"}, bridge, sidecar=f'unit = "{unit}"')
    assert chart.dangers[0].charted_depth_m == pytest.approx(5.0)
    assert chart.spans[0].vertical_clearance_m == pytest.approx(12.0)


def test_tags_are_depths_where_columns_are_heights(tmp_path: Path) -> None:
    sidecar = 'quantity = "elevation"\nunit = "m"'
    row = ROCK | {"seamark:rock:depth": "5", "VALSOU": -2.0}
    assert read(tmp_path, row, sidecar=sidecar).dangers[0].charted_depth_m == 2.0
