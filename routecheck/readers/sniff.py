"""What a file is, by its first bytes and its name: which reader takes it, or why none does."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.readers.iso8211 import looks_like_iso8211
from routecheck.readers.s57_files import update_number
from routecheck.readers.sniffkinds import (
    NO_CHART,
    NOT_YET,
    OFFICE,
    PACKED,
    SCANNED,
    VECTOR_SUFFIXES,
    WAYPOINTS,
    WORLD_FILES,
    Kind,
    Sniffed,
)
from routecheck.readers.snifftext import is_grid, sniff_text
from routecheck.readers.widetext import as_utf8

__all__ = ["CHART_SUFFIXES", "Kind", "Sniffed", "may_be_chart", "sniff"]

_HEAD_BYTES = 65_536
_APPLE_DOUBLE = b"\0\x05\x16\x07"
_WIDE = "a text in UTF-16 or UTF-32 is not read; save it as UTF-8"
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
        if suffix in NO_CHART:
            return Sniffed(kind=Kind.NONE, why="it is empty")
        raise BadInput(file=str(path), wrong="the file is empty")
    if looks_like_iso8211(head[:24]) or suffix == ".000":
        return _iso8211(path, head)
    if head.startswith(b"SQLite format 3\0"):
        if head[68:72] in (b"GPKG", b"GP10", b"GP11") or suffix == ".gpkg":
            return Sniffed(kind=Kind.VECTOR, holds_grid=is_grid(path))
        return Sniffed(kind=Kind.NONE, why="a database, no GeoPackage", looks_like_chart=True)
    if suffix == ".gml" and (b"<!DOCTYPE" in head or b"<!ENTITY" in head):
        wrong = "XML with a document type or entities is not read"
        raise BadInput(file=str(path), wrong=wrong, do="write it without them")
    if suffix in VECTOR_SUFFIXES or head.startswith(b"fgb"):
        return Sniffed(kind=Kind.VECTOR)
    if suffix in (".pbf", ".osm") or b"OSMHeader" in head[:64]:
        return Sniffed(kind=Kind.OSM)
    if suffix in NOT_YET:
        return Sniffed(kind=Kind.NONE, why=NOT_YET[suffix], looks_like_chart=True)
    packed = next((why for start, why in PACKED.items() if head.startswith(start)), "")
    if packed:
        return Sniffed(kind=Kind.NONE, why=packed, looks_like_chart=suffix not in OFFICE)
    if suffix == ".gpx" and _holds(path, _WPT):
        return Sniffed(kind=Kind.NONE, why=WAYPOINTS, looks_like_chart=True)
    if any(path.with_suffix(world).exists() for world in WORLD_FILES.get(suffix, ())):
        return Sniffed(kind=Kind.NONE, why=SCANNED, looks_like_chart=True)
    plain = as_utf8(head)
    if plain is None:
        return sniff_text(path, head, whole=len(head) < _HEAD_BYTES)
    found = sniff_text(path, plain, whole=len(head) < _HEAD_BYTES)
    if found.kind in (Kind.NONE, Kind.GRID) and not found.looks_like_chart:
        return found
    return Sniffed(kind=Kind.NONE, why=_WIDE, looks_like_chart=True)


_WPT = tuple(
    word.encode(coding)
    for word in ("<wpt", ":wpt")  # also with the prefix of a namespace
    for coding in ("utf-8", "utf-16-le", "utf-16-be")
)


def _holds(path: Path, words: Sequence[bytes]) -> bool:
    """Whether one of some words stands anywhere in a file."""
    longest, before = max(map(len, words)), b""
    with path.open("rb") as stream:
        while block := stream.read(2**20):
            here = before + block
            if any(word in here for word in words):
                return True
            before = here[-longest:]
    return False


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


CHART_SUFFIXES = frozenset(
    {".000", ".tif", ".tiff", ".nc", ".bag", ".h5", ".asc", ".xyz", ".csv", ".pbf", ".osm", ".json"}
    | VECTOR_SUFFIXES
    | set(NOT_YET)
)
"""Names' endings of files that may be charts, for folders that are not looked into."""


def may_be_chart(path: Path) -> bool:
    """Whether a file in a folder that is not looked into may be a chart: by its name, and a text by
    what it holds."""
    suffix = path.suffix.lower()
    if suffix in CHART_SUFFIXES:
        return True
    if suffix not in ("", ".txt", ".dat", ".pts", ".tsv", ".asc", ".xml"):
        return False
    try:
        found = sniff(path)
    except BadInput:
        return False
    return found.looks_like_chart or found.kind not in (Kind.NONE, Kind.COMPANION)
