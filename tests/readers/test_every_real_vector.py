"""Every real vector file, read a second time by fiona (another binding, another GDAL inside):
objects by class, depths, datums, qualities. What is refused is refused by name."""

from __future__ import annotations

import json
import os
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from routecheck.model.chart import Chart
from routecheck.model.datum import UNKNOWN, VERDAT
from routecheck.model.errors import BadInput
from routecheck.readers.folder import read_charts
from routecheck.readers.s57 import read_cell

pyogrio = pytest.importorskip("pyogrio.raw", reason="pyogrio is not installed")
fiona = pytest.importorskip("fiona", reason="fiona is not installed")

ROOT = Path(os.environ.get("ROUTECHECK_DATA", Path(__file__).resolve().parents[3] / "shared/data"))
CELLS = sorted(str(p.relative_to(ROOT)) for p in ROOT.glob("s57_*/**/*.000"))
REFUSED = {
    "s57_gdal_autotest/bug1526.000": "update",
}
"""An update that is called a base cell; others are refused for what is broken in them."""
_NOT_OBJECTS = {"DSID", "IsolatedNode", "ConnectedNode", "Edge", "Face"}


Row = dict[str, Any]
UNITS_M = {1: 1.0, 3: 0.3048, 4: 1.8288}
"""DUNI: IHO S-57 edition 3.1, part 3, clause 7.3.2.1; the international foot and fathom."""


def second(path: Path) -> dict[str, list[Row]]:
    """Attributes by class, as fiona reads them; "_geometry" is the kind of shape."""
    found = {}
    for layer in fiona.listlayers(path):
        with fiona.open(path, layer=layer) as source:
            found[layer] = [
                dict(f["properties"])
                | {"_geometry": f["geometry"]["type"] if f["geometry"] else ""}
                for f in source
            ]
    return found


def _kind(geometry: Any) -> str:
    return str(geometry["type"]) if geometry and geometry["coordinates"] else ""


def numbers(rows: list[Row], name: str) -> list[float]:
    return sorted(float(row[name]) for row in rows if row.get(name) is not None)


def test_there_are_cells(real_data: Path) -> None:
    assert len(CELLS) >= 23, real_data


@pytest.mark.parametrize("name", CELLS or ["none"])
def test_cell(real_data: Path, name: str) -> None:
    path = real_data / name
    try:
        chart = read_cell(path)
    except BadInput as error:
        assert REFUSED.get(name, "") in error.wrong
        assert "\n" not in str(error)
        assert path.stem in str(error)
        assert name in REFUSED or "s57_s58" in name
        return
    theirs = second(path)
    _same_counts(chart, theirs)
    _same_depths(chart, theirs)
    (head,) = theirs["DSID"]
    assert chart.source.datum == VERDAT.get(int(head["DSPM_SDAT"] or 0), UNKNOWN)
    assert chart.source.scale == float(head["DSPM_CSCL"])
    rows = [row for row in theirs.get("M_QUAL", []) if row["_geometry"]]
    ours = [float(zone.catzoc or 0) for zone in chart.quality_zones]
    _same(ours, [float(row["CATZOC"] or 0) for row in rows], _lost(chart, "M_QUAL"))


def _same_counts(chart: Chart, theirs: dict[str, list[Row]]) -> None:
    counted = {cls: len(rows) for cls, rows in theirs.items() if cls not in _NOT_OBJECTS}
    generic = counted.pop("Generic", 0)
    ours = dict(chart.counts)
    # Soundings are counted one by one here, and by objects there.
    assert ours.pop("SOUNDG", 0) >= counted.pop("SOUNDG", 0)
    own_codes = sum(ours.pop(cls) for cls in list(ours) if cls.startswith("OBJL"))
    assert own_codes == generic
    assert ours == counted


def _same_depths(chart: Chart, theirs: dict[str, list[Row]]) -> None:
    unit_m = UNITS_M[theirs["DSID"][0]["DSPM_DUNI"]]
    for cls in ("DEPARE", "DRGARE"):
        rows = [r for r in theirs.get(cls, []) if "Polygon" in r["_geometry"]]
        areas = [a for a in chart.depth_areas if a.cls == cls]
        ours = [a.charted_depth_m for a in areas if a.charted_depth_m is not None]
        # Of a range that is upside down the shoaler end counts here.
        stated = [min(numbers([r], "DRVAL1") + numbers([r], "DRVAL2")) for r in rows
                  if r["DRVAL1"] is not None]  # fmt: skip
        _same(ours, [depth * unit_m for depth in stated], _lost(chart, cls))
    for cls in ("WRECKS", "UWTROC", "OBSTRN"):
        rows = [r for r in theirs.get(cls, []) if r["_geometry"]]
        things = [d for d in chart.dangers if d.cls == cls]
        assert len(rows) - _lost(chart, cls) <= len(things) <= len(rows)
        # A depth that does not go with its water level counts as unknown or as none at all.
        odd = sum(r.get("WATLEV") in (4, 5) or r.get("CATWRK") in (4, 5) for r in rows)
        unknown = sum("2" in str(r.get("QUASOU") or "") for r in rows)
        known = [d.charted_depth_m for d in things if d.charted_depth_m not in (None, 0.0)]
        depths = [v * unit_m for v in numbers(rows, "VALSOU") if v]
        _same([d for d in known if d is not None], depths, _lost(chart, cls) + odd + unknown)


def _lost(chart: Chart, cls: str) -> int:
    """Objects of a class that the reader itself says it has left out."""
    return sum(p.text.startswith(f"{cls} ") and "left out" in p.text for p in chart.problems)


def _same(ours: list[float], theirs: list[float], lost: int) -> None:
    mine, other = (Counter(round(v, 3) for v in values) for values in (ours, theirs))
    assert not mine - other
    assert (other - mine).total() <= lost


def test_overpass_against_plain_json(real_data: Path) -> None:
    path = real_data / "osm_lights_overpass" / "data.json"
    elements = json.loads(path.read_text("utf-8"))["elements"]
    tagged = [e for e in elements if any(k.startswith("seamark:") for k in e.get("tags", {}))]
    (chart,) = read_charts([path]).charts
    assert sum(chart.counts.values()) == len(tagged)


def test_the_world_of_seamarks(real_data: Path) -> None:
    path = real_data / "osm_seamarks_world" / "seamarks.pbf"
    (chart,) = read_charts([path]).charts
    kinds: Counter[str] = Counter()
    _, _, _, (tags,) = pyogrio.read(
        path, layer="points", columns=["other_tags"], read_geometry=False
    )
    for text in tags:
        if '"seamark:type"=>"' in (text or ""):
            kinds[text.split('"seamark:type"=>"')[1].split('"')[0]] += 1
    for kind, cls in (("buoy_cardinal", "BOYCAR"), ("buoy_lateral", "BOYLAT"), ("rock", "UWTROC")):
        counted = chart.counts.get(cls, 0)
        # Some stand on ways and relations, and a category that is not known is not taken as one.
        assert 0.9 * kinds[kind] <= counted <= 1.1 * kinds[kind] + 5, kind
