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


def simple_heel_increase_m(*, beam_m: float, heel_deg: float) -> float:
    """The common quick rule for a flat bottom: B/2 . sin, the cosine left out."""
    return beam_m / 2.0 * math.sin(math.radians(abs(heel_deg)))


def fin_keel_draught_m(*, draught_m: float, heel_deg: float) -> float:
    """Draught of a deep fin keel heeled: d . cos, less than upright.

    >>> round(fin_keel_draught_m(draught_m=2.0, heel_deg=20.0), 2)
    1.88
    """
    return draught_m * math.cos(math.radians(abs(heel_deg)))
