"""Two minima on one side of a mark that its uncertainty does not tell apart are one."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from routecheck.survey.minima import minima
from tests.survey.test_minima import RIGHT, Place, brief, flat, near, of

# From the mark to the waypoint it is 500 m; to the legs 300 and 400 m: it rises by 100 m.
LEFT_OF = (300.0, 600.0)
ABOVE = (400.0, 700.0)


@pytest.mark.parametrize(("blur_m", "count"), [(0.0, 2), (99.9, 2), (100.0, 1), (150.0, 1)])
def test_the_rise_between_them_is_above_the_greater(blur_m: float, count: int) -> None:
    """Mirrored, the second is the nearer; the nearer stands, wherever it comes."""
    first = brief(of(RIGHT, LEFT_OF, blur_m=blur_m)[0])
    assert first == [(1, 600.0, 300.0), (2, 300.0, 400.0)][:count]
    second = brief(of(RIGHT, ABOVE, blur_m=blur_m)[0])
    assert second == [(1, 700.0, 400.0), (2, 400.0, 300.0)][2 - count :]


def test_of_two_as_near_the_first_stands() -> None:
    (one,) = of(RIGHT, (400.0, 600.0), blur_m=500.0)[0]
    assert (one.leg, one.cross_m) == (1, 400.0)


# Up one side of the mark, over, and down the other: port going up, port going down if the turn
# is to port round it.
ROUND = [(0.0, 0.0), (0.0, 100.0), (20.0, 100.0), (20.0, 0.0)]


def test_minima_on_either_side_are_never_one() -> None:
    """Ten metres to starboard going up; coming down 20 m beyond it, to port."""
    beyond: list[Place] = [(0.0, 0.0), (0.0, 100.0), (-20.0, 100.0), (-20.0, 0.0)]
    found = brief(of(beyond, (10.0, 50.0), blur_m=1e9)[0])
    assert [(leg, cross) for leg, _, cross in found] == [(1, 10.0), (3, -30.0)]


@pytest.mark.parametrize(
    ("mark", "kept"),
    # On the track itself counts as starboard: 0 and 20 m are one pass; the rise is 31 m at most.
    [((0.0, 50.0), [0.0]), ((20.0, 50.0), [0.0]), ((10.0, 50.0), [10.0])],
)
def test_on_the_track_it_is_to_starboard(mark: Place, kept: list[float]) -> None:
    assert [c for _, _, c in brief(of(ROUND, mark, blur_m=60.0)[0])] == kept
    assert len(of(ROUND, mark, blur_m=10.0)[0]) == 2


def square(west: float, north: float, east: float) -> list[Place]:
    """Round the origin clockwise: up at -west, over at north, down at east."""
    return [(-west, -70.0), (-west, north), (east, north), (east, -70.0)]


@pytest.mark.parametrize(
    ("sides", "blur_m", "kept"),
    [
        # 58.3 m to the first waypoint is 8.3 more than 50; 50 to the second is 10 more than 40.
        ((50.0, 30.0, 40.0), 8.0, [50.0, 30.0, 40.0]),
        ((50.0, 30.0, 40.0), 9.0, [30.0, 40.0]),
        ((50.0, 30.0, 40.0), 10.0, [30.0]),
        # 58.3 m to the first is 8.3 more than 50; 64.03 to the second is 24.03 more than 40,
        # reckoned from the 30 that stands and not from the 50 that does not.
        ((30.0, 50.0, 40.0), 8.0, [30.0, 50.0, 40.0]),
        ((30.0, 50.0, 40.0), 24.0, [30.0, 40.0]),
        ((30.0, 50.0, 40.0), 24.1, [30.0]),
        # 94.3 m to the first, 58.3 to the second: the greatest between them counts.
        ((80.0, 50.0, 30.0), 14.0, [80.0, 30.0]),
        ((80.0, 50.0, 30.0), 14.4, [30.0]),
    ],
)
def test_of_three_on_one_side(
    sides: tuple[float, float, float], blur_m: float, kept: list[float]
) -> None:
    found = of(square(*sides), (0.0, 0.0), blur_m=blur_m)[0]
    assert [one.cross_m for one in found] == kept


def test_each_mark_has_its_own_blur_and_its_own_minima() -> None:
    track = flat(*RIGHT)
    marks = [LEFT_OF, (-50.0, 500.0), LEFT_OF, ABOVE]
    found = minima(track, near(track, marks), 1e9, np.array([0.0, 0.0, 100.0, 99.0]))
    assert {mark: len(those) for mark, those in found.items()} == {0: 2, 1: 1, 2: 1, 3: 2}
    assert all(one.mark == mark for mark, those in found.items() for one in those)


def test_where_a_line_between_is_out_of_reach_they_are_two() -> None:
    found = of(ROUND, (10.0, 50.0), blur_m=1e6, without=[(0, 1)])[0]
    assert [(one.leg, one.cross_m) for one in found] == [(1, 10.0), (3, 10.0)]
    assert len(of(ROUND, (10.0, 50.0), blur_m=1e6)[0]) == 1


def sampled(points: list[Place], mark: Place) -> list[tuple[float, float]]:
    """(distance along the track, distance) of every local minimum, looked for metre by metre."""
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    along = np.unique(np.concatenate([np.arange(0.0, sum(lengths), 0.25), np.cumsum(lengths)]))
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    x = np.interp(along, ends, [p[0] for p in points])
    y = np.interp(along, ends, [p[1] for p in points])
    far = np.hypot(x - mark[0], y - mark[1])
    padded = np.concatenate([[np.inf], far, [np.inf]])
    lowest = (far < padded[:-2]) & (far <= padded[2:])
    return list(zip(along[lowest].tolist(), far[lowest].tolist(), strict=True))


def test_all_minima_of_random_tracks_are_those_found_metre_by_metre() -> None:
    dice = np.random.default_rng(4)
    several = 0
    for _ in range(25):
        points = [tuple(p) for p in dice.uniform(0.0, 1000.0, (6, 2)).tolist()]
        marks = [tuple(p) for p in dice.uniform(-100.0, 1100.0, (4, 2)).tolist()]
        for mark, found in zip(marks, of(points, *marks, blur_m=-1e9), strict=True):
            expected = sampled(points, mark)
            assert [one.route_along_m for one in found] == pytest.approx(
                [along for along, _ in expected], abs=0.3
            )
            assert [one.distance_m for one in found] == pytest.approx(
                [far for _, far in expected], abs=0.1
            )
            several += len(found) > 2
    assert several > 10
