"""Gates of staggered marks whose edge is short while the track between its marks is not, and two
marks charted on one spot. The limits are the survey's own, as staggered.py states them."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from routecheck.model.passes import Sense
from tests.buoys import Place
from tests.survey.test_staggered_by_hand import ends, gates

TWO_MILES_M = 2.0 * 1852.0
"""A nautical mile is 1852 m (SI Brochure, 9th edition, table 8)."""
EDGE: dict[str, Place] = {"sb": (150.0, 0.0), "pc": (-150.0, 3600.0), "sd": (150.0, 3650.0)}
STRAIGHT = [(40.0, -1000.0), (40.0, 5000.0)]
ROUND = [(40.0, -1000.0), (40.0, 200.0), (840.0, 1850.0), (40.0, 3500.0), (40.0, 5000.0)]
"""Round something to the east, first away from the one end and then nearer to the other."""


def along_m(track: list[Place]) -> float:
    return sum(math.dist(one, other) for one, other in pairwise(track))


def test_the_scene_is_what_it_claims_to_be() -> None:
    """The marks stand less than two miles apart in any case; along the track only when straight."""
    assert math.dist(EDGE["sb"], EDGE["sd"]) < TWO_MILES_M - 50.0
    # From abreast of the one, 1000 m on, to abreast of the other, 1400 m before the end.
    before_m, after_m = 1000.0, 1400.0
    assert along_m(STRAIGHT) - before_m - after_m < TWO_MILES_M - 50.0
    assert along_m(ROUND) - before_m - after_m > TWO_MILES_M + 50.0


@pytest.mark.parametrize("back", [False, True])
def test_a_mark_two_miles_back_or_ahead_along_the_track_is_no_end_of_the_edge(
    *, back: bool
) -> None:
    """It is the mark before on the way out, and the mark after on the way back."""
    sense = Sense.AGAINST if back else Sense.WITH
    order = -1 if back else 1
    rows = {"pc": (sense, True)}
    assert ends(gates(EDGE, STRAIGHT[::order], rows=rows)) == {"pc": [("sb", "sd")[::order]]}
    assert gates(EDGE, ROUND[::order], rows=rows) == {}


ROUND_THE_SPOT = [(40.0, -1000.0), (40.0, 1200.0), (-340.0, 1200.0), (-340.0, 0.0)]


def test_two_marks_on_one_spot_before_and_after_are_no_edge() -> None:
    """Round two port-hand marks on one spot and back, both times to port; the starboard-hand mark
    on the outside of the turn. One of the two is the last before it, the other the first after."""
    apart = {"pa": (-150.0, 600.0), "sb": (150.0, 800.0), "pc": (-160.0, 900.0)}
    assert set(gates(apart, ROUND_THE_SPOT, rows={"sb": (Sense.WITH, True)})) == {"sb"}
    spot = {**apart, "pc": apart["pa"]}
    assert gates(spot, ROUND_THE_SPOT, rows={"sb": (Sense.WITH, True)}) == {}
