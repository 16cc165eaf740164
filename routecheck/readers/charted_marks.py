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


def mark(row: Row, draft: Draft) -> bool:
    """A mark, or one for each point of several; one drawn as a line or an area has its middle for
    a place. False where it is too large for a mark, or nothing says what kind it is."""
    kind = kind_of(row)
    if kind is None or row.geometry.is_empty:
        return False
    parts = shapely.get_parts(row.geometry)
    if all(part.geom_type == "Point" for part in parts):
        for part in parts:
            _put(row, draft, kind, part, 0.0)
        return True
    place, spread_m = _around(row.geometry)
    if spread_m > WIDEST_M:
        wrong = f"{row.cls} {row.ident} is a mark drawn as a {row.geometry.geom_type} of more than "
        wrong += f"{2.0 * WIDEST_M:.0f} m, which may stand anywhere in it"
        # Without bounds: it counts for every leg that rests on the chart.
        draft.problem(wrong, kind="mark drawn far too wide")
        return False
    _put(row, draft, kind, place, spread_m)
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


def _put(row: Row, draft: Draft, kind: MarkKind, place: BaseGeometry, spread_m: float) -> None:
    floating = not row.cls.startswith("BCN")
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
            spread_m=spread_m,
            **base,
        ),
    )


def kind_of(row: Row) -> MarkKind | None:
    """The kind by a word of ours (``_KIND``), else by class and category."""
    word = row.text("_KIND").lower()
    if word:
        return MarkKind(word) if word in {kind.value for kind in MarkKind} else None
    family = MARKS.get(row.cls, "")
    if family == "lateral":
        return _LATERAL.get(row.code("CATLAM") or 0, MarkKind.LATERAL)
    if family == "cardinal":
        return _CARDINAL.get(row.code("CATCAM") or 0, MarkKind.CARDINAL)
    if family == "special" and set(colours_of(row.values.get("COLOUR"))) == _NEW_WRECK:
        return MarkKind.EMERGENCY_WRECK  # S-57 has no class of its own for it
    return MarkKind(family) if family else None


def colours_of(value: Any) -> tuple[str, ...]:
    """Colours top to bottom, from codes (COLOUR, attribute 75) or words; others are left out."""
    codes = codes_of(value)
    if codes:
        return tuple(COLOURS[code - 1] for code in codes if 1 <= code <= len(COLOURS))
    words = value if isinstance(value, list | tuple) else re.split(r"[-,;/\s]+", str(value or ""))
    lower = [str(word).strip().lower() for word in words]
    return tuple(word for word in lower if word in COLOURS)
