"""What only the smaller scale shows, from S-57 cells to the report."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import Finding
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell
from tests.test_areas_proof import track

CHECKS = ("only-on-the-smaller-scale", "underwater-danger")
SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
ROCK = shapely.Point(10.1, 54.0)
BESIDE = shapely.Point(10.1005, 54.0)
"""33 m east of it, at 54 degrees (111.3 km a degree times cos 54)."""
ACROSS = shapely.LineString([(10.1, 53.99), (10.1, 54.01)])
VALUES = {
    "CBLOHD": {"VERCLR": 12},
    "RESARE": {"RESTRN": "7"},
    "BOYLAT": {"CATLAM": 1, "COLOUR": "3"},
    "BOYSPP": {},
}


def cell(
    folder: Path, name: str, scale: int, *rocks: shapely.Point, **more: shapely.Geometry
) -> Chart:
    (folder / name).mkdir()
    made = Cell(scale=scale)
    made.add("M_COVR", SEA, CATCOV=1)
    made.add("DEPARE", SEA, DRVAL1=9, DRVAL2=60)
    made.add("M_QUAL", SEA, CATZOC=2)
    for one in rocks:
        made.add("UWTROC", one, VALSOU=1, WATLEV=3)
    for cls, shape in more.items():
        made.add(cls, shape, OBJNAM="Ness", **VALUES[cls])
    return read_cell(made.write(folder / name, name))


def told(*charts: Chart) -> list[Finding]:
    boat = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=100.0))
    report = vet(track(54.0), ChartSet(charts=charts), boat).report
    return [
        f for f in report.findings if f.check in ("only-on-the-smaller-scale", "underwater-danger")
    ]


def test_a_rock_of_the_coastal_cell(tmp_path: Path) -> None:
    """a rock of the coastal cell where the harbour cell shows 9 m is a note"""
    coast = cell(tmp_path, "AA300001", 90_000, ROCK)
    (note,) = told(coast, cell(tmp_path, "AA500001", 10_000))
    assert (note.check, note.severity) == ("only-on-the-smaller-scale", Severity.NOTE)
    assert note.title == "rock on AA300001.000, not on AA500001.000"
    assert "with a charted depth of 1.0 m; AA500001.000, of larger scale" in note.explanation
    assert note.sums == {"charted_depth_m": pytest.approx(1.0)}


def test_a_rock_that_both_show(tmp_path: Path) -> None:
    """none where the harbour cell shows a rock within both uncertainties"""
    coast = cell(tmp_path, "AA300001", 90_000, ROCK)
    harbour = cell(tmp_path, "AA500001", 10_000, BESIDE)
    assert [f.check for f in told(coast, harbour)] == ["underwater-danger"]


@pytest.mark.parametrize(
    ("cls", "shape", "called"),
    [
        ("CBLOHD", ACROSS, "overhead cable Ness"),
        ("RESARE", ROCK.buffer(0.001), "restricted area Ness"),
        ("BOYLAT", ROCK, "port-hand mark Ness"),
        ("BOYSPP", ROCK, "special mark Ness"),
    ],
)
def test_spans_areas_and_marks_of_the_coastal_cell(
    tmp_path: Path, cls: str, shape: shapely.Geometry, called: str
) -> None:
    """a cable of the coastal cell over the harbour cell's free water is a note"""
    coast = cell(tmp_path, "AA300001", 90_000, **{cls: shape})
    (note,) = told(coast, cell(tmp_path, "AA500001", 10_000))
    assert (note.cls, note.severity, note.sums) == (cls, Severity.NOTE, {})
    assert note.title == f"{called} on AA300001.000, not on AA500001.000"
    assert not told(coast, cell(tmp_path, "AA500002", 10_000, **{cls: shape}))
