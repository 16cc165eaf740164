"""Old surveys, from an S-57 cell to the report."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Finding
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell
from tests.test_areas_proof import track

SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
WEST, EAST = shapely.box(9.9, 53.9, 10.05, 54.1), shapely.box(10.05, 53.9, 10.2, 54.1)


def told(folder: Path, *zones: dict[str, Any], oldest: float = 1970.0) -> list[Finding]:
    cell = Cell(scale=20_000)
    cell.add("M_COVR", SEA, CATCOV=1)
    cell.add("DEPARE", SEA, DRVAL1=20, DRVAL2=60)
    for shape, values in zip((WEST, EAST), zones, strict=False):
        cell.add("M_QUAL", shape, CATZOC=3, **values)
    boat = Boat(
        name="b",
        draught_m=2.0,
        margins=Margins(under_keel_m=1.0, cross_track_m=100.0, oldest_survey_year=oldest),
    )
    report = vet(track(54.0), ChartSet(charts=(read_cell(cell.write(folder)),)), boat).report
    return [f for f in report.findings if f.check == "old-survey"]


def test_old_zone(tmp_path: Path) -> None:
    """a zone surveyed in 1939 is a note with oldest_survey = 1970"""
    (note,) = told(tmp_path, {"SUREND": "19390615"}, {"SUREND": "20150101"})
    assert note.severity is Severity.NOTE
    assert note.title.startswith("surveyed in 1939")
    assert note.along_m == 0.0
    # The zone ends half-way along the leg.
    assert note.along_to_m == pytest.approx(3280.0, abs=10.0)


def test_zone_of_the_year_itself(tmp_path: Path) -> None:
    """a zone surveyed in 1970 is none"""
    assert told(tmp_path, {"SUREND": "1970"}, {"SUREND": "20150101"}) == []
    assert len(told(tmp_path, {"SUREND": "1970"}, oldest=1971.0)) == 1


def test_the_oldest_leads_and_the_others_are_named(tmp_path: Path) -> None:
    (note,) = told(tmp_path, {"SUREND": "1955"}, {"SURSTA": "1890"})
    assert note.title.startswith("surveyed in 1890")
    assert "1955" in note.explanation


def test_no_date_is_no_note(tmp_path: Path) -> None:
    assert told(tmp_path, {}, {}) == []
