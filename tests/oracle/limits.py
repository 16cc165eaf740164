"""What lies where a better chart hides it, but may stand where that one ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from tests.oracle import sums
from tests.oracle.corridor import Corridor, Part
from tests.oracle.plane import Floats, inside
from tests.oracle.sources import Sources

_TURNS = np.radians(np.arange(0.0, 360.0, 10.0))
_ROUND = np.vstack(
    [share * np.column_stack([np.sin(_TURNS), np.cos(_TURNS)]) for share in (0.25, 0.5, 0.75, 1.0)]
)
"""Places in a circle of radius 1."""


def beside_a_limit(
    sources: Sources, corridor: Corridor, chart: dict[str, Any], one: dict[str, Any], at: Floats
) -> Iterator[Part]:
    """The parts of the corridor, of one leg each, in which a danger may stand by the uncertainty of
    its position, although a better chart hides its place `at`, (1, 2): places round it are tried,
    and only those count that no better chart hides for sure."""
    if not sources.perhaps_hidden(chart, at)[0]:
        return
    qualities = sources.qualities(chart, at[0])
    near = min(sums.belt_m(chart, q, one["depth_m"]) for q in qualities)
    free = sources.free(chart, at + (max(near, one.get("accuracy_m") or 0.0) - 0.1) * _ROUND)
    for part in corridor.parts:
        if len(part.legs) == 1 and inside(free, part.ring).any():
            yield part
