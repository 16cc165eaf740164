"""Writes OpenStreetMap's files for tests: .osm.pbf byte by byte, and Overpass JSON.

Format: the OpenStreetMap wiki, page PBF Format (fileformat.proto and osmformat.proto).
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

Tags = Mapping[str, str]
Node = tuple[int, float, float, Tags]
Way = tuple[int, Sequence[int], Tags]


def _varint(value: int) -> bytes:
    value &= 2**64 - 1
    out = bytearray()
    while value > 0x7F:
        out.append(value & 0x7F | 0x80)
        value >>= 7
    return bytes([*out, value])


def _zigzag(value: int) -> bytes:
    return _varint(value << 1 ^ value >> 63)


def _number(field: int, encoded: bytes) -> bytes:
    return _varint(field << 3) + encoded


def _text(field: int, data: bytes) -> bytes:
    return _varint(field << 3 | 2) + _varint(len(data)) + data


def _block(kind: bytes, data: bytes) -> bytes:
    blob = _text(1, data) + _number(2, _varint(len(data)))
    header = _text(1, kind) + _number(3, _varint(len(blob)))
    return struct.pack(">I", len(header)) + header + blob


def write_pbf(path: Path, nodes: Sequence[Node], ways: Sequence[Way] = ()) -> Path:
    """Nodes (id, longitude, latitude, tags) and ways (id, nodes, tags)."""
    strings = [b""]

    def tagged(tags: Tags) -> bytes:
        if not tags:
            return b""
        places = []
        for text in (*tags, *tags.values()):
            strings.append(text.encode())
            places.append(len(strings) - 1)
        keys, values = places[: len(tags)], places[len(tags) :]
        return _text(2, b"".join(map(_varint, keys))) + _text(3, b"".join(map(_varint, values)))

    group = b""
    for ident, lon, lat, tags in nodes:
        place = _number(8, _zigzag(round(lat * 1e7))) + _number(9, _zigzag(round(lon * 1e7)))
        group += _text(1, _number(1, _zigzag(ident)) + tagged(tags) + place)
    way_group = b""
    for ident, refs, tags in ways:
        steps = [ref - before for ref, before in zip(refs, [0, *refs], strict=False)]
        body = _number(1, _varint(ident)) + tagged(tags)
        way_group += _text(3, body + _text(8, b"".join(map(_zigzag, steps))))
    table = b"".join(_text(1, text) for text in strings)
    groups = _text(2, group) + (_text(2, way_group) if ways else b"")
    head = _text(4, b"OsmSchema-V0.6")
    path.write_bytes(_block(b"OSMHeader", head) + _block(b"OSMData", _text(1, table) + groups))
    return path


def write_overpass(path: Path, *elements: dict[str, Any], **whole: Any) -> Path:
    """Elements as Overpass gives them."""
    data = {"version": 0.6, "osm3s": {"timestamp_osm_base": "2024-05-06T07:08:09Z"}, **whole}
    path.write_text(json.dumps(data | {"elements": elements}), encoding="utf-8")
    return path
