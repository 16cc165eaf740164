"""Solids and what hangs over the water, out of rows."""

from __future__ import annotations

from typing import Any

from routecheck.model.objects import Solid, SolidKind, Span
from routecheck.readers.charted import Draft, Row
from routecheck.readers.s57_classes import AFLOAT, SOLIDS

_PONTOON_BRIDGE = 6
_OPENING_BRIDGES = {2, 3, 4, 5, 7}
_MOORING_BUOY = 7
_NOT_ELECTRIC = {4, 5, 6, 7}
"""CATBRG, CATMOR and CATCBL: IHO S-57 edition 3.1, appendix A, attributes 9, 40 and 11."""


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
            # The width of a gate is judged with the gate.
            horizontal_clearance_m=None if row.cls == "GATCON" else draft.height_m(row, "HORCLR"),
            clearance_datum=datum,
            opens=bool(_OPENING_BRIDGES & set(row.codes("CATBRG")))
            or draft.height_m(row, "VERCCL") is not None,
            electric=row.cls == "CBLOHD" and row.code("CATCBL") not in _NOT_ELECTRIC,
            **base,
        ),
    )
    return True


def _height_datum(row: Row, draft: Draft) -> str:
    for zone, datum in draft.height_datums:
        if zone.intersects(row.geometry):
            return datum
    return draft.height_datum
