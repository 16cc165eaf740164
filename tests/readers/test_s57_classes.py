"""Which S-57 classes are harmless, which are solid, and which nobody judges."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.readers.features import READERS
from routecheck.readers.s57 import read_cell
from routecheck.readers.s57_classes import HARMLESS, MARKS, SOLIDS, SPANS
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
JUDGED = (
    *("DEPARE", "DRGARE", "DEPCNT", "SOUNDG", "LNDARE", "COALNE", "UWTROC", "WRECKS", "OBSTRN"),
    *("BOYLAT", "BCNLAT", "M_NSYS", "M_COVR", "M_QUAL", "UNSARE", "SLCONS", "PILPNT", "MORFAC"),
    *("OFSPLF", "PONTON", "HULKES", "FLODOC", "DAMCON", "DYKCON", "GATCON", "FSHFAC", "MARCUL"),
    *("BRIDGE", "CBLOHD", "PIPOHD", "CONVYR"),
)
NOT_HARMLESS = (
    # hide depths or solids, bar entry, or order traffic: IMO MSC.232(82), appendix 4, and the
    # S-57 object catalogue
    *("RESARE", "CTNARE", "OSPARE", "MIPARE", "SPLARE", "SUBTLN", "ISTZNE", "PRCARE", "DMPGRD"),
    *("TSSLPT", "TSSCRS", "TSSRON", "TSEZNE", "TSELNE", "DWRTPT", "SNDWAV", "WATTUR", "ICEARE"),
    *("LOKBSN", "M_HDAT", "M_UNIT", "NEWOBJ", "UNSARE", "PYLONS", "LNDMRK", "BOYINB", "LITVES"),
)


def test_a_class_is_read_or_harmless_never_both() -> None:
    assert not set(READERS) & set(HARMLESS)
    assert not set(SOLIDS) & set(SPANS)
    assert not set(MARKS) & set(SOLIDS)


@pytest.mark.parametrize("cls", JUDGED)
def test_classes_that_are_read(cls: str) -> None:
    assert cls in READERS


@pytest.mark.parametrize("cls", NOT_HARMLESS)
def test_classes_that_must_not_be_harmless(cls: str) -> None:
    assert cls not in HARMLESS


def test_every_harmless_class_has_its_reason_and_exists_in_the_standard() -> None:
    pyogrio = pytest.importorskip("pyogrio", reason="pyogrio is not installed")
    table = Path(pyogrio.__file__).parent / "gdal_data" / "s57objectclasses.csv"
    if not table.exists():
        pytest.skip("this GDAL keeps its table of classes elsewhere")
    with table.open(encoding="utf-8") as stream:
        known = {row["Acronym"] for row in csv.DictReader(stream)}
    assert set(HARMLESS) <= known
    assert set(READERS) - {"mark"} <= known
    assert all(re.search(r"\w{3,} \w+", reason) for reason in HARMLESS.values())


@pytest.mark.parametrize(
    ("cls", "values", "becomes"),
    [
        ("FAIRWY", {}, "harmless"),
        ("FAIRWY", {"RESTRN": "1,3"}, "harmless"),
        ("FAIRWY", {"RESTRN": "1,8"}, "area"),  # entry restricted
        ("FAIRWY", {"RESTRN": "27"}, "area"),  # speed restricted
        ("FAIRWY", {"TRAFIC": 3, "ORIENT": 90}, "area"),  # one way
        ("FAIRWY", {"TRAFIC": 4}, "harmless"),
        ("RECTRC", {"TRAFIC": 3, "ORIENT": 198.3}, "area"),
        ("RECTRC", {"TRAFIC": 4, "ORIENT": 198.3}, "harmless"),
        ("TSSBND", {}, "harmless"),
        ("SBDARE", {}, "harmless"),
        ("WEDKLP", {"CATWED": 3}, "harmless"),  # sea grass
        ("WEDKLP", {"CATWED": 1}, "area"),  # kelp
        ("CBLSUB", {}, "area"),
        ("CTNARE", {}, "area"),
        ("M_CSCL", {"CSCALE": 10_000}, "harmless"),
        ("M_CSCL", {"CSCALE": 90_000}, "unknown"),  # coarser than the cell's 1:20,000
        (9999, {}, "unknown"),  # a class that no table knows
    ],
)
def test_harmless_or_judged_or_not_assessed(
    tmp_path: Path, cls: Any, values: Any, becomes: str
) -> None:
    cell = Cell()
    line = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])
    cell.add(cls, line if cls in ("RECTRC", "CBLSUB", "TSSBND") else HERE, **values)
    chart = read_cell(cell.write(tmp_path))
    found = {"harmless": sum(chart.harmless.values()), "area": len(chart.areas)}
    found["unknown"] = len(chart.unknown)
    assert found == {name: int(name == becomes) for name in ("harmless", "area", "unknown")}
    assert sum(chart.counts.values()) == 1
    for thing in chart.unknown:
        assert "not judged by any check" in thing.why


def test_a_depth_area_that_bars_entry_is_both(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("DRGARE", HERE, DRVAL1=8, RESTRN="7")
    chart = read_cell(cell.write(tmp_path))
    assert len(chart.depth_areas) == len(chart.areas) == 1
    assert chart.depth_areas[0].key != chart.areas[0].key
    assert chart.areas[0].restrictions == (7,)
