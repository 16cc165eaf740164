"""Buoys and beacons out of rows."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Mark, MarkKind
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.readers.charted import Draft, Row, codes_of
from routecheck.readers.marks import COLOURS
from routecheck.readers.s57_classes import MARKS

REGIONS = {1: "A", 2: "B"}
"""MARSYS: IHO S-57 edition 3.1, appendix A, attribute 109."""
SHAPES = {
    **{1: "conical", 2: "can", 3: "spherical", 4: "pillar", 5: "spar", 6: "barrel"},
    **{7: "super-buoy", 8: "ice buoy"},
}
"""BOYSHP, attribute 4."""
_LATERAL = {
    1: MarkKind.PORT_HAND,
    2: MarkKind.STARBOARD_HAND,
    3: MarkKind.PREFERRED_TO_STARBOARD,
    4: MarkKind.PREFERRED_TO_PORT,
}
"""CATLAM, attribute 36. A mark that states none takes its hand from its colours."""
_NEW_WRECK = {"blue", "yellow"}
"""IALA Recommendation R1001, emergency wreck marking: no other mark has these colours."""
_CARDINAL = {1: MarkKind.NORTH, 2: MarkKind.EAST, 3: MarkKind.SOUTH, 4: MarkKind.WEST}
"""CATCAM, attribute 13. A mark that states none takes its quadrant from its colours or top mark."""


WIDEST_M = 1000.0
"""What reaches further than this from its middle is not taken for one mark (common practice)."""


_WORD = re.compile(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])")
_SAYS_MARK = {"buoy", "buoys", "beacon", "beacons", "lateral", "cardinal"}
_NO_MARK = {"radio", "radar", "transponder", "mooring", "installation", "special"}
"""Beacons that only send, and buoys that have no side."""
_ACRONYM = re.compile(r"(BOY|BCN)[A-Z]{3}", re.IGNORECASE)


def named_mark(cls: str) -> bool:
    """Whether the name of a class that is not known says that it is a buoy or beacon.

    >>> named_mark("BOYWTW"), named_mark("seamark:buoy_lateral"), named_mark("RadarBeacon")
    (True, True, False)
    """
    if _ACRONYM.fullmatch(cls):
        return True
    words = {word.lower() for word in _WORD.findall(cls)}
    return bool(words & _SAYS_MARK) and not words & _NO_MARK


def mark_of_no_kind(row: Row, draft: Draft, doubt: str) -> bool:
    """A mark of a class of which `named_mark` is true; False where it is too large for one."""
    if not row.geometry.is_empty and _around(row.geometry)[1] <= WIDEST_M:
        return mark(row, draft, doubt)
    return False


def mark(row: Row, draft: Draft, doubt: str = "") -> bool:
    """A mark, or one for each point of several; one drawn as a line or an area has its middle for
    a place. `doubt` says why its kind cannot be told. False where it is too large for a mark."""
    if row.geometry.is_empty:
        return False
    kind = MarkKind.UNKNOWN if doubt else kind_of(row)
    if kind is MarkKind.UNKNOWN:
        doubt = doubt or _kind_doubt(row)
    parts = shapely.get_parts(row.geometry)
    if all(part.geom_type == "Point" for part in parts):
        for part in parts:
            _put(row, draft, kind, part, 0.0, doubt)
        return True
    place, spread_m = _around(row.geometry)
    if spread_m > WIDEST_M:
        wrong = f"{row.cls} {row.ident} is a mark drawn as a {row.geometry.geom_type} of more than "
        wrong += f"{2.0 * WIDEST_M:.0f} m, which may stand anywhere in it"
        # Without bounds: it counts for every leg that rests on the chart.
        draft.problem(wrong, kind="mark drawn far too wide")
        return False
    _put(row, draft, kind, place, spread_m, doubt)
    return True


def _around(shape: BaseGeometry) -> tuple[shapely.Point, float]:
    """(middle, how far any part of the shape lies from it in metres), for shapes of a mile."""
    west, south, east, north = shape.bounds
    lon_deg, lat_deg = (west + east) / 2.0, (south + north) / 2.0
    corners = np.radians(shapely.get_coordinates(shape) - [lon_deg, lat_deg])
    widest = min(abs(south), abs(north)) if south * north > 0.0 else 0.0
    east_m = corners[:, 0] * parallel_radius_m(widest)
    north_m = corners[:, 1] * meridian_radius_m(north if abs(north) > abs(south) else south)
    return shapely.Point(lon_deg, lat_deg), float(np.hypot(east_m, north_m).max()) * 1.001


def _kind_doubt(row: Row) -> str:
    word = row.text("_KIND")
    return f"{word[:40]!r} is no kind of mark" if word else "nothing states it"


def _put(
    row: Row, draft: Draft, kind: MarkKind, place: BaseGeometry, spread_m: float, doubt: str
) -> None:
    lower = row.cls.lower()
    floating = not lower.startswith("bcn") and "beacon" not in lower
    base = draft.base(row, floating=floating) | {"geometry": place}
    draft.put(
        "marks",
        Mark(
            kind=kind,
            colours=colours_of(row.values.get("COLOUR")),
            floating=floating,
            region=REGIONS.get(row.code("MARSYS") or 0, ""),
            top_mark=row.text("_TOP_MARK"),
            light=row.text("_LIGHT"),
            shape=SHAPES.get(row.code("BOYSHP") or 0, ""),
            kind_doubt=doubt,
            spread_m=spread_m,
            **base,
        ),
    )


def kind_of(row: Row) -> MarkKind:
    """The kind by a word of ours (``_KIND``), else by class and category."""
    word = row.text("_KIND").lower()
    if word:
        known = word in {kind.value for kind in MarkKind}
        return MarkKind(word) if known else MarkKind.UNKNOWN
    family = MARKS.get(row.cls, "")
    if family == "lateral":
        return _LATERAL.get(row.code("CATLAM") or 0, MarkKind.LATERAL)
    if family == "cardinal":
        return _CARDINAL.get(row.code("CATCAM") or 0, MarkKind.CARDINAL)
    if family == "special" and set(colours_of(row.values.get("COLOUR"))) == _NEW_WRECK:
        return MarkKind.EMERGENCY_WRECK  # S-57 has no class of its own for it
    return MarkKind(family) if family else MarkKind.UNKNOWN


def colours_of(value: Any) -> tuple[str, ...]:
    """Colours top to bottom, from codes (COLOUR, attribute 75) or words; others are left out."""
    codes = codes_of(value)
    if codes:
        return tuple(COLOURS[code - 1] for code in codes if 1 <= code <= len(COLOURS))
    words = value if isinstance(value, list | tuple) else re.split(r"[-,;/\s]+", str(value or ""))
    lower = [str(word).strip().lower() for word in words]
    return tuple(word for word in lower if word in COLOURS)
