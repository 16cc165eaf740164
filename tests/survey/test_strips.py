"""Stretches of legs: where they begin and end, their lanes, and in what order."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from routecheck.survey.parts import Parts
from routecheck.survey.strips import _by_leg, _edges, _lanes, _with_joints
from routecheck.survey.track import Lines, Track

NMI_M = 1852.0


def lines(*along_m: float) -> Lines:
    none = np.zeros(len(along_m))
    return Lines(
        lon_deg=none,
        lat_deg=none,
        end_lon_deg=none,
        end_lat_deg=none,
        course_deg=none,
        length_m=none,
        along_m=np.array(along_m),
    )


def edges(
    lengths_m: list[float], step_m: float, legs: list[int] | None = None
) -> tuple[list[float], list[int], list[int]]:
    here = np.arange(len(lengths_m))
    track = Track(
        lines=lines(*[0.0] * len(here)), first=here, last=here, length_m=np.array(lengths_m)
    )
    wanted = here if legs is None else np.array(legs)
    along, of_leg, line = _edges(track, wanted, step_m)
    return along.tolist(), of_leg.tolist(), line.tolist()


def test_stretches_end_each_step_and_at_the_legs_end() -> None:
    assert edges([250.0], 100.0) == ([0.0, 100.0, 200.0, 250.0], [0] * 4, [0] * 4)
    assert edges([200.0], 100.0) == ([0.0, 100.0, 200.0], [0] * 3, [0] * 3)
    assert edges([0.5], 100.0) == ([0.0, 0.5], [0, 0], [0, 0])
    # Less than a ten-millionth of a metre over is no stretch of its own; a millimetre is.
    assert edges([200.0 + 5e-8], 100.0)[0] == [0.0, 100.0, 200.0]
    assert edges([200.001], 100.0)[0] == [0.0, 100.0, 200.0, 200.001]


def test_each_of_several_legs_is_counted_from_its_own_start() -> None:
    found = edges([120.0, 50.0, 300.0], 100.0)
    assert found == (
        [0.0, 100.0, 120.0, 0.0, 50.0, 0.0, 100.0, 200.0, 300.0],
        [0, 0, 0, 1, 1, 2, 2, 2, 2],
        [0, 0, 0, 1, 1, 2, 2, 2, 2],
    )
    found = edges([120.0, 50.0, 300.0], 100.0, legs=[2, 0])
    assert found == (
        [0.0, 100.0, 200.0, 300.0, 0.0, 100.0, 120.0],
        [0, 0, 0, 0, 1, 1, 1],
        [2, 2, 2, 2, 0, 0, 0],
    )


def test_a_stretch_ends_where_one_line_of_a_great_circle_passes_to_the_next() -> None:
    """The first leg has lines from 0, 150 and 310 m, the second one line, the third two."""
    track = Track(
        lines=lines(0.0, 150.0, 310.0, 0.0, 0.0, 100.0),
        first=np.array([0, 3, 4]),
        last=np.array([2, 3, 5]),
        length_m=np.array([400.0, 50.0, 120.0]),
    )
    along, of_leg, line = _edges(track, np.arange(3), 100.0)
    assert along.tolist() == [0, 100, 150, 200, 300, 310, 400, 0, 50, 0, 100, 120]
    assert of_leg.tolist() == [0] * 7 + [1] * 2 + [2] * 3
    assert line.tolist() == [0, 0, 1, 1, 1, 2, 2, 3, 3, 4, 5, 5]
    along, of_leg, line = _edges(track, np.array([2]), 100.0)
    assert (along.tolist(), of_leg.tolist(), line.tolist()) == ([0, 100, 120], [0] * 3, [4, 5, 5])
    along, of_leg, line = _edges(track, np.array([2, 1]), 100.0)
    assert along.tolist() == [0, 100, 120, 0, 50]
    assert (of_leg.tolist(), line.tolist()) == ([0, 0, 0, 1, 1], [4, 5, 5, 3, 3])


@pytest.mark.parametrize(
    ("joints_m", "expected"),
    [
        ([0.0, 150.0], [0.0, 100.0, 150.0, 200.0]),
        ([0.0, 100.0], [0.0, 100.0, 200.0]),
        # Within a millimetre of an edge there is one of the two; at 2 mm there are both.
        ([0.0, 100.0005], [0.0, 100.0005, 200.0]),
        ([0.0, 99.9995], [0.0, 100.0, 200.0]),
        ([0.0, 100.002], [0.0, 100.0, 100.002, 200.0]),
        ([0.0, 0.0005], [0.0, 100.0, 200.0]),
        ([0.0, 0.001], [0.0, 100.0, 200.0]),
        ([0.0, 0.002], [0.0, 0.002, 100.0, 200.0]),
        ([0.0, 199.9995], [0.0, 100.0, 200.0]),
        ([0.0, 30.0, 60.0], [0.0, 30.0, 60.0, 100.0, 200.0]),
    ],
)
def test_joints_among_edges(joints_m: list[float], expected: list[float]) -> None:
    held = lines(777.0, *joints_m, 888.0)  # lines of other legs stand before and after
    found = _with_joints(np.array([0.0, 100.0, 200.0]), held, 1, len(joints_m))
    assert found.tolist() == expected


def lanes(port_m: list[float], starboard_m: list[float]) -> list[list[tuple[float, float]]]:
    """The lanes of each leg that are not empty, from port to starboard; a metre is added."""
    port, starboard = np.array(port_m), np.array(starboard_m)
    found = _lanes(port + 1.0, starboard + 1.0, port, starboard)
    return [
        sorted((float(a[leg]), float(b[leg])) for a, b in found if a[leg] < b[leg])
        for leg in range(len(port))
    ]


def test_a_narrow_corridor_has_one_lane() -> None:
    """Half a metre to port, nothing to starboard."""
    zero, half = np.zeros(1), np.full(1, 0.5)
    assert [(a.tolist(), b.tolist()) for a, b in _lanes(half, zero, half, zero)] == [([-0.5], [0])]


def test_lanes_are_counted_from_the_track(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two metres wide at most: 4.5 m to port is three lanes, 1.5 m to starboard one."""
    monkeypatch.setattr("routecheck.survey.strips._WIDEST_M", 2.0)
    port, starboard = np.full(1, 4.5), np.full(1, 1.5)
    found = _lanes(port, starboard, port, starboard)
    assert sorted((float(a[0]), float(b[0])) for a, b in found if a[0] < b[0]) == [
        (-4.5, -3.0),
        (-3.0, -1.5),
        (-1.5, 0.0),
        (0.0, 1.5),
    ]
    assert len(found) == 7  # of each side as many as the other has, and one for narrow legs


def test_a_corridor_up_to_a_mile_has_one_lane() -> None:
    assert lanes([100.0, NMI_M], [NMI_M, 5.0]) == [[(-101.0, 1853.0)], [(-1853.0, 6.0)]]


def limits(*edges_m: float) -> list[tuple[float, float]]:
    """Lanes from edge to edge."""
    return [(a, b) for a, b in pairwise(edges_m)]


def test_a_wider_one_has_lanes_of_a_mile_at_most() -> None:
    assert lanes([3999.0], [99.0]) == [limits(-4000.0, -8000.0 / 3.0, -4000.0 / 3.0, 0.0, 100.0)]
    # No lane to port where there is no room to port.
    assert lanes([0.0], [1853.0]) == [limits(0.0, 927.0, 1854.0)]
    # Narrow legs beside it keep their one lane, and have no others.
    assert lanes([100.0, 1999.0], [200.0, 5000.0]) == [
        [(-101.0, 201.0)],
        limits(-2000.0, -1000.0, 0.0, 1667.0, 3334.0, 5001.0),
    ]


def test_the_side_with_the_more_lanes_may_be_either() -> None:
    assert lanes([100.0, 4999.0], [200.0, 1999.0]) == [
        [(-101.0, 201.0)],
        limits(-5000.0, -10000.0 / 3.0, -5000.0 / 3.0, 0.0, 1000.0, 2000.0),
    ]


def test_parts_are_put_in_order_of_their_legs() -> None:
    def some(*numbers: float) -> Parts:
        one = np.array(numbers)
        ring = one[:, None] + np.array([0.0, 0.1, 0.2, 0.3])
        return Parts(
            along_from_m=one, along_to_m=one + 100.0, lon_deg=ring + 1000.0, lat_deg=ring - 1000.0
        )

    made = [some(1.0, 2.0, 3.0), some(4.0), some(5.0, 6.0)]
    parts, ends = _by_leg(made, np.array([0, 2, 3, 2, 0, 3]), 5)
    assert parts.along_from_m.tolist() == [1.0, 5.0, 2.0, 4.0, 3.0, 6.0]
    assert (parts.along_to_m == parts.along_from_m + 100.0).all()
    ring = parts.along_from_m[:, None] + np.array([0.0, 0.1, 0.2, 0.3])
    assert (parts.lon_deg == ring + 1000.0).all() and (parts.lat_deg == ring - 1000.0).all()
    assert ends.tolist() == [0, 2, 2, 4, 6, 6]
