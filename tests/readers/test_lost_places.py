"""A light, daymark or line to steer by without a proper place is told: what it stands on, or which
way is in, is then not known.

IHO S-57 edition 3.1, appendix B.1, annex A: lights, daymarks, top marks, fog signals and
reflectors are slaves of the structure that carries them; LNDELV lies on land. Positions on the
earth: RFC 7946, section 4.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.finding import Verdict
from routecheck.model.source import Source, SourceKind
from routecheck.readers.charted import Draft
from routecheck.readers.features import STEERING, add_rows
from routecheck.readers.fittings import FITTINGS
from routecheck.readers.folder import read_charts
from routecheck.readers.vector import read_vector
from tests.readers.test_vector import SQUARE
from tests.s57_writer import Cell
from tests.test_areas_proof import track

OFF = {"type": "Point", "coordinates": [4e6, 6e6]}
HERE = shapely.to_wkb(shapely.Point(10.05, 54.05))
SOURCE = Source(id="c", file="c", sha256="", kind=SourceKind.VECTOR, format="GeoJSON", datum="LAT")
WATER = {"class": "DEPARE", "DRVAL1": 20.0, "DRVAL2": 30.0}


@pytest.mark.parametrize("cls", [*FITTINGS, *STEERING])
@pytest.mark.parametrize(
    ("geometry", "wrong"), [(None, "it has no place"), (OFF, "it lies outside ±180° of longitude")]
)
def test_one_without_a_proper_place_is_told(
    tmp_path: Path, cls: str, geometry: Any, wrong: str
) -> None:
    path = tmp_path / "c.geojson"
    water = {"type": "Feature", "properties": WATER, "geometry": shapely.geometry.mapping(SQUARE)}
    lost = {"type": "Feature", "properties": {"class": cls}, "geometry": geometry}
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [water, lost]}))
    chart = read_vector(path)[0]
    (problem,) = chart.problems
    assert problem.text.startswith(f"{cls} 2: {wrong}")
    assert problem.text.endswith(" and was left out")
    assert (problem.severity, problem.bounds) == (Severity.NOT_ASSESSED, None)
    assert chart.counts[cls] == 1


def test_many_alike_are_told_in_one_line_a_class() -> None:
    draft = Draft(source="c")
    for cls in ("LIGHTS", "DAYMAR"):
        add_rows(cls, [(str(n), {}, wkb) for n, wkb in enumerate([HERE, None, None, None])], draft)
    add_rows("LIGHTS", [("9", {}, b"\x01\x01\x00")], draft)
    assert [one.text for one in draft.chart(SOURCE).problems] == [
        "LIGHTS 1 and 2 more: it has no place and was left out",
        "DAYMAR 1 and 2 more: it has no place and was left out",
        "LIGHTS 9: its shape cannot be read and was left out",
    ]


def test_one_that_is_judged_for_its_depth_is_told_once() -> None:
    draft = Draft(source="c")
    rows = [("1", {"TRAFIC": 1, "ORIENT": 90.0}, None), ("2", {}, None)]
    add_rows("RECTRC", rows, draft)
    assert sorted(one.text for one in draft.chart(SOURCE).problems) == [
        "RECTRC 1: it has no place and was left out",
        "RECTRC 2: it has no place and was left out",
    ]


@pytest.mark.parametrize("cls", ["SEAARE", "MAGVAR", "BUAARE"])
def test_of_a_name_or_the_like_nothing_is_said(cls: str) -> None:
    draft = Draft(source="c")
    add_rows(cls, [("1", {}, None)], draft)
    assert draft.chart(SOURCE).problems == ()


def test_a_leg_that_rests_on_the_chart_is_not_clear(tmp_path: Path) -> None:
    sea = shapely.box(9.9, 53.9, 10.2, 54.1)
    made = Cell()
    made.add("M_COVR", sea, CATCOV=1)
    made.add("M_QUAL", sea, CATZOC=3)
    made.add("DEPARE", sea, DRVAL1=20.0, DRVAL2=30.0)
    made.write(tmp_path, "AA5LIGHT")
    boat = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=100.0))
    assert vet(track(54.0), read_charts([tmp_path]), boat).report.verdict is Verdict.NO_HAZARD_FOUND
    light = {"type": "Feature", "properties": {"class": "LIGHTS"}, "geometry": None}
    shape = shapely.geometry.mapping(sea)
    water = {"type": "Feature", "properties": WATER, "geometry": shape}
    text = json.dumps({"type": "FeatureCollection", "features": [water, light]})
    (tmp_path / "more.geojson").write_text(text)
    found = vet(track(54.0), read_charts([tmp_path]), boat).report
    assert found.verdict is Verdict.INCOMPLETE
    assert any("LIGHTS 2: it has no place" in str(one) for one in found.findings)
