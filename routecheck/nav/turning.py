"""Turns made along an arc of a given radius."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def radius_that_fits_m(radius_m: float, turn_deg: float, lengths_m: Sequence[float]) -> float:
    """The radius of a turn, or the smaller one whose arc still touches all its legs, metres.

    An arc of radius r touches the legs r tan(turn / 2) from the waypoint, which cannot lie beyond
    their far ends. Straight back that is huge, and the radius next to nothing: no limit of ours is
    needed.

    >>> radius_that_fits_m(300.0, 90.0, [1000.0, 200.0]), radius_that_fits_m(300.0, 0.0, [9.0])
    (200.00000000000003, 300.0)
    """
    half_tan = float(np.tan(np.radians(abs(turn_deg)) / 2.0))
    return min(radius_m, min(lengths_m) / half_tan) if half_tan > 0.0 else radius_m
