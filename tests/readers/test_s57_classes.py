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
    ("cls", "values", "harmless"),
    [
        ("FAIRWY", {}, True),
        ("FAIRWY", {"RESTRN": "1,3"}, True),
        ("FAIRWY", {"RESTRN": "1,8"}, False),  # entry restricted
        ("RESARE", {"RESTRN": "1,3"}, True),  # anchoring and fishing
        ("RESARE", {"RESTRN": "7"}, False),  # entry prohibited
        ("RESARE", {"RESTRN": "14"}, False),  # to be avoided
        ("RESARE", {}, False),
        ("RESARE", {"RESTRN": "1", "CATREA": "14"}, False),  # minefield
        ("RESARE", {"RESTRN": "1", "CATREA": "4"}, True),  # nature reserve
        ("FERYRT", {"CATFRY": 1}, True),
        ("FERYRT", {"CATFRY": 2}, False),  # on a cable
        ("FERYRT", {}, False),
        ("WEDKLP", {"CATWED": 3}, True),  # sea grass
        ("WEDKLP", {"CATWED": 1}, False),  # kelp
        ("PIPSOL", {"CATPIP": "4"}, True),
        ("PIPSOL", {"CATPIP": "2"}, False),  # outfall
        ("CBLSUB", {}, True),
        ("M_CSCL", {"CSCALE": 10_000}, True),
        ("M_CSCL", {"CSCALE": 90_000}, False),  # coarser than the cell's 1:20,000
        ("CTNARE", {}, False),
        ("TSSLPT", {}, False),
        (9999, {}, False),  # a class that no table knows
    ],
)
def test_harmless_or_not_assessed(tmp_path: Path, cls: Any, values: Any, harmless: bool) -> None:
    cell = Cell()
    line = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])
    cell.add(cls, line if cls in ("FERYRT", "PIPSOL", "CBLSUB") else HERE, **values)
    chart = read_cell(cell.write(tmp_path))
    assert sum(chart.harmless.values()) == (1 if harmless else 0)
    assert len(chart.unknown) == (0 if harmless else 1)
    assert sum(chart.counts.values()) == 1
    for thing in chart.unknown:
        assert "not judged by any check" in thing.why


def test_a_depth_area_that_bars_entry_is_both(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("DRGARE", HERE, DRVAL1=8, RESTRN="7")
    chart = read_cell(cell.write(tmp_path))
    assert len(chart.depth_areas) == len(chart.unknown) == 1
    assert chart.depth_areas[0].key != chart.unknown[0].key
