"""Underwater dangers, solids and what hangs over the water, out of rows."""

from __future__ import annotations

from typing import Any

from routecheck.model.objects import Danger, DangerKind, Solid, SolidKind, Span
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_depths import same_datum, unreliable
from routecheck.readers.s57_classes import AFLOAT, SOLIDS

WATER_LEVEL = {
    1: "partly submerged at high water",
    2: "always dry",
    3: "always under water",
    4: "covers and uncovers",
    5: "awash",
    6: "subject to flooding",
    7: "floating",
}
"""WATLEV: IHO S-57 edition 3.1, appendix A, attribute 187."""
_KINDS = {
    "UWTROC": DangerKind.ROCK,
    "WRECKS": DangerKind.WRECK,
    "OBSTRN": DangerKind.OBSTRUCTION,
    "GRIDRN": DangerKind.OBSTRUCTION,
    "PIPSOL": DangerKind.OBSTRUCTION,
    "CBLSUB": DangerKind.OBSTRUCTION,
    "MARCUL": DangerKind.MARINE_FARM,
    "FSHFAC": DangerKind.FISHING_GEAR,
}
_DEPTH_UNKNOWN = 2
_WITHIN_AREA = 1
_FOUL_GROUND = 7
_NOT_DANGEROUS = 1
_PONTOON_BRIDGE = 6
_MOORING_BUOY = 7
"""QUASOU 125, EXPSOU 93, CATOBS 42, CATWRK 71, CATBRG 9, CATMOR 40: same place."""


def danger(row: Row, draft: Draft) -> bool:
    """UWTROC, WRECKS, OBSTRN and the like. A depth marked as unknown is no depth."""
    name = "DRVAL1" if row.cls in ("PIPSOL", "CBLSUB") else "VALSOU"
    depth = draft.depth_m(row, name)
    if _DEPTH_UNKNOWN in row.codes("QUASOU"):
        depth = None
    if depth is not None:
        same_datum(row, draft)
    kind = _KINDS[row.cls]
    harmless = row.cls == "WRECKS" and row.code("CATWRK") == _NOT_DANGEROUS
    if row.cls == "OBSTRN" and row.code("CATOBS") == _FOUL_GROUND:
        kind, harmless = DangerKind.FOUL_GROUND, True
    draft.put(
        "dangers",
        Danger(
            kind=kind,
            charted_depth_m=depth,
            depth_in_area_range=row.code("EXPSOU") == _WITHIN_AREA,
            dangerous=not harmless,
            water_level=WATER_LEVEL.get(row.code("WATLEV") or 0, ""),
            unreliable=unreliable(row),
            **draft.base(row),
        ),
    )
    return True


def solid(row: Row, draft: Draft) -> bool:
    """Land, coast and structures."""
    kind = SOLIDS[row.cls]
    afloat = row.cls in AFLOAT or (row.cls == "MORFAC" and row.code("CATMOR") == _MOORING_BUOY)
    base = draft.base(row, alone=kind is SolidKind.LAND, floating=afloat)
    draft.put("solids", Solid(kind=kind, **base))
    return True


def span(row: Row, draft: Draft) -> bool:
    """Bridges, cables, pipes and conveyors overhead. A pontoon bridge lies on the water."""
    base: dict[str, Any] = draft.base(row, alone=True)
    if _PONTOON_BRIDGE in row.codes("CATBRG"):
        draft.put("solids", Solid(kind=SolidKind.STRUCTURE, **base))
        return True
    datum = draft.datum_of(row, _height_datum(row, draft))
    draft.put(
        "spans",
        Span(
            vertical_clearance_m=draft.height_m(row, "VERCLR"),
            vertical_clearance_closed_m=draft.height_m(row, "VERCCL"),
            vertical_clearance_open_m=draft.height_m(row, "VERCOP"),
            safe_vertical_clearance_m=draft.height_m(row, "VERCSA"),
            clearance_datum=datum,
            **base,
        ),
    )
    return True


def _height_datum(row: Row, draft: Draft) -> str:
    for zone, datum in draft.height_datums:
        if zone.intersects(row.geometry):
            return datum
    return draft.height_datum
