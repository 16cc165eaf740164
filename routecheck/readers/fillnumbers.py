"""Numbers in tables of charted objects that stand for "no value" and would pass for deep water or
much room overhead.

Common practice, as for grids (`gridvalues.FILLS`). Those that are honest depths (0, 99, 255, 999)
are not among them; 9999 m is found in trenches only, where unknown is the safe reading. Of
clearances overhead 999 and more is none: the highest spans over navigable water hang at a few
hundred metres (from memory), and 999 ft is more than most of them. A fill that condemns, such as
-9999 for a depth, is left to condemn.
"""

from __future__ import annotations

from routecheck.readers.gridvalues import FILLS

_FILLS = frozenset({abs(fill) for fill in FILLS} | {9999.9, 9999.99, 99999.9})
_OVERHEAD = frozenset({"VERCLR", "VERCCL", "VERCOP", "VERCSA"})
_NO_CLEARANCE = 999.0
_UNCERTAINTY = "SOUACC"
"""Here a large figure is the safe one."""


def is_fill(attribute: str, number: float, unit_m: float) -> bool:
    """Whether a number under an attribute of S-57 stands for none. `unit_m`: metres of one unit,
    below zero where depths are given as heights."""
    if attribute == _UNCERTAINTY or number * unit_m <= 0.0:
        return False
    if attribute in _OVERHEAD and number >= _NO_CLEARANCE:
        return True
    return round(abs(number), 2) in _FILLS
