"""Vertical datums: their names, and which of them are one and the same.

Codes: IHO S-57 edition 3.1, appendix A, attribute VERDAT; 30 and 44 from the S-101 feature
catalogue 2.1.0.
"""

from __future__ import annotations

UNKNOWN = "unknown"
"""A depth whose datum no one states. It can condemn, never clear."""
MSL = "MSL"
LAT = "LAT"

VERDAT = {
    1: "MLWS",
    2: "MLLWS",
    3: MSL,
    4: "lowest low water",
    5: "MLW",
    6: "LLWS",
    7: "approximate MLWS",
    8: "ISLW",
    9: "LWS",
    10: LAT,  # approximate LAT: counts as LAT
    11: "nearly lowest low water",
    12: "MLLW",
    13: "LW",
    14: "approximate MLW",
    15: "approximate MLLW",
    16: "MHW",
    17: "MHWS",
    18: "high water",
    19: "approximate MSL",
    20: "high water springs",
    21: "MHHW",
    22: "equinoctial spring low water",
    23: LAT,
    24: "local datum",
    25: "IGLD 1985",
    26: "mean water level",
    27: "LLWLT",
    28: "HHWLT",
    29: "nearly highest high water",
    30: "HAT",
    44: "Baltic Sea Chart Datum 2000",
}

CHART_DATUMS = frozenset(
    {
        LAT,
        "MLWS",
        "MLLWS",
        "lowest low water",
        "MLW",
        "LLWS",
        "approximate MLWS",
        "ISLW",
        "LWS",
        "nearly lowest low water",
        "MLLW",
        "LW",
        "approximate MLW",
        "approximate MLLW",
        "equinoctial spring low water",
        "local datum",
        "IGLD 1985",
        "LLWLT",
        "Baltic Sea Chart Datum 2000",
        "chart datum",
    }
)
"""Low-water datums, from which charted depths are measured: a depth on one of them can clear."""

_WITHOUT_TIDES = frozenset(
    {"local datum", "IGLD 1985", "Baltic Sea Chart Datum 2000", "chart datum"}
)
"""Levels that need not lie where the tides put them (of "chart datum" no one says what it is)."""
_HIGH_WATERS = frozenset(
    {
        "MHW",
        "MHWS",
        "MHHW",
        "high water",
        "high water springs",
        "HHWLT",
        "nearly highest high water",
        "HAT",
    }
)
_MEAN_OR_HIGHER = _HIGH_WATERS | {MSL, "approximate MSL", "mean water level"}

_ALIASES = {
    "approximate lat": LAT,
    "lowest astronomical tide": LAT,
    "mean lower low water": "MLLW",
    "mean low water": "MLW",
    "mean low water springs": "MLWS",
    "mean sea level": MSL,
    "mean level": MSL,
    "cd": "chart datum",
    "chart": "chart datum",
    "llwlt": "LLWLT",
    "bscd2000": "Baltic Sea Chart Datum 2000",
}
_BY_LOWER = (
    {name.lower(): name for name in VERDAT.values()}
    | _ALIASES
    | {
        "chart datum": "chart datum",
        "unknown": UNKNOWN,
        "navd88": "NAVD88",
        "nap": "NAP",
        "odn": "ODN",
    }
)


def datum_named(text: str) -> str:
    """The one spelling of a datum's name. Raises ValueError for a name that is not known."""
    found = _BY_LOWER.get(text.strip().lower())
    if found is None:
        raise ValueError(f"datum {text!r} is not known; use LAT, MLLW, MLWS, MSL, chart datum …")
    return found


def stands_below_tides(datum: str) -> bool:
    """Whether depths on this datum may clear a boat: it is a low-water datum."""
    return datum in CHART_DATUMS


def above_lat(datum: str) -> bool:
    """Whether the water may stand below this datum on predictable tides (any but LAT).

    So it may below LLWLT, a mean over the lowest low waters of 19 years (Canadian practice, from
    memory).
    """
    return datum not in (LAT, "lowest low water")


def is_low_water(datum: str) -> bool:
    """Whether the tides put this datum among their low waters: below their mean level."""
    return datum in CHART_DATUMS and datum not in _WITHOUT_TIDES


def is_high_water(datum: str) -> bool:
    """Whether this datum lies among the high waters."""
    return datum in _HIGH_WATERS


def surely_not_above(datum: str, other: str) -> bool:
    """Whether `datum` stands nowhere above `other`, wherever the two are related by no figure."""
    if not is_low_water(datum):
        return False
    return other in _MEAN_OR_HIGHER or (datum == LAT and is_low_water(other))
