"""Arcs, clocks and heights with numbers that a hand can do."""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.nav.tide_table import (
    by_clock_s,
    by_height_m,
    cosine_bends_m,
    cosine_heights_m,
    twelfths_height_share,
)

HOUR_S = 3600.0


def test_thirds_of_an_arc() -> None:
    """The cosine of 60 degrees is a half: after a third of the interval a quarter of the range."""
    when, height = [2.0, 8.0, 11.0], [1.0, 5.0, -3.0]
    found = cosine_heights_m([4.0, 5.0, 6.0, 9.0, 10.0], when, height)
    assert found == pytest.approx([2.0, 3.0, 4.0, 3.0, -1.0])
    assert cosine_heights_m([[1.0, 2.0], [11.0, 30.0]], when, height).tolist() == [
        [1.0, 1.0],
        [-3.0, -3.0],
    ]


def test_the_bend_of_an_arc() -> None:
    """Half the range times (pi / duration)**2 is the most that it bends; an eighth of that times
    the step squared is how far a chord leaves it. Durations of pi and 2 pi, ranges of 4 and 2."""
    found = cosine_bends_m([1.0, 1.0 + np.pi, 1.0 + 3.0 * np.pi], [5.0, 1.0, 3.0], 0.5)
    assert found == pytest.approx([2.0 * 0.25 / 8.0, 1.0 / 4.0 * 0.25 / 8.0])


def test_twelfths_by_number() -> None:
    sixths = np.arange(7) / 6.0
    assert twelfths_height_share(sixths) * 12.0 == pytest.approx([0, 1, 3, 6, 9, 11, 12])
    assert twelfths_height_share([0.25, 0.75]) * 12.0 == pytest.approx([2.0, 10.0])


@pytest.mark.parametrize("day", [0, 1, 20_000, -3])
def test_the_clock_goes_round_every_day(day: int) -> None:
    """Between 2200 and 0400 over midnight, and between 0400 and 2200 over noon, on any day."""
    clocks, differences = [4.0 * HOUR_S, 22.0 * HOUR_S], [600.0, 0.0]
    times = 86_400.0 * day + HOUR_S * np.array([0.0, 1.0, 4.0, 13.0, 22.0, 23.0])
    found = by_clock_s(times, clocks, differences)
    assert found == pytest.approx([200.0, 300.0, 600.0, 300.0, 0.0, 100.0])


def test_three_heights_and_beyond_them() -> None:
    """On each side the line of the outermost two goes on: slopes 0.5 and 0.1."""
    found = by_height_m([0.0, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0], [1.0, 2.0, 4.0], [-0.5, 0.0, 0.2])
    assert found == pytest.approx([-1.0, -0.5, -0.25, 0.0, 0.1, 0.2, 0.4])
    assert by_height_m([[1.0], [3.0]], [5.0], [0.7]).tolist() == [[0.7], [0.7]]
