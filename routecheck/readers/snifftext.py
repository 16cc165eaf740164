"""What a file is that its name and first bytes leave open: texts, tables, JSON, XML, grids."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

from routecheck.readers.marks import COLUMNS
from routecheck.readers.placedtext import (
    is_known_table,
    is_our_json,
    json_may_place,
    table_may_place,
    xml_may_place,
)
from routecheck.readers.sniffkinds import NO_CHART, SCANNED, SOUNDINGS, Kind, Sniffed
from routecheck.readers.textpoints import cells_of, holds_positions

_SOUNDINGS_NAMED = (".pts",)
"""Names' endings of texts of soundings, also where their numbers are no degrees or metres that
are known for such (one line, decimal commas, degrees and minutes)."""
_TEXTS = (".txt", ".xml", ".log")
_MARKS = f"CSV is read for marks only, with the columns {', '.join(COLUMNS)}"
_TABLE = "a table that may place things is not read; " + _MARKS
_OTHER_MARKS = (
    "a table of marks whose columns are not parted by commas is not read; part them by commas, "
    "and write decimals with a point"
)
_XML = "XML that may place things is not read; GML is, called .gml, or make a GeoPackage of it"
_JSON = "JSON that may place things, but no GeoJSON: make GeoJSON or a GeoPackage of it"
_ARRAY = re.compile(rb"\[\s*[\[{]")
_TYPE = re.compile(rb'"type"\s*:\s*"(FeatureCollection|Feature|\w*Polygon|\w*Point|\w*LineString)"')


def sniff_text(path: Path, head: bytes, *, whole: bool) -> Sniffed:
    """What a file is by its ending and its beginning `head`, which may be `whole` of it."""
    suffix = path.suffix.lower()
    start = head.lstrip(b"\xef\xbb\xbf \t\r\n")[:64]
    is_text = b"\0" not in head
    if suffix == ".csv":
        return _csv(head)
    if suffix == ".xml" and b"opengis.net/gml" in head:
        return _unread("GML by another name; call it .gml")
    if suffix in _TEXTS and is_text and holds_positions(head):
        return _unread(SOUNDINGS)
    if suffix == ".json" or start.startswith(b"{"):
        return _json(head, whole=whole)
    if (suffix in _TEXTS or suffix not in NO_CHART) and _ARRAY.match(start):
        return _json(head, whole=whole)
    marked = is_text and (suffix in _TEXTS or suffix not in NO_CHART) and start.startswith(b"<")
    if marked and not is_grid(path) and xml_may_place(_text(head)):
        return _unread(_XML)
    if suffix in NO_CHART and (is_text or suffix not in _TEXTS):
        return Sniffed(kind=Kind.NONE, why=NO_CHART[suffix])
    return _other(path, head)


def is_grid(path: Path) -> bool:
    """Whether a file is a raster, by its first bytes or its name."""
    from routecheck.readers.grids import looks_like_grid

    return looks_like_grid(path)


def _unread(why: str) -> Sniffed:
    return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=True)


def _text(head: bytes) -> str:
    return head.decode("utf-8-sig", "replace")


def _csv(head: bytes) -> Sniffed:
    line = _text(head).lstrip("\r\n").partition("\n")[0]
    try:
        columns = {cell.strip().lower() for cell in next(csv.reader([line]), [])}
    except csv.Error:
        columns = set()
    if {"kind", "lon", "lat"} <= columns:
        return Sniffed(kind=Kind.MARKS)
    if {"kind", "lon", "lat"} <= {cell.strip().lower() for cell in cells_of(line)}:
        return _unread(_OTHER_MARKS)
    if is_known_table(line):
        return Sniffed(kind=Kind.NONE, why=_MARKS)
    if holds_positions(head):
        return _unread(SOUNDINGS)
    if table_may_place(_text(head)):
        return _unread(_TABLE)
    return Sniffed(kind=Kind.NONE, why=_MARKS)


def _json(head: bytes, *, whole: bool) -> Sniffed:
    if is_our_json(_text(head)):
        return Sniffed(kind=Kind.NONE, why="what this program writes, no chart")
    if re.search(rb'"osm3s"|"elements"\s*:\s*\[', head):
        return Sniffed(kind=Kind.OVERPASS)
    if _TYPE.search(head):
        return Sniffed(kind=Kind.VECTOR)
    try:
        json.loads(head)
    except (ValueError, RecursionError):
        # Cut off here, or broken: it may be what it is called.
        return _unread("this is not JSON" if whole else "this is not GeoJSON")
    if json_may_place(_text(head)):
        return _unread(_JSON)
    return Sniffed(kind=Kind.NONE, why="JSON, but no GeoJSON")


def _other(path: Path, head: bytes) -> Sniffed:
    if is_grid(path):
        return Sniffed(kind=Kind.GRID)
    if b"BSB/" in head[:4096] or b"KNP/" in head[:4096]:
        return _unread(SCANNED)
    if b"\0" in head:
        return _unread("no reader takes this kind of file")
    named = path.suffix.lower() in _SOUNDINGS_NAMED and re.search(rb"\d", head) is not None
    if named or holds_positions(head):
        return _unread(SOUNDINGS)
    parted = len(cells_of(_text(head).lstrip("\r\n").partition("\n")[0])) > 1
    if (
        path.suffix
        and parted
        and table_may_place(_text(head), numbers=path.suffix.lower() == ".tsv")
    ):
        return _unread(_TABLE)
    return Sniffed(kind=Kind.NONE, why="a text")
