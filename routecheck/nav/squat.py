"""Squat: how much deeper a moving hull lies. Metres and knots.

C. B. Barrass, Ship Squat (1979 and later), as its formulae and worked examples are quoted in
public course texts; International Commission for the Reception of Large Ships (ICORELS, 1980).
They were fitted to ships with block coefficients from 0.5 to 0.9: for a small craft the result is
an allowance, no more.
"""

from __future__ import annotations

import math

from routecheck.units import MPS_PER_KNOT

GRAVITY_MPS2 = 9.80665
"""Standard acceleration of gravity: BIPM, The International System of Units, 8th ed."""


def blockage_share(*, beam_m: float, draught_m: float, depth_m: float, width_m: float) -> float:
    """Cross-section of the hull over that of the channel, `width_m` wide. Raises ValueError where
    the hull does not fit.

    >>> round(blockage_share(beam_m=32.26, draught_m=11.9, depth_m=14.0, width_m=200.0), 6)
    0.137105
    """
    share = beam_m * draught_m / (depth_m * width_m)
    if not 0.0 < share < 1.0 or width_m <= beam_m:
        raise ValueError(f"a hull {beam_m} m wide does not fit a channel {width_m} m wide")
    return share


def width_of_influence_m(*, beam_m: float, waterplane_coefficient_share: float) -> float:
    """The width of open water that counts as the channel: 7.7 + 45 (1 - Cw)^2 beams (Barrass).

    >>> round(width_of_influence_m(beam_m=1.0, waterplane_coefficient_share=0.9057), 4)
    8.1002
    """
    return beam_m * (7.7 + 45.0 * (1.0 - waterplane_coefficient_share) ** 2)


def barrass_squat_m(*, block_share: float, blockage_share: float, speed_kn: float) -> float:
    """Barrass's general formula: Cb / 30 . S2^(2/3) . V^2.08, with S2 = S / (1 - S)."""
    behind = blockage_share / (1.0 - blockage_share)
    return float(block_share / 30.0 * behind ** (2.0 / 3.0) * speed_kn**2.08)


def barrass_newer_squat_m(*, block_share: float, blockage_share: float, speed_kn: float) -> float:
    """Barrass's newer formula: Cb . S^0.81 . V^2.08 / 20 (from memory)."""
    return float(block_share * blockage_share**0.81 * speed_kn**2.08 / 20.0)


def simple_open_squat_m(*, block_share: float, speed_kn: float) -> float:
    """Barrass, simplified, open water with depth 1.1 to 1.4 draughts: Cb . V^2 / 100.

    >>> round(simple_open_squat_m(block_share=0.9, speed_kn=8.0), 3)
    0.576
    """
    return block_share * speed_kn**2 / 100.0


def simple_confined_squat_m(*, block_share: float, speed_kn: float) -> float:
    """Barrass, simplified, confined water with a blockage of 0.100 to 0.265: Cb . V^2 / 50."""
    return block_share * speed_kn**2 / 50.0


def icorels_bow_squat_m(
    *, displacement_m3: float, length_m: float, depth_m: float, speed_kn: float
) -> float:
    """ICORELS: 2.4 . (displaced volume / L^2) . F^2 / sqrt(1 - F^2), F the depth Froude number
    (from memory). Raises ValueError at or above the critical speed, where it means nothing."""
    froude = speed_kn * MPS_PER_KNOT / math.sqrt(GRAVITY_MPS2 * depth_m)
    if froude >= 1.0:
        raise ValueError(f"{speed_kn} kn is at or above the critical speed in {depth_m} m")
    return 2.4 * displacement_m3 / length_m**2 * froude**2 / math.sqrt(1.0 - froude**2)
