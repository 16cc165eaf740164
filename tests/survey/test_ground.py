"""A seabed area that covers and uncovers, beside and within depth areas that dry: our own rule.

The boat needs 3 m, and there is no tide.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.readers.folder import read_charts
from tests.s57_writer import Cell
from tests.survey.charts import route

SEA = shapely.box(10.0, 54.0, 10.1, 54.1)
DRIES = shapely.box(10.04, 54.04, 10.06, 54.06)
WITHIN = shapely.box(10.045, 54.045, 10.055, 54.055)
FILLS = DRIES
REACHES_OUT = shapely.box(10.055, 54.045, 10.07, 54.055)
BESIDE = shapely.box(10.06, 54.04, 10.07, 54.06)


def found(folder: Path, ground: shapely.Geometry, level: int = 4) -> dict[str, list[str]]:
    """Titles of findings by check, the route across all."""
    cell = Cell()
    cell.add("M_COVR", SEA, CATCOV=1)
    cell.add("M_QUAL", SEA, CATZOC=1)
    cell.add("DEPARE", SEA.difference(DRIES), DRVAL1=20, DRVAL2=30)
    cell.add("DEPARE", DRIES, DRVAL1=-2, DRVAL2=0)
    cell.add("SBDARE", ground, WATLEV=level)
    cell.write(folder)
    boat = Boat(name="test", draught_m=2.0, margins=Margins(under_keel_m=1.0))
    report = vet(route([(10.01, 54.05), (10.09, 54.05)]), read_charts([folder]), boat).report
    told: dict[str, list[str]] = {}
    for finding in report.findings:
        told.setdefault(finding.check, []).append(f"{finding.severity.value}: {finding.title}")
    return told


@pytest.mark.parametrize("ground", [REACHES_OUT, BESIDE], ids=["reaches out", "beside"])
def test_a_ledge_in_deep_water_and_one_that_reaches_into_it_are_dangers(
    tmp_path: Path, ground: shapely.Geometry
) -> None:
    (title,) = found(tmp_path, ground)["underwater-danger"]
    assert title == "danger: ground of unknown depth"


@pytest.mark.parametrize("ground", [WITHIN, FILLS], ids=["within", "fills it"])
def test_within_a_drying_area_it_is_told_once(tmp_path: Path, ground: shapely.Geometry) -> None:
    told = found(tmp_path, ground)
    assert "underwater-danger" not in told
    (title,) = told["too-little-water"]
    assert title.startswith("danger: depth area dries 2.0 m")


def test_ground_that_is_always_dry_is_a_danger_there_too(tmp_path: Path) -> None:
    (title,) = found(tmp_path, WITHIN, level=2)["underwater-danger"]
    assert title == "danger: ground, always dry"
