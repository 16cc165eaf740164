"""Two turns of unlike size on one leg: together they fit on it, or both are made on the spot.

An arc of radius r and turn t takes r tan(t / 2) of either leg: with the radius below 300 m of a
turn of 88 degrees, 54.8 m of one of 20 degrees. Its halves are drawn in chords of at most 5
degrees, nine and two.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.survey.tracks import chain, zigzag

RADIUS_M = 300.0 / math.tan(math.radians(44.0))
SMALL_M = RADIUS_M * math.tan(math.radians(10.0))


@pytest.mark.parametrize("courses", [(0.0, 88.0, 108.0), (0.0, 20.0, 108.0)])
@pytest.mark.parametrize("spare_m", [-30.0, -0.1, 0.1, 30.0, 200.0])
def test_a_large_turn_and_a_small_one_on_a_leg_between(
    courses: tuple[float, float, float], spare_m: float
) -> None:
    """Whichever comes first, it is the sum of the two that must fit."""
    assert pytest.approx(54.8, abs=0.05) == SMALL_M
    middle_m = 300.0 + SMALL_M + spare_m
    track = chain(zigzag([2000.0, middle_m, 2000.0], courses), RADIUS_M)
    first, second = (9, 2) if courses[1] > 44.0 else (2, 9)
    fits = [1 + first, first + 1 + second, second + 1]
    assert np.bincount(track.leg)[1:].tolist() == (fits if spare_m > 0.0 else [1, 1, 1])


@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize(("last_m", "fits"), [(200.0, False), (299.9, False), (300.1, True)])
def test_on_the_first_and_the_last_leg_one_turn_must_fit(
    last_m: float, *, fits: bool, back: bool
) -> None:
    """There the turn that takes 300 m alone; the small one at the other end stays as it is."""
    places = zigzag([2000.0, 2000.0, last_m], [0.0, 20.0, 108.0])
    track = chain(places[::-1] if back else places, RADIUS_M)
    count = np.bincount(track.leg)[1:].tolist()
    wanted = [1 + 2, 2 + 1 + 9, 9 + 1] if fits else [1 + 2, 2 + 1, 1]
    assert count == (wanted[::-1] if back else wanted)
