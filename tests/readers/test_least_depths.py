"""Least depths stated for what is no depth area: they condemn, and never clear.

Which classes state DRVAL1 (attribute 87): IHO S-57 edition 3.1, appendix A, chapter 1. That other
files may state it of any class: common practice. The boat of these tests needs 3 m.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.objects import DangerKind
from routecheck.readers.charted import Draft, Row
from routecheck.readers.features import add_rows
from routecheck.readers.s57 import read_cell
from routecheck.readers.seamark_tags import charted
from tests.checks.views import boat, met, passage, place, run, view
from tests.readers.test_vector import SQUARE, read
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
LINE = shapely.LineString([(10.0, 54.0), (10.1, 54.0)])
LEAST, SILL, OBSTRUCTION = DangerKind.LEAST_DEPTH, DangerKind.SILL, DangerKind.OBSTRUCTION
CASES = [
    ("LOKBSN", HERE, SILL),
    ("GATCON", LINE, SILL),
    ("CBLARE", HERE, OBSTRUCTION),
    ("PIPARE", HERE, OBSTRUCTION),
    ("FAIRWY", HERE, LEAST),
    ("SWPARE", HERE, LEAST),
    ("RECTRC", LINE, LEAST),
    ("RCRTCL", LINE, LEAST),
    ("DWRTPT", HERE, LEAST),
    ("DWRTCL", LINE, LEAST),
    ("TWRTPT", HERE, LEAST),
    ("BERTHS", HERE, LEAST),
    ("DOCARE", HERE, LEAST),
    ("CANALS", HERE, LEAST),
]


def drafted(cls: str, shape: Any, **values: Any) -> Draft:
    draft = Draft(source="c")
    add_rows(cls, [("1", values, shapely.to_wkb(shape))], draft)
    return draft


@pytest.mark.parametrize(("cls", "shape", "kind"), CASES)
@pytest.mark.parametrize("column", ["DRVAL1", "VALSOU"])
def test_it_is_a_danger_of_that_depth_and_covers_nothing(
    cls: str, shape: Any, kind: DangerKind, column: str
) -> None:
    draft = drafted(cls, shape, **{column: 1.0})
    (danger,) = draft.parts["dangers"]
    assert (danger.kind, danger.charted_depth_m) == (kind, 1.0)
    assert "depth_areas" not in draft.parts
    # What else is judged of it stays as it is without the depth.
    assert set(draft.parts) - {"dangers"} == set(drafted(cls, shape).parts)
    assert "dangers" not in drafted(cls, shape).parts
    assert draft.harmless[cls] == 0


@pytest.mark.parametrize(("cls", "shape", "kind"), CASES)
def test_too_shoal_for_the_boat_is_a_danger_and_deep_enough_is_none(
    cls: str, shape: Any, kind: DangerKind
) -> None:
    for depth_m, told in ((1.0, [Severity.DANGER]), (-0.5, [Severity.DANGER]), (9.0, [])):
        (danger,) = drafted(cls, shape, DRVAL1=depth_m).parts["dangers"]
        one = met(danger, place(), area_depth_m=20.0)
        found = run(underwater_danger, view(dangers=(one,)), passage(boat()))
        assert [finding.severity for finding in found] == told


def test_the_words_of_a_least_depth() -> None:
    for depth_m, says in ((1.96, "1.96 m"), (-0.5, "dries 0.5 m")):
        (danger,) = drafted("FAIRWY", HERE, DRVAL1=depth_m, OBJNAM="Long Reach").parts["dangers"]
        one = met(danger, place(), area_depth_m=20.0)
        (finding,) = run(underwater_danger, view(dangers=(one,)), passage(boat()))
        assert finding.title == f"fairway Long Reach, least depth stated: {says}"
        assert "stands alone" not in finding.explanation


def test_of_two_depths_the_shoaler_counts() -> None:
    (danger,) = drafted("LOKBSN", HERE, DRVAL1=4.0, VALSOU=1.5).parts["dangers"]
    assert danger.charted_depth_m == 1.5


def test_a_depth_that_is_none_is_told() -> None:
    draft = drafted("FAIRWY", HERE, DRVAL1="shoal")
    assert "dangers" not in draft.parts
    (problem,) = draft._told()
    assert problem.severity is Severity.NOT_ASSESSED and "is no depth" in problem.text


@pytest.mark.parametrize("cls", ["FAIRWY", "SWPARE", "BERTHS", "DWRTPT", "TWRTPT"])
def test_out_of_a_cell(tmp_path: Path, cls: Any) -> None:
    cell = Cell()
    cell.add(cls, HERE, DRVAL1=1.5)
    cell.add(cls, HERE)
    (danger,) = read_cell(cell.write(tmp_path)).dangers
    assert (danger.cls, danger.charted_depth_m) == (cls, 1.5)


@pytest.mark.parametrize(("cls", "shape", "kind"), CASES)
@pytest.mark.parametrize("column", ["depth", "DRVAL1"])
def test_out_of_a_vector_file(
    tmp_path: Path, cls: str, shape: Any, kind: DangerKind, column: str
) -> None:
    row = {"class": cls, column: 1.0, "geometry": SQUARE if shape is HERE else LINE}
    (danger,) = read(tmp_path, row, sidecar='unit = "m"').dangers
    assert (danger.kind, danger.charted_depth_m) == (kind, 1.0)


def test_out_of_tags() -> None:
    for kind in ("fairway", "berth", "lock_basin", "cable_area"):
        tags = {"seamark:type": kind, f"seamark:{kind}:minimum_depth": "1.5"}
        cls, values = charted(tags)
        (danger,) = drafted(cls, HERE, **values).parts["dangers"]
        assert danger.charted_depth_m == 1.5


def test_a_cable_with_a_depth_in_tags_is_a_danger_of_that_depth() -> None:
    cls, values = charted(
        {"seamark:type": "cable_submarine", "seamark:cable_submarine:minimum_depth": "1.5"}
    )
    (danger,) = drafted(cls, LINE, **values).parts["dangers"]
    assert (danger.kind, danger.charted_depth_m) == (OBSTRUCTION, 1.5)
    assert Row(cls=cls, ident="1", geometry=LINE, values=values).raw_number("DRVAL1") == 1.5
