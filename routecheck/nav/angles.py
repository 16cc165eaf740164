"""Angles in degrees, kept in the ranges that navigators use."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def wrap180_deg(angle_deg: ArrayLike) -> Floats:
    """The same angle in [-180, 180). Any shape.

    >>> wrap180_deg([190.0, -190.0, 180.0]).tolist()
    [-170.0, 170.0, -180.0]
    """
    wrapped = np.asarray((np.asarray(angle_deg, dtype=float) + 180.0) % 360.0 - 180.0)
    return np.where(wrapped >= 180.0, -180.0, wrapped)  # the remainder may round up to 360


def wrap360_deg(angle_deg: ArrayLike) -> Floats:
    """The same angle in [0, 360). Any shape.

    >>> wrap360_deg([-10.0, 370.0]).tolist()
    [350.0, 10.0]
    """
    wrapped = np.asarray(np.asarray(angle_deg, dtype=float) % 360.0)
    return np.where(wrapped >= 360.0, 0.0, wrapped)


def turn_deg(from_course_deg: float, to_course_deg: float) -> float:
    """The turn from one course to the next, starboard positive, in [-180, 180).

    >>> turn_deg(350.0, 10.0)
    20.0
    """
    return float(wrap180_deg(to_course_deg - from_course_deg))
