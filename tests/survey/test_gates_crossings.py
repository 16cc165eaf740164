"""Where a track crosses the line of a pair, and what such a crossing says; drawn by hand."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np
import pytest

from routecheck.model.passes import GroundKind, Sense
from routecheck.survey.gates import Crossing, Pair, ground, line_crossings
from tests.buoys import HERE, Place, Spot
from tests.survey.tracks import chain, drawn, is_drawn

PORT, STARBOARD = 3, 7


def pair(direction_deg: float = 0.0, width_m: float = 200.0) -> Pair:
    return Pair(
        port_hand=PORT, starboard_hand=STARBOARD, width_m=width_m, direction_deg=direction_deg
    )


def crossing(share: float, course_deg: float = 0.0, direction_deg: float = 0.0) -> Crossing:
    return Crossing(
        pair=pair(direction_deg),
        share=share,
        route_along_m=0.0,
        course_deg=course_deg,
        lon_deg=0.0,
        lat_deg=0.0,
    )


@pytest.mark.parametrize(
    ("share", "between", "outside_m", "nearer", "off_m"),
    [
        (-1.0, False, 200.0, PORT, -300.0),
        (-0.125, False, 25.0, PORT, -125.0),
        (0.0, True, 0.0, PORT, -100.0),
        (0.25, True, 0.0, PORT, -50.0),
        (0.49, True, 0.0, PORT, -2.0),
        (0.5, True, 0.0, STARBOARD, 0.0),
        (0.51, True, 0.0, STARBOARD, 2.0),
        (1.0, True, 0.0, STARBOARD, 100.0),
        (1.25, False, 50.0, STARBOARD, 150.0),
    ],
)
def test_a_share_of_a_pair_200_m_wide(
    share: float, outside_m: float, nearer: int, off_m: float, *, between: bool
) -> None:
    """0 at the port-hand mark, 1 at the starboard-hand mark; the middle is at a half."""
    there, back = crossing(share), crossing(share, course_deg=180.0)
    for one in (there, back):
        assert one.between is between
        assert one.outside_m == pytest.approx(outside_m, abs=1e-9)
        assert one.nearer == nearer
    # Inward the starboard-hand mark is to starboard, outward it is to port.
    assert there.off_middle_m == pytest.approx(off_m, abs=1e-9)
    assert back.off_middle_m == pytest.approx(-off_m, abs=1e-9)


@pytest.mark.parametrize("direction_deg", [0.0, 350.0, 200.0])
@pytest.mark.parametrize(
    ("off_deg", "inward", "abreast"),
    [
        (0.0, True, True),
        (45.0, True, True),
        (45.5, True, False),
        (89.5, True, False),
        (90.5, False, False),
        (134.5, False, False),
        (135.0, False, True),
        (180.0, False, True),
    ],
)
@pytest.mark.parametrize("hand", [1.0, -1.0])
def test_inward_or_outward_and_square_enough(
    off_deg: float, direction_deg: float, hand: float, *, inward: bool, abreast: bool
) -> None:
    one = crossing(0.75, (direction_deg + hand * off_deg) % 360.0, direction_deg)
    assert one.off_middle_m == pytest.approx(50.0 if inward else -50.0)
    assert one.abreast is abreast


def test_each_is_the_others_partner() -> None:
    assert (pair().partner(PORT), pair().partner(STARBOARD)) == (STARBOARD, PORT)


@pytest.mark.parametrize(
    ("off_deg", "sense"),
    [(0.0, Sense.WITH), (69.0, Sense.WITH), (111.0, Sense.AGAINST), (180.0, Sense.AGAINST)],
)
def test_what_a_pair_says(off_deg: float, sense: Sense) -> None:
    said = ground(crossing(0.5, 30.0 + off_deg, 30.0), ("Left", "Right"))
    assert said is not None
    assert (said.kind, said.sense) == (GroundKind.PAIR, sense)
    assert said.text == "Left (port-hand) and Right (starboard-hand) face each other"


@pytest.mark.parametrize("off_deg", [71.0, 90.0, -109.0])
def test_along_its_line_a_pair_says_nothing(off_deg: float) -> None:
    assert ground(crossing(0.5, 30.0 + off_deg, 30.0), ("Left", "Right")) is None


DOG_LEG = [(0.0, -2000.0), (0.0, 0.0), (2000.0, 0.0), (2000.0, 1500.0)]


def crossed(
    lines: Sequence[tuple[Place, Place]],
    which: Sequence[Sequence[int]],
    spot: Spot = HERE,
    track: Sequence[Place] = DOG_LEG,
) -> list[Crossing]:
    ends = [[spot.at(p) for p in side] for side in zip(*lines, strict=True)]
    (lon1, lat1), (lon2, lat2) = (np.array(side).T for side in ends)
    pairs = [pair(width_m=float(n)) for n in range(len(lines))]
    beside = [np.array(some, dtype=np.intp) for some in which]
    return line_crossings(chain(track, spot=spot), beside, pairs, lon1, lat1, lon2, lat2)


@pytest.mark.parametrize("spot", [HERE, Spot(179.995, 10.0, 20.0), Spot(-179.999, -40.0, 90.0)])
def test_where_lines_are_crossed(spot: Spot) -> None:
    """Three lines over three legs; the second is crossed on the first leg and on the third."""
    lines = [
        ((-100.0, -500.0), (300.0, -500.0)),
        ((-1000.0, -100.0), (2400.0, 240.0)),
        ((1200.0, -90.0), (1200.0, -50.0)),  # leg 2 lies 50 m beyond it: more than its length
    ]
    found = crossed(lines, [[0, 1, 2], [0, 1, 2], [1]], spot)
    assert [c.pair.width_m for c in found] == [0.0, 1.0, 1.0]
    # The second rises by a tenth: at east 0 it is at north 0, where leg 1 ends and leg 2 begins.
    assert [c.share for c in found[:1]] == pytest.approx([0.25], abs=1e-3)
    assert found[2].share == pytest.approx(3000.0 / 3400.0, abs=1e-4)
    is_drawn(
        drawn([c.lon_deg for c in found], [c.lat_deg for c in found], spot),
        [(0.0, -500.0), (0.0, 0.0), (2000.0, 200.0)],
        0.6,
    )
    assert all(-180.0 <= c.lon_deg < 180.0 for c in found)
    along = [c.route_along_m for c in found]
    assert along == pytest.approx([1500.0, 2000.0, 4200.0], abs=0.6)
    turn = [(c.course_deg - spot.turn_deg + 180.0) % 360.0 - 180.0 for c in found]
    assert turn == pytest.approx([0.0, 0.0, 0.0], abs=0.02)


def test_only_the_lines_that_are_asked_for() -> None:
    across = ((-100.0, -500.0), (100.0, -500.0))
    assert crossed([across], [[1, 2]]) == []
    assert len(crossed([across], [[0, 1, 2]])) == 1
    track, none = chain(DOG_LEG), np.zeros(0)
    assert line_crossings(track, [], [], none, none, none, none) == []


STEP_DEG = 2.0**-10  # some 109 m on the equator; its double is exact


@pytest.mark.parametrize(
    ("first", "second", "share"),
    [
        (1.0, 2.0, -1.0),  # its own length beyond the first, to the last bit
        (-2.0, -1.0, 2.0),
        (-1.0, 1.0, 0.5),
        (1.0, 1.999, None),
        (-1.999, -1.0, None),
    ],
)
def test_prolonged_by_its_own_length_at_either_end(
    first: float, second: float, share: float | None
) -> None:
    track = chain([(0.0, -2000.0), (0.0, 2000.0)], spot=Spot(0.0, 0.0))
    on_equator = np.zeros(1)
    west, east = np.array([first * STEP_DEG]), np.array([second * STEP_DEG])
    found = line_crossings(track, [np.array([0])], [pair()], west, on_equator, east, on_equator)
    assert [c.share for c in found] == ([] if share is None else [share])


@pytest.mark.parametrize("off_deg", [0.0, 4e-6, -4e-6])  # up to 0.45 m
def test_a_line_along_the_track_is_not_crossed(off_deg: float) -> None:
    track = chain([(0.0, -2000.0), (0.0, 2000.0)], spot=Spot(0.0, 0.0))
    lon, south, north = np.array([off_deg]), np.array([-0.002]), np.array([0.002])
    for first, second in ((south, north), (north, south)):
        assert line_crossings(track, [np.array([0])], [pair()], lon, first, lon, second) == []


def at_a_waypoint(
    spot: Spot, width_m: float, share: float, before: Place, after: Place
) -> list[tuple[float, float]]:
    """(share, beyond the waypoint) where a track bends on a line between two marks, crossing it."""
    ends = [spot.at((-share * width_m, 0.0)), spot.at(((1.0 - share) * width_m, 0.0))]
    track = chain([before, (0.0, 0.0), after], spot=spot)
    west, east = np.array(ends[:1]).T, np.array(ends[1:]).T
    found = line_crossings(track, [np.array([0, 1])], [pair()], *west, *east)
    return [(c.share, c.route_along_m - float(track.end_m[0])) for c in found]


def test_through_a_waypoint_on_the_line_itself_once() -> None:
    """A waypoint put on the line between the marks: each leg's own plane has that line a hair
    elsewhere, beyond the ends of both or short of both; it is crossed there, once."""
    draw = random.Random(3)
    for _ in range(25):
        spot = Spot(
            draw.uniform(-180.0, 180.0), draw.uniform(-70.0, 70.0), draw.uniform(0.0, 360.0)
        )
        before = draw.uniform(-2000.0, 2000.0), -draw.uniform(500.0, 2000.0)
        after = draw.uniform(-2000.0, 2000.0), draw.uniform(500.0, 2000.0)
        share = draw.uniform(-0.9, 1.9)
        for there in (after, before):  # on across the line, or back again
            ((found, beyond_m),) = at_a_waypoint(
                spot, draw.uniform(50.0, 900.0), share, before, there
            )
            assert found == pytest.approx(share, abs=0.03)
            assert abs(beyond_m) < 2.0


@pytest.mark.parametrize(
    ("off_m", "found"),
    [
        ((-2.1, 0.0, 0.0), (1, 2)),
        ((0.0, 0.0, 2.1), (0, 1)),
        ((2.1, 2.1, -2.1), (0, 1, 2)),
        ((-2.1, -2.1, 2.1), (1,)),
    ],
)
def test_at_the_routes_ends_as_well(
    off_m: tuple[float, float, float], found: tuple[int, ...]
) -> None:
    """Lines at the start of the route, at its only waypoint and at its end; or 2.1 m off these."""
    places = [(0.0, -2000.0), (0.0, 0.0), (0.0, 1500.0)]
    lines = [
        ((-50.0, north + off), (50.0, north + off))
        for (_, north), off in zip(places, off_m, strict=True)
    ]
    assert [c.pair.width_m for c in crossed(lines, [[0, 1]] * 3, track=places)] == list(found)


def test_two_crossings_beside_a_sharp_turn_are_two() -> None:
    """Over the line and back, the turn 30 m beyond it; at it, to 0.3 m, they are one."""
    line = [((-50.0, 0.0), (50.0, 0.0))]
    spiked = [(-300.0, -300.0), (0.0, 30.0), (300.0, -300.0)]
    found = crossed(line, [[0, 1]], track=spiked)
    assert [c.share for c in found] == pytest.approx([0.2273, 0.7727], abs=1e-3)
    touching = [(-300.0, -300.0), (0.0, 0.3), (300.0, -300.0)]
    assert len(crossed(line, [[0, 1]], track=touching)) == 1
    # Just before a turn, and again well after it: two, whichever way the track goes.
    after = [(0.0, -300.0), (0.0, 1.0), (200.0, -0.5)]
    for track in (after, after[::-1]):
        assert len(crossed([((-50.0, 0.0), (150.0, 0.0))], [[0, 1]], track=track)) == 2
    # Legs that do not join are no joint, though they meet at one place.
    loop = [
        (-300.0, -300.0),
        (0.0, 0.0),
        (300.0, 300.0),
        (300.0, -300.0),
        (0.0, 0.0),
        (-300.0, 9.0),
    ]
    assert len(crossed(line, [[0, 1, 2, 3, 4]], track=loop)) == 2
    # Nor are those of two lines between marks.
    assert len(crossed([*line, *line], [[0], [1]], track=loop)) == 2


def test_it_lies_on_the_track() -> None:
    """A line 1.9 m beyond the end of the route is met at its end."""
    track = [(0.0, -2000.0), (0.0, 0.0)]
    (found,) = crossed([((-50.0, 1.9), (50.0, 1.9))], [[0]], track=track)
    is_drawn(drawn([found.lon_deg], [found.lat_deg]), [(0.0, 0.0)])
    (found,) = crossed([((-50.0, -1.0), (50.0, -1.0))], [[0]], track=track[::-1])
    assert found.route_along_m == pytest.approx(1.0, abs=1e-3)
    (found,) = crossed([((-50.0, 1.9), (50.0, 1.9))], [[0]], track=track[::-1])
    assert found.route_along_m == 0.0
