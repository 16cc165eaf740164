"""The kinds of files in a folder of charts, and what names' endings and first bytes say."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


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


VECTOR_SUFFIXES = {".gpkg", ".geojson", ".shp", ".fgb", ".gml"}
_ARCHIVE = "an archive is not read; unpack it"
SCANNED = "a scanned chart: a picture, from which no depth can be read"
NOT_YET = {
    **dict.fromkeys((".kml", ".kmz"), "KML is not read yet"),
    **dict.fromkeys((".zip", ".7z", ".tar", ".gz", ".tgz", ".bz2", ".xz", ".rar"), _ARCHIVE),
    **dict.fromkeys((".kap", ".bsb", ".cap"), SCANNED),
    **dict.fromkeys(
        (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods"),
        "a spreadsheet is not read; make a GeoPackage of what it places, or marks as CSV",
    ),
    **dict.fromkeys(
        (".tab", ".mif", ".mid", ".dxf", ".dgn", ".dwg", ".las", ".laz", ".mdb", ".parquet"),
        "no reader takes this kind of file; export it as a GeoPackage",
    ),
}
PACKED = {
    b"PK\x03\x04": _ARCHIVE,
    b"\x1f\x8b": _ARCHIVE,
    b"7z\xbc\xaf": _ARCHIVE,
    b"Rar!": _ARCHIVE,
    b"BZh": _ARCHIVE,
    b"\xfd7zXZ": _ARCHIVE,
}
"""First bytes of archives, whatever they are called."""
OFFICE = (".docx", ".odt", ".pptx", ".odp", ".epub")
"""Texts and slides, which are archives too."""
SOUNDINGS = (
    "a text with positions, as soundings are: not read; make a GeoPackage of points with their "
    "depths of it, or a grid"
)
WAYPOINTS = (
    "its waypoints may mark dangers, and are not read; make GeoJSON or marks as CSV of those that "
    "do, or keep it elsewhere"
)
"""Of GPX 1.1, wptType: "a waypoint, point of interest, or named feature on a map"."""
NO_CHART = {
    **dict.fromkeys((".txt", ".md", ".rst", ".html", ".htm", ".pdf", ".log", ".doc"), "a text"),
    **dict.fromkeys((".png", ".jpg", ".jpeg", ".gif", ".svg", ".webp", ".bmp"), "a picture"),
    **dict.fromkeys((".gpx", ".rtz"), "a route or track, no chart"),
    **dict.fromkeys((".toml", ".yaml", ".yml", ".ini", ".cfg"), "settings, no chart"),
    **dict.fromkeys((".xml", ".py", ".sh", ".sha256", ".md5", ".qgz", ".qgs"), "no chart"),
}
WORLD_FILES = {
    ".png": (".pgw", ".pngw", ".wld"),
    ".jpg": (".jgw", ".jpgw", ".wld"),
    ".jpeg": (".jgw", ".jpegw", ".wld"),
    ".gif": (".gfw", ".gifw", ".wld"),
    ".bmp": (".bpw", ".bmpw", ".wld"),
}
"""What lies beside a picture that has a place."""
