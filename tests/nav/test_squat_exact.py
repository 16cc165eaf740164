"""Squat formulae where a hand can do the sum, and hulls that do not fit, one reason at a time."""

from __future__ import annotations

import math

import pytest

from routecheck.nav.squat import (
    barrass_newer_squat_m,
    barrass_squat_m,
    blockage_share,
    icorels_bow_squat_m,
    width_of_influence_m,
)
from routecheck.units import MPS_PER_KNOT


def test_barrass_at_a_fifth_of_the_channel() -> None:
    """S = 1/5 gives S2 = 1/4; 10 kn to the power of 2.08 is 10**2 times 10**0.08 = 120.226443."""
    found = barrass_squat_m(block_share=0.6, blockage_share=0.2, speed_kn=10.0)
    assert found == pytest.approx(0.6 / 30.0 * 0.396850263 * 120.226443, rel=1e-8)


def test_barrass_newer_at_a_tenth_of_the_channel() -> None:
    """10**-0.81 = 0.154881662, over 20."""
    found = barrass_newer_squat_m(block_share=0.6, blockage_share=0.1, speed_kn=10.0)
    assert found == pytest.approx(0.6 * 0.154881662 * 120.226443 / 20.0, rel=1e-8)


def test_icorels_at_half_of_the_critical_speeds_square() -> None:
    """F**2 = 1/2: F**2 / sqrt(1 - F**2) is the root of a half; g = 9.80665 m/s2."""
    depth_m = 2.0 * (10.0 * 1852.0 / 3600.0) ** 2 / 9.80665
    found = icorels_bow_squat_m(
        displacement_m3=30_000.0, length_m=100.0, depth_m=depth_m, speed_kn=10.0
    )
    assert found == pytest.approx(2.4 * 3.0 * math.sqrt(0.5), rel=1e-9)


def test_icorels_at_the_critical_speed_itself() -> None:
    """A depth of which the root of g times it is the speed, to the last digit."""
    speed_kn = 9.80665 / MPS_PER_KNOT
    assert speed_kn * MPS_PER_KNOT / math.sqrt(9.80665 * 9.80665) == 1.0
    with pytest.raises(ValueError, match="critical speed"):
        icorels_bow_squat_m(displacement_m3=1.0, length_m=10.0, depth_m=9.80665, speed_kn=speed_kn)


@pytest.mark.parametrize(("share", "beams"), [(1.0, 7.7), (0.9, 8.15), (0.0, 52.7), (0.5, 18.95)])
def test_width_of_influence(share: float, beams: float) -> None:
    found = width_of_influence_m(beam_m=3.0, waterplane_coefficient_share=share)
    assert found == pytest.approx(3.0 * beams)


@pytest.mark.parametrize(
    ("beam_m", "draught_m", "depth_m", "width_m", "share"),
    [
        (4.0, 2.0, 4.0, 10.0, 0.2),
        (4.0, 1.9, 2.0, 4.1, 7.6 / 8.2),
        (0.5, 0.5, 1.0, 1.0, 0.25),  # less than a metre all of it
        (4.0, 2.0, 2.0, 4.0, None),  # it fills the channel
        (4.0, 1.0, 2.0, 4.0, None),  # just as wide
        (4.0, 1.0, 2.0, 3.9, None),
        (4.0, 3.0, 2.0, 5.0, None),  # deeper than the water
        (4.0, 2.5, 2.0, 5.0, None),  # all of it to the last square metre
        (4.0, 0.0, 2.0, 5.0, None),  # no hull in the water at all
        (4.0, -1.0, 2.0, 5.0, None),
    ],
)
def test_blockage(
    beam_m: float, draught_m: float, depth_m: float, width_m: float, share: float | None
) -> None:
    hull = {"beam_m": beam_m, "draught_m": draught_m, "depth_m": depth_m, "width_m": width_m}
    if share is None:
        with pytest.raises(ValueError, match="does not fit"):
            blockage_share(**hull)
    else:
        assert blockage_share(**hull) == pytest.approx(share)
