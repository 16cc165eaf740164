"""What a regulation forbids in an area: the codes of RESTRN, and which of them concern passing.

Codes 1 to 15: IHO S-57 edition 3.1, appendix A, attribute 131; 16 to 27, 39 and 42: S-57 edition
3.1 supplement and S-101 feature catalogue 2.1.0, attribute restriction.
"""

from __future__ import annotations

from collections.abc import Iterable

UNREAD = 0
"""Stands for a restriction that is stated and cannot be read."""
ENTRY_PROHIBITED = 7
ENTRY_RESTRICTED = 8
NO_WAKE = 13
TO_BE_AVOIDED = 14
STOPPING_PROHIBITED = 25
SPEED_RESTRICTED = 27
POWER_DRIVEN_PROHIBITED = 42

WORDS = {
    UNREAD: "a restriction that cannot be read",
    1: "anchoring prohibited",
    2: "anchoring restricted",
    3: "fishing prohibited",
    4: "fishing restricted",
    5: "trawling prohibited",
    6: "trawling restricted",
    7: "entry prohibited",
    8: "entry restricted",
    9: "dredging prohibited",
    10: "dredging restricted",
    11: "diving prohibited",
    12: "diving restricted",
    13: "no wake",
    14: "area to be avoided",
    15: "construction prohibited",
    16: "discharging prohibited",
    17: "discharging restricted",
    18: "exploration prohibited",
    19: "exploration restricted",
    20: "drilling prohibited",
    21: "drilling restricted",
    22: "removal of historical artefacts prohibited",
    23: "cargo transhipment (lightering) prohibited",
    24: "dragging prohibited",
    25: "stopping prohibited",
    26: "landing prohibited",
    27: "speed restricted",
    39: "swimming prohibited",
    42: "power-driven vessels prohibited",
}
NOT_FOR_PASSING = frozenset({*range(1, 7), *range(9, 13), *range(15, 25), 26, 39})
"""Concern a boat that anchors, fishes, dives, builds, discharges or lands, not one that passes."""
UNDER_WAY = frozenset({NO_WAKE, STOPPING_PROHIBITED, SPEED_RESTRICTED})
"""Bind a boat that passes, without barring her way."""
ENTRY = frozenset({ENTRY_PROHIBITED, ENTRY_RESTRICTED, POWER_DRIVEN_PROHIBITED})
HARMLESS = NOT_FOR_PASSING | UNDER_WAY
"""What a boat may pass with; any other code, known or not, wants looking at."""


def words(codes: Iterable[int]) -> str:
    """Restrictions in words, "" for none.

    >>> words((1, 27, 99))
    'anchoring prohibited, speed restricted, restriction 99'
    """
    return ", ".join(WORDS.get(code, f"restriction {code}") for code in codes)


def bars(codes: Iterable[int]) -> bool:
    """Whether anything in a list of restrictions may bar or turn away a boat that passes.

    >>> bars((1, 27)), bars((1, 14)), bars((99,)), bars(())
    (False, True, True, False)
    """
    return not set(codes) <= HARMLESS
