"""Which class a layer or row of a vector file is of, and which of its columns says what."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.readers.chart_sidecar import LayerSidecar
from routecheck.readers.charted_areas import AREAS
from routecheck.readers.features import READERS
from routecheck.readers.s57_classes import HARMLESS, NUMBERS, TEXTS, WHY_UNKNOWN
from routecheck.readers.strict import cleaned

CLASS_COLUMNS = ("class", "cls", "objl_acronym", "acronym", "object_class", "objectclass")
_WORDS = {
    "depth area": "DEPARE",
    "dredged area": "DRGARE",
    "contour": "DEPCNT",
    "depth contour": "DEPCNT",
    "isobath": "DEPCNT",
    "sounding": "SOUNDG",
    "spot sounding": "SOUNDG",
    "unsurveyed": "UNSARE",
    "unsurveyed area": "UNSARE",
    "land": "LNDARE",
    "land area": "LNDARE",
    "island": "LNDARE",
    "coastline": "COALNE",
    "coast line": "COALNE",
    "shoreline": "COALNE",
    "rock": "UWTROC",
    "underwater rock": "UWTROC",
    "wreck": "WRECKS",
    "obstruction": "OBSTRN",
    "shoreline construction": "SLCONS",
    "pier": "SLCONS",
    "pile": "PILPNT",
    "pontoon": "PONTON",
    "marine farm": "MARCUL",
    "fishing facility": "FSHFAC",
    "bridge": "BRIDGE",
    "overhead cable": "CBLOHD",
    "mark": "mark",
    "navigation mark": "mark",
    "buoy": "mark",
    "beacon": "mark",
    "coverage": "M_COVR",
    "quality": "M_QUAL",
    "zone of buoyage": "M_NSYS",
    "buoyage zone": "M_NSYS",
    "direction of buoyage": "M_NSYS",
    **{kind.value: cls for cls, kind in AREAS.items()},
    "prohibited area": "RESARE",
    "anchorage": "ACHARE",
    "traffic separation lane": "TSSLPT",
    "separation zone": "TSEZNE",
    "ferry": "FERYRT",
    "lock": "LOKBSN",
    "gate": "GATCON",
    "tunnel": "TUNNEL",
    "recommended track": "RECTRC",
    "fairway": "FAIRWY",
}
_OTHERS = ("DISMAR", "M_CSCL")
_ACRONYMS = {name.upper(): name for name in (*READERS, *HARMLESS, *WHY_UNKNOWN, *_OTHERS)}
_ACRONYM = re.compile(r"[A-Z$][A-Z0-9_]{3,9}")

_DEPTH_OF = {"DEPARE": "DRVAL1", "DRGARE": "DRVAL1", "DEPCNT": "VALDCO"}
"""Where the one depth of a class stands; with all other classes it is VALSOU."""
_MEANT = {
    "depth_max": "DRVAL2",
    "name": "OBJNAM",
    "kind": "_KIND",
    "colours": "COLOUR",
    "colors": "COLOUR",
    "top_mark": "_TOP_MARK",
    "light": "_LIGHT",
    "direction_of_buoyage_deg": "ORIENT",
    "region": "_REGION",
    "clearance": "VERCLR",
    "restrictions": "RESTRN",
}
_PLAIN = {name.lower(): name for name in (*NUMBERS, *TEXTS, "QUAPOS", "POSACC", "LNAM", "DEPTH")}
_NEEDS = {"DEPARE": "DRVAL1", "DRGARE": "DRVAL1", "DEPCNT": "VALDCO"}


def class_named(text: object) -> str:
    """The class that a layer's name or a word stands for, "" where it stands for none.

    >>> class_named("Depth areas"), class_named("depare"), class_named("streets")
    ('DEPARE', 'DEPARE', '')
    """
    if not isinstance(text, str) or len(text) > 100:
        return ""
    known = _ACRONYMS.get(text.strip().upper())
    if known:
        return known
    words = " ".join(re.split(r"[\s_\-]+", text.strip().lower()))
    for one in (words, words.removesuffix("s"), re.sub(r"ies$", "y", words)):
        if one in _WORDS:
            return _WORDS[one]
    plural = re.sub(r"s( of )", r"\1", words)
    return _WORDS.get(plural, "")


def class_stated(value: object) -> str:
    """The class in a column: one that is known, or an acronym that is not; "" for other text."""
    known = class_named(value)
    if known or not isinstance(value, str):
        return known
    text = cleaned(value, longest=40)
    return text.upper() if _ACRONYM.fullmatch(text.upper()) else text


def class_column(fields: Iterable[str], sidecars: Sequence[LayerSidecar]) -> str:
    """The column that states the class of each row, "" where there is none."""
    for sidecar in sidecars:
        if "class" in sidecar.columns:
            return sidecar.columns["class"]
    lower = {field.lower(): field for field in fields}
    return next((lower[name] for name in CLASS_COLUMNS if name in lower), "")


def columns_of(
    cls: str,
    fields: Sequence[str],
    sidecars: Sequence[LayerSidecar],
    *,
    file: str,
    layer: str,
) -> dict[str, str]:
    """The file's column by S-57 attribute, for one class. Sidecars come before the file's own
    names, the first sidecar first. Raises BadInput for a column that is not there, and for a
    class whose depths stand in no column at all.
    """
    found: dict[str, str] = {}
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
            found.setdefault(_attribute(cls, word), column)
    for field in fields:
        lower = field.lower()
        if lower in _PLAIN:
            found.setdefault(_PLAIN[lower], field)
    for field in fields:
        if field.lower() in _MEANT or (field.lower() == "depth" and cls != "SOUNDG"):
            found.setdefault(_attribute(cls, field.lower()), field)
    needed = _NEEDS.get(cls)
    if needed and needed not in found:
        raise BadInput(
            file=file,
            where=f"layer {layer}",
            wrong=f"its {cls} have no column {needed}",
            do='name the column in its sidecar: columns = { depth = "…" }',
        )
    return found


def _attribute(cls: str, word: str) -> str:
    if word == "depth":
        return _DEPTH_OF.get(cls, "VALSOU")
    return _MEANT.get(word, word)


def values_of(
    row: int, columns: Mapping[str, str], table: Mapping[str, list[Any]]
) -> dict[str, Any]:
    """What is not blank in one row, by S-57 attribute."""
    found: dict[str, Any] = {}
    for attribute, column in columns.items():
        held = table.get(column)
        value = None if held is None else held[row]
        if value is not None and value != "":
            found[attribute] = value
    region = str(found.pop("_REGION", "")).strip().upper()
    if region in ("A", "B"):
        found.setdefault("MARSYS", 1.0 if region == "A" else 2.0)
    return found
