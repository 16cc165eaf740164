"""Changes in updates of S-57 cells that GDAL does not make: they count, or are told.

IHO S-57 edition 3.1, part 3, clauses 7.7.1.2 (ATTV) and 8.4.3 (updating of spatial records);
QUAPOS and POSACC: appendix A, attributes 402 and 401.
"""

from __future__ import annotations

import struct
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.s57 import read_cell
from routecheck.readers.s57_parts import Parts
from routecheck.readers.s57_records import changed_records
from tests.s57_writer import EDGE, FEATURE, NODE, Cell, attributes, place

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
ROCK, ROCKS_NODE = 2, 3
"""Numbers of the object, and of its node: those of the depth area's ring come before it."""


def changed(folder: Path, *updates: Cell, quapos: int | None = None) -> Chart:
    cell = Cell()
    cell.add("DEPARE", HERE, DRVAL1=20, DRVAL2=30)
    cell.add("UWTROC", shapely.Point(10.05, 54.05), VALSOU=0.5, WATLEV=3, quapos=quapos)
    for update in updates:
        update.write(folder)
    return read_cell(cell.write(folder))


def stating(number: int = 1, version: int = 2, **values: object) -> Cell:
    update = Cell(update=number)
    fields = [("ATTV", attributes(values))]
    update.change(NODE, ROCKS_NODE, fields, version=version)
    return update


def test_a_doubt_of_a_position_that_an_update_states(tmp_path: Path) -> None:
    (rock,) = changed(tmp_path, stating(QUAPOS=4)).dangers
    assert rock.position_uncertainty_m == 500.0


def test_an_accuracy_that_a_later_update_states(tmp_path: Path) -> None:
    first = Cell(update=1)
    first.modify(ROCK, VALSOU=1.5)
    chart = changed(tmp_path, first, stating(2, POSACC="320.0"))
    (rock,) = chart.dangers
    assert (rock.position_uncertainty_m, rock.charted_depth_m) == (320.0, 1.5)
    assert chart.problems == ()


@pytest.mark.parametrize("better", [1, 10, "\x7f", ""])
def test_a_doubt_stays_where_an_update_takes_it_away(tmp_path: Path, better: object) -> None:
    (rock,) = changed(tmp_path, stating(QUAPOS=better), quapos=4).dangers
    assert rock.position_uncertainty_m == 500.0


@pytest.mark.parametrize(
    ("kind", "number", "field"),
    [
        (NODE, ROCKS_NODE, ("SG2D", place(10.02, 54.05))),
        (NODE, ROCKS_NODE, ("SG3D", place(10.02, 54.05, 1.0))),
        (NODE, ROCKS_NODE, ("ATTV", attributes({"QUAPOS": "poor"}))),
        (EDGE, 2, ("VRPT", b"\x78\x01\x00\x00\x00\xff\xff\x01\xff")),
        (FEATURE, ROCK, ("FSPT", b"\x6e\x01\x00\x00\x00\xff\xff\xff")),
    ],
)
def test_a_change_that_cannot_be_made_is_told(
    tmp_path: Path, kind: int, number: int, field: tuple[str, bytes]
) -> None:
    update = Cell(update=1)
    update.change(kind, number, [field])
    (problem,) = changed(tmp_path, update).problems
    assert "update 1 was not applied as a whole" in problem.text and field[0] in problem.text
    assert problem.severity is Severity.NOT_ASSESSED


def control(does: int, index: int, many: int) -> bytes:
    return struct.pack("<BHH", does, index, many)


INSERT, DELETE, MODIFY = 1, 2, 3


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (control(MODIFY, 1, 1), False),
        (control(MODIFY, 2, 1), True),
        (control(MODIFY, 5, 1), True),
        (control(MODIFY, 0, 1), True),
        (control(MODIFY, 1, 2), True),
        (control(MODIFY, 1, 0), True),
        (control(9, 1, 1), True),
        (control(INSERT, 2, 1), False),
        (control(INSERT, 3, 1), True),
        (control(DELETE, 1, 1), False),
        (control(DELETE, 2, 1), True),
    ],
)
def test_a_change_of_coordinates_that_are_not_there_is_told(
    tmp_path: Path, change: bytes, told: bool
) -> None:
    update = Cell(update=1)
    update.change(NODE, ROCKS_NODE, [("SGCC", change), ("SG2D", place(10.02, 54.05))])
    said = [p for p in changed(tmp_path, update).problems if "of a list of 1 (SGCC)" in p.text]
    assert [p.severity for p in said] == ([Severity.NOT_ASSESSED] if told else [])


@pytest.mark.parametrize("cut", [b"", b"\x01", b"\x03\x01"])
def test_a_control_field_that_is_cut_short_is_refused_in_a_line(tmp_path: Path, cut: bytes) -> None:
    update = Cell(update=1)
    update.change(NODE, ROCKS_NODE, [("SGCC", cut), ("SG2D", place(10.02, 54.05))])
    with pytest.raises(BadInput, match="SGCC"):
        changed(tmp_path, update)


def test_parts_are_counted_from_update_to_update(tmp_path: Path) -> None:
    """The second update changes what the first has put in, the third what the second took away."""
    updates = []
    for number, change in enumerate(
        [control(INSERT, 2, 1), control(MODIFY, 2, 1), control(DELETE, 2, 1), control(MODIFY, 2, 1)]
    ):
        updates.append(Cell(update=number + 1))
        fields = [("SGCC", change), ("SG2D", place(10.02, 54.05))]
        updates[-1].change(NODE, ROCKS_NODE, fields, version=number + 2)
    said = [p.text for p in changed(tmp_path, *updates).problems if "of a list" in p.text]
    assert len(said) == 1
    assert "update 4 was not applied as a whole: it changes part 2 of a list of 1" in said[0]


@pytest.mark.parametrize(
    ("kind", "number", "field", "pointer"),
    [
        (EDGE, 2, "VRP", b"\x78\x01\x00\x00\x00\xff\xff\x01\xff"),
        (FEATURE, ROCK, "FSP", b"\x6e\x03\x00\x00\x00\xff\xff\xff"),
    ],
)
def test_a_change_of_pointers_that_are_not_there_is_told(
    tmp_path: Path, kind: int, number: int, field: str, pointer: bytes
) -> None:
    for index, told in ((1, False), (7, True)):
        update = Cell(update=1)
        fields = [(f"{field}C", control(MODIFY, index, 1)), (f"{field}T", pointer)]
        update.change(kind, number, fields)
        said = [p.text for p in changed(tmp_path, update).problems if "part 7 of a list" in p.text]
        assert len(said) == int(told)


def test_an_update_of_another_cell_is_told(tmp_path: Path) -> None:
    path = tmp_path / "XX5TEST1.001"
    changed(tmp_path)
    path.write_bytes(Cell(update=1).bytes("XX5OTHER.001"))
    (problem,) = read_cell(tmp_path / "XX5TEST1.000").problems
    assert "one of another cell (XX5OTHER.001)" in problem.text
    assert problem.severity is Severity.NOT_ASSESSED


@pytest.mark.parametrize(
    ("cell", "told"), [("s57_noaa_us4md81m/US4MD81M", 0), ("s57_s58/AA500007/AA500007", 3)]
)
def test_real_updates(real_data: Path, cell: str, told: int) -> None:
    """Three updates of NOAA's with 52 such changes, all of what is there; and one of the IHO's
    S-58 cells, flawed on purpose, which takes away 11 coordinates from the fifth of 14."""
    base = real_data / f"{cell}.000"
    parts = Parts(base.read_bytes())
    updates = sorted(base.parent.glob(f"{base.stem}.00[1-9]"))
    assert updates
    flaws = [parts.flaws(changed_records(update.read_bytes())) for update in updates]
    assert sum(map(len, flaws)) == told
