"""Node corrections where another formula, or an algebraic identity, gives them exactly.

Numbers of formulae in Schureman, SP 98 (1940): from memory.
"""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import _nodes, node_corrections

DAYS = 1.6e9 + 86_400.0 * np.arange(0.0, 8000.0, 3.0)


def test_m3_is_m2_to_the_power_of_three_halves() -> None:
    """Schureman, SP 98 (1940), formula 149: f(M3) = f(M2) ** 3/2; its u is 3/2 of M2's."""
    f, u = node_corrections([constituent("M2"), constituent("M3")], DAYS)
    assert f[1] == pytest.approx(f[0] ** 1.5, rel=1e-12)
    assert u[1] == pytest.approx(1.5 * u[0], abs=1e-9)
    assert np.ptp(f[0]) > 0.05


def test_m1_and_l2_where_the_perigee_makes_their_roots_whole() -> None:
    """Schureman, formulae 197, 206, 213, 214: where cos 2P is 1 or -1 what stands under the root
    is a square, and so the factor over that of O1 or M2 is a plain sum. There it is also greatest
    or least, so that a day beside it does no harm."""
    factors, angles = _nodes(DAYS)
    turned = np.cos(2.0 * angles["p_xi"])
    in_line, across = turned > 0.9999, turned < -0.9999
    assert in_line.sum() > 5 and across.sum() > 5
    # i from the factor of M2: cos**4 (i/2) = 0.9154 f, Schureman, formula 78.
    half_cos_sq = np.sqrt(0.9154 * factors["M2"])
    flat = (2.0 * half_cos_sq - 1.0) / half_cos_sq
    tan_sq = 1.0 / half_cos_sq - 1.0
    m1, l2 = factors["M1"] / factors["O1"], factors["L2"] / factors["M2"]
    assert m1[in_line] == pytest.approx(0.5 + 1.5 * flat[in_line], rel=1e-4)
    assert m1[across] == pytest.approx(1.5 * flat[across] - 0.5, rel=1e-3)
    assert l2[in_line] == pytest.approx(1.0 - 6.0 * tan_sq[in_line], rel=1e-4)
    assert l2[across] == pytest.approx(1.0 + 6.0 * tan_sq[across], rel=1e-4)


@pytest.mark.parametrize("name", ["0MS2", "13MS28", "0N2", "M0S2"])
def test_multiples_outside_1_to_12_are_no_compound(name: str) -> None:
    with pytest.raises(ValueError, match="not known"):
        constituent(name)
