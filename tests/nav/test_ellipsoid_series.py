"""The coefficients of the meridian's series against closed sums.

With n the third flattening and z = exp 2i phi, the length of a meridian goes with
(1 + n z)**-3/2 (1 + n / z)**-3/2, whose Fourier coefficients are sums of products of binomial
coefficients (F. W. Bessel 1825, F. R. Helmert 1880; written out anew from the binomial series).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from routecheck.nav import ellipsoid
from routecheck.nav.ellipsoid import latitude_at_meridian_distance_deg, meridian_distance_m

N = (1.0 / 298.257223563) / (2.0 - 1.0 / 298.257223563)
ORDERS = range(1, 7)
# A few roundings of a double in the first two, where the terms left to test are the smallest.
ROUNDING = {1: 1e-15, 2: 1e-15, 3: 1e-12, 4: 1e-12, 5: 1e-12, 6: 1e-12}


def _wave(k: int, n: complex) -> complex:
    """The coefficient of z**k in the product of both series."""
    b = [1.0]
    for j in range(1, 14):
        b.append(b[-1] * (-0.5 - j) / j)
    return sum((b[j] * b[j + k] * n ** (2 * j + k) for j in range(len(b) - k)), start=0j)


def _to_rectifying(k: int, n: complex) -> complex:
    return _wave(k, n) / (k * _wave(0, n))


def _from_rectifying(k: int, n: complex) -> complex:
    """By Lagrange: the mean of cos 2k mu over phi, over k, with mu = phi + sum of c sin 2j phi.

    That is the coefficient of z**-k in exp(k times the sum of c_j (z**j - z**-j)).
    """
    forward = np.array([_to_rectifying(j, n) for j in range(1, 10)])
    exponent = k * np.concatenate([-forward[::-1], [0.0], forward])
    term = np.zeros(19, dtype=complex)
    term[9] = 1.0
    total = term.copy()
    for power in range(1, 12):
        term = np.convolve(term, exponent, "same") / power
        total += term
    return complex(total[9 - k]) / k


def up_to_the_sixth_power(series: Callable[[int, complex], complex], k: int) -> float:
    """Its powers of n, told apart by going round the circle of that radius, as far as the sixth."""
    circle = N * np.exp(2j * np.pi * np.arange(16) / 16)
    powers = np.fft.fft([series(k, complex(n)) for n in circle]) / 16
    return float(powers[:7].real.sum())


def plain_sum(angle: float, coefficients: tuple[float, ...]) -> float:
    """In place of Clenshaw's."""
    return angle + sum(c * math.sin(2.0 * k * angle) for k, c in enumerate(coefficients, start=1))


@pytest.mark.parametrize("k", ORDERS)
def test_rectifying_latitude(k: int) -> None:
    assert len(ellipsoid._TO_RECTIFYING) == 6
    found = ellipsoid._TO_RECTIFYING[k - 1]
    expected = up_to_the_sixth_power(_to_rectifying, k)
    assert found == pytest.approx(expected, rel=ROUNDING[k], abs=0.0)
    rectifying = plain_sum(math.radians(12.0 * k), ellipsoid._TO_RECTIFYING)
    there_m = float(meridian_distance_m(12.0 * k))
    assert there_m == pytest.approx(ellipsoid.RECTIFYING_RADIUS_M * rectifying, abs=1e-8)


@pytest.mark.parametrize("k", ORDERS)
def test_latitude_from_rectifying(k: int) -> None:
    assert len(ellipsoid._FROM_RECTIFYING) == 6
    found = ellipsoid._FROM_RECTIFYING[k - 1]
    expected = up_to_the_sixth_power(_from_rectifying, k)
    assert found == pytest.approx(expected, rel=ROUNDING[k], abs=0.0)
    lat = plain_sum(math.radians(-12.0 * k), ellipsoid._FROM_RECTIFYING)
    there_m = ellipsoid.RECTIFYING_RADIUS_M * math.radians(-12.0 * k)
    back_deg = float(latitude_at_meridian_distance_deg(there_m))
    assert back_deg == pytest.approx(math.degrees(lat), abs=1e-13)


def test_the_radius_to_two_nanometres() -> None:
    """A quarter of the meridian is a quarter of that circle: the waves are all nought at a pole."""
    exact_m = 6378137.0 * (1.0 - N) * (1.0 - N**2) * _wave(0, N).real
    assert float(meridian_distance_m(90.0)) == pytest.approx(exact_m * math.pi / 2.0, abs=4e-9)
    assert pytest.approx(exact_m, abs=2e-9) == ellipsoid.RECTIFYING_RADIUS_M
