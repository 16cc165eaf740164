"""Damaged S-57 cells: truncated, bit-flipped, garbled. Each is refused in one line or read with
its flaws; none ends or stops the process that asked."""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.ogr import read_all
from routecheck.readers.s57 import CellJob, read_cell
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
LONGEST_S = 10.0


@pytest.fixture(scope="module")
def data() -> bytes:
    cell = Cell()
    cell.add("M_COVR", HERE, CATCOV=1)
    for number in range(6):
        cell.add("DEPARE", shapely.box(10.0 + number / 100, 54.0, 10.1, 54.1), DRVAL1=number)
        cell.add("BOYLAT", shapely.Point(10.0 + number / 100, 54.05), CATLAM=1, OBJNAM="x" * 40)
    cell.add("SOUNDG", [(10.0 + n / 1000, 54.01, n / 10) for n in range(50)])
    return cell.bytes("XX5TEST1.000")


def outcomes(folder: Path, variants: list[bytes]) -> list[Chart | str]:
    """The chart of each variant, or the line that refuses it."""
    jobs = []
    for number, variant in enumerate(variants):
        path = folder / f"XX5V{number}.000"
        path.write_bytes(variant)
        jobs.append(CellJob(path))
    found: list[Chart | str] = []
    asked: list[CellJob] = []
    requests = []
    for job in jobs:
        try:
            requests.append(job.request())
            asked.append(job)
        except BadInput as error:
            found.append(str(error))
    start = time.monotonic()
    for job, answer in zip(asked, read_all(requests), strict=True):
        assert time.monotonic() - start < LONGEST_S
        try:
            found.append(job.finish(answer))
        except BadInput as error:
            found.append(str(error))
        start = time.monotonic()
    return found


def sane(found: list[Chart | str]) -> None:
    for one in found:
        if isinstance(one, str):
            assert "\n" not in one
            assert "XX5V" in one
        else:
            assert all("\n" not in problem.text for problem in one.problems)
            assert all(thing.geometry.is_valid for thing in one.objects())


@pytest.mark.parametrize("share", [0.0, 0.01, 0.2, 0.5, 0.8, 0.99, 0.9999])
def test_truncated_cells_are_refused(tmp_path: Path, data: bytes, share: float) -> None:
    path = tmp_path / "XX5TEST1.000"
    path.write_bytes(data[: int(len(data) * share)])
    with pytest.raises(
        BadInput, match=r"XX5TEST1\.000: (it is damaged|the file is empty|this is not)"
    ):
        read_cell(path)


def test_a_cell_cut_between_two_records_is_told(tmp_path: Path, data: bytes) -> None:
    """No record is broken; only the head knows that some are missing."""
    at, starts = 0, []
    while at < len(data):
        starts.append(at)
        at += int(data[at : at + 5])
    path = tmp_path / "XX5TEST1.000"
    path.write_bytes(data[: starts[-2]])
    told = [p for p in read_cell(path).problems if "14 objects and has 12" in p.text]
    assert [p.severity for p in told] == [Severity.NOT_ASSESSED]


def test_flipped_bits(tmp_path: Path, data: bytes) -> None:
    dice = random.Random(57)
    variants = []
    for _ in range(60):
        garbled = bytearray(data)
        for _ in range(dice.choice((1, 1, 3, 30))):
            at = dice.randrange(len(garbled))
            garbled[at] ^= 1 << dice.randrange(8)
        variants.append(bytes(garbled))
    sane(outcomes(tmp_path, variants))


def test_random_blocks(tmp_path: Path, data: bytes) -> None:
    dice = random.Random(58)
    variants = []
    for _ in range(30):
        garbled = bytearray(data)
        at = dice.randrange(300, len(garbled))
        size = dice.choice((4, 50, 500))
        garbled[at : at + size] = dice.randbytes(size)
        variants.append(bytes(garbled[: len(data)]))
    sane(outcomes(tmp_path, variants))


def test_real_cells_damaged(tmp_path: Path, real_data: Path) -> None:
    whole = (real_data / "s57_s64_gb" / "GB5X01NE.000").read_bytes()
    dice = random.Random(59)
    variants = []
    for _ in range(25):
        garbled = bytearray(whole)
        for _ in range(dice.choice((1, 5, 50))):
            garbled[dice.randrange(2000, len(garbled))] = dice.randrange(256)
        variants.append(bytes(garbled))
    sane(outcomes(tmp_path, variants))


def test_huge_counts_do_not_take_memory(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("DEPARE", HERE, DRVAL1=5)
    data = cell.bytes("XX5V0.000").replace(b"VRPT00019", b"VRPT99999")
    sane(outcomes(tmp_path, [data]))


def test_names_cannot_disturb_a_terminal(tmp_path: Path) -> None:
    cell = Cell()
    name = "<script>\x1b[2J\x07" + "y" * 5000
    cell.add("BOYLAT", shapely.Point(10, 54), OBJNAM=name, INFORM=name)
    (mark,) = read_cell(cell.write(tmp_path)).marks
    assert len(mark.name) <= 300
    assert mark.name.isprintable()
    assert str(mark.attributes["INFORM"]).isprintable()
