"""S-101 cells that are cut off, flipped, empty or made to do harm."""

from __future__ import annotations

import random
import struct
import time
import tracemalloc
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Severity
from routecheck.model.errors import BadInput
from routecheck.readers.folder import read_charts
from routecheck.readers.s101 import MOST_BYTES, read_cell
from tests.readers.test_damaged_vectors import broken
from tests.readers.test_folder import vector
from tests.s101_writer import COMPOSITE, CURVE, SURFACE, Cell

BOX = shapely.box(10.0, 54.0, 10.1, 54.1)
SECONDS = 10.0


def sample() -> Cell:
    cell = Cell()
    cell.add("DataCoverage", BOX, maximumDisplayScale=12_000)
    for step in range(40):
        low = 54.0 + step / 400
        area = shapely.box(10.0, low, 10.1, low + 0.0025)
        cell.add("DepthArea", area, depthRangeMinimumValue=5.0, depthRangeMaximumValue=10.0)
    cell.add("Sounding", [(10.01, 54.01, 4.2), (10.02, 54.02, 7.5)])
    return cell


def areas_over(cell: Cell, kind: int, rcid: int, usage: int = 1) -> bytes:
    """The cell with a depth area whose surface has the one ring."""
    body = struct.pack("<BIBBB", kind, rcid, 1, usage, 1)
    key = cell.put("SRID", SURFACE, ("RIAS", body))
    number = cell.add("DepthArea", None, depthRangeMinimumValue=5.0)
    places = struct.pack("<BIBIIB", *key, 1, 0, 1, 1)
    cell.records[-1].append(("SPAS", places))
    assert number
    return cell.bytes()


@pytest.mark.parametrize("how", ["empty", "cut", "cut early", "flipped", "flipped head", "zeros"])
def test_damaged_files(tmp_path: Path, how: str) -> None:
    path = tmp_path / "a.000"
    path.write_bytes(broken(sample().bytes(), how))
    vector(tmp_path / "good.geojson")
    begin = time.monotonic()
    charts = read_charts([tmp_path])
    assert time.monotonic() - begin < SECONDS
    by_id = {chart.source.id: chart for chart in charts.charts}
    assert len(by_id["good.geojson"].depth_areas) == 1
    if "a.000" not in by_id:
        (unread,) = charts.unread
        assert unread.looks_like_chart
        assert unread.why and "\n" not in unread.why
        return
    assert how == "flipped"


def test_damage_in_a_real_cell(real_data: Path, tmp_path: Path) -> None:
    """Cut off or with bits flipped anywhere: refused, or read with a word on what is wrong, or
    of other content; never anything else than BadInput, and never for long."""
    whole = (real_data / "s101_s164_gb" / "10100AA_X01NE.000").read_bytes()
    dice = random.Random(101)
    refused = 0
    for number in range(60):
        data = bytearray(whole)
        if number % 3 == 0:
            data = data[: dice.randrange(len(data))]
        else:
            for _ in range(1 + number % 5):
                data[dice.randrange(len(data))] ^= 1 << dice.randrange(8)
        path = tmp_path / f"{number}.000"
        path.write_bytes(bytes(data))
        begin = time.monotonic()
        try:
            read_cell(path)
        except BadInput as error:
            assert str(error).isprintable()
            refused += 1
        assert time.monotonic() - begin < SECONDS
    assert refused >= 20


def test_curves_within_curves_do_not_explode(tmp_path: Path) -> None:
    """Each of 60 composite curves holds the one before twice: 2 to the power of 60 vertices."""
    cell = sample()
    key = cell.curve(BOX.exterior)
    for _ in range(60):
        twice = struct.pack("<BIB", *key, 1) * 2
        key = cell.put("CCID", COMPOSITE, ("CUCO", twice))
    path = tmp_path / "a.000"
    path.write_bytes(areas_over(cell, *key))
    tracemalloc.start()
    begin = time.monotonic()
    chart = read_cell(path)
    assert time.monotonic() - begin < SECONDS
    assert tracemalloc.get_traced_memory()[1] < 200 * 2**20
    tracemalloc.stop()
    (problem,) = chart.problems
    assert "deep" in problem.text and problem.severity is Severity.NOT_ASSESSED


def test_a_curve_named_12_000_times_is_refused(tmp_path: Path) -> None:
    cell = sample()
    points = [(10.0 + i / 1e5, 54.0) for i in range(3_000)]
    key = cell.curve(shapely.LineString([*points, points[0]]))
    body = struct.pack("<BIBBB", *key, 1, 1, 1) * 12_000
    key = cell.put("SRID", SURFACE, ("RIAS", body))
    cell.add("DepthArea", None)
    cell.records[-1].append(("SPAS", struct.pack("<BIBIIB", *key, 1, 0, 1, 1)))
    path = tmp_path / "a.000"
    path.write_bytes(cell.bytes())
    begin = time.monotonic()
    with pytest.raises(BadInput, match="vertices"):
        read_cell(path)
    assert time.monotonic() - begin < SECONDS


def test_a_curve_that_holds_itself(tmp_path: Path) -> None:
    cell = sample()
    cell.put("CCID", COMPOSITE, ("CUCO", struct.pack("<BIB", COMPOSITE, 1, 1)))
    path = tmp_path / "a.000"
    path.write_bytes(areas_over(cell, COMPOSITE, 1))
    assert "deep" in read_cell(path).problems[0].text


@pytest.mark.parametrize(("kind", "rcid"), [(CURVE, 9999), (COMPOSITE, 9999), (SURFACE, 1), (7, 1)])
def test_a_shape_that_cannot_be_had_is_told(tmp_path: Path, kind: int, rcid: int) -> None:
    path = tmp_path / "a.000"
    path.write_bytes(areas_over(sample(), kind, rcid))
    chart = read_cell(path)
    (problem,) = chart.problems
    assert (problem.severity, problem.bounds) == (Severity.NOT_ASSESSED, None)
    assert "was left out" in problem.text
    assert len(chart.depth_areas) == 40


def test_an_open_ring_is_closed_and_told(tmp_path: Path) -> None:
    cell = sample()
    key = cell.curve(shapely.LineString(list(BOX.exterior.coords)[:4]))
    path = tmp_path / "a.000"
    path.write_bytes(areas_over(cell, *key))
    chart = read_cell(path)
    assert any("not closed" in p.text and p.bounds is not None for p in chart.problems)
    assert len(chart.depth_areas) == 41


def test_features_that_are_missing_are_told(tmp_path: Path) -> None:
    cell = sample()
    cell.stated = 50
    path = tmp_path / "a.000"
    path.write_bytes(cell.bytes())
    assert "50 features and has 42" in read_cell(path).problems[0].text


def test_attributes_that_nest_without_end(tmp_path: Path) -> None:
    cell = sample()
    deep: dict[str, object] = {"name": "x"}
    for _ in range(200):
        deep = {"featureName": deep}
    cell.add("LandArea", BOX, **deep)  # type: ignore[arg-type]
    path = tmp_path / "a.000"
    path.write_bytes(cell.bytes())
    with pytest.raises(BadInput, match="attributes within attributes"):
        read_cell(path)


def test_markup_and_control_characters_in_names(tmp_path: Path) -> None:
    cell = sample()
    cell.add("LandArea", BOX, featureName={"name": "\x1b[31mRed\x07 Isle"})
    path = tmp_path / "a.000"
    path.write_bytes(cell.bytes())
    (land,) = read_cell(path).solids
    assert land.name == "[31mRed Isle"


def test_attributes_by_the_thousand(tmp_path: Path) -> None:
    cell = sample()
    cell.add("LandArea", BOX, status=[1] * 6_000)
    path = tmp_path / "a.000"
    path.write_bytes(cell.bytes())
    with pytest.raises(BadInput, match="attributes"):
        read_cell(path)


def test_records_without_end(tmp_path: Path) -> None:
    """As many small records as a file may hold: refused in time."""
    cell = sample()
    whole = cell.bytes()
    tail = whole[-record_size(whole) :]
    path = tmp_path / "a.000"
    path.write_bytes(whole + tail * ((MOST_BYTES - len(whole)) // len(tail)))
    begin = time.monotonic()
    with pytest.raises(BadInput, match="records"):
        read_cell(path)
    assert time.monotonic() - begin < 2.0 * SECONDS  # 24 MB of them; a loaded machine


def record_size(whole: bytes) -> int:
    """Of the last record."""
    at = 0
    while at + int(whole[at : at + 5]) < len(whole):
        at += int(whole[at : at + 5])
    return len(whole) - at
