"""What an S-101 cell says of itself: edition, coordinate systems, datum of depths, scale.

Fields DSID, CSID, CRSH, CSAX and VDAT: IHO S-100 edition 5.0.0, part 10a.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from routecheck.model.datum import UNKNOWN, VERDAT
from routecheck.model.errors import BadInput
from routecheck.readers.charted import number_of
from routecheck.readers.s101_cell import Cell
from routecheck.readers.s101_iso import Fields, text
from routecheck.readers.s101_rows import found

_FLAT, _VERTICAL = 1, 5
"""CRST: geographic in two dimensions, vertical."""
_DEPTH, _METRE = 12, 4
"""AXTY: a depth, downwards; AXUM: metres."""
_UPDATE = "2"
"""PROF: 1 a base cell, 2 an update."""
_LARGEST, _SMALLEST = 100.0, 1e9
SCALES = (
    *(1e3, 2e3, 3e3, 4e3, 8e3, 12e3, 22e3, 45e3, 90e3, 180e3, 350e3, 700e3, 1.5e6, 3.5e6, 10e6),
)
"""Scales of display: IHO S-101 DCEG, table 2.5."""


@dataclass(frozen=True, kw_only=True)
class Head:
    """Edition and date."""

    edition: str
    update: int
    issued: str


@dataclass(frozen=True, kw_only=True)
class Depths:
    """What depths and heights are measured from. `codes`: the datum of each vertical system of
    depths that stands on another one than `datum`."""

    datum: str
    height_datum: str
    codes: Mapping[int, int]


def head_of(cell: Cell, path: Path) -> Head:
    """The head. Raises BadInput for another product and for an update."""
    file = str(path)
    product = cell.head[2] if len(cell.head) > 2 else ""
    if "S-101" not in product:
        raise BadInput(file=file, wrong=f"this is no S-101 cell ({product[:60] or 'not stated'})")
    if cell.head[4] == _UPDATE or cell.changes:
        raise BadInput(
            file=file,
            wrong="this is an update of a cell, not the cell itself",
            do="give the base cell (.000)",
        )
    edition = re.fullmatch(r"(\d{1,6})(?:\.(\d{1,6}))?(?:\.\d{1,6})?", cell.head[10].strip())
    dated = re.fullmatch(r"(\d{4})(\d\d)(\d\d)", cell.head[7])
    return Head(
        edition=edition.group(1) if edition else cell.head[10].strip()[:20],
        update=int(edition.group(2) or 0) if edition else 0,
        issued="-".join(dated.groups()) if dated else "",
    )


def depths_of(cell: Cell, path: Path) -> Depths:
    """The vertical systems. Raises BadInput where positions or depths are on none that is read."""
    flat = [words for _, kind, words, _ in cell.systems if kind == _FLAT]
    if not flat or not re.search(r"4326|WGS ?84", flat[0]):
        stated = flat[0][:60] if flat else "none is stated"
        wrong = f"its positions are not on WGS 84 ({stated})"
        raise BadInput(file=str(path), where="CRSH", wrong=wrong)
    vertical = {index: fields for index, kind, _, fields in cell.systems if kind == _VERTICAL}
    used = {index for index, _ in cell.clouds.values()}
    for index in used:
        axis = next((c for tag, c in vertical.get(index, ()) if tag == "CSAX"), b"")
        if axis[:2] != bytes((_DEPTH, _METRE)):
            wrong = "its soundings are not stated to be depths in metres"
            raise BadInput(file=str(path), where="CSAX", wrong=wrong)
    order = sorted(used) or sorted(vertical)[:1]
    codes = {index: _datum(fields) for index, fields in vertical.items()}
    first = codes.get(order[0], 0) if order else 0
    others = [codes[index] for index in sorted(vertical) if index not in order]
    return Depths(
        datum=VERDAT.get(first, UNKNOWN),
        height_datum=VERDAT.get(others[0], UNKNOWN) if others else UNKNOWN,
        codes={index: codes[index] for index in used if codes[index] != first},
    )


def _datum(fields: Fields) -> int:
    """The code of a vertical system's datum, 0 where it states none."""
    for tag, content in fields:
        if tag == "VDAT":
            _, at = text(content, 0)
            code, _ = text(content, at)
            return int(code) if code.isdigit() and len(code) < 6 else 0
    return 0


def scale_of(cell: Cell) -> float | None:
    """The scale that positions are good for, which S-101 does not state.

    It states the largest scale that the data is meant to be seen at (the optimum one from edition
    2.0.0 on), rounded to one of the scales of a table, and cells compiled at 1:25,000 say 1:12,000:
    the next smaller scale of that table is taken. Of several areas the smallest scale counts.
    """
    scales = []
    for feature in cell.features:
        if feature.cls != "DataCoverage":
            continue
        for name in ("optimumDisplayScale", "maximumDisplayScale", "minimumDisplayScale"):
            stated = number_of(next(found(feature.attrs, name), None))
            if stated is not None and _LARGEST <= stated < _SMALLEST:
                scales.append(next((one for one in SCALES if one > stated), stated))
                break
    return max(scales, default=None)
