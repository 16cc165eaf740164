"""Writes small S-57 cells and updates for tests: IHO S-57 edition 3.1, part 3, clause 7.

Each line and each ring gets an edge and nodes of its own; nothing is shared.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

# Codes of classes and attributes: S-57 appendix A, chapters 1 and 2.
CLASSES = {
    **{"BCNCAR": 5, "BCNLAT": 7, "BOYCAR": 14, "BOYINB": 15, "BOYISD": 16, "BOYLAT": 17},
    **{"BRIDGE": 11, "CBLOHD": 21, "CBLSUB": 22, "COALNE": 30, "CTNARE": 27, "DEPARE": 42},
    **{"DEPCNT": 43, "DRGARE": 46, "FAIRWY": 51, "FERYRT": 53, "FSHFAC": 55, "LNDARE": 71},
    **{"LNDMRK": 74, "M_COVR": 302, "M_NSYS": 306, "M_QUAL": 308, "M_SDAT": 309, "M_VDAT": 312},
    **{"M_CSCL": 301, "MARCUL": 82, "OBSTRN": 86, "PIPSOL": 94, "RESARE": 112, "SBDARE": 121},
    **{"SOUNDG": 129, "TSSLPT": 148, "UNSARE": 154, "UWTROC": 153, "WRECKS": 159, "WEDKLP": 158},
    **{"ACHBRT": 3, "ACHARE": 4, "CBLARE": 20, "CTSARE": 25, "DWRTPT": 41, "DMPGRD": 48},
    **{"FSHGRD": 56, "GATCON": 61, "ICEARE": 66, "ICNARE": 67, "ISTZNE": 68, "LOKBSN": 79},
    **{"MIPARE": 83, "OSPARE": 88, "PILPNT": 90, "PIPARE": 92, "PONTON": 95, "PRCARE": 96},
    **{"PRDARE": 97, "RCTLPT": 110, "RECTRC": 109, "SNDWAV": 118, "SPLARE": 120, "SUBTLN": 133},
    **{"TSELNE": 145, "TSSBND": 146, "TSSCRS": 147, "TSSRON": 149, "TSEZNE": 150, "TWRTPT": 152},
    **{"M_ACCY": 300, "WATTUR": 156, "BOYSPP": 19, "LIGHTS": 75, "TOPMAR": 144, "NAVLNE": 85},
    **{"SWPARE": 134, "BERTHS": 10, "DAYMAR": 39, "LNDELV": 72},
}
ATTRIBUTES = {
    **{"BOYSHP": 4, "CATBRG": 9, "CATCAM": 13, "CATCOV": 18, "CATFRY": 25, "CATLAM": 36},
    **{"CATOBS": 42, "CATPIP": 47, "CATREA": 56, "CATWED": 70, "CATWRK": 71, "CATZOC": 72},
    **{"COLOUR": 75, "CSCALE": 80, "DRVAL1": 87, "DRVAL2": 88, "EXPSOU": 93, "INFORM": 102},
    **{"MARSYS": 109, "OBJNAM": 116, "ORIENT": 117, "QUASOU": 125, "RESTRN": 131, "STATUS": 149},
    **{"SUREND": 151, "VALDCO": 174, "VALSOU": 179, "VERCCL": 182, "VERCLR": 181, "VERDAT": 185},
    **{"WATLEV": 187, "QUAPOS": 402, "SCAMIN": 133, "TRAFIC": 172, "CATDPG": 23, "CATGAT": 29},
    **{"SOUACC": 144, "POSACC": 401, "SURSTA": 152, "SORDAT": 147},
    **{"DATSTA": 86, "DATEND": 85, "PERSTA": 119, "PEREND": 118, "HORCLR": 98},
    **{"HEIGHT": 95, "LITCHR": 107, "SECTR1": 136, "SECTR2": 137, "SIGGRP": 141, "SIGPER": 142},
    **{"TOPSHP": 171, "VALNMR": 178, "CATSPM": 66, "CATNAV": 41},
    **{"VERCOP": 183, "VERCSA": 184, "CATCBL": 11},
}
NODE, CONNECTED, EDGE, FEATURE = 110, 120, 130, 100
INSERT, DELETE, MODIFY = 1, 2, 3
FACTOR, DEPTH_FACTOR = 10_000_000, 10
_END, _UNIT = b"\x1e", b"\x1f"
_PAIRS = "FRIDFOIDFRIDATTFFRIDNATFFRIDFFPTFRIDFSPT0001VRIDVRIDATTVVRIDVRPTVRIDSG2DVRIDSG3D"
_PAIRS += "FRIDFSPCVRIDVRPCVRIDSGCC"
_FIELDS = (
    ("0000", f"0000;&   \x1f0001DSIDDSIDDSSI0001DSPM0001FRID{_PAIRS}"),
    ("0001", "0500;&   ISO 8211 Record Identifier\x1f\x1f(b12)"),
    (
        "DSID",
        "1600;&   Data set identification field\x1fRCNM!RCID!EXPP!INTU!DSNM!EDTN!UPDN!UADT!ISDT!"
        "STED!PRSP!PSDN!PRED!PROF!AGEN!COMT\x1f(b11,b14,2b11,3A,2A(8),R(4),b11,2A,b11,b12,A)",
    ),
    (
        "DSSI",
        "1600;&   Data set structure information field\x1fDSTR!AALL!NALL!NOMR!NOCR!NOGR!NOLR!NOIN!"
        "NOCN!NOED!NOFA\x1f(3b11,8b14)",
    ),
    (
        "DSPM",
        "1600;&   Data set parameter field\x1fRCNM!RCID!HDAT!VDAT!SDAT!CSCL!DUNI!HUNI!PUNI!COUN!"
        "COMF!SOMF!COMT\x1f(b11,b14,3b11,b14,4b11,2b14,A)",
    ),
    (
        "FRID",
        "1600;&   Feature record identifier field\x1fRCNM!RCID!PRIM!GRUP!OBJL!RVER!RUIN"
        "\x1f(b11,b14,2b11,2b12,b11)",
    ),
    ("FOID", "1600;&   Feature object identifier field\x1fAGEN!FIDN!FIDS\x1f(b12,b14,b12)"),
    ("ATTF", "2600;&-A Feature record attribute field\x1f*ATTL!ATVL\x1f(b12,A)"),
    ("NATF", "2600;&-A Feature record national attribute field\x1f*ATTL!ATVL\x1f(b12,A)"),
    ("FFPT", "2600;&   Feature to feature pointer field\x1f*LNAM!RIND!COMT\x1f(B(64),b11,A)"),
    ("FSPT", "2600;&   Feature to spatial pointer field\x1f*NAME!ORNT!USAG!MASK\x1f(B(40),3b11)"),
    ("VRID", "1600;&   Vector record identifier field\x1fRCNM!RCID!RVER!RUIN\x1f(b11,b14,b12,b11)"),
    ("ATTV", "2600;&   Vector record attribute field\x1f*ATTL!ATVL\x1f(b12,A)"),
    ("VRPT", "2600;&   Vector record pointer field\x1f*NAME!ORNT!USAG!TOPI!MASK\x1f(B(40),4b11)"),
    ("FSPC", "1600;&   Feature to spatial pointer control field\x1fFSUI!FSIX!NSPT\x1f(b11,2b12)"),
    ("VRPC", "1600;&   Vector record pointer control field\x1fVPUI!VPIX!NVPT\x1f(b11,2b12)"),
    ("SGCC", "1600;&   Coordinate control field\x1fCCUI!CCIX!CCNC\x1f(b11,2b12)"),
    ("SG2D", "2500;&   2-D Coordinate field\x1f*YCOO!XCOO\x1f(2b24)"),
    ("SG3D", "2500;&   3-D Coordinate field\x1f*YCOO!XCOO!VE3D\x1f(3b24)"),
)
_FIRST_UPDATE_RECORD = 10_000
"""Vector records of updates count from here, so as not to meet those of the base."""


@dataclass(kw_only=True)
class Cell:
    """A base cell, or an update where `update` is set. Objects are numbered from 1."""

    edition: str = "1"
    update: int = 0
    purpose: int = 1
    scale: int = 20_000
    sounding_datum: int = 23
    vertical_datum: int = 17
    horizontal_datum: int = 2
    depth_unit: int = 1
    height_unit: int = 1
    stated: int | None = None
    """Objects that the head states, None: as many as there are."""
    _vectors: list[bytes] = field(default_factory=list)
    _features: list[bytes] = field(default_factory=list)

    def add(
        self,
        cls: str | int,
        shape: BaseGeometry | Sequence[tuple[float, float, float]] | None,
        *,
        quapos: int | None = None,
        open_ring: bool = False,
        links: int = 1,
        **values: Any,
    ) -> int:
        """Add an object; a list of (lon, lat, depth) is one of soundings. Its number."""
        number = len(self._features) + 1 + (1000 * self.update)
        pointers, prim = self._spatial(shape, quapos, open_ring)
        body = [
            ("FRID", _frid(number, prim, CLASSES.get(cls, cls), 1, INSERT)),  # type: ignore[call-overload]
            ("FOID", struct.pack("<HIH", 540, 1000 + number, 1)),
        ]
        if values:
            body.append(("ATTF", attributes(values)))
        if pointers:
            body.append(("FSPT", b"".join(pointers * links)))
        self._features.append(_record(len(self._features) + 3, body))
        return number

    def delete(self, number: int, *, version: int = 2) -> None:
        """In an update: take an object away."""
        frid = _frid(number, 255, 0, version, DELETE)
        self._features.append(_record(3, [("FRID", frid)]))

    def modify(self, number: int, *, version: int = 2, **values: Any) -> None:
        """In an update: give an object other values."""
        frid = _frid(number, 255, 0, version, MODIFY)
        self._features.append(_record(3, [("FRID", frid), ("ATTF", attributes(values))]))

    def change(
        self, kind: int, number: int, fields: Sequence[tuple[str, bytes]], *, version: int = 2
    ) -> None:
        """In an update: change a node or edge, or another record, by the fields given."""
        name = _frid(number, 255, 0, version, MODIFY)
        if kind != FEATURE:
            name = struct.pack("<BIHB", kind, number, version, MODIFY)
        tag = "FRID" if kind == FEATURE else "VRID"
        self._vectors.append(_record(3, [(tag, name), *fields]))

    def bytes(self, name: str) -> bytes:
        """The whole file."""
        count = len(self._features) if self.stated is None else self.stated
        purpose = 2 if self.update else self.purpose
        head = struct.pack("<BIBB", 10, 1, purpose, 5)
        for text in (name, self.edition, str(self.update)):
            head += text.encode() + _UNIT
        head += b"20270101" * 2 + b"03.1" + b"\x01" + _UNIT + b"2.0" + _UNIT + b"\x01"
        head += struct.pack("<H", 540) + _UNIT
        structure = struct.pack("<BBB8I", 2, 1, 1, 0, 0, count, 0, 0, 0, 0, 0)
        records = [_record(1, [("DSID", head), ("DSSI", structure)])]
        if not self.update:
            parameters = struct.pack(
                "<BIBBBIBBBBII",
                *(20, 1, self.horizontal_datum, self.vertical_datum, self.sounding_datum),
                *(self.scale, self.depth_unit, self.height_unit, 1, 1, FACTOR, DEPTH_FACTOR),
            )
            records.append(_record(2, [("DSPM", parameters + _UNIT)]))
        return b"".join([_leader_record(), *records, *self._vectors, *self._features])

    def write(self, folder: Path, stem: str = "XX5TEST1") -> Path:
        """Write ``<stem>.000``, or ``.001`` and so on for an update; its path."""
        path = folder / f"{stem}.{self.update:03d}"
        path.write_bytes(self.bytes(path.name))
        return path

    def _spatial(self, shape: Any, quapos: int | None, open_ring: bool) -> tuple[list[bytes], int]:
        if shape is None:
            return [], 255
        if isinstance(shape, list | tuple):
            return [_pointer(NODE, self._node(NODE, list(shape), quapos))], 1
        if isinstance(shape, shapely.Point):
            return [_pointer(NODE, self._node(NODE, [(shape.x, shape.y)], quapos))], 1
        if isinstance(shape, shapely.LineString):
            return [_pointer(EDGE, self._edge(list(shape.coords), quapos))], 2
        if not isinstance(shape, shapely.Polygon):
            raise TypeError(shape.geom_type)
        pointers = []
        for usage, ring in enumerate([shape.exterior, *shape.interiors], start=1):
            places = list(ring.coords)[: -1 if open_ring else None]
            edge = self._edge(places, quapos)
            pointers.append(_pointer(EDGE, edge, usage=min(usage, 2)))
        return pointers, 3

    def _node(self, kind: int, places: list[Any], quapos: int | None = None) -> int:
        number = self._number()
        body = [("VRID", _vrid(kind, number)), *_doubt(quapos)]
        if len(places[0]) == 3:
            body.append(("SG3D", b"".join(place(lon, lat, z) for lon, lat, z in places)))
        else:
            body.append(("SG2D", b"".join(place(lon, lat) for lon, lat in places)))
        self._vectors.append(_record(number + 2, body))
        return number

    def _edge(self, places: list[Any], quapos: int | None) -> int:
        first = self._node(CONNECTED, [places[0]])
        last = first if places[0] == places[-1] else self._node(CONNECTED, [places[-1]])
        number = self._number()
        ends = b"".join(
            struct.pack("<BI4B", CONNECTED, node, 255, 255, topology, 255)
            for node, topology in ((first, 1), (last, 2))
        )
        body = [("VRID", _vrid(EDGE, number)), *_doubt(quapos), ("VRPT", ends)]
        if places[1:-1]:
            body.append(("SG2D", b"".join(place(lon, lat) for lon, lat in places[1:-1])))
        self._vectors.append(_record(number + 2, body))
        return number

    def _number(self) -> int:
        return len(self._vectors) + 1 + self.update * _FIRST_UPDATE_RECORD


def _doubt(quapos: int | None) -> list[tuple[str, bytes]]:
    return [] if quapos is None else [("ATTV", attributes({"QUAPOS": quapos}))]


def _frid(number: int, prim: int, cls: int, version: int, action: int) -> bytes:
    return struct.pack("<BIBBHHB", FEATURE, number, prim, 2, cls, version, action)


def _vrid(kind: int, number: int) -> bytes:
    return struct.pack("<BIHB", kind, number, 1, INSERT)


def _pointer(kind: int, number: int, *, usage: int = 255) -> bytes:
    return struct.pack("<BI3B", kind, number, 1, usage, 255)


def place(lon: float, lat: float, depth: float | None = None) -> bytes:
    flat = struct.pack("<ii", round(lat * FACTOR), round(lon * FACTOR))
    return flat if depth is None else flat + struct.pack("<i", round(depth * DEPTH_FACTOR))


def attributes(values: Mapping[str, Any]) -> bytes:
    return b"".join(
        struct.pack("<H", ATTRIBUTES[name]) + str(value).encode("latin-1") + _UNIT
        for name, value in values.items()
    )


def _record(number: int, body: list[tuple[str, bytes]]) -> bytes:
    fields = [("0001", struct.pack("<H", number & 0xFFFF)), *body]
    return _pack([(tag, data + _END) for tag, data in fields], b" D     ", b"   ")


def _leader_record() -> bytes:
    return _pack([(tag, text.encode() + _END) for tag, text in _FIELDS], b"3LE1 09", b" ! ")


def _pack(fields: list[tuple[str, bytes]], kind: bytes, end: bytes) -> bytes:
    directory, at = b"", 0
    for tag, data in fields:
        directory += tag.encode() + b"%05d%06d" % (len(data), at)
        at += len(data)
    base = 24 + len(directory) + 1
    leader = b"%05d" % (base + at) + kind + b"%05d" % base + end + b"5604"
    return leader + directory + _END + b"".join(data for _, data in fields)
