"""Marks at bends of a longer track: which bend, whose turn, and at its very edge."""

from __future__ import annotations

import math

import pytest

from tests.survey.test_minima import RIGHT, Place, brief, of

# North, east, north, west: turns of 90, -90 and -90 degrees at the corners.
STAIRS: list[Place] = [(0.0, 0.0), (0.0, 1000.0), (1000.0, 1000.0), (1000.0, 2000.0), (0.0, 2000.0)]


@pytest.mark.parametrize(
    ("mark", "leg", "side", "course_deg"),
    [
        ((-100.0, 1100.0), 1, -1.0, 45.0),
        ((1100.0, 900.0), 2, 1.0, 45.0),
        ((1100.0, 2100.0), 3, 1.0, 315.0),
    ],
)
def test_each_bend_has_its_own_turn(mark: Place, leg: int, side: float, course_deg: float) -> None:
    found = [one for one in of(STAIRS, mark)[0] if one.distance_m < 200.0]
    assert brief(found) == [(leg, 1000.0, pytest.approx(side * math.hypot(100.0, 100.0)))]
    assert found[0].course_deg == course_deg and found[0].passed


def test_several_marks_by_several_lines_each_by_itself() -> None:
    """The bends' marks one after the other, and one abeam: as each alone."""
    marks: list[Place] = [(-100.0, 1100.0), (1100.0, 900.0), (400.0, 1300.0), (1100.0, 2100.0)]
    together = of(STAIRS, *marks)
    for mark, found in zip(marks, together, strict=True):
        assert brief(found) == brief(of(STAIRS, mark)[0])
        assert [one.course_deg for one in found] == [one.course_deg for one in of(STAIRS, mark)[0]]
    # Between the second and the fourth line: 300 m off the one, 600 and 700 off the others.
    assert brief(together[2]) == [(2, 400.0, -300.0), (3, 300.0, -600.0), (4, 600.0, -700.0)]


@pytest.mark.parametrize("mark", [(-50.0, 1000.0), (0.0, 1050.0)])
def test_at_the_edge_of_the_wedge_outside_a_bend(mark: Place) -> None:
    """Square to the end of the line before, and square to the start of the line after: as within
    the wedge, on the outer side and half-way through the turn."""
    (one,) = of(RIGHT, mark)[0]
    assert (one.leg, one.leg_along_m, one.cross_m, one.course_deg) == (1, 1000.0, -50.0, 45.0)


def test_any_line_out_of_reach_between_two_minima_parts_them() -> None:
    """Starboard of three sides of a square and a fourth; the second is out of reach."""
    round_it: list[Place] = [(-50.0, -60.0), (-50.0, 50.0), (50.0, 50.0), (50.0, -50.0),
                             (-40.0, -50.0)]  # fmt: skip
    every = of(round_it, (0.0, 10.0), blur_m=1e6)[0]
    assert [(one.leg, one.cross_m) for one in every] == [(2, 40.0)]
    parted = of(round_it, (0.0, 10.0), blur_m=1e6, without=[(0, 1)])[0]
    assert [(one.leg, one.cross_m) for one in parted] == [(1, 50.0), (3, 50.0)]
    # From the first to the fourth by way of the third: one gap is enough.
    nearer = of(round_it, (0.0, -20.0), blur_m=1e6, without=[(0, 1)])[0]
    first, _ = nearer
    assert (first.leg, first.cross_m) == (1, 50.0)


def test_a_gap_anywhere_between_two_minima_parts_them() -> None:
    """Up beside the mark, away over it and back, and down; the farthest line is out of reach."""
    away: list[Place] = [(-50.0, -60.0), (-50.0, 50.0), (-20.0, 150.0), (20.0, 150.0),
                         (50.0, 50.0), (50.0, -60.0)]  # fmt: skip
    assert [one.leg for one in of(away, (0.0, 0.0))[0]] == [1, 3, 5]
    assert [one.leg for one in of(away, (0.0, 0.0), blur_m=1e6)[0]] == [1]
    parted = of(away, (0.0, 0.0), blur_m=1e6, without=[(0, 2)])[0]
    assert [(one.leg, one.cross_m) for one in parted] == [(1, 50.0), (5, 50.0)]
