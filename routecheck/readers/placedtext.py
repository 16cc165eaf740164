"""Whether a table, JSON or XML may place something: if in doubt, it does.

What is taken for no chart is told in no finding, so a file that may be one must not be.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from routecheck.readers.textpoints import WKT, cells_of, holds_angles, is_number

_MOST_LINES = 60
_LONGEST_LINE = 2_000
_STARTS = (
    *("lat", "lon", "lng", "längen", "laeng", "breit", "bredd", "geo", "geom", "coord"),
    *("koord", "posi", "east", "north", "ost", "nord", "rechts", "hoch", "wkt", "wkb", "utm"),
    *("mgrs", "shape", "loca", "point", "punkt", "waypoint"),
)
_DEPTHS = (
    *("depth", "sound", "tief", "diep", "dyb", "djup", "dybd", "profond", "profund", "sonde"),
    *("elev", "bathy", "valsou", "drval", "valdco", "draught"),
)
_ENDS = ("lat", "lon", "lng", "latitude", "longitude", "depth")
_WHOLE = {"x", "y", "z", "pos", "ring", "rings", "path", "paths", "arcs", "wkid", "bbox"}
_CLASSES = (
    *("class", "objl", "objnam", "acronym", "kind", "type", "feature", "object", "art", "klass"),
    *("mark", "buoy", "boei", "tonne", "beacon", "wreck", "wrack", "rock", "obstr", "hazard"),
    *("danger", "light", "colour", "color", "seamark", "catego", "navaid", "aton"),
)
_OUR_TABLE = "row,number,severity,check"
_OUR_JSON = re.compile(r'\s*\{\s*"schema"\s*:\s*\d+\s*,\s*"(verdict|caution)"\s*:')
_KEY = re.compile(r'"([^"\\\n]{1,40})"\s*:')
_PAIR = re.compile(r"\[\s*-?\d+(\.\d*)?([eE][-+]?\d+)?\s*,\s*-?\d")
_ROOT = re.compile(r"<(?:[\w.-]{1,80}:)?([A-Za-z_][\w.-]{0,80})")
_NO_CHART_ROOTS = {"gpx", "route", "S100_ExchangeCatalogue", "html", "qgis"}
_XML = re.compile(
    r"opengis\.net|iho\.int|<(\w{1,40}:)?(pos|posList|coord\w*|point|curve|surface|polygon|osm|kml|"
    r"lineString|featureCollection|featureMembers?|member|dataset|lat\w*|lon\w*|lng|\w*depth|"
    r"sounding\w*|geom\w*|position\w*|x|y)\b|\b(lat|lon|lng|latitude|longitude|x|y)\s*=\s*[\"']",
    re.IGNORECASE,
)


def table_may_place(text: str, *, numbers: bool = True) -> bool:
    """Whether a table may hold positions, depths or charted objects.

    By the names of its columns, a geometry in words, degrees and minutes, and, with `numbers`, by
    two numbers on one line. Tables of tides and of our findings are known.

    >>> table_may_place("type;name;lng;latitude")
    True
    >>> table_may_place("time,height_m\\n2019-01-01T00:00Z,1.3\\n")
    False
    """
    lines = [line[:_LONGEST_LINE].strip() for line in text.splitlines()]
    lines = [line for line in lines if line.strip("#")][:_MOST_LINES]
    if not lines or is_known_table(lines[0]):
        return False
    words = _words(cells_of(lines[0]))
    if _named(words, _STARTS) or words & _WHOLE:
        return True
    if _named(words, _DEPTHS) or _named(words, _CLASSES):
        return True
    if WKT.search(text) or any(holds_angles(line) for line in lines):
        return True
    return numbers and any(sum(map(is_number, cells_of(line))) >= 2 for line in lines)


def is_known_table(header: str) -> bool:
    """Whether a first line is that of a table of tides without a position, or of our findings.

    >>> is_known_table("name,amplitude_m,phase_deg"), is_known_table("lon,lat,time,height")
    (True, False)
    """
    if header.startswith(_OUR_TABLE):
        return True
    words = _words(cells_of(header))
    if _named(words, _STARTS) or words & _WHOLE:
        return False
    return {"time", "height"} <= words or {"amplitude", "phase"} <= words


def is_our_json(text: str) -> bool:
    """Whether a text begins as this program's findings, windows or lists of charts do.

    >>> is_our_json('{"schema": 1, "caution": ""}'), is_our_json('{"schema": 1, "lat": 5}')
    (True, False)
    """
    return bool(_OUR_JSON.match(text))


def json_may_place(text: str) -> bool:
    """Whether JSON may hold positions or depths.

    >>> json_may_place('[{"lat": 50.0, "lon": 5.01}]'), json_may_place('{"a": [5.0, 50]}')
    (True, True)
    >>> json_may_place('{"name": "charts", "version": 1}')
    False
    """
    words = _words(found.group(1) for found in _KEY.finditer(text))
    placed = _named(words, (*_STARTS, *_DEPTHS)) or bool(words & _WHOLE)
    return placed or bool(_PAIR.search(text)) or bool(WKT.search(text)) or holds_angles(text)


def xml_may_place(text: str) -> bool:
    """Whether XML may hold positions or depths; routes and catalogues of exchange sets do not.

    >>> xml_may_place("<a:FeatureCollection xmlns:a='http://www.opengis.net/wfs'/>")
    True
    >>> xml_may_place("<notes><a>Ten sheets</a></notes>"), xml_may_place('<gpx version="1.1"/>')
    (False, False)
    """
    root = _ROOT.search(text)
    if root is None or root.group(1) in _NO_CHART_ROOTS:
        return False
    return bool(_XML.search(text) or WKT.search(text) or holds_angles(text))


def _words(names: Iterable[str]) -> set[str]:
    parted = (re.sub(r"([a-z])([A-Z])", r"\1 \2", name.strip()) for name in names)
    return {word for name in parted for word in re.split(r"[\W_]+", name.lower()) if word}


def _named(words: set[str], starts: tuple[str, ...]) -> bool:
    return any(word.startswith(starts) or word.endswith(_ENDS) for word in words)
