"""Which quadrant a cardinal mark names that is charted without one, by its colours and top mark.

Source: IALA Recommendation R1001, cardinal marks (bands of black and yellow; two cones).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from routecheck.nav.buoyage import CARDINAL_COLOURS, a_cardinal, plain_colours
from routecheck.nav.markshapes import cones

_NOT_CARDINAL = ("cone", "ball", "two balls", "can", "diagonal cross", "upright cross")
"""Top marks of the other kinds: R1001, lateral, isolated danger, safe-water, special and
emergency wreck marks."""


class QuadrantLook(NamedTuple):
    """What a cardinal mark's look says of its quadrant."""

    named: str
    """"north" …, "" where the look does not tell."""
    by: str
    """What tells it: "its colours", "its top mark" or "its colours and top mark"; "" for none."""
    doubt: str
    """Why it is not told, "" where it is."""
    contradicts: bool = False
    """Colours and top mark do not fit each other, or a cardinal mark."""


def quadrant_from_look(colours: Sequence[str], top_mark: str) -> QuadrantLook:
    """The quadrant by colours (top to bottom) and top mark in words ("two cones, points up").

    >>> quadrant_from_look(["black", "yellow"], "")
    QuadrantLook(named='north', by='its colours', doubt='', contradicts=False)
    >>> quadrant_from_look(["yellow", "black"], "two cones, points up").named
    ''
    """
    shown = plain_colours(colours)
    banded = next((name for name, wanted in CARDINAL_COLOURS.items() if shown == wanted), "")
    topped = cones(top_mark)
    if shown and not banded:
        said = f"{', '.join(shown)} is not the colouring of a cardinal mark"
        return QuadrantLook("", "", said, contradicts=True)
    fitted = top_mark.strip().lower()
    if any(fitted == other or fitted.startswith(f"{other},") for other in _NOT_CARDINAL):
        return QuadrantLook("", "", f"{fitted} is no top mark of a cardinal mark", contradicts=True)
    if banded and topped and banded != topped:
        said = (
            f"{', '.join(shown)} are the colours of {a_cardinal(banded)}, its cones are the top "
            f"mark of {a_cardinal(topped)}"
        )
        return QuadrantLook("", "", said, contradicts=True)
    if not banded and not topped:
        said = "neither its quadrant nor colours or a top mark that tell it are stated"
        return QuadrantLook("", "", said)
    by = " and ".join(name for name, told in (("colours", banded), ("top mark", topped)) if told)
    return QuadrantLook(banded or topped, f"its {by}", "")
