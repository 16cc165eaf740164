"""How near a track comes to a cardinal mark within the quadrant opposite to its name.

IALA R1001: the quadrants are bounded by the bearings north-east, south-east, south-west and
north-west, taken from the mark; the one named is the safe one. Expectations are read off the
drawing, and for random tracks found by walking along them in small steps.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.objects import MarkKind
from routecheck.survey.cardinal import nearest_in_opposite_m
from routecheck.survey.markset import mark_set
from routecheck.survey.minima import near_lines
from tests.buoys import Place, chart, mark
from tests.survey.tracks import chain, zigzag

REACH_M = 740.0
TOWARDS = {"north": 180.0, "east": 270.0, "south": 0.0, "west": 90.0}
"""The middle of the quadrant opposite to each name."""


def nearest(places: Sequence[Place], named: str = "north", reach_m: float = REACH_M) -> float:
    """Of a mark at the origin; -1 where the track does not go there."""
    track = chain(places)
    held = mark_set(ChartSet(charts=(chart([mark((0.0, 0.0), MarkKind.NORTH)]),)))
    found = nearest_in_opposite_m(track, near_lines(track, held, 3000.0), 0, named, reach_m)
    return -1.0 if found is None else found


def turned(places: Sequence[Place], named: str) -> list[Place]:
    """A scene drawn for a north mark, turned for another."""
    angle = math.radians(TOWARDS[named] - 180.0)
    cosine, sine = math.cos(angle), math.sin(angle)
    return [(x * cosine + y * sine, y * cosine - x * sine) for x, y in places]


@pytest.mark.parametrize("named", list(TOWARDS))
@pytest.mark.parametrize("back", [False, True])
@pytest.mark.parametrize(
    ("places", "metres"),
    [
        ([(-2000.0, -150.0), (2000.0, -150.0)], 150.0),  # past the mark on its south side
        ([(-2000.0, 150.0), (2000.0, 150.0)], -1.0),
        ([(-2000.0, -150.0), (-160.0, -150.0)], -1.0),  # ends before the quadrant
        ([(-2000.0, -150.0), (-100.0, -150.0)], math.hypot(100.0, 150.0)),  # ends in it
        ([(100.0, -150.0), (2000.0, -150.0)], math.hypot(100.0, 150.0)),
        ([(0.0, -300.0), (0.0, -900.0)], 300.0),
        ([(0.0, 300.0), (0.0, 900.0)], -1.0),
        ([(100.0, -2000.0), (100.0, 2000.0)], math.hypot(100.0, 100.0)),  # along its side
        ([(-100.0, 50.0), (-100.0, -2000.0)], math.hypot(100.0, 100.0)),
        ([(100.0, -99.0), (100.0, 2000.0)], -1.0),
        ([(-2000.0, -739.9), (2000.0, -739.9)], 739.9),  # within reach, and just beyond it
        ([(-2000.0, -740.1), (2000.0, -740.1)], -1.0),
        ([(700.0, -2000.0), (700.0, 2000.0)], -1.0),  # enters it out of reach only
        ([(500.0, -2000.0), (500.0, 2000.0)], math.hypot(500.0, 500.0)),
        # Along south-east, 100 m off the quadrant's side: outside it, and within.
        ([(141.42, 0.0), (1555.63, -1414.21)], -1.0),
        ([(0.0, -141.42), (1414.21, -1555.63)], 141.42),
        ([(-5.0, -500.0), (5.0, 500.0)], 0.0),  # over the mark itself
    ],
)
def test_where_the_track_goes(
    places: list[Place], metres: float, named: str, *, back: bool
) -> None:
    scene = turned(places, named)
    assert nearest(scene[::-1] if back else scene, named) == pytest.approx(metres, abs=0.05)


def test_the_nearest_of_all_lines_counts() -> None:
    """Out, across and back again south of the mark, the middle one nearest; whichever is first."""
    scene = [(-900.0, -400.0), (900.0, -400.0), (900.0, -200.0), (-900.0, -200.0)]
    assert nearest(scene) == pytest.approx(200.0, abs=0.01)
    assert nearest(scene[::-1]) == pytest.approx(200.0, abs=0.01)


def test_random_tracks_against_a_walk_along_them() -> None:
    draw = random.Random(7)
    within = 0
    for _ in range(20):
        corners = zigzag(
            [draw.uniform(200.0, 900.0) for _ in range(4)],
            [draw.uniform(0.0, 360.0) for _ in range(4)],
        )
        shift = draw.uniform(-600.0, 600.0), draw.uniform(-600.0, 600.0)
        scene = [(x + shift[0], y + shift[1]) for x, y in corners]
        named = draw.choice(list(TOWARDS))
        walked = math.inf
        for (x1, y1), (x2, y2) in pairwise(scene):
            share = np.linspace(0.0, 1.0, 2001)
            x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
            off_deg = np.degrees(np.arctan2(x, y)) - TOWARDS[named]
            inside = np.abs((off_deg + 180.0) % 360.0 - 180.0) <= 45.0
            far_m = np.hypot(x, y)[inside]
            walked = min(walked, float(far_m.min()) if len(far_m) else math.inf)
        wanted = walked if walked <= REACH_M else -1.0
        within += wanted > 0.0
        assert nearest(scene, named) == pytest.approx(wanted, abs=0.5)
    assert 5 < within < 20
