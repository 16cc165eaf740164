"""An S-101 cell taken apart: its head, its spatial records, its features and their attributes.

Records and fields: IHO S-100 edition 5.0.0, part 10a, and IHO S-101 edition 1.1.0, annex B.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field

from routecheck.readers.iso8211 import Damaged, forms_of
from routecheck.readers.s101_iso import Fields, one, records, rows, text

POINT, CLOUD, CURVE, COMPOSITE, SURFACE = 110, 115, 120, 125, 130
FEATURE, INFORMATION = 100, 150
"""RCNM, the kinds of records."""
INSERT = 1
"""RUIN; anything else changes a record of another file."""
FORWARD, REVERSE = 1, 2
MOST_RECORDS = 120_000
MOST_ATTRIBUTES = 5_000
"""Of one feature."""
_LAYOUT = {
    "DSSI": "b4 8,b4 8,b4 8" + ",b1 4" * 10,
    **dict.fromkeys(("ATCS", "FTCS", "ITCS", "FACS", "IACS"), "A 0,b1 2"),
    "ATTR": "b1 2,b1 2,b1 2,b1 1,A 0",
    **dict.fromkeys(("C2IT", "C2IL"), "b2 4,b2 4"),
    **dict.fromkeys(("C3IT", "C3IL"), "b1 1,b2 4,b2 4,b2 4"),
    **dict.fromkeys(("PRID", "MRID", "CRID", "CCID", "SRID"), "b1 1,b1 4,b1 2,b1 1"),
    **dict.fromkeys(("FRID", "IRID"), "b1 1,b1 4,b1 2,b1 2,b1 1"),
    "FOID": "b1 2,b1 4,b1 2",
    "PTAS": "b1 1,b1 4,b1 1",
    "CUCO": "b1 1,b1 4,b1 1",
    "RIAS": "b1 1,b1 4,b1 1,b1 1,b1 1",
    "SPAS": "b1 1,b1 4,b1 1,b1 4,b1 4,b1 1",
}
"""Subfields of the fields that are read here, as the first record of a file must state them."""
_DSSI, _CODE, _ATTR = struct.Struct("<3d10I"), struct.Struct("<H"), struct.Struct("<HHHB")
_SPATIAL, _THING = struct.Struct("<BIHB"), struct.Struct("<BIHHB")
_FOID, _LINK = struct.Struct("<HIH"), struct.Struct("<BI")
_PTAS, _CUCO, _RIAS = struct.Struct("<BIB"), struct.Struct("<BIB"), struct.Struct("<BIBBB")
_SPAS, _YX, _YXZ = struct.Struct("<BIBIIB"), struct.Struct("<ii"), struct.Struct("<iii")
_DEEPEST = 10
_STRAIGHT = (1, 2, 4)
"""INTP: linear, geodesic, loxodromic; the others bend."""

Key = tuple[int, int]
"""RCNM and RCID of a record."""


@dataclass(slots=True)
class Attr:
    """An attribute; a complex one has `parts`. An empty `text` of a simple one is "unknown"."""

    name: str
    text: str = ""
    parts: list[Attr] = field(default_factory=list)
    depth: int = 0


@dataclass(slots=True)
class Feature:
    """A feature, or an information type, which has no place."""

    rcid: int
    cls: str
    ident: str = ""
    attrs: list[Attr] = field(default_factory=list)
    places: list[tuple[int, int, int]] = field(default_factory=list)
    """(RCNM, RCID, orientation) of its spatial records."""
    informed_by: list[int] = field(default_factory=list)
    linked: list[int] = field(default_factory=list)
    """RCID of the features that it is tied to."""


@dataclass(slots=True)
class Curve:
    """Its first and last points by RCID, and what lies between as (latitude, longitude)."""

    ends: list[tuple[int, int]] = field(default_factory=list)
    between: list[tuple[int, int]] = field(default_factory=list)
    bent: bool = False


@dataclass(slots=True)
class Cell:
    """Everything of a cell; coordinates as the integers that they are stored as."""

    head: list[str] = field(default_factory=list)
    """DSID from ENSP to DSED."""
    origin: tuple[float, float, float] = (0.0, 0.0, 0.0)
    factors: tuple[int, int, int] = (0, 0, 0)
    counts: tuple[int, ...] = ()
    """DSSI: information, point, multipoint, curve, composite curve, surface, feature records."""
    systems: list[tuple[int, int, str, Fields]] = field(default_factory=list)
    """(index, type, name and identifier, fields) of each coordinate reference system."""
    points: dict[int, tuple[int, int]] = field(default_factory=dict)
    clouds: dict[int, tuple[int, list[tuple[int, int, int]]]] = field(default_factory=dict)
    """(index of the vertical system, points with depths)."""
    curves: dict[int, Curve] = field(default_factory=dict)
    composites: dict[int, list[tuple[int, int, int]]] = field(default_factory=dict)
    surfaces: dict[int, list[tuple[int, ...]]] = field(default_factory=dict)
    features: list[Feature] = field(default_factory=list)
    information: dict[int, Feature] = field(default_factory=dict)
    qualified: dict[Key, list[int]] = field(default_factory=dict)
    """Spatial records and the information types that speak of them."""
    notes: dict[int, list[str]] = field(default_factory=dict)
    """What information types say to the reader, as far as it was asked for."""
    changes: int = 0
    """Records that change another instead of being new."""


def decode(data: bytes) -> Cell:
    """A whole cell. Raises Damaged where its structure is broken."""
    cell, codes = Cell(), {}
    for number, fields in enumerate(records(data)):
        if number > MOST_RECORDS:
            raise Damaged(f"it has over {MOST_RECORDS} records")
        if not number:
            _check_layout(data[: _first_size(data)])
            continue
        kind = fields[0][0] if fields else ""
        if kind == "DSID":
            codes = _head(cell, fields)
        elif kind == "CSID":
            _systems(cell, fields)
        elif kind in ("FRID", "IRID"):
            _thing(cell, fields, codes)
        elif kind in _READ:
            _spatial(cell, kind, fields)
    if not cell.counts:
        raise Damaged("it has no record that says what is in it (DSID, DSSI)")
    return cell


def _first_size(data: bytes) -> int:
    return int(data[:5]) or len(data)


def _check_layout(record: bytes) -> None:
    try:
        stated = forms_of(record)
    except (ValueError, IndexError):
        raise Damaged("its first record cannot be read") from None
    for tag, layout in _LAYOUT.items():
        if tag in stated:
            kinds = ",".join(f"{kind} {width}" for kind, width in stated[tag][1])
            if kinds != layout:
                raise Damaged(f"its field {tag} is laid out otherwise than S-101 has it")


def _head(cell: Cell, fields: Fields) -> dict[str, dict[int, str]]:
    codes: dict[str, dict[int, str]] = {}
    for tag, content in fields:
        if tag == "DSID":
            at = 5
            cell.head = []
            for number in range(11):
                if number == 7:  # the date has a fixed width and no end mark
                    cell.head.append(content[at : at + 8].decode("latin-1"))
                    at += 8
                    continue
                said, at = text(content, at)
                cell.head.append(said)
        elif tag == "DSSI":
            found = one(content, _DSSI, tag)
            cell.origin, cell.factors, cell.counts = found[:3], found[3:6], found[6:]
            if not all(map(math.isfinite, cell.origin)) or not all(cell.factors):
                raise Damaged("its factors of coordinates (DSSI) are senseless")
        elif tag in ("ATCS", "FTCS", "ITCS"):
            codes[tag] = _code_table(content)
    return codes


def _code_table(content: bytes) -> dict[int, str]:
    at, found = 0, {}
    while at < len(content):
        name, at = text(content, at)
        (code,) = one(content[at : at + _CODE.size], _CODE, "of codes")
        found[int(code)] = name[:80]
        at += _CODE.size
    return found


def _systems(cell: Cell, fields: Fields) -> None:
    for tag, content in fields:
        if tag == "CRSH":
            if len(content) < 3:
                raise Damaged("a field CRSH that is too short")
            name, at = text(content, 3)
            code, _ = text(content, at)
            cell.systems.append((content[0], content[1], f"{name} {code}", []))
        elif cell.systems:
            cell.systems[-1][3].append((tag, content))


def _thing(cell: Cell, fields: Fields, codes: Mapping[str, Mapping[int, str]]) -> None:
    tag = fields[0][0]
    _, rcid, code, _, change = one(fields[0][1], _THING, tag)
    cell.changes += change != INSERT
    table = codes.get("FTCS" if tag == "FRID" else "ITCS", {})
    thing = Feature(rcid=rcid, cls=table.get(code, f"code {code}"))
    flat: list[Attr] = []
    for name, content in fields[1:]:
        if name == "FOID":
            agency, number, part = one(content, _FOID, name)
            thing.ident = f"{agency:04X}{number:08X}{part:04X}"
        elif name == "ATTR":
            _attributes(content, codes.get("ATCS", {}), flat, thing.attrs)
        elif name == "SPAS":
            thing.places += [(row[0], row[1], row[2]) for row in rows(content, _SPAS, name)]
        elif name == "INAS":
            thing.informed_by.append(one(content, _LINK, name)[1])
        elif name == "FASC":
            thing.linked.append(one(content, _LINK, name)[1])
    if tag == "FRID":
        cell.features.append(thing)
    else:
        cell.information[rcid] = thing


def _attributes(
    content: bytes, names: Mapping[int, str], flat: list[Attr], top: list[Attr]
) -> None:
    """Attributes as a tree; each names its parent by its place in the list, 0 for none."""
    at = 0
    while at < len(content):
        code, _, parent, _ = one(content[at : at + _ATTR.size], _ATTR, "ATTR")
        value, at = text(content, at + _ATTR.size)
        if len(flat) >= MOST_ATTRIBUTES:
            raise Damaged(f"a feature of over {MOST_ATTRIBUTES} attributes")
        if parent > len(flat):
            raise Damaged("an attribute is part of one that does not come before it")
        depth = flat[parent - 1].depth + 1 if parent else 0
        if depth > _DEEPEST:
            raise Damaged(f"attributes within attributes more than {_DEEPEST} deep")
        made = Attr(names.get(code, f"code {code}"), value, depth=depth)
        (flat[parent - 1].parts if parent else top).append(made)
        flat.append(made)


_READ = {"PRID": POINT, "MRID": CLOUD, "CRID": CURVE, "CCID": COMPOSITE, "SRID": SURFACE}


def _spatial(cell: Cell, kind: str, fields: Fields) -> None:
    _, rcid, _, change = one(fields[0][1], _SPATIAL, kind)
    cell.changes += change != INSERT
    curve = Curve()
    for tag, content in fields[1:]:
        if tag == "INAS":
            cell.qualified.setdefault((_READ[kind], rcid), []).append(one(content, _LINK, tag)[1])
        elif tag in ("C2IT", "C3IT") and kind == "PRID":
            solid = tag == "C3IT"
            lat, lon, *z = one(content[solid:], _YXZ if solid else _YX, tag)
            cell.points[rcid] = (lat, lon)
            if solid:
                cell.clouds[-rcid - 1] = (content[0], [(lat, lon, z[0])])
        elif tag == "C3IL" and kind == "MRID":
            system, held = cell.clouds.setdefault(rcid, (content[0] if content else 0, []))
            held.extend(rows(content[1:], _YXZ, tag))
            if content and content[0] != system:
                raise Damaged("soundings of one record on more than one vertical system")
        elif tag == "C2IL" and kind == "MRID":
            raise Damaged("soundings without depths")
        elif tag == "C2IL" and kind == "CRID":
            curve.between.extend(rows(content, _YX, tag))
        elif tag == "PTAS":
            curve.ends.extend((row[1], row[2]) for row in rows(content, _PTAS, tag))
        elif tag == "SEGH":
            curve.bent |= not content or content[0] not in _STRAIGHT
        elif tag == "CUCO":
            parts = rows(content, _CUCO, tag)
            cell.composites.setdefault(rcid, []).extend(parts)
        elif tag == "RIAS":
            cell.surfaces.setdefault(rcid, []).extend(rows(content, _RIAS, tag))
    if kind == "CRID":
        cell.curves[rcid] = curve
