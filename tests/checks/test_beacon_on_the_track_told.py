"""How near a beacon may stand: its own uncertainty, the boat's and half her beam."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.beacon_on_the_track import beacon_on_the_track
from routecheck.model.boat import Margins
from tests.checks.markviews import leg_with, mark_pass, stands_at_mark
from tests.checks.told import said
from tests.checks.views import boat, passage, run

FIX_8 = Margins(position_m=8.0)


@pytest.mark.parametrize(
    ("distance_m", "beam_m", "found"),
    [
        # 5 m of the mark's place and 8 m of the boat's; 2 m more for half a beam of 4 m.
        (13.0, None, 1),
        (13.1, None, 0),
        (15.0, 4.0, 1),
        (15.1, 4.0, 0),
    ],
)
def test_the_reach(distance_m: float, beam_m: float | None, found: int) -> None:
    by = passage(replace(boat(), beam_m=beam_m, margins=FIX_8))
    pile = mark_pass(floating=False, distance_m=distance_m)
    assert len(run(beacon_on_the_track, leg_with(pile), by)) == found
    assert run(beacon_on_the_track, leg_with(mark_pass(distance_m=distance_m)), by) == []


def test_what_is_told() -> None:
    by = passage(replace(boat(), beam_m=4.0, margins=FIX_8))
    pile = mark_pass(floating=False, distance_m=12.4)
    nameless = mark_pass(name="", floating=False, distance_m=0.0)
    buoy, far = mark_pass(distance_m=1.0), mark_pass(floating=False, distance_m=99.0)
    found = run(beacon_on_the_track, leg_with(buoy, pile, far, nameless), by)
    words = (
        "It is fixed, and lies within 15 m of the track: its own position uncertainty of 5 m and "
        "the boat's 10 m."
    )
    assert said(found) == [
        ("danger", "beacon Deep stands 12 m off the track", words),
        ("danger", "beacon BOYSPP stands 0 m off the track", words),
    ]
    stands_at_mark(found[0], pile)
    assert found[0].sums == {
        "distance_m": 12.4, "position_uncertainty_m": 5.0, "own_uncertainty_m": 10.0,
    }  # fmt: skip
