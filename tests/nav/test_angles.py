"""Angles in their ranges."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.nav.angles import turn_deg, wrap180_deg, wrap360_deg


@given(st.floats(-1e6, 1e6))
def test_the_same_angle_in_range(angle: float) -> None:
    half, whole = float(wrap180_deg(angle)), float(wrap360_deg(angle))
    assert -180.0 <= half < 180.0 and 0.0 <= whole < 360.0
    for wrapped in (half, whole):
        assert math.cos(math.radians(wrapped - angle)) == pytest.approx(1.0, abs=1e-12)


def test_turns() -> None:
    assert turn_deg(350.0, 10.0) == 20.0
    assert turn_deg(10.0, 350.0) == -20.0
    assert turn_deg(0.0, 180.0) == -180.0
    assert float(wrap360_deg(-1e-17)) == 0.0
    assert float(wrap180_deg(-180.00000000000003)) == -180.0


def test_shapes_and_many_turns() -> None:
    angles = [[-720.5, -359.0], [179.5, 900.0]]
    assert wrap180_deg(angles).tolist() == [[-0.5, 1.0], [179.5, -180.0]]
    assert wrap360_deg(angles).tolist() == [[359.5, 1.0], [179.5, 180.0]]
    assert wrap360_deg(360.0).tolist() == 0.0
    assert turn_deg(90.0, 91.5) == 1.5
