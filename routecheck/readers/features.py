"""From rows to a chart's objects: every class goes to what reads it, and none gets lost.

What is read neither here nor on the list of harmless classes becomes an object that no check
knows, and is not assessed where the corridor touches it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import shapely

from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.objects import UnknownObject
from routecheck.readers.aside import aside
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_areas import (
    AREAS,
    TRACKS,
    WATER,
    area,
    gate,
    narrow,
    one_way,
    put,
    restricts,
    tunnel,
)
from routecheck.readers.charted_dangers import danger, seabed, shows
from routecheck.readers.charted_depths import contour, depth_area, soundings, unsurveyed
from routecheck.readers.charted_least import STATED, least_depth, states_depth
from routecheck.readers.charted_marks import mark, mark_of_no_kind, named_mark
from routecheck.readers.charted_solids import solid, span
from routecheck.readers.charted_zones import accuracy, steering_line, zone
from routecheck.readers.doubled import DOUBTS, Doubt
from routecheck.readers.fittings import FITTINGS, fit
from routecheck.readers.s57_classes import (
    HARMLESS,
    MARKS,
    SOLIDS,
    SPANS,
    WHY_UNKNOWN,
    WITHOUT_PLACE,
)
from routecheck.readers.shapes import Shapes, shapes_of
from routecheck.readers.third import with_third

Reader = Callable[[Row, Draft], bool]
"""Reads a row into a draft; False where it is not what its class should be."""

READERS: dict[str, Reader] = {
    **dict.fromkeys(("DEPARE", "DRGARE"), depth_area),
    "DEPCNT": contour,
    "SOUNDG": soundings,
    "UNSARE": unsurveyed,
    **dict.fromkeys(("UWTROC", "WRECKS", "OBSTRN", "GRIDRN", "MARCUL", "FSHFAC"), danger),
    **dict.fromkeys(SOLIDS, solid),
    "GATCON": gate,
    "TUNNEL": tunnel,
    **dict.fromkeys(SPANS, span),
    **dict.fromkeys(AREAS, area),
    **dict.fromkeys(("M_COVR", "M_QUAL", "M_NSYS", "M_SDAT", "M_VDAT"), zone),
    "M_ACCY": accuracy,
    **dict.fromkeys(MARKS, mark),
    "mark": mark,
}
NO_CLASS = "layer "
"""What stands for the class of objects of which nothing says what they are, before the name of
their layer."""
FIRST = ("M_VDAT",)
"""Classes that others depend on."""
STEERING = ("RECTRC", "RCRTCL", "NAVLNE")
"""Lines to steer by, which tell which way is in."""
COUNTED_ONLY = tuple(sorted(set(HARMLESS) - set(TRACKS) - set(FITTINGS) - set(STEERING) - WATER))
"""Harmless whatever they say, but for a restriction, a depth or a water level; nothing else of
them is wanted."""
_DECIDES = ("TRAFIC", "CATWED", "CATDIS", "WATLEV", "HORCLR")
"""Attributes by which an object is harmless or not."""
_NO_MARKER, _SEA_GRASS = 1, 3
"""CATDIS and CATWED: attributes 21 and 70."""


def harmless(row: Row) -> bool:
    """Whether no hull can come to harm by the object, and nothing bars its place."""
    doubtful = any(doubt.attribute in STATED for doubt in _doubts(row))
    return not doubtful and not states_depth(row) and _harmless_else(row)


def _harmless_else(row: Row) -> bool:
    """The same, whatever depth it states."""
    if restricts(row) or shows(row) or narrow(row):
        return False
    if any(doubt.attribute in _DECIDES for doubt in _doubts(row)):
        return False
    if row.cls == "WEDKLP":
        return row.code("CATWED") == _SEA_GRASS
    if row.cls == "DISMAR":  # others may stand on a post in the water
        return row.code("CATDIS") == _NO_MARKER
    if row.cls == "M_ACCY":
        said = row.values.get("POSACC") not in (None, "")
        return not said and all(doubt.attribute != "POSACC" for doubt in _doubts(row))
    return row.cls in HARMLESS and not (row.cls in TRACKS and one_way(row))


def add_rows(
    cls: str,
    rows: Sequence[tuple[str, Mapping[str, Any], bytes | None]],
    draft: Draft,
    move: Callable[[Shapes], Shapes] | None = None,
) -> None:
    """Read all objects of one class: (identity, attributes, WKB) each. `move` brings shapes to
    longitude and latitude where they are on another system."""
    kept, judged = [], []
    draft.counts[cls] += len(rows)
    for number, (ident, values, wkb) in enumerate(rows):
        # Whether it is harmless does not depend on its shape, and most shapes take time to read.
        bare = Row(cls=cls, ident=ident, geometry=_NOWHERE, values=values)
        if cls in WITHOUT_PLACE or harmless(bare):
            draft.harmless[cls] += 1
        else:
            kept.append((ident, values, wkb))
            judged.append(number)
    beside = fit if cls in FITTINGS else steering_line if cls in STEERING else None
    if beside is not None:
        aside(cls, rows, draft, move, beside, told=frozenset(judged))
    shapes, flaws = shapes_of([wkb for _, _, wkb in kept], move)
    flat = shapes if cls == "SOUNDG" else shapely.force_2d(shapes)
    told = {flaw.row: flaw for flaw in flaws}
    for number, ((ident, values, _), shape) in enumerate(zip(kept, flat, strict=True)):
        flaw = told.get(number)
        row = Row(
            cls=cls,
            ident=ident,
            geometry=_NOWHERE if shape is None else shape,
            values=values if flat is shapes else with_third(values, shapes[number]),
        )
        if flaw is not None:
            lost = " and was left out" if flaw.lost else ""
            draft.problem(f"{cls} {ident}: {flaw.wrong}{lost}", flaw.wrong, _SEVERE, flaw.bounds)
        if shape is not None:
            add(row, draft)


_NOWHERE = shapely.Point()
_SEVERE = Severity.NOT_ASSESSED


def _has_depth(row: Row) -> bool:
    """A pipe or cable for which a depth over it is stated: a danger of that depth."""
    return row.cls in ("PIPSOL", "CBLSUB") and row.values.get("DRVAL1") is not None


def _doubts(row: Row) -> tuple[Doubt, ...]:
    found: tuple[Doubt, ...] = row.values.get(DOUBTS, ())
    return found


def add(row: Row, draft: Draft) -> None:
    """Put what a row stands for into the draft."""
    for doubt in _doubts(row):
        kind = f"{row.cls} {doubt.attribute} {doubt.severity}"
        draft.flaw(row, doubt.wrong, kind=kind, severity=doubt.severity)
    if _has_depth(row):
        danger(row, draft)
        return
    if states_depth(row):
        least_depth(row, draft)
    if _harmless_else(row):
        return
    if row.cls == "M_CSCL":
        own = row.raw_number("CSCALE")
        if own is not None and draft.scale is not None and own <= draft.scale:
            draft.harmless[row.cls] += 1
        else:
            _unknown(row, draft, "compiled at a smaller scale than the chart states")
        return
    reader = area if row.cls in TRACKS else seabed if shows(row) else READERS.get(row.cls)
    if row.cls.startswith(NO_CLASS):
        _unread(row, draft, f"an object of {row.cls}, of which nothing says what it is,")
    elif reader is None and row.cls not in HARMLESS:
        words = WHY_UNKNOWN.get(row.cls)
        _unread(row, draft, f"class {row.cls} ({words})" if words else f"class {row.cls}")
    elif reader is not None and not reader(row, draft):
        _unknown(row, draft, f"{row.cls} as {row.geometry.geom_type}, or without its category")
    elif reader is None and narrow(row):
        put(row, draft, AreaKind.NARROW)
    elif reader not in (area, gate) and restricts(row):
        put(row, draft, AreaKind.RESTRICTED)


def _unread(row: Row, draft: Draft, what: str) -> None:
    """Of no known class: a mark of unknown kind where its class says that it is one."""
    why = f"{what.rstrip(',')} tells none"
    if not (named_mark(row.cls) and mark_of_no_kind(row, draft, why)):
        _unknown(row, draft, what)
    elif restricts(row):
        put(row, draft, AreaKind.RESTRICTED)


def _unknown(row: Row, draft: Draft, what: str) -> None:
    why = f"{what} is not judged by any check"
    draft.put("unknown", UnknownObject(why=why, **draft.base(row, alone=True)))
