"""Depth areas, contours and soundings out of rows."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from routecheck.model.chart import Severity
from routecheck.model.objects import Contour, DepthArea, Sounding, Unsurveyed
from routecheck.readers.charted import DEEPEST_M, Draft, Row
from routecheck.readers.fillnumbers import is_fill
from routecheck.readers.shapes import areal
from routecheck.readers.third import differs, shoaler

UNRELIABLE = frozenset({3, 4, 8, 9})
"""QUASOU: doubtful, unreliable, reported and not surveyed, reported and not confirmed."""
NOT_TO_BE_TRUSTED = UNRELIABLE | {2, 11}
"""Of an area's depth also: unknown, and not regularly maintained (a dredged area's)."""
NO_BOTTOM = 5
EXISTENCE_DOUBTFUL = 18
"""STATUS: IHO S-57 edition 3.1, appendix A, attribute 149."""


def unreliable(row: Row) -> bool:
    """Whether the object's depth, or the object itself, is marked as doubtful."""
    quality, status = row.codes("QUASOU"), row.codes("STATUS")
    return bool(UNRELIABLE & set(quality)) or EXISTENCE_DOUBTFUL in status


def same_datum(row: Row, draft: Draft) -> None:
    """Report a depth that stands on another datum than the chart's others."""
    own = draft.datum_of(row, draft.datum)
    if own != draft.datum:
        wrong = f"its depth stands on {own}, the chart's on {draft.datum}"
        draft.flaw(row, wrong, kind=f"{row.cls} datum {own}")


def depth_area(row: Row, draft: Draft) -> bool:
    """DEPARE, DRGARE. An area is an area; a line is charted like a contour, never as an area."""
    shallow, deep = draft.depth_m(row, "DRVAL1"), draft.depth_m(row, "DRVAL2")
    if shallow is not None and deep is not None and deep < shallow:
        if draft.depth_sign > 0.0:
            wrong = f"DRVAL2 {deep:g} m is shoaler than DRVAL1 {shallow:g} m; the shoaler counts"
            draft.flaw(row, wrong, kind=f"{row.cls} range", severity=Severity.CAUTION)
        shallow, deep = deep, shallow
    same_datum(row, draft)
    shape = areal(row.geometry)
    if shape is not None:
        base = draft.base(row, alone=True) | {"geometry": shape}
        draft.put(
            "depth_areas",
            DepthArea(
                charted_depth_m=shallow,
                deep_end_m=deep,
                depth_uncertainty_m=draft.accuracy_m(row),
                unreliable=bool(NOT_TO_BE_TRUSTED & set(row.codes("QUASOU"))),
                **base,
            ),
        )
        return True
    if _linear(row):
        if shallow is not None:
            draft.put("contours", Contour(charted_depth_m=shallow, **draft.base(row)))
        return True
    return False


def contour(row: Row, draft: Draft) -> bool:
    """DEPCNT."""
    depth = draft.depth_m(row, "VALDCO")
    same_datum(row, draft)
    if depth is not None:
        draft.put("contours", Contour(charted_depth_m=depth, **draft.base(row)))
    else:
        # The areas on both sides say how deep it is; where there are none there is no coverage.
        wrong = "the contour states no depth (VALDCO) and was left out"
        draft.flaw(row, wrong, kind="DEPCNT blank", severity=Severity.NOTE)
    return True


def soundings(row: Row, draft: Draft) -> bool:
    """SOUNDG: many soundings in one object, their depths in Z; else a depth in a column."""
    parts = shapely.get_parts(row.geometry)
    if not len(parts) or any(part.geom_type != "Point" for part in parts):
        return False
    draft.counts[row.cls] += len(parts) - 1
    same_datum(row, draft)
    doubtful, no_bottom = unreliable(row), NO_BOTTOM in row.codes("QUASOU")
    column = next((name for name in ("VALSOU", "DEPTH") if name in row.values), None)
    column_m = draft.depth_m(row, column) if column else None
    where = shapely.get_coordinates(row.geometry, include_z=True)
    points: Any = shapely.points(where[:, :2])
    base = draft.keyless(row)
    base["depth_uncertainty_m"] = draft.accuracy_m(row)
    for number, (lon, lat, z) in enumerate(where.tolist(), start=1):
        z_m = z * draft.depth_unit_m * draft.depth_sign
        fill = is_fill("VALSOU", z, draft.depth_unit_m * draft.depth_sign)
        depth = column_m if column else None if fill else z_m
        if depth is not None and shoaler(z_m, depth):
            wrong, bounds = differs(depth, z_m), (lon, lat, lon, lat)
            draft.flaw(row, wrong, kind="SOUNDG z", severity=Severity.CAUTION, bounds=bounds)
            depth = z_m
        if depth is None or not math.isfinite(depth) or abs(depth) > DEEPEST_M:
            bounds = (lon, lat, lon, lat)
            draft.flaw(row, "a sounding without a depth", kind="SOUNDG blank", bounds=bounds)
            continue
        ident = f"{row.ident}.{number}" if len(parts) > 1 else row.ident
        base["key"] = draft.key(row.cls, ident)
        base["geometry"] = points[number - 1]
        made = Sounding(charted_depth_m=depth, unreliable=doubtful, no_bottom=no_bottom, **base)
        draft.put("soundings", made)
    return True


def unsurveyed(row: Row, draft: Draft) -> bool:
    """UNSARE."""
    shape = areal(row.geometry)
    if shape is None:
        return False
    draft.put("unsurveyed", Unsurveyed(**draft.base(row) | {"geometry": shape}))
    return True


def _linear(row: Row) -> bool:
    parts = shapely.get_parts(row.geometry)
    return bool(len(parts)) and bool(np.all(shapely.get_dimensions(parts) == 1))
