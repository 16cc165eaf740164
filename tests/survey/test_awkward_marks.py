"""Awkward meetings of tracks and marks: none may be silent, and none may cry wolf.

Region A or none; the stated direction is north. IALA R1001: going with it a port-hand mark is left
to port.
"""

from __future__ import annotations

import pytest

from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.passes import MarkPass
from tests.buoys import HERE, Place, Spot, charts, judged, mark, met, zone

NORTH = (0.0, "A")
EVERYWHERE = [HERE, Spot(180.0, 0.0), Spot(-179.9999, 52.0), Spot(20.0, 75.0), Spot(20.0, -45.0)]


def passes(
    track: list[Place], east_m: float, north_m: float = 0.0, spot: Spot = HERE
) -> list[MarkPass]:
    buoy = mark((east_m, north_m), "port-hand", "Buoy", spot=spot)
    return met(track, charts([buoy], [zone(*NORTH, spot=spot)]), spot=spot)


def told(found: list[MarkPass]) -> list[tuple[MarkOutcome, Severity | None]]:
    return [(said.outcome, said.severity) for one in found for said in [judged(one)]]


WRONG = (MarkOutcome.WRONG, Severity.DANGER)
RIGHT = (MarkOutcome.RIGHT, None)


@pytest.mark.parametrize("spot", EVERYWHERE)
def test_a_mark_on_a_waypoint_has_no_certain_side(spot: Spot) -> None:
    found = passes([(0.0, -3000.0), (0.0, 0.0), (500.0, 3000.0)], 0.0, spot=spot)
    assert told(found) == [(MarkOutcome.NOT_ASSESSED, Severity.CAUTION)]


@pytest.mark.parametrize("spot", EVERYWHERE)
@pytest.mark.parametrize(("east_m", "answer"), [(100.0, WRONG), (-100.0, RIGHT)])
def test_at_the_very_start_and_end(
    spot: Spot, east_m: float, answer: tuple[MarkOutcome, Severity | None]
) -> None:
    track = [(0.0, 0.0), (0.0, 1000.0)]
    for north_m in (0.0, -20.0, 1000.0, 1020.0):
        assert told(passes(track, east_m, north_m, spot)) == [answer], north_m


@pytest.mark.parametrize("north_m", [-400.0, 1400.0])
def test_well_before_the_first_or_beyond_the_last_waypoint_it_is_not_passed(north_m: float) -> None:
    (one,) = passes([(0.0, 0.0), (0.0, 1000.0)], 100.0, north_m)
    assert not one.passed and judged(one).outcome is MarkOutcome.NOT_ASSESSED


@pytest.mark.parametrize("back_m", [0.0, 1.0, 30.0])
def test_doubling_back_each_way_is_judged_by_itself(back_m: float) -> None:
    """Out with the buoyage and home against it on one line: the proper side swaps, and so does the
    side passed."""
    found = passes([(0.0, -2000.0), (0.0, 2000.0), (back_m, -2000.0)], 100.0)
    assert told(found) == [WRONG, WRONG]  # to starboard going north, to port coming back
    found = passes([(0.0, -2000.0), (0.0, 2000.0), (back_m, -2000.0)], -100.0)
    assert told(found) == [RIGHT, RIGHT]


def test_round_the_mark_in_a_loop() -> None:
    """Left to starboard both times: wrong on the way up, right on the way down."""
    found = passes([(-100.0, -2000.0), (-100.0, 900.0), (100.0, 900.0), (100.0, -2000.0)], 0.0)
    assert told(found) == [WRONG, RIGHT]


def test_a_closed_loop_counts_its_start_and_its_end() -> None:
    track = [(0.0, 0.0), (0.0, 1000.0), (1000.0, 1000.0), (1000.0, -1000.0), (0.0, -1000.0)]
    assert told(passes([*track, (0.0, 0.0)], 100.0, 10.0)) == [WRONG, WRONG]


def test_outside_a_bend_it_is_met_once_and_inside_on_both_legs() -> None:
    bend = [(-1000.0, -1000.0), (0.0, 0.0), (1000.0, -1000.0)]
    east = zone(90.0, "A")
    outside = met(bend, charts([mark((0.0, 100.0), "starboard-hand")], [east]))
    inside = met(bend, charts([mark((0.0, -150.0), "port-hand")], [east]))
    assert told(outside) == [WRONG] and told(inside) == [WRONG, WRONG]


def test_a_border_of_two_zones_through_a_leg() -> None:
    """Each mark by its own zone: beyond the border the colours change sides."""
    south = zone(0.0, "A", half_m=5000.0, centre=(0.0, -5000.0), name="south")
    north = zone(180.0, "A", half_m=5000.0, centre=(0.0, 5000.0), name="north")
    marks = [mark((100.0, y), "port-hand", str(y)) for y in (-500.0, -10.0, 10.0, 500.0)]
    found = met([(0.0, -3000.0), (0.0, 3000.0)], charts(marks, [south, north]))
    assert told(found) == [WRONG, WRONG, RIGHT, RIGHT]
    (on_it,) = met(
        [(0.0, -3000.0), (0.0, 3000.0)],
        charts([mark((100.0, 0.0), "port-hand")], [south, north]),
    )
    assert "south" in on_it.conflict and "north" in on_it.conflict


def test_neither_no_name_nor_the_same_name_hides_a_mark() -> None:
    marks = [
        mark((100.0, 400.0 * n), "port-hand", name) for n, name in enumerate(["", "", "X", "X"])
    ]
    found = met([(0.0, -3000.0), (0.0, 3000.0)], charts(marks, [zone(*NORTH)]))
    assert told(found) == [WRONG] * 4
    assert len({one.mark.key for one in found}) == 4


def test_a_user_who_contradicts_the_chart_about_the_region_is_told() -> None:
    red = mark((100.0, 0.0), "lateral", colours=("red",))
    (one,) = met([(0.0, -3000.0), (0.0, 3000.0)], charts([red], [zone(*NORTH)]), region="B")
    assert judged(one).outcome is MarkOutcome.RIGHT  # by region B, as the user says
    assert "--region says region B" in one.conflict and "says A" in one.conflict
