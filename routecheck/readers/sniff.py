"""What a file is, by its first bytes and its name: which reader takes it, or why none does."""

from __future__ import annotations

import csv
import json
import re
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.readers.iso8211 import looks_like_iso8211
from routecheck.readers.marks import COLUMNS
from routecheck.readers.s57_files import update_number
from routecheck.readers.textpoints import holds_positions

_HEAD_BYTES = 65_536


class Kind(StrEnum):
    """What reads it."""

    CELL = "cell"
    S101 = "S-101 cell"
    UPDATE = "update"
    VECTOR = "vector"
    OSM = "osm"
    OVERPASS = "overpass"
    MARKS = "marks"
    GRID = "grid"
    COMPANION = "companion"
    """Read together with another file, or of use to its writer only; not listed."""
    NONE = "none"


@dataclass(frozen=True, kw_only=True)
class Sniffed:
    """What a file is. `why` says for NONE why no reader takes it."""

    kind: Kind
    why: str = ""
    looks_like_chart: bool = False
    holds_grid: bool = False
    """A vector file with a grid in it as well."""


_VECTOR_SUFFIXES = {".gpkg", ".geojson", ".shp", ".fgb", ".gml"}
_ARCHIVE = "an archive is not read; unpack it"
_SCANNED = "a scanned chart: a picture, from which no depth can be read"
_NOT_YET = {
    **dict.fromkeys((".kml", ".kmz"), "KML is not read yet"),
    **dict.fromkeys((".zip", ".7z", ".tar", ".gz", ".tgz", ".bz2", ".xz", ".rar"), _ARCHIVE),
    **dict.fromkeys((".kap", ".bsb", ".cap"), _SCANNED),
    **dict.fromkeys(
        (".tab", ".mif", ".mid", ".dxf", ".dgn", ".dwg", ".las", ".laz", ".mdb", ".parquet"),
        "no reader takes this kind of file; export it as a GeoPackage",
    ),
}
_PACKED = {
    b"PK\x03\x04": _ARCHIVE,
    b"\x1f\x8b": _ARCHIVE,
    b"7z\xbc\xaf": _ARCHIVE,
    b"Rar!": _ARCHIVE,
    b"BZh": _ARCHIVE,
    b"\xfd7zXZ": _ARCHIVE,
}
"""First bytes of archives, whatever they are called."""
_OFFICE = (".docx", ".odt", ".pptx", ".odp", ".xlsx", ".ods", ".epub")
_APPLE_DOUBLE = b"\0\x05\x16\x07"
SOUNDINGS = (
    "a text with positions, as soundings are: not read; make a GeoPackage of points with their "
    "depths of it, or a grid"
)
_SOUNDINGS_NAMED = (".pts",)
"""Names' endings of texts of soundings, also where their numbers are no degrees or metres that
are known for such (one line, decimal commas, degrees and minutes)."""
_NO_CHART = {
    **dict.fromkeys((".txt", ".md", ".rst", ".html", ".htm", ".pdf", ".log", ".doc"), "a text"),
    **dict.fromkeys((".png", ".jpg", ".jpeg", ".gif", ".svg", ".webp", ".bmp"), "a picture"),
    **dict.fromkeys((".gpx", ".rtz"), "a route or track, no chart"),
    **dict.fromkeys((".toml", ".yaml", ".yml", ".ini", ".cfg"), "settings, no chart"),
    **dict.fromkeys((".xml", ".py", ".sh", ".sha256", ".md5", ".qgz", ".qgs"), "no chart"),
}
_SHAPEFILE_PARTS = {".shx", ".dbf", ".prj", ".cpg", ".sbn", ".sbx", ".qix", ".qmd", ".qml", ".cst"}
_BESIDE = (".gpkg-wal", ".gpkg-shm", ".shp.xml", ".aux.xml", ".ovr", ".tfw")


def sniff(path: Path) -> Sniffed:
    """What a plain file is. Raises BadInput where it cannot be opened or is empty."""
    name, suffix = path.name.lower(), path.suffix.lower()
    if name.endswith(_BESIDE):
        return Sniffed(kind=Kind.COMPANION)
    if suffix in _SHAPEFILE_PARTS:
        return _shapefile_part(path)
    if suffix in (".xsd", ".gfs") and path.with_suffix(".gml").exists():
        return Sniffed(kind=Kind.COMPANION)
    try:
        with path.open("rb") as stream:
            head = stream.read(_HEAD_BYTES)
    except OSError as error:
        raise BadInput(file=str(path), wrong=f"it cannot be read ({error.strerror})") from None
    if head.startswith(_APPLE_DOUBLE):
        return Sniffed(kind=Kind.NONE, why="what a system notes of another file, no chart")
    if not head:
        if suffix in _NO_CHART:
            return Sniffed(kind=Kind.NONE, why="it is empty")
        raise BadInput(file=str(path), wrong="the file is empty")
    if looks_like_iso8211(head[:24]) or suffix == ".000":
        return _iso8211(path, head)
    if head.startswith(b"SQLite format 3\0"):
        if head[68:72] in (b"GPKG", b"GP10", b"GP11") or suffix == ".gpkg":
            return Sniffed(kind=Kind.VECTOR, holds_grid=_is_grid(path))
        return Sniffed(kind=Kind.NONE, why="a database, no GeoPackage", looks_like_chart=True)
    if suffix == ".gml" and (b"<!DOCTYPE" in head or b"<!ENTITY" in head):
        wrong = "XML with a document type or entities is not read"
        raise BadInput(file=str(path), wrong=wrong, do="write it without them")
    if suffix in _VECTOR_SUFFIXES or head.startswith(b"fgb"):
        return Sniffed(kind=Kind.VECTOR)
    if suffix in (".pbf", ".osm") or b"OSMHeader" in head[:64]:
        return Sniffed(kind=Kind.OSM)
    if suffix in _NOT_YET:
        return Sniffed(kind=Kind.NONE, why=_NOT_YET[suffix], looks_like_chart=True)
    packed = next((why for start, why in _PACKED.items() if head.startswith(start)), "")
    if packed:
        return Sniffed(kind=Kind.NONE, why=packed, looks_like_chart=suffix not in _OFFICE)
    if suffix == ".csv":
        return _csv(head)
    if suffix == ".xml" and b"opengis.net/gml" in head:
        why = "GML by another name; call it .gml"
        return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=True)
    if suffix in (".txt", ".xml", ".log") and b"\0" not in head and holds_positions(head):
        return Sniffed(kind=Kind.NONE, why=SOUNDINGS, looks_like_chart=True)
    if suffix == ".json" or head.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return _json(head)
    if suffix in _NO_CHART:
        return Sniffed(kind=Kind.NONE, why=_NO_CHART[suffix])
    return _other(path, head)


def _iso8211(path: Path, head: bytes) -> Sniffed:
    if path.suffix.lower() == ".031" or b"CATD" in head[:4096]:
        return Sniffed(kind=Kind.NONE, why="the catalogue of an exchange set, no chart")
    if update_number(path):
        return Sniffed(kind=Kind.UPDATE)
    # Its tables of codes, which the first record describes: S-57 has none.
    s101 = b"FTCS" in head[:8192] and b"ATCS" in head[:8192]
    return Sniffed(kind=Kind.S101 if s101 else Kind.CELL)


def _shapefile_part(path: Path) -> Sniffed:
    for beside in (path.with_suffix(".shp"), path.with_suffix(".SHP"), path.with_suffix(".gpkg")):
        if beside.exists():
            return Sniffed(kind=Kind.COMPANION)
    if path.suffix.lower() in (".shx", ".dbf"):
        why = "it belongs to a Shapefile whose .shp is missing"
        return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=True)
    return Sniffed(kind=Kind.NONE, why="no chart")


def _csv(head: bytes) -> Sniffed:
    line = head.decode("utf-8-sig", "replace").lstrip("\r\n").partition("\n")[0]
    try:
        columns = {cell.strip().lower() for cell in next(csv.reader([line]), [])}
    except csv.Error:
        columns = set()
    if {"kind", "lon", "lat"} <= columns:
        return Sniffed(kind=Kind.MARKS)
    if holds_positions(head):
        return Sniffed(kind=Kind.NONE, why=SOUNDINGS, looks_like_chart=True)
    placed = bool({"lon", "longitude", "x"} & columns) and bool({"lat", "latitude", "y"} & columns)
    why = f"CSV is read for marks only, with the columns {', '.join(COLUMNS)}"
    return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=placed)


_TYPE = re.compile(rb'"type"\s*:\s*"(FeatureCollection|Feature|\w*Polygon|\w*Point|\w*LineString)"')


def _json(head: bytes) -> Sniffed:
    if re.search(rb'"osm3s"|"elements"\s*:\s*\[', head):
        return Sniffed(kind=Kind.OVERPASS)
    if _TYPE.search(head):
        return Sniffed(kind=Kind.VECTOR)
    try:
        json.loads(head)
    except ValueError:
        # Cut off here, or broken: it may be what it is called.
        cut = len(head) == _HEAD_BYTES
        why = "this is not GeoJSON" if cut else "this is not JSON"
        return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=True)
    return Sniffed(kind=Kind.NONE, why="JSON, but no GeoJSON")


def _other(path: Path, head: bytes) -> Sniffed:
    if _is_grid(path):
        return Sniffed(kind=Kind.GRID)
    if b"BSB/" in head[:4096] or b"KNP/" in head[:4096]:
        return Sniffed(kind=Kind.NONE, why=_SCANNED, looks_like_chart=True)
    named = path.suffix.lower() in _SOUNDINGS_NAMED and re.search(rb"\d", head) is not None
    if b"\0" not in head and (named or holds_positions(head)):
        return Sniffed(kind=Kind.NONE, why=SOUNDINGS, looks_like_chart=True)
    if b"\0" in head:
        why = "no reader takes this kind of file"
        return Sniffed(kind=Kind.NONE, why=why, looks_like_chart=True)
    return Sniffed(kind=Kind.NONE, why="a text")


CHART_SUFFIXES = frozenset(
    {".000", ".tif", ".tiff", ".nc", ".bag", ".h5", ".asc", ".xyz", ".csv", ".pbf", ".osm", ".json"}
    | _VECTOR_SUFFIXES
    | set(_NOT_YET)
)
"""Names' endings of files that may be charts, for folders that are not looked into."""


def may_be_chart(path: Path) -> bool:
    """Whether a file in a folder that is not looked into may be a chart: by its name, and a text by
    what it holds."""
    suffix = path.suffix.lower()
    if suffix in CHART_SUFFIXES:
        return True
    if suffix not in ("", ".txt", ".dat", ".pts", ".tsv", ".asc"):
        return False
    try:
        with path.open("rb") as stream:
            head = stream.read(_HEAD_BYTES)
    except OSError:
        return False
    return b"\0" not in head and holds_positions(head)


def _is_grid(path: Path) -> bool:
    from routecheck.readers.grids import looks_like_grid

    return looks_like_grid(path)
