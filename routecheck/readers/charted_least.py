"""Least depths stated for what is no depth area: sills of locks and gates, areas of cables and
pipes, fairways, tracks, swept areas, berths.

They may condemn and never clear: water without a depth area stays without one. Attributes: IHO
S-57 edition 3.1, appendix A, chapter 2, DRVAL1 87, VALSOU 179.
"""

from __future__ import annotations

from routecheck.model.objects import Danger, DangerKind
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_areas import AREAS
from routecheck.readers.charted_depths import same_datum, unreliable
from routecheck.readers.s57_classes import HARMLESS
from routecheck.readers.third import shoaler_of

STATED = ("DRVAL1", "VALSOU")
"""A file other than a cell may have it in either, whatever the class."""
_KINDS = {
    **dict.fromkeys(("LOKBSN", "GATCON"), DangerKind.SILL),
    **dict.fromkeys(("CBLARE", "PIPARE"), DangerKind.OBSTRUCTION),
}
_CLASSES = frozenset({*AREAS, *HARMLESS, "GATCON"})


def states_depth(row: Row) -> bool:
    """Whether a least depth stands in it that no reader of its class takes as its own."""
    return row.cls in _CLASSES and any(row.values.get(name) not in (None, "") for name in STATED)


def least_depth(row: Row, draft: Draft) -> None:
    """What it states is held against the boat as the depth over a danger; the shoaler of two."""
    stated = [depth for name in STATED if (depth := draft.depth_m(row, name)) is not None]
    if not stated:
        return
    same_datum(row, draft)
    draft.put(
        "dangers",
        Danger(
            kind=_KINDS.get(row.cls, DangerKind.LEAST_DEPTH),
            charted_depth_m=shoaler_of(row, min(stated), draft),
            unreliable=unreliable(row),
            depth_uncertainty_m=draft.accuracy_m(row),
            **draft.base(row),
        ),
    )
