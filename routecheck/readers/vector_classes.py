"""Which class a layer or row of a vector file is of."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from routecheck.readers.chart_sidecar import LayerSidecar
from routecheck.readers.charted_areas import AREAS
from routecheck.readers.features import READERS
from routecheck.readers.s57_classes import HARMLESS, WHY_UNKNOWN
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


def class_columns(fields: Iterable[str], sidecars: Sequence[LayerSidecar]) -> tuple[str, ...]:
    """The columns that state the class of each row: the one that a sidecar names, else all that
    are called so."""
    for sidecar in sidecars:
        if "class" in sidecar.columns:
            return (sidecar.columns["class"],)
    by_name = {name: [f for f in fields if f.lower() == name] for name in CLASS_COLUMNS}
    return tuple(field for name in CLASS_COLUMNS for field in by_name[name])
