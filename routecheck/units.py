"""Exact constants, and the lengths, speeds and times that people type.

Every constant carries its source. Text is turned into numbers here and nowhere
else; a number without a unit is refused, because 6 could be feet or metres.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

METRES_PER_NMI = 1852.0
"""International nautical mile: BIPM, The International System of Units, 8th ed., Table 8."""
METRES_PER_FOOT = 0.3048
"""International foot: agreement of 1959, NIST SP 811 (2008), Appendix B.8."""
METRES_PER_US_SURVEY_FOOT = 1200.0 / 3937.0
"""U.S. survey foot: NIST SP 811 (2008), Appendix B.6."""
METRES_PER_FATHOM = 1.8288
"""Six international feet: NIST SP 811 (2008), Appendix B.8."""
METRES_PER_CABLE = METRES_PER_NMI / 10.0
"""A tenth of a nautical mile (common practice)."""
MPS_PER_KNOT = METRES_PER_NMI / 3600.0
"""One nautical mile an hour: BIPM, The International System of Units, 8th ed., Table 8."""

_LENGTHS_M = {
    "m": 1.0,
    "metre": 1.0,
    "metres": 1.0,
    "meter": 1.0,
    "meters": 1.0,
    "cm": 0.01,
    "dm": 0.1,
    "mm": 0.001,
    "km": 1000.0,
    "ft": METRES_PER_FOOT,
    "foot": METRES_PER_FOOT,
    "feet": METRES_PER_FOOT,
    "'": METRES_PER_FOOT,
    "in": METRES_PER_FOOT / 12.0,
    "inch": METRES_PER_FOOT / 12.0,
    "inches": METRES_PER_FOOT / 12.0,
    '"': METRES_PER_FOOT / 12.0,
    "fm": METRES_PER_FATHOM,
    "fathom": METRES_PER_FATHOM,
    "fathoms": METRES_PER_FATHOM,
    "nmi": METRES_PER_NMI,
    "cable": METRES_PER_CABLE,
    "cables": METRES_PER_CABLE,
}
_SPEEDS_KN = {
    "kn": 1.0,
    "kt": 1.0,
    "knot": 1.0,
    "knots": 1.0,
    "m/s": 1.0 / MPS_PER_KNOT,
    "km/h": 1000.0 / METRES_PER_NMI,
}
_TIMES_S = {
    "s": 1.0,
    "sec": 1.0,
    "min": 60.0,
    "minute": 60.0,
    "minutes": 60.0,
    "h": 3600.0,
    "hour": 3600.0,
    "hours": 3600.0,
    "d": 86400.0,
    "day": 86400.0,
    "days": 86400.0,
}
_PART = re.compile(
    r"\s*([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*([^\d\s.+-][^\d\s+-]*)?"
)
_LONGEST_TEXT = 60


def _total(
    text: object, table: dict[str, float], what: str, example: str, kind: str = "length"
) -> float:
    if not isinstance(text, str):
        raise ValueError(f"{what} {text!r} has no unit; write it as text, such as {example}")
    if len(text) > _LONGEST_TEXT:
        raise ValueError(f"{what} is {len(text)} characters long; write it like {example}")
    at, total, parts = 0, 0.0, 0
    stripped = text.rstrip()
    while at < len(stripped):
        found = _PART.match(stripped, at)
        if found is None:
            raise ValueError(f"{what} {text!r} cannot be read; write it like {example}")
        number, unit = float(found.group(1)), found.group(2)
        if unit is None:
            raise ValueError(f"{what} {text!r} has no unit; write it like {example}")
        if unit == "M" and kind == "length":
            raise ValueError(f"{what} {text!r}: M may be metres or nautical miles; write m or nmi")
        scale = table.get(unit) or table.get(unit.lower())
        if scale is None:
            raise ValueError(f"{what} {text!r} is in {unit!r}, which is no unit of {kind}")
        if parts and number < 0.0:
            raise ValueError(f"{what} {text!r} has a minus sign in the middle")
        total += math.copysign(1.0, total if parts else 1.0) * number * scale
        at, parts = found.end(), parts + 1
    if not parts:
        raise ValueError(f"{what} is empty; write it like {example}")
    if not math.isfinite(total):
        raise ValueError(f"{what} {text!r} is not a finite number")
    return total


def length_m(text: object, *, what: str = "length") -> float:
    """Metres from text such as ``"1.9 m"``, ``"6 ft 3 in"`` or ``"0.1 nmi"``.

    Raises ValueError, in words for the person who typed it, when the unit is missing or
    is not a length.

    >>> length_m("1.9 m")
    1.9
    >>> round(length_m("6 ft 3 in"), 4)
    1.905
    """
    return _total(text, _LENGTHS_M, what, '"1.9 m" or "6 ft 3 in"')


def speed_kn(text: object, *, what: str = "speed") -> float:
    """Knots from text such as ``"5.5 kn"``. Raises ValueError as `length_m` does.

    >>> speed_kn("5.5 kn")
    5.5
    """
    return _total(text, _SPEEDS_KN, what, '"5.5 kn"', "speed")


def duration_s(text: object, *, what: str = "time") -> float:
    """Seconds from text such as ``"30 min"`` or ``"1 h 30 min"``. Raises ValueError.

    >>> duration_s("1 h 30 min")
    5400.0
    """
    return _total(text, _TIMES_S, what, '"30 min"', "time")


def percent_of(text: str) -> float | None:
    """The share in text such as ``"20 % of draught"`` or ``"1 %"``, else None.

    >>> percent_of("20 % of draught")
    0.2
    """
    found = re.fullmatch(
        r"\s*([0-9]{1,9}(?:\.[0-9]{1,9})?)\s*%(?:\s+of\s+(?:the\s+)?\w+)?\s*", text
    )
    return float(found.group(1)) / 100.0 if found else None


def share_and_length(text: object, *, what: str = "uncertainty") -> tuple[float, float]:
    """(metres, share of the depth) from text such as ``"0.5 m + 1 %"``. Raises ValueError.

    >>> share_and_length("0.5 m + 1 %")
    (0.5, 0.01)
    """
    if not isinstance(text, str):
        raise ValueError(f'{what} {text!r} has no unit; write it like "0.5 m + 1 %"')
    fixed_m, share = 0.0, 0.0
    for part in text.split("+"):
        found = percent_of(part)
        if found is None:
            fixed_m += length_m(part, what=what)
        else:
            share += found
    if fixed_m < 0.0 or share < 0.0:
        raise ValueError(f"{what} {text!r} is negative")
    if not math.isfinite(fixed_m + share):
        raise ValueError(f"{what} {text!r} is not a finite number")
    return fixed_m, share


def metres_down(value_m: float) -> str:
    """Metres in words, to a tenth where that is exact, else two decimals rounded down.

    For what the boat has: a depth, a margin. Rounding goes against the boat.

    >>> metres_down(5.4), metres_down(2.966), metres_down(-0.034)
    ('5.4 m', '2.96 m', '-0.04 m')
    """
    return _metres(value_m, math.floor)


def metres_up(value_m: float) -> str:
    """Metres in words, rounded up where a tenth is not exact: for what the boat lacks or needs.

    >>> metres_up(0.034), metres_up(3.0)
    ('0.04 m', '3.0 m')
    """
    return _metres(value_m, math.ceil)


def _metres(value_m: float, rounded: Callable[[float], int]) -> str:
    if abs(value_m * 10.0 - round(value_m * 10.0)) < 1e-6:
        return f"{round(value_m, 1) + 0.0:.1f} m"
    # A hair of binary rounding is not a hundredth.
    near = round(value_m * 100.0)
    hundredths = near if abs(value_m * 100.0 - near) < 1e-6 else rounded(value_m * 100.0)
    return f"{hundredths / 100.0:.2f} m"
