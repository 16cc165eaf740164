"""Updates of S-57 cells: applied in order, and refused by name where they cannot be."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Severity
from routecheck.model.errors import BadInput
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
ROCK = shapely.Point(10.05, 54.05)


def base(folder: Path, **head: object) -> Path:
    cell = Cell(**head)  # type: ignore[arg-type]
    cell.add("M_COVR", HERE, CATCOV=1)
    cell.add("DEPARE", HERE, DRVAL1=5, DRVAL2=10)
    cell.add("UWTROC", ROCK, VALSOU=2.5, WATLEV=3)
    return cell.write(folder)


def update(folder: Path, number: int, edition: str = "1", *, deletes: int = 0) -> Path:
    cell = Cell(update=number, edition=edition)
    if deletes:
        cell.delete(deletes)
    else:
        cell.add("WRECKS", shapely.Point(10.02 + number / 1000, 54.02), CATWRK=2)
    return cell.write(folder)


def test_updates_are_applied_in_order(tmp_path: Path) -> None:
    path = base(tmp_path)
    update(tmp_path, 1)
    update(tmp_path, 2)
    update(tmp_path, 3, deletes=3)
    chart = read_cell(path)
    assert chart.source.updates == 3
    assert [danger.cls for danger in chart.dangers] == ["WRECKS", "WRECKS"]
    assert chart.problems == ()


def test_the_digest_is_of_the_base_and_its_updates(tmp_path: Path) -> None:
    path = base(tmp_path)
    digest = hashlib.sha256(path.read_bytes())
    assert read_cell(path).source.sha256 == digest.hexdigest()
    digest.update(update(tmp_path, 1).read_bytes())
    assert read_cell(path).source.sha256 == digest.hexdigest()


def test_an_update_that_takes_a_value_away(tmp_path: Path) -> None:
    path = base(tmp_path)
    change = Cell(update=1)
    change.modify(3, VALSOU="\x7f")  # the delete marker: S-57 part 3, clause 8.4.2.2.c
    change.write(tmp_path)
    (rock,) = read_cell(path).dangers
    assert rock.charted_depth_m is None


def test_a_gap_is_refused_by_name(tmp_path: Path) -> None:
    path = base(tmp_path)
    update(tmp_path, 1)
    update(tmp_path, 3)
    with pytest.raises(BadInput, match=r"XX5TEST1\.003: update 2 is missing"):
        read_cell(path)


def test_a_number_that_is_not_its_own_is_refused(tmp_path: Path) -> None:
    path = base(tmp_path)
    update(tmp_path, 2).rename(tmp_path / "XX5TEST1.001")
    with pytest.raises(BadInput, match=r"XX5TEST1\.001: its name says update 1, its head 2"):
        read_cell(path)


def test_an_update_of_an_older_edition_is_left_aside(tmp_path: Path) -> None:
    path = base(tmp_path, edition="2")
    update(tmp_path, 1, "1")
    chart = read_cell(path)
    assert chart.source.updates == 0
    (problem,) = chart.problems
    assert problem.severity is Severity.NOTE
    assert "edition 1" in problem.text


def test_an_update_of_a_newer_edition_is_refused(tmp_path: Path) -> None:
    path = base(tmp_path, edition="2")
    update(tmp_path, 1, "3")
    with pytest.raises(BadInput, match=r"\.001: it is for edition 3, the cell is edition 2"):
        read_cell(path)


def test_a_cancelled_cell_is_refused(tmp_path: Path) -> None:
    path = base(tmp_path)
    update(tmp_path, 1, "0")
    with pytest.raises(BadInput, match=r"cancelled"):
        read_cell(path)


def test_a_reissue_goes_on_from_its_own_update(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("DEPARE", HERE, DRVAL1=5)
    data = cell.bytes("XX5TEST1.000").replace(
        b"XX5TEST1.000\x1f1\x1f0\x1f", b"XX5TEST1.000\x1f1\x1f2\x1f"
    )
    path = tmp_path / "XX5TEST1.000"
    path.write_bytes(data)
    update(tmp_path, 2)
    update(tmp_path, 3)
    chart = read_cell(path)
    assert chart.source.updates == 3
    assert len(chart.dangers) == 1
    assert [p.severity for p in chart.problems] == [Severity.NOTE]


def test_an_update_that_meets_another_version_is_told(tmp_path: Path) -> None:
    path = base(tmp_path)
    change = Cell(update=1)
    change.modify(3, version=7, VALSOU=0.5)
    change.write(tmp_path)
    told = [p for p in read_cell(path).problems if "update was not applied" in p.text]
    assert told
    assert told[0].severity is Severity.NOT_ASSESSED


def test_updates_of_an_exchange_set_lie_in_folders_of_their_own(tmp_path: Path) -> None:
    for number in (0, 1, 2):
        (tmp_path / str(number)).mkdir()
    path = base(tmp_path / "0")
    update(tmp_path / "1", 1)
    update(tmp_path / "2", 2)
    assert read_cell(path).source.updates == 2


def test_a_cut_off_update_is_refused_by_name(tmp_path: Path) -> None:
    path = base(tmp_path)
    cut = update(tmp_path, 1)
    cut.write_bytes(cut.read_bytes()[:-20])
    with pytest.raises(BadInput, match=r"XX5TEST1\.001: it is damaged"):
        read_cell(path)
