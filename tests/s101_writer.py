"""Writes small S-101 cells for tests: IHO S-100 edition 5.0.0, part 10a.

Each line and each ring gets a curve and points of its own; nothing is shared.
"""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

POINT, CLOUD, CURVE, COMPOSITE, SURFACE = 110, 115, 120, 125, 130
FACTOR, DEPTH_FACTOR = 10_000_000, 10
_END, _UNIT = b"\x1e", b"\x1f"
_SPATIAL = "RCNM!RCID!RVER!RUIN\x1f(b11,b14,b12,b11)"
_THING = "!RVER!RUIN\x1f(b11,b14,2b12,b11)"
_TIE = "\\\\*NATC!ATIX!PAIX!ATIN!ATVL\x1f(b11,b14,2b12,b11,3b12,b11,A)"
FORMS = {
    "DSID": "RCNM!RCID!ENSP!ENED!PRSP!PRED!PROF!DSNM!DSTL!DSRD!DSLG!DSAB!DSED\\\\*DSTC"
    "\x1f(b11,b14,7A,A(8),3A,b11)",
    "DSSI": "DCOX!DCOY!DCOZ!CMFX!CMFY!CMFZ!NOIR!NOPN!NOMN!NOCN!NOXN!NOSN!NOFR\x1f(3b48,10b14)",
    **{tag: "*CODE!NUMC\x1f(A,b12)" for tag in ("ATCS", "ITCS", "FTCS", "IACS", "FACS", "ARCS")},
    "ATTR": "*NATC!ATIX!PAIX!ATIN!ATVL\x1f(3b12,b11,A)",
    "CSID": "RCNM!RCID!NCRC\x1f(b11,b14,b11)",
    "CRSH": "CRIX!CRST!CSTY!CRNM!CRSI!CRSS!SCRI\x1f(3b11,2A,b11,A)",
    "CSAX": "*AXTY!AXUM\x1f(2b11)",
    "VDAT": "DTNM!DTID!DTSR!SCRI\x1f(2A,b11,A)",
    "IRID": "RCNM!RCID!NITC" + _THING,
    "INAS": "RRNM!RRID!NIAC!NARC!IUIN" + _TIE,
    "C2IT": "YCOO!XCOO\x1f(2b24)",
    "C2IL": "*YCOO!XCOO\x1f(2b24)",
    "C3IL": "VCID\\\\*YCOO!XCOO!ZCOO\x1f(b11,3b24)",
    **{tag: _SPATIAL for tag in ("PRID", "MRID", "CRID", "CCID", "SRID")},
    "PTAS": "*RRNM!RRID!TOPI\x1f(b11,b14,b11)",
    "SEGH": "INTP\x1f(b11)",
    "CUCO": "*RRNM!RRID!ORNT\x1f(b11,b14,b11)",
    "RIAS": "*RRNM!RRID!ORNT!USAG!RAUI\x1f(b11,b14,3b11)",
    "FRID": "RCNM!RCID!NFTC" + _THING,
    "FOID": "AGEN!FIDN!FIDS\x1f(b12,b14,b12)",
    "SPAS": "*RRNM!RRID!ORNT!SMIN!SMAX!SAUI\x1f(b11,b14,b11,2b14,b11)",
    "FASC": "RRNM!RRID!NFAC!NARC!FAUI" + _TIE,
}

Value = str | float | Sequence[Any] | Mapping[str, Any] | None
"""A list is an attribute that is repeated, a mapping a complex one, None one of unknown value."""


@dataclass(kw_only=True)
class Cell:
    """A base cell. Features are numbered from 1."""

    edition: str = "1.0"
    product: str = "INT.IHO.S-101.1.1"
    profile: str = "1"
    datum: str = "10"
    axis: tuple[int, int] = (12, 4)
    horizontal: str = "4326"
    factor: int = FACTOR
    stated: int | None = None
    """Features that the head states, None: as many as there are."""
    curly: bool = False
    """Whether formats stand in {} in place of ()."""
    records: list[list[tuple[str, bytes]]] = field(default_factory=list)
    _codes: dict[str, dict[str, int]] = field(default_factory=dict)
    _counts: dict[str, int] = field(default_factory=dict)

    def add(
        self,
        cls: str,
        shape: BaseGeometry | Sequence[tuple[float, float, float]] | None = None,
        *,
        quality: int | None = None,
        spans: Sequence[int] = (),
        **values: Value,
    ) -> int:
        """Add a feature; a list of (lon, lat, depth) is one of soundings. Its number."""
        about = (
            self.inform("SpatialQuality", qualityOfHorizontalMeasurement=quality) if quality else 0
        )
        places = b"".join(
            struct.pack("<BIBIIB", kind, rcid, 1, 0, 2**32 - 1, 1)
            for kind, rcid in self._spatial(shape, about)
        )
        number = self._next("FRID")
        fields = [
            ("FRID", struct.pack("<BIHHB", 100, number, self._code("FTCS", cls), 1, 1)),
            ("FOID", struct.pack("<HIH", 540, 1000 + number, 1)),
            ("ATTR", self._attributes(values)),
            ("SPAS", places),
            *(("FASC", struct.pack("<BIHHB", 100, span, 1, 1, 1)) for span in spans),
        ]
        self.records.append([one for one in fields if one[1]])
        return number

    def inform(self, cls: str, **values: Value) -> int:
        """Add an information type. Its number."""
        number = self._next("IRID")
        head = struct.pack("<BIHHB", 150, number, self._code("ITCS", cls), 1, 1)
        self.records.append([("IRID", head), ("ATTR", self._attributes(values))])
        return number

    def put(self, kind: str, rcnm: int, *fields: tuple[str, bytes]) -> tuple[int, int]:
        """Add a spatial record as it is given. Its key."""
        number = self._next(kind)
        self.records.append([(kind, struct.pack("<BIHB", rcnm, number, 1, 1)), *fields])
        return rcnm, number

    def _next(self, kind: str) -> int:
        self._counts[kind] = self._counts.get(kind, 0) + 1
        return self._counts[kind]

    def _code(self, table: str, name: str) -> int:
        codes = self._codes.setdefault(table, {})
        return codes.setdefault(name, len(codes) + 1)

    def _attributes(self, values: Mapping[str, Value]) -> bytes:
        flat: list[bytes] = []

        def add(name: str, value: Any, above: int, order: int) -> None:
            if isinstance(value, list | tuple):
                for place, one in enumerate(value, start=1):
                    add(name, one, above, place)
                return
            parts = value if isinstance(value, Mapping) else {}
            text = (
                ""
                if parts or value is None
                else f"{value:g}"
                if isinstance(value, float)
                else str(value)
            )
            head = struct.pack("<HHHB", self._code("ATCS", name), order, above, 1)
            flat.append(head + text.encode() + _UNIT)
            mine = len(flat)
            for inner, one in parts.items():
                add(inner, one, mine, 1)

        for name, value in values.items():
            add(name, value, 0, 1)
        return b"".join(flat)

    def _yx(self, lon: float, lat: float) -> bytes:
        return struct.pack("<ii", round(lat * self.factor), round(lon * self.factor))

    def _spatial(self, shape: Any, about: int) -> list[tuple[int, int]]:
        told = [("INAS", struct.pack("<BIHHB", 150, about, 1, 1, 1))] if about else []
        if shape is None:
            return []
        if not isinstance(shape, BaseGeometry):
            body = b"".join(
                self._yx(lon, lat) + struct.pack("<i", round(depth * DEPTH_FACTOR))
                for lon, lat, depth in shape
            )
            return [self.put("MRID", CLOUD, *told, ("C3IL", b"\x02" + body))]
        if isinstance(shape, shapely.Point):
            return [self.put("PRID", POINT, *told, ("C2IT", self._yx(shape.x, shape.y)))]
        if isinstance(shape, shapely.LineString):
            return [self.curve(shape, told)]
        if isinstance(shape, shapely.Polygon):
            rings = [(shape.exterior, 1), *((ring, 2) for ring in shape.interiors)]
            body = b"".join(
                struct.pack("<BIBBB", *self.curve(ring, told), 1, usage, 1) for ring, usage in rings
            )
            return [self.put("SRID", SURFACE, ("RIAS", body))]
        return [key for part in shape.geoms for key in self._spatial(part, about)]

    def curve(self, line: Any, told: Sequence[tuple[str, bytes]] = ()) -> tuple[int, int]:
        """Add a curve with its two points. Its key."""
        points = list(line.coords)
        ends = [points[0]] if points[0] == points[-1] else [points[0], points[-1]]
        keys = [self.put("PRID", POINT, ("C2IT", self._yx(*end))) for end in ends]
        roles = (3,) if len(keys) == 1 else (1, 2)
        ties = b"".join(
            struct.pack("<BIB", *key, role) for key, role in zip(keys, roles, strict=True)
        )
        between = b"".join(self._yx(*one) for one in points[1:-1])
        inner = [("C2IL", between)] if between else []
        return self.put("CRID", CURVE, *told, ("PTAS", ties), ("SEGH", b"\x04"), *inner)

    def bytes(self, name: str = "101XX00TEST1.000") -> bytes:
        """The file."""
        texts = ("S-100 Part 10a", "5.0", self.product, "1.1", self.profile, name, "a test")
        dsid = struct.pack("<BI", 10, 1) + b"".join(t.encode() + _UNIT for t in texts)
        dsid += (
            b"20270102" + b"".join(t.encode() + _UNIT for t in ("EN", "", self.edition)) + b"\x0e"
        )
        kinds = ("IRID", "PRID", "MRID", "CRID", "CCID", "SRID", "FRID")
        counts = [self._counts.get(kind, 0) for kind in kinds]
        counts[-1] = counts[-1] if self.stated is None else self.stated
        factors = (self.factor, self.factor, DEPTH_FACTOR)
        head = [("DSID", dsid), ("DSSI", struct.pack("<3d10I", 0.0, 0.0, 0.0, *factors, *counts))]
        for table in ("ATCS", "ITCS", "FTCS"):
            codes = self._codes.get(table, {})
            body = b"".join(n.encode() + _UNIT + struct.pack("<H", c) for n, c in codes.items())
            head.append((table, body))
        wgs84 = b"\x01\x01\x01WGS84\x1f" + self.horizontal.encode() + b"\x1f\x02\x1f"
        system = [
            ("CSID", struct.pack("<BIB", 15, 1, 2)),
            ("CRSH", wgs84),
            ("CRSH", b"\x02\x05\x03depth\x1f\x1f\xff\x1f"),
            ("CSAX", bytes(self.axis)),
            ("VDAT", b"datum\x1f" + self.datum.encode() + b"\x1f\x02\x1f"),
        ]
        forms = {
            t: f.replace("(", "{").replace(")", "}") if self.curly else f for t, f in FORMS.items()
        }
        described = [(tag, b"1600;&   a field\x1f" + form.encode()) for tag, form in forms.items()]
        described.insert(0, ("0000", b"0000;&   \x1fDSIDDSSI"))
        whole = [record(described, b"3LE1 09", b" ! ")]
        whole += [record(one, b" D     ", b"   ") for one in (head, system, *self.records)]
        return b"".join(whole)


def record(fields: Sequence[tuple[str, bytes]], kind: bytes, extra: bytes) -> bytes:
    """One ISO 8211 record."""
    directory, area = b"", b""
    for tag, content in fields:
        directory += tag.encode() + b"%05d%06d" % (len(content) + 1, len(area))
        area += content + _END
    base = 24 + len(directory) + 1
    size = base + len(area)
    leader = b"%05d" % (size if size < 100_000 else 0) + kind + b"%05d" % base + extra + b"5604"
    return leader + directory + _END + area
