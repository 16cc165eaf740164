"""A light, a daymark or a height of land with nothing under it in the chart, end to end.

IHO S-57 edition 3.1, appendix B.1, annex A: lights and daymarks are slaves of what carries them.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.finding import Report, Verdict
from routecheck.readers.folder import read_charts
from tests.s57_writer import Cell
from tests.test_areas_proof import HALF_M, track

SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
ON_THE_TRACK, FAR_OFF = shapely.Point(10.05, 54.0), shapely.Point(10.05, 54.05)
BOAT = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=HALF_M))


def report(folder: Path, cls: str, place: shapely.Point) -> Report:
    made = Cell()
    made.add("M_COVR", SEA, CATCOV=1)
    made.add("M_QUAL", SEA, CATZOC=3)
    made.add("DEPARE", SEA, DRVAL1=20.0, DRVAL2=30.0)
    made.add(cls, place)
    made.write(folder, "AA5LIGHT")
    return vet(track(54.0), read_charts([folder]), BOAT).report


@pytest.mark.parametrize("cls", ["LIGHTS", "DAYMAR", "TOPMAR", "LNDELV"])
def test_on_the_track_it_is_not_passed_over(tmp_path: Path, cls: str) -> None:
    found = report(tmp_path, cls, ON_THE_TRACK)
    assert found.verdict is Verdict.INCOMPLETE
    (one,) = [f for f in found.findings if f.check == "class-not-judged"]
    assert (one.severity, one.cls, one.leg) == (Severity.NOT_ASSESSED, cls, 1)


def test_far_off_the_track_it_changes_nothing(tmp_path: Path) -> None:
    assert report(tmp_path, "LIGHTS", FAR_OFF).verdict is Verdict.NO_HAZARD_FOUND
