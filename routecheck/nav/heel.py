"""Heel: what it does to the draught. Metres and degrees.

Box section: the bilge goes down by half the beam times the sine of the heel (naval architecture
texts, draught due to list). A deep fin keel comes up instead, with the cosine (common practice).
"""

from __future__ import annotations

import math


def box_draught_m(
    *, beam_m: float, draught_m: float, heel_deg: float, rise_of_floor_m: float = 0.0
) -> float:
    """Draught of a flat-bottomed hull heeled: B/2 . sin + (d - rise of floor) . cos.

    >>> round(box_draught_m(beam_m=12.0, draught_m=6.7, heel_deg=18.0), 3)
    8.226
    """
    angle = math.radians(abs(heel_deg))
    return beam_m / 2.0 * math.sin(angle) + (draught_m - rise_of_floor_m) * math.cos(angle)


def deepest_box_draught_m(*, beam_m: float, draught_m: float, heel_deg: float) -> float:
    """The largest `box_draught_m` at any angle from upright to the heel given.

    It grows up to the angle with the tangent B / 2d, and falls beyond.

    >>> round(deepest_box_draught_m(beam_m=3.0, draught_m=1.5, heel_deg=60.0), 3)  # at 45 degrees
    2.121
    """
    turning_deg = math.degrees(math.atan2(beam_m / 2.0, draught_m))
    heel_deg = min(abs(heel_deg), turning_deg)
    return box_draught_m(beam_m=beam_m, draught_m=draught_m, heel_deg=heel_deg)


def simple_heel_increase_m(*, beam_m: float, heel_deg: float) -> float:
    """The common quick rule for a flat bottom: B/2 . sin, the cosine left out."""
    return beam_m / 2.0 * math.sin(math.radians(abs(heel_deg)))


def fin_keel_draught_m(*, draught_m: float, heel_deg: float) -> float:
    """Draught of a deep fin keel heeled: d . cos, less than upright.

    >>> round(fin_keel_draught_m(draught_m=2.0, heel_deg=20.0), 2)
    1.88
    """
    return draught_m * math.cos(math.radians(heel_deg))
