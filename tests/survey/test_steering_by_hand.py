"""What a steering line says at a place, line by line; drawn in metres from an origin.

IHO S-57, use of the object catalogue: the bearing of a line is given as from seaward (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
import shapely
import shapely.affinity

from routecheck.model.chart import ChartSet
from routecheck.model.objects import SteeringLine
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.survey.steering import SteeringLines
from tests.buoys import HERE, Place, Spot, chart

REACH_M = 463.0  # a quarter of a nautical mile


def line(
    *parts: Sequence[Place],
    inbound_deg: float = 0.0,
    spot: Spot = HERE,
    name: str = "Haven light",
    turns: int = 0,
) -> SteeringLine:
    def at(place: Place) -> Place:
        """Longitudes run on past 180 degrees."""
        lon, lat = spot.at(place)
        return spot.lon_deg + (lon - spot.lon_deg + 180.0) % 360.0 - 180.0, lat

    drawn: shapely.Geometry = shapely.MultiLineString([[at(p) for p in part] for part in parts])
    if len(parts) == 1:
        drawn = drawn.geoms[0]
    return SteeringLine(
        key="cell/NAVLNE/77",
        cls="NAVLNE",
        source="cell",
        geometry=shapely.affinity.translate(drawn, xoff=360.0 * turns),
        name=name,
        inbound_deg=(inbound_deg + spot.turn_deg) % 360.0,
        what="leading line",
    )


def said(
    *lines: SteeringLine, at: Place = (0.0, 0.0), course_deg: float = 0.0, spot: Spot = HERE
) -> Ground | None:
    held = replace(chart([]), steering_lines=lines)
    lon, lat = spot.at(at)
    return SteeringLines(ChartSet(charts=(held,))).ground(lon, lat, course_deg + spot.turn_deg)


def sense(*lines: SteeringLine, **given: object) -> Sense | None:
    found = said(*lines, **given)  # type: ignore[arg-type]
    return None if found is None else found.sense


NORTHWARD = [(0.0, -2000.0), (0.0, 2000.0)]


def test_without_lines_nothing() -> None:
    assert said() is None


def test_what_it_says_in_words() -> None:
    found = said(line(NORTHWARD, inbound_deg=7.4))
    assert found is not None
    assert (found.kind, found.sense) == (GroundKind.LINE, Sense.WITH)
    assert found.text == (
        "the leading line Haven light of cell leads in from seaward on 7°, if the channel there "
        "has a seaward end"
    )
    unnamed = said(line(NORTHWARD, name=""))
    assert unnamed is not None and unnamed.text.startswith("the leading line 77 of cell leads in")


@pytest.mark.parametrize(
    ("course_deg", "found"),
    [
        (0.0, Sense.WITH),
        (69.0, Sense.WITH),
        (-69.0, Sense.WITH),
        (71.0, None),
        (-109.0, None),
        (111.0, Sense.AGAINST),
        (180.0, Sense.AGAINST),
    ],
)
def test_the_course_against_the_lines_bearing(course_deg: float, found: Sense | None) -> None:
    assert sense(line(NORTHWARD), course_deg=course_deg) is found


@pytest.mark.parametrize(
    ("inbound_deg", "found"),
    [
        (19.0, Sense.WITH),
        (-19.0, Sense.WITH),
        (21.0, None),
        (-21.0, None),
        (159.0, None),
        (161.0, Sense.AGAINST),  # the line was drawn from the shore
        (-161.0, Sense.AGAINST),
        (180.0, Sense.AGAINST),
    ],
)
@pytest.mark.parametrize("spot", [HERE, Spot(20.0, 60.0, 200.0)])
def test_a_stretch_that_runs_on_the_bearing_given(
    inbound_deg: float, found: Sense | None, spot: Spot
) -> None:
    drawn = line(NORTHWARD, inbound_deg=inbound_deg, spot=spot)
    assert sense(drawn, spot=spot) is found


SPOTS = [
    HERE,
    Spot(10.0, 54.0, 30.0),
    Spot(180.0, -70.0, 115.0),
    Spot(-180.0, 80.0),
    Spot(5.0, 84.0),
]


@pytest.mark.parametrize("spot", SPOTS, ids=str)
@pytest.mark.parametrize(
    ("at", "near"),
    [
        ((REACH_M - 3.0, 0.0), True),
        ((REACH_M + 3.0, 0.0), False),
        ((3.0 - REACH_M, 0.0), True),
        ((-3.0 - REACH_M, 0.0), False),
        ((0.0, 2000.0 + REACH_M - 2.0), True),  # beyond its ends
        ((0.0, 2000.0 + REACH_M + 2.0), False),
        ((0.0, -2000.0 - REACH_M + 2.0), True),
        ((0.0, -2000.0 - REACH_M - 2.0), False),
        ((300.0, 2348.0), True),  # 459 m
        ((-330.0, -2330.0), False),  # 467 m
    ],
)
def test_a_quarter_of_a_mile_off(at: Place, spot: Spot, *, near: bool) -> None:
    found = sense(line(NORTHWARD, spot=spot), at=at, spot=spot)
    assert found is (Sense.WITH if near else None)


@pytest.mark.parametrize("turns", [-1, 0, 1])
def test_however_its_longitudes_are_written(turns: int) -> None:
    assert sense(line(NORTHWARD, turns=turns)) is Sense.WITH


BENT = [(0.0, -2000.0), (0.0, 0.0), (0.0, 0.0), (1500.0, 0.0)]


@pytest.mark.parametrize(
    ("at", "inbound_deg", "course_deg", "found"),
    [
        ((-100.0, -1000.0), 0.0, 0.0, Sense.WITH),
        ((-100.0, -1000.0), 90.0, 0.0, None),  # another reach of it
        ((1000.0, 100.0), 90.0, 90.0, Sense.WITH),
        ((1000.0, 100.0), 0.0, 0.0, None),
        ((300.0, -200.0), 90.0, 90.0, Sense.WITH),  # within the bend: the nearer reach
        ((200.0, -300.0), 90.0, 90.0, None),
        ((200.0, -300.0), 0.0, 0.0, Sense.WITH),
        ((1500.0 + 400.0, 0.0), 90.0, 90.0, Sense.WITH),
    ],
)
@pytest.mark.parametrize("apart", [False, True])
def test_the_nearest_stretch_speaks(
    at: Place, inbound_deg: float, course_deg: float, found: Sense | None, *, apart: bool
) -> None:
    """A doubled corner has no bearing and says nothing; in one part or in two."""
    parts = [BENT[:2], BENT[2:]] if apart else [BENT]
    drawn = line(*parts, inbound_deg=inbound_deg)
    assert sense(drawn, at=at, course_deg=course_deg) is found
    backwards = line(*[part[::-1] for part in parts[::-1]], inbound_deg=inbound_deg)
    assert sense(backwards, at=at, course_deg=course_deg) is found


def test_several_lines() -> None:
    """Those that agree speak by the first of them; those that say nothing do not disturb."""
    first = line([(100.0, -2000.0), (100.0, 2000.0)], name="First")
    second = line([(50.0, -2000.0), (50.0, 2000.0)], name="Second")
    against = line(NORTHWARD, inbound_deg=180.0)
    far = line([(900.0, -2000.0), (900.0, 2000.0)], inbound_deg=180.0)
    across = line([(-2000.0, 0.0), (2000.0, 0.0)], inbound_deg=90.0)
    for order, name in (((first, second), "First"), ((second, first), "Second")):
        found = said(*order)
        assert found is not None and f"leading line {name} " in found.text
        found = said(far, across, *order)
        assert found is not None and f"leading line {name} " in found.text
    assert said(first, against) is None and said(against, first) is None
    assert sense(against) is Sense.AGAINST
    assert said(far) is None and said(across) is None


def test_a_short_line_speaks_as_well() -> None:
    assert sense(line([(0.0, -0.3), (0.0, 0.3)])) is Sense.WITH


def test_a_line_of_no_length_says_nothing() -> None:
    assert said(line([(0.0, 0.0), (0.0, 0.0)])) is None
