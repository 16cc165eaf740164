"""A place on the corner of a bent steering line, as near to the one stretch as to the other.

Which of them speaks there is the survey's own choice: the one that is drawn first. Either would do
as a hint; it is held to so that the same chart always tells the same.
"""

from __future__ import annotations

import pytest

from routecheck.model.passes import Sense
from tests.buoys import HERE, Spot
from tests.survey.test_steering_by_hand import line, sense

INWARD = [(0.0, -2000.0), (0.0, 0.0)]
ASIDE = [(0.0, 0.0), (1500.0, 0.0)]


@pytest.mark.parametrize("spot", [HERE, Spot(-150.0, 54.0)])
@pytest.mark.parametrize("apart", [False, True])
def test_on_a_corner_the_stretch_drawn_first_speaks(spot: Spot, *, apart: bool) -> None:
    """Inward on 0 degrees, then off to the east: another reach, which says nothing on 0."""
    drawn = [INWARD, ASIDE] if apart else [[*INWARD, *ASIDE[1:]]]
    backwards = [stretch[::-1] for stretch in drawn[::-1]]
    assert sense(line(*drawn, spot=spot), spot=spot) is Sense.WITH
    assert sense(line(*backwards, spot=spot), spot=spot) is None
    # A boat length off the corner, beside either stretch, the order of drawing says nothing.
    for at, found in (((0.0, -20.0), Sense.WITH), ((20.0, 0.0), None)):
        for parts in (drawn, backwards):
            assert sense(line(*parts, spot=spot), at=at, spot=spot) is found
