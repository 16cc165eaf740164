"""What a GeoJSON says of itself that GDAL passes over: the system of its coordinates, names that
stand twice in one object, the number of its features.

GDAL takes the coordinates for WGS 84 where it can make nothing of the member "crs", of two values
under one name the last, and leaves out features whose "type" it does not know. Runs in the
process that `ogr_child` makes: only the standard library.

Formats: RFC 7946, The GeoJSON Format (2016), section 4: WGS 84, and no member "crs"; The GeoJSON
Format Specification (2008), section 3: "crs" in any object, and null for "no system can be
assumed" (from memory); RFC 8259, section 4: names within an object should be unique.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any

MOST_PARSED = 64 * 2**20
"""Bytes of a file up to which it is read whole; in a larger one "crs" is looked for as text."""
MOST_STATED = 20
_HEAD = 65_536
_OTHERS = (b"SQLite format 3", b"fgb", b"\0\0\x27\x0a", b"<")
"""First bytes of GeoPackage, FlatGeobuf, Shapefile, GML."""
_BLOCK = 2**20
_LONGEST_VALUE = 8192
_KEY = re.compile(rb'(?<!\\)"(?:[cC]|\\u00[46]3)(?:[rR]|\\u00[57]2)(?:[sS]|\\u00[57]3)"')
_NAMES_WGS84 = re.compile(
    r"(urn:(x-)?ogc:def:crs:)?(EPSG:[\d.]*:?4326|OGC:[\d.]*:?CRS84h?)"
    r"|https?://(www\.)?opengis\.net/def/crs/(EPSG/[\d.]+/4326|OGC/[\d.]+/CRS84h?)"
    r"|WGS ?84|CRS84",
    re.IGNORECASE,
)
"""OGC 07-092r3, Definition identifier URNs in OGC namespace, for the first; the last as written by
programs (common practice)."""
_WGS84 = frozenset({"EPSG:4326", "EPSG:4979", "OGC:CRS84"})
_OBJECTS = frozenset(
    {"featurecollection", "feature", "geometrycollection", "point", "linestring", "polygon"}
    | {"multipoint", "multilinestring", "multipolygon"}
)
DO = "reproject it to WGS 84, or name its coordinate system by an EPSG code"


@dataclass(frozen=True, kw_only=True)
class Members:
    """`whole`: it was read whole; else all that is known are the values of anything called "crs".
    `stated` holds each value once, those of single features and shapes too, and `top` whether the
    file as a whole has one. `doubled` is a name with two values in one object, "" for none."""

    whole: bool
    stated: tuple[Any, ...]
    top: bool = False
    doubled: str = ""
    features: int | None = None


def members_of(path: str) -> Members | None:
    """Of a file that may be JSON, whatever stands before it; None for another format."""
    with open(path, "rb") as stream:  # noqa: PTH123
        head = stream.read(_HEAD).lstrip(b"\xef\xbb\xbf \t\r\n")
        if head.startswith(_OTHERS) or b"{" not in head:
            return None
        stream.seek(0)
        if os.path.getsize(path) <= MOST_PARSED:  # noqa: PTH202
            parsed = _parsed(stream.read().decode("utf-8-sig", "replace"))
            if parsed is not None:
                return parsed
            stream.seek(0)
        return Members(whole=False, stated=_distinct(_scanned(stream)))


def doubt_of(members: Members, crs: str) -> str:
    """Why the system that GDAL gives ("EPSG:4326" or another) is not to be believed, else ""."""
    stated = members.stated
    if any(one is None for one in stated):
        return "its member crs is null, so that no coordinate system can be assumed"
    foreign = [one for one in stated if not means_wgs84(one)]
    if not foreign and (crs in _WGS84 or not stated):
        return ""
    if crs not in _WGS84 and len(stated) == 1 and (members.top or not members.whole):
        return ""  # GDAL has understood it
    if len(stated) > 1:
        return "its members crs state several coordinate systems"
    name = shown(foreign[0] if foreign else stated[0])
    if members.whole and not members.top:
        return f"some of its objects alone state a coordinate system, {name}"
    return f"its coordinate system {name} is not understood"


def means_wgs84(stated: Any) -> bool:
    """Whether a member "crs" names longitude and latitude on WGS 84."""
    if not isinstance(stated, dict) or not isinstance(stated.get("properties"), dict):
        return False
    said = stated["properties"]
    name = said.get("name", said.get("code"))
    if isinstance(name, int) and not isinstance(name, bool):
        return name == 4326 and str(stated.get("type")).upper() == "EPSG"
    return isinstance(name, str) and _NAMES_WGS84.fullmatch(name.strip()) is not None


def shown(stated: Any) -> str:
    """A member "crs" in a few characters, its name where it has one."""
    said = stated.get("properties") if isinstance(stated, dict) else None
    name = said.get("name") if isinstance(said, dict) else None
    text = name if isinstance(name, str) else json.dumps(stated)
    return repr(text[:60])


def _parsed(text: str) -> Members | None:
    stated: list[Any] = []
    doubled: list[str] = []

    def made(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        one = dict(pairs)
        if len(one) != len(pairs) and not doubled:
            differ = (name for name, value in pairs if one[name] != value)
            doubled.extend(name for name in differ)
        # GDAL takes a member's name in capitals, too.
        found = [value for name, value in pairs if name.lower() == "crs"]
        if found and any(_is_type(name, value) for name, value in pairs):
            stated.extend(found)
        return one

    try:
        whole = json.loads(text, strict=False, object_pairs_hook=made)
    except (ValueError, RecursionError):
        return None
    features = whole.get("features")
    return Members(
        whole=True,
        stated=_distinct(iter(stated)),
        top=any(name.lower() == "crs" for name in whole),
        doubled=doubled[0] if doubled else "",
        features=len(features) if isinstance(features, list) else None,
    )


def _is_type(name: str, value: Any) -> bool:
    return name.lower() == "type" and isinstance(value, str) and value.lower() in _OBJECTS


def _distinct(values: Iterator[Any]) -> tuple[Any, ...]:
    found: dict[str, Any] = {}
    for value in values:
        found.setdefault(json.dumps(value, sort_keys=True), value)
        if len(found) == MOST_STATED:
            break
    return tuple(found.values())


def _scanned(stream: IO[bytes]) -> Iterator[Any]:
    """Values of all that is called "crs", wherever it stands: properties of that name, too."""
    held = b""
    while True:
        block = stream.read(_BLOCK)
        held += block
        end = max(len(held) - _LONGEST_VALUE, 0) if block else len(held)
        for match in _KEY.finditer(held):
            if match.start() < end:
                text = held[match.end() : match.end() + _LONGEST_VALUE]
                after = text.lstrip(b" \t\r\n")
                if after.startswith(b":"):
                    yield _value(after[1:])
                elif not after and len(text) == _LONGEST_VALUE:
                    yield "unreadable"
        if not block:
            return
        held = held[end:]


def _value(text: bytes) -> Any:
    try:
        return json.JSONDecoder().raw_decode(text.decode("utf-8", "replace").lstrip())[0]
    except (ValueError, RecursionError):
        return "unreadable"
