"""An S-57 cell with its updates, all classes at once, as GDAL reads it.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
import pyogrio
from pyogrio import raw

from routecheck.readers.ogr_tables import Blob, plain, table_of

_OPTIONS = {
    "UPDATES": "APPLY",
    "SPLIT_MULTIPOINT": "OFF",
    "RETURN_PRIMITIVES": "ON",
    "RETURN_LINKAGES": "ON",
    "LNAM_REFS": "OFF",
    "RETURN_DSID": "ON",
    "PRESERVE_EMPTY_NUMBERS": "OFF",
    "RECODE_BY_DSSI": "ON",
    "LIST_AS_STRING": "ON",
}
_PRIMITIVES = ("IsolatedNode", "ConnectedNode", "Edge", "Face")
_WITHOUT_TABLES = {"Point", "Line", "Area", "Meta"}
_SHARED_EDGES = ("DEPCNT", "COALNE", "SLCONS", "DEPARE")
"""Lines that stand on the edges of areas, and so carry their doubtful positions themselves."""
_DOUBTFUL = (2, 9)
"""QUAPOS from unsurveyed to estimated: S-57 appendix A, attribute 402."""
_HEAD_NUMBERS = ("DSPM_HDAT", "DSPM_VDAT", "DSPM_SDAT", "DSPM_CSCL", "DSPM_DUNI", "DSPM_HUNI")
_HEAD_TEXTS = ("DSID_EDTN", "DSID_UPDN", "DSID_ISDT")
_LINKAGES = ("NAME_RCNM", "NAME_RCID", "USAG")
_MATTERS = ("RESTRN", "DRVAL1", "VALSOU", "WATLEV")
"""What an object of a harmless class may state and not be harmless."""
_ASIDE = frozenset({"cls", *_LINKAGES})


def read_cell(request: dict[str, Any]) -> tuple[dict[str, Any], Blob]:
    """Head and objects by class of the cell ``file``, attributes ``numbers`` and ``texts``.

    Of the classes ``bare`` only the number of objects is wanted, unless one states a restriction
    (RESTRN), a depth or a water level. Columns of our own: the worst QUAPOS of an object's nodes
    and edges (_QUAPOS), and of those that no line object shares (_QUAPOS_ALONE); the worst POSACC
    (_POSACC); how many nodes and edges there are (_LINKS). Raises RuntimeError where GDAL lacks
    its tables of classes.
    """
    # Every opening of a cell takes these, also the one that lists its layers. Set here and not on
    # import: this is the child's process, and only the child's.
    pyogrio.set_gdal_config_options(
        {"OGR_S57_OPTIONS": ",".join(f"{key}={value}" for key, value in _OPTIONS.items())}
    )
    path, blob, bare = request["file"], Blob(), frozenset(request["bare"])
    names = [str(name) for name, _ in pyogrio.list_layers(path)]
    classes = [name for name in names if name not in _PRIMITIVES and name != "DSID"]
    if classes and set(classes) <= _WITHOUT_TABLES:
        raise RuntimeError("GDAL's own tables of S-57 classes are missing from this installation")
    head, doubt = _head_and_doubt(path, names)
    for kind, number, quality, accuracy in request.get("doubts", ()):
        # Which of two statements holds is not asked: the worse one counts.
        before = doubt.get((kind, number), (0, 0.0))
        doubt[kind, number] = (max(before[0], _doubtful(quality)), max(before[1], accuracy))
    tables = []
    read: set[str] = set()
    with contextlib.suppress(Exception):
        meta, _, wkb, columns = raw.read(_union(path, classes, _fields(request)))
        tables += _by_class(meta["fields"], columns, wkb, doubt, blob, bare)
        read = {table["name"] for table in tables}
    for name in classes:
        # A layer that the union lost, or all of them where it failed, is read by itself.
        if name not in read:
            wanted = [*request["numbers"], *request["texts"], *_LINKAGES]
            meta, _, wkb, columns = raw.read(path, layer=name, columns=wanted)
            tables += _by_class(meta["fields"], columns, wkb, doubt, blob, bare, name)
    return {"head": head, "tables": tables}, blob


def _fields(request: dict[str, Any]) -> dict[str, str]:
    """Types are stated, since GDAL makes text of a number that two classes define apart."""
    fields = dict.fromkeys(request["numbers"], "Real") | dict.fromkeys(request["texts"], "String")
    return fields | dict.fromkeys(_LINKAGES, "IntegerList") | {"PRIM": "Integer"}


def _union(path: str, names: Iterable[str], fields: dict[str, str]) -> str:
    """All layers as one, since GDAL opens a cell anew for every layer that is read by itself."""
    source = f"<SrcDataSource relativeToVRT='0' shared='1'>{escape(path)}</SrcDataSource>"
    kinds = "".join(f"<Field name='{name}' type='{kind}'/>" for name, kind in fields.items())
    layers = "".join(
        f"<OGRVRTLayer name='{escape(n)}'>{source}<SrcLayer>{escape(n)}</SrcLayer></OGRVRTLayer>"
        for n in names
    )
    return (
        f"<OGRVRTDataSource><OGRVRTUnionLayer name='all'>{layers}"
        f"{kinds}<GeometryType>wkbUnknown</GeometryType>"
        "<SourceLayerFieldName>cls</SourceLayerFieldName></OGRVRTUnionLayer></OGRVRTDataSource>"
    )


Doubt = dict[tuple[int, int], tuple[int, float]]


def _head_and_doubt(path: str, names: list[str]) -> tuple[dict[str, Any], Doubt]:
    """The data set's head by S-57 names, and (QUAPOS or 0, POSACC or 0) of every node and edge
    whose position is in doubt."""
    kept = [name for name in (*_PRIMITIVES, "DSID") if name in names]
    if not kept:
        return {}, {}
    numbers = ("RCNM", "RCID", "QUAPOS", "POSACC", *_HEAD_NUMBERS)
    fields = dict.fromkeys(numbers, "Real") | dict.fromkeys(_HEAD_TEXTS, "String")
    # The filter also makes GDAL count by reading: its own count of primitives is wrong.
    meta, _, _, columns = raw.read(
        _union(path, kept, fields),
        read_geometry=False,
        where="QUAPOS >= 2 OR POSACC > 0 OR cls = 'DSID'",
    )
    at = {field: column.tolist() for field, column in zip(meta["fields"], columns, strict=True)}
    head: dict[str, Any] = {}
    found: Doubt = {}
    for row, layer in enumerate(at["cls"]):
        if layer == "DSID":
            head = {name: plain(at[name][row]) for name in (*_HEAD_NUMBERS, *_HEAD_TEXTS)}
            continue
        quality, accuracy = plain(at["QUAPOS"][row]), plain(at["POSACC"][row])
        doubtful = _doubtful(quality or 0)
        if doubtful or accuracy:
            found[int(at["RCNM"][row]), int(at["RCID"][row])] = doubtful, float(accuracy or 0.0)
    return head, found


def _doubtful(quality: float) -> int:
    """A QUAPOS that puts a position in doubt, else 0."""
    return int(quality) if _DOUBTFUL[0] <= quality <= _DOUBTFUL[1] else 0


def _by_class(
    fields: Any,
    columns: list[Any],
    wkb: Any,
    doubt: Doubt,
    blob: Blob,
    bare: frozenset[str],
    name: str = "",
) -> list[dict[str, Any]]:
    at = {str(field): column for field, column in zip(fields, columns, strict=True)}
    rows = len(next(iter(at.values()))) if at else 0
    classes = np.full(rows, name, dtype=object) if name else at["cls"]
    reckoned = (*_positions(classes, at, rows, doubt), _links(at, rows))
    shown = [field for field in at if field not in _ASIDE]
    tables = []
    for cls in dict.fromkeys(classes):
        mine = classes == cls
        if cls in bare and not any(_stated(at[f][mine]) for f in _MATTERS if f in at):
            tables.append({"name": str(cls), "rows": int(mine.sum()), "columns": [], "bare": True})
            continue
        table = table_of(
            str(cls),
            [*shown, "_QUAPOS", "_QUAPOS_ALONE", "_POSACC", "_LINKS"],
            [*(at[f][mine] for f in shown), *(made[mine] for made in reckoned)],
            None if wkb is None else wkb[mine],
            int(mine.sum()),
            blob,
        )
        tables.append(table)
    return tables


def _stated(column: Any) -> bool:
    """Whether any of the values is there."""
    return any(one is not None and one == one for one in column.tolist())


def _links(at: dict[str, Any], rows: int) -> Any:
    """How many nodes or edges each object stands on; a point on more than one is a fault."""
    if "NAME_RCID" not in at:
        return np.full(rows, np.nan)
    return np.array([0 if one is None else len(one) for one in at["NAME_RCID"]], dtype=np.float64)


def _positions(classes: Any, at: dict[str, Any], rows: int, doubt: Doubt) -> tuple[Any, Any, Any]:
    """The worst QUAPOS of each object's nodes and edges; that of an area's edges on which no line
    of `_SHARED_EDGES` stands; and the worst POSACC. NaN where nothing is in doubt."""
    quality, left, accuracy = (np.full(rows, np.nan) for _ in range(3))
    if not doubt or "NAME_RCID" not in at:
        return quality, left, accuracy
    on_lines = {
        key
        for cls, prim, kinds, numbers in zip(
            classes, at["PRIM"], at["NAME_RCNM"], at["NAME_RCID"], strict=True
        )
        if prim == 2 and cls in _SHARED_EDGES and numbers is not None
        for key in zip(kinds.tolist(), numbers.tolist(), strict=True)
    }
    for row, (kinds, numbers, usage) in enumerate(
        zip(at["NAME_RCNM"], at["NAME_RCID"], at["USAG"], strict=True)
    ):
        if numbers is None:
            continue
        keys = zip(kinds.tolist(), numbers.tolist(), strict=True)
        # Usage 3 is the edge of the cell, where nothing ends in nature.
        mine = [k for k, use in zip(keys, usage.tolist(), strict=True) if use != 3 and k in doubt]
        if mine:
            quality[row] = max(doubt[key][0] for key in mine) or np.nan
            accuracy[row] = max(doubt[key][1] for key in mine) or np.nan
            left[row] = max((doubt[k][0] for k in mine if k not in on_lines), default=0) or np.nan
    return quality, left, accuracy
