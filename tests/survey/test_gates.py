"""Facing pairs: which marks face each other, and on which part of their line a track crosses."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.objects import MarkKind
from routecheck.model.passes import GroundKind, Sense
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import mark_passes
from tests.buoys import Place, Spot, charts, mark, met, route, zone

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
PAIR = [mark((-150.0, 0.0), P, "left"), mark((150.0, 0.0), S, "right")]


def through(east_m: float) -> list[Place]:
    return [(east_m, -2000.0), (east_m, 2000.0)]


@pytest.mark.parametrize(
    ("east_m", "between", "outside_m", "nearer"),
    [
        (0.0, True, 0.0, "left right"),
        (149.0, True, 0.0, "right"),
        (-149.0, True, 0.0, "left"),
        (151.0, False, 1.0, "right"),
        (-300.0, False, 150.0, "left"),
        (449.0, False, 299.0, "right"),
    ],
)
def test_where_the_line_is_crossed(
    east_m: float, between: bool, outside_m: float, nearer: str
) -> None:
    found = met(through(east_m), charts(PAIR))
    assert len(found) == 2
    for one in found:
        assert one.gate is not None and one.gate.between is between
        assert one.gate.width_m == pytest.approx(300.0, rel=1e-4)
        assert one.gate.outside_m == pytest.approx(outside_m, abs=0.5)
        assert one.gate.nearer is (one.mark.name in nearer) or east_m == 0.0
        assert one.grounds[-1].kind is GroundKind.PAIR
        assert one.grounds[-1].sense is Sense.WITH


@pytest.mark.parametrize("east_m", [451.0, -460.0, 600.0])
def test_further_off_it_is_another_channels(east_m: float) -> None:
    found = met(through(east_m), charts(PAIR))
    assert found != []
    for one in found:
        assert one.gate is None and one.grounds == ()
        assert one.other_channel == ("right" if one.mark.name == "left" else "left")


def test_going_the_other_way_the_pair_says_against() -> None:
    found = met(through(0.0)[::-1], charts(PAIR))
    assert {p.grounds[-1].sense for p in found} == {Sense.AGAINST}


def test_a_track_along_the_line_learns_nothing_from_the_pair() -> None:
    found = met([(-2000.0, -30.0), (2000.0, 30.0)], charts(PAIR))
    assert [p.grounds for p in found] == [(), ()]


def test_a_track_that_bends_between_the_marks_crosses_once() -> None:
    bent = [(0.0, -2000.0), (0.0, 0.0), (500.0, 2000.0)]
    assert {p.gate.between for p in met(bent, charts(PAIR)) if p.gate} == {True}


def test_each_must_be_the_others_nearest() -> None:
    third = mark((160.0, 300.0), S, "third")  # nearest of its hand is left, but left's is right
    found = {p.mark.name: p for p in met(through(0.0), charts([*PAIR, third]))}
    assert found["third"].gate is None and found["third"].other_channel == ""
    assert found["left"].gate is not None and found["left"].gate.partner_name == "right"


@pytest.mark.parametrize(
    ("first", "second", "paired"),
    [
        ("Reach Buoy 3", "Reach Light 4", True),
        ("Reach Buoy 3", "Reach Light 8", False),  # too far apart in number
        ("Reach Buoy 3", "Strait Buoy 4", False),  # two channels
        ("Reach Buoy 3", "Old Perch", False),
        ("Old Stump", "Old Perch", True),
        ("", "", True),
    ],
)
def test_marks_with_numbers_are_of_one_run(first: str, second: str, paired: bool) -> None:
    marks = [mark((-150.0, 0.0), P, first), mark((150.0, 0.0), S, second)]
    assert {p.gate is not None for p in met(through(0.0), charts(marks))} == {paired}


def test_a_mile_apart_at_most() -> None:
    wide = [mark((-930.0, 0.0), P, "left"), mark((930.0, 0.0), S, "right")]
    assert [p.gate for p in met(through(-500.0), charts(wide))] == [None]
    less = [mark((-920.0, 0.0), P, "left"), mark((920.0, 0.0), S, "right")]
    assert [p.gate is not None for p in met(through(-500.0), charts(less))] == [True]


def test_a_partner_known_by_its_colours_alone_and_far_from_the_track() -> None:
    marks = [
        mark((-500.0, 0.0), MarkKind.LATERAL, "", colours=("red",)),
        mark((500.0, 0.0), MarkKind.LATERAL, "", colours=("green",)),
    ]
    (near,) = met(through(600.0), charts(marks, [zone(0.0, "A")]))
    assert near.kind is S and near.gate is not None and not near.gate.between


def test_marks_one_after_the_other_along_the_track_are_no_gate() -> None:
    """Staggered marks of a wide channel: each is the other's nearest, their line runs along it."""
    marks = [mark((-100.0, -500.0), P, "left"), mark((100.0, 500.0), S, "right")]
    for east_m in (0.0, 150.0, -180.0):
        assert [p.gate for p in met(through(east_m), charts(marks))] == [None, None]


def test_a_pair_wider_than_it_is_far_is_not_called_another_channels() -> None:
    """A track along the line of a wide pair never crosses it, and may well be in its channel."""
    marks = [mark((-300.0, -500.0), P, "left"), mark((-300.0, 500.0), S, "right")]
    assert {p.other_channel for p in met(through(0.0), charts(marks))} == {""}


def test_the_crossing_belongs_to_the_pass_that_is_nearest_to_it() -> None:
    """By the gate well off, and then back through it."""
    back = [(560.0, -800.0), (560.0, 500.0), (0.0, 500.0), (0.0, -800.0)]
    found = met(back, charts(PAIR))
    assert {p.gate is None for p in found if p.leg == 1} == {True}
    assert {p.gate is not None and p.gate.between for p in found if p.leg == 3} == {True}


@pytest.mark.parametrize("lat_deg", [-61.0, 50.0, 54.25, 59.7, 68.0])
@pytest.mark.parametrize("east_m", [-250.0, 0.0, 250.0])
def test_a_waypoint_on_the_very_latitude_of_both_marks(lat_deg: float, east_m: float) -> None:
    """The gate is crossed where the track bends, and not lost between the two legs."""
    spot = Spot(8.5, lat_deg)
    pair = [mark((-150.0, 0.0), P, "left", spot=spot), mark((150.0, 0.0), S, "right", spot=spot)]
    on_it = [replace(m, geometry=shapely.Point(m.lon_deg, lat_deg)) for m in pair]
    for before, after in ((-700.0, 300.0), (900.0, 400.0), (200.0, -500.0), (0.0, 300.0)):
        one = route([(before, -1500.0), (east_m, 0.0), (after, 1500.0)], spot)
        turn = replace(one.legs[0].end, lat_deg=lat_deg)
        legs = (replace(one.legs[0], end=turn), replace(one.legs[1], start=turn))
        both = corridors(replace(one, legs=legs), ((50.0, 50.0), (50.0, 50.0)))
        found = [p for leg in mark_passes(both, charts(on_it), far_m=740.0).values() for p in leg]
        gates = {p.mark.name: p.gate for p in found if p.gate is not None}
        assert set(gates) == {"left", "right"}
        for gate in gates.values():
            assert gate.outside_m == pytest.approx(max(0.0, abs(east_m) - 150.0), abs=0.5)
