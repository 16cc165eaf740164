"""Which column of a vector file says what, and what a row says by all that say the same."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from routecheck.model.errors import BadInput
from routecheck.readers.chart_sidecar import LayerSidecar
from routecheck.readers.doubled import DOUBTS, Doubt, Said, one_of
from routecheck.readers.ogr import Table
from routecheck.readers.s57_classes import NUMBERS, TEXTS
from routecheck.readers.strict import cleaned
from routecheck.readers.vector_classes import class_columns, class_named

_DEPTH_OF = {
    **dict.fromkeys(("DEPARE", "DRGARE", "PIPSOL", "CBLSUB", "GATCON"), "DRVAL1"),
    **dict.fromkeys(("LOKBSN", "PIPARE", "CBLARE", "FAIRWY", "SWPARE", "RECTRC"), "DRVAL1"),
    **dict.fromkeys(("RCRTCL", "DWRTPT", "DWRTCL", "TWRTPT", "BERTHS"), "DRVAL1"),
    "DEPCNT": "VALDCO",
}
"""Where the one depth of a class stands; with all other classes it is VALSOU."""
_DEPTHS = ("depth", "depth_min", "min_depth")
_MEANT = {
    "depth_max": "DRVAL2",
    "name": "OBJNAM",
    "kind": "_KIND",
    "colours": "COLOUR",
    "colors": "COLOUR",
    "top_mark": "_TOP_MARK",
    "light": "_LIGHT",
    "direction_of_buoyage_deg": "ORIENT",
    "region": "MARSYS",
    "clearance": "VERCLR",
    "restrictions": "RESTRN",
}
_PLAIN = {name.lower(): name for name in (*NUMBERS, *TEXTS, "QUAPOS", "POSACC", "LNAM")}
_NEEDS = {"DEPARE": "DRVAL1", "DRGARE": "DRVAL1", "DEPCNT": "VALDCO"}


class Column(NamedTuple):
    """A column that may state an attribute. `metres`: its own name says that it holds metres."""

    name: str
    metres: bool


def columns_of(
    cls: str,
    fields: Sequence[str],
    sidecars: Sequence[LayerSidecar],
    *,
    file: str,
    layer: str,
    words: bool = True,
) -> dict[str, tuple[Column, ...]]:
    """The file's columns by S-57 attribute, for one class: of one attribute the one that a sidecar
    names first, then those called by S-57's name, then those called by a word of ours. Of two
    sidecars the first counts. Raises BadInput for a column that is not there, and for a class
    whose depths stand in no column at all. `words` False: S-57's own names only, as they
    are written; tables of tags use other words for other things.
    """
    named: dict[str, str] = {}
    for sidecar in sidecars:
        for word, column in sidecar.columns.items():
            if column not in fields:
                have = ", ".join(cleaned(field, longest=30) for field in fields[:20])
                raise BadInput(
                    file=file,
                    where=f"layer {layer}",
                    wrong=f"it has no column {column!r}, which its sidecar names",
                    do=f"it has {have or 'no column at all'}",
                )
            named.setdefault(_attribute(cls, word), column)
    plain = [
        (_PLAIN[field.lower()], field)
        for field in fields
        if field.lower() in _PLAIN and (words or field.isupper())
    ]
    ours = [name for name in fields if words and name.lower() in (*_MEANT, *_DEPTHS)]
    found: dict[str, dict[str, Column]] = {}
    for attribute, name in [
        *named.items(),
        *plain,
        *((_attribute(cls, field.lower()), field) for field in ours),
    ]:
        # GDAL calls the depth of a sounding DEPTH, in metres.
        metres = name.upper() == attribute or (cls == "SOUNDG" and name == "DEPTH")
        found.setdefault(attribute, {}).setdefault(name, Column(name, metres))
    needed = _NEEDS.get(cls)
    if words and needed and needed not in found:
        raise BadInput(
            file=file,
            where=f"layer {layer}",
            wrong=f"its {cls} have no column {needed}",
            do='name the column in its sidecar: columns = { depth = "…" }',
        )
    return {attribute: tuple(columns.values()) for attribute, columns in found.items()}


def _attribute(cls: str, word: str) -> str:
    if word in _DEPTHS:
        return _DEPTH_OF.get(cls, "VALSOU")
    return _MEANT.get(word, word)


def values_of(
    row: int,
    columns: Mapping[str, tuple[Column, ...]],
    table: Mapping[str, list[Any]],
    *,
    unit_m: float = 1.0,
    unit_stated: bool = True,
) -> dict[str, Any]:
    """What is not blank in one row, by S-57 attribute, and `DOUBTS` where columns contradict each
    other. `unit_m`: metres of one unit of depth, below zero where depths are heights;
    `unit_stated` False where nothing but the columns' names tells the unit."""
    found: dict[str, Any] = {}
    doubts: list[Doubt] = []
    for attribute, candidates in columns.items():
        said = [
            Said(column=column.name, value=value, metres=column.metres or unit_stated)
            for column in candidates
            if (value := stated(table, column.name, row, attribute)) is not None
        ]
        if len(said) == 1 and said[0].metres:
            found[attribute] = said[0].value
        elif said:
            value, wrong = one_of(attribute, said, unit_m=unit_m)
            doubts += wrong
            if value is not None:
                found[attribute] = value
    if doubts:
        found[DOUBTS] = tuple(doubts)
    return found


def stated(table: Mapping[str, list[Any]], column: str, row: int, attribute: str = "") -> Any:
    """What a column says in a row, None for nothing."""
    held = table.get(column)
    value = None if held is None else held[row]
    if attribute == "MARSYS" and isinstance(value, str):
        return {"A": 1.0, "B": 2.0}.get(value.strip().upper(), value if _is_code(value) else None)
    return None if isinstance(value, str) and not value else value


def _is_code(value: str) -> bool:
    return value.strip().isdigit()


Own = Callable[[int, str], dict[str, dict[str, Any]]]


def own_of(
    table: Table,
    sidecars: Sequence[LayerSidecar],
    *,
    file: str,
    unit_m: float,
    unit_stated: bool,
) -> Own:
    """Reads what a row with seamark tags says in columns of S-57 besides: values by class, given
    the row and the class of its tags, "" where they say none. `unit_m` and `unit_stated` as for
    `values_of`; raises BadInput as `columns_of`."""
    layer = cleaned(table.name, longest=60)
    given = next((class_named(one.cls) for one in sidecars if one.cls), "")
    names = class_columns(table.fields, sidecars)

    @lru_cache(maxsize=200)
    def columns(cls: str, words: bool) -> dict[str, tuple[Column, ...]]:
        return columns_of(cls, table.fields, sidecars, file=file, layer=layer, words=words)

    def own(row: int, tagged: str) -> dict[str, dict[str, Any]]:
        says = {class_named(stated(table.columns, name, row)) for name in names} - {""}
        classes = says or ({given} if given else set())
        if not classes and not tagged:
            classes = {class_named(table.name)} - {""}
        found = {}
        for cls in sorted(classes | ({tagged} if tagged else set())):
            found_of = columns(cls, cls in classes)
            values = values_of(row, found_of, table.columns, unit_m=unit_m, unit_stated=unit_stated)
            values.pop("LNAM", None)
            if cls in classes or values:
                found[cls] = values
        return found

    return own
