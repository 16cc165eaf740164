"""Seabed areas and what their water level says.

WATLEV (attribute 187) of SBDARE: IHO S-57 edition 3.1, appendix A, chapters 1 and 2.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.objects import DangerKind
from routecheck.readers.charted import Draft
from routecheck.readers.features import add_rows
from routecheck.readers.s57 import read_cell
from routecheck.readers.seamark_tags import charted
from tests.checks.views import boat, met, passage, place, run, view
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)


def drafted(**values: Any) -> Draft:
    draft = Draft(source="c")
    add_rows("SBDARE", [("1", values, shapely.to_wkb(HERE))], draft)
    return draft


@pytest.mark.parametrize(
    "level", [1, 2, 4, 5, 6, 7, "covers and uncovers", "always dry", "awash", "dry"]
)
def test_ground_that_shows_is_a_danger(level: Any) -> None:
    draft = drafted(WATLEV=level)
    (danger,) = draft.parts["dangers"]
    assert danger.kind is DangerKind.GROUND and draft.harmless["SBDARE"] == 0
    one = met(danger, place(), area_depth_m=20.0)
    (finding,) = run(underwater_danger, view(dangers=(one,)), passage(boat()))
    assert finding.severity is Severity.DANGER
    assert finding.title.startswith("ground")


@pytest.mark.parametrize("values", [{}, {"WATLEV": 3}, {"WATLEV": "always under water"}])
def test_ground_under_water_is_harmless(values: dict[str, Any]) -> None:
    draft = drafted(**values)
    assert draft.parts == {} and draft.harmless["SBDARE"] == 1


def test_a_water_level_that_is_not_understood_is_told() -> None:
    draft = drafted(WATLEV="now and then")
    assert "dangers" not in draft.parts
    (problem,) = draft._told()
    assert problem.severity is Severity.NOT_ASSESSED and "now and then" in problem.text


def test_out_of_a_cell_and_out_of_tags(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("SBDARE", HERE)
    cell.add("SBDARE", HERE, WATLEV=4)
    (danger,) = read_cell(cell.write(tmp_path)).dangers
    assert (danger.kind, danger.uncovers) == (DangerKind.GROUND, True)
    tags = {"seamark:type": "seabed_area", "seamark:seabed_area:water_level": "covers"}
    cls, values = charted(tags)
    assert cls == "SBDARE"
    (danger,) = drafted(**values).parts["dangers"]
    assert danger.uncovers
