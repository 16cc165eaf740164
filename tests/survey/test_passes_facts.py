"""What a pass holds, fact by fact; places in metres from an origin, tracks mostly northward."""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from routecheck.model.passes import GroundKind, MarkPass
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import MarkIndex, mark_passes
from tests.buoys import GEOD, HERE, Place, charts, mark, met, route, zone

P, S, LATERAL = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND, MarkKind.LATERAL
DANGER, WRECK = MarkKind.ISOLATED_DANGER, MarkKind.EMERGENCY_WRECK
UP = [(0.0, 0.0), (0.0, 4000.0)]


def named(found: list[MarkPass], name: str) -> list[MarkPass]:
    return [one for one in found if one.mark.name == name]


@pytest.mark.parametrize(
    ("colours", "region", "why"),
    [
        ((), "A", "neither its hand nor its colours are stated"),
        (("red",), "", "its hand follows from the region, and nothing states the region"),
        (("blue", "pink"), "B", "blue, pink names no hand in region B"),
        (("red",), "A", ""),
    ],
)
def test_why_a_hand_is_uncertain(colours: tuple[str, ...], region: str, why: str) -> None:
    (found,) = met(UP, charts([mark((-100.0, 2000.0), LATERAL, colours=colours)]), region=region)
    assert found.uncertain_hand == why
    assert found.kind is (LATERAL if why else P)
    (plain,) = met(UP, charts([mark((-100.0, 2000.0), P)]), region=region)
    assert plain.uncertain_hand == ""


@pytest.mark.parametrize(
    ("track", "east_m", "bearing_deg"),
    [
        (UP, 0.0, 270.0),  # over the mark: square to the course
        (UP[::-1], 0.0, 90.0),
        (UP, 0.4, 270.0),
        (UP, -0.4, 270.0),
        (UP, 0.6, 270.0),
        (UP, -0.6, 90.0),
        (UP[::-1], -0.6, 90.0),
        (UP[::-1], 300.0, 270.0),
    ],
)
def test_the_bearing_from_the_mark(track: list[Place], east_m: float, bearing_deg: float) -> None:
    (found,) = met(track, charts([mark((east_m, 2000.0), P)]))
    assert found.track_bearing_deg == pytest.approx(bearing_deg, abs=0.01)
    assert found.track_side_of_mark == ("west" if bearing_deg > 180.0 else "east")


@pytest.mark.parametrize(
    ("east_m", "side", "inside"),
    [
        (0.0, "starboard", True),
        (29.9, "starboard", True),
        (79.0, "starboard", True),
        (81.0, "starboard", False),
        (-29.0, "port", True),
        (-31.0, "port", False),
        (-79.0, "port", False),
    ],
)
def test_in_the_corridor_by_its_own_side(east_m: float, side: str, *, inside: bool) -> None:
    legs = corridors(route(UP), ((30.0, 80.0),))
    (found,) = mark_passes(legs, charts([mark((east_m, 2000.0), P)]), far_m=740.0)[1]
    assert (found.side, found.in_corridor) == (side, inside)


def test_in_a_corridor_that_is_next_to_nothing_on_one_side() -> None:
    legs = corridors(route(UP), ((0.2, 80.0),))
    marks = [mark((0.5, 2000.0), P, "right"), mark((-0.5, 3000.0), P, "left")]
    found = mark_passes(legs, charts(marks), far_m=740.0)[1]
    assert [(p.mark.name, p.in_corridor) for p in found] == [("right", True), ("left", False)]


@pytest.mark.parametrize(
    ("north_m", "along_m"), [(-200.0, 0.0), (10.0, 10.0), (3990.0, 3990.0), (4200.0, 4000.0)]
)
def test_along_the_leg_and_no_further(north_m: float, along_m: float) -> None:
    (found,) = met(UP, charts([mark((250.0, north_m), P)]))
    assert found.along_m == pytest.approx(along_m, abs=0.01)
    lon, lat = HERE.at((0.0, along_m))
    assert GEOD.inv(found.lon_deg, found.lat_deg, lon, lat)[2] < 0.02


@pytest.mark.parametrize(
    ("kind", "off_m", "found"),
    [
        (DANGER, 759.0, 1),  # floating: it may lie 20 m nearer (IHO S-44 ed. 6, table 2, order 2)
        (DANGER, 762.0, 0),
        (WRECK, 759.0, 1),
        (WRECK, 762.0, 0),
        (P, 739.0, 1),
        (P, 740.6, 0),
        (MarkKind.NORTH, 742.0, 0),
    ],
)
@pytest.mark.parametrize("far_m", [740.0, 1900.0])
def test_what_stands_on_a_danger_may_lie_nearer(
    kind: MarkKind, off_m: float, far_m: float, found: int
) -> None:
    place = (off_m - 740.0 + far_m, 2000.0)
    others = [mark((9000.0, 9000.0), P)]  # far away
    one = mark(place, kind, floating=True)
    assert len(met(UP, charts([one, *others]), far_m=far_m)) == found


def test_each_leg_by_its_own_width() -> None:
    bend = [(0.0, 0.0), (0.0, 4000.0), (4000.0, 4000.0)]
    legs = corridors(route(bend), ((50.0, 50.0), (900.0, 900.0)))
    marks = [mark((-800.0, 2000.0), P, "first"), mark((2000.0, 4800.0), P, "second")]
    found = mark_passes(legs, charts(marks), far_m=740.0)
    assert {leg: [p.mark.name for p in those] for leg, those in found.items()} == {
        1: [],
        2: ["second"],
    }


@pytest.mark.parametrize(("off_m", "found"), [(1850.0, True), (1854.0, False)])
def test_a_run_is_projected_from_a_mile_off(off_m: float, *, found: bool) -> None:
    """Numbers 3 and 5 stand more than five miles from 1, and from the track as far as this."""
    marks = [
        mark((100.0, 1000.0), P, "Reach 1"),
        mark((off_m, 10400.0), P, "Reach 3"),
        mark((off_m, 19400.0), P, "Reach 5"),
    ]
    (one,) = met([(0.0, 0.0), (0.0, 20000.0)], charts(marks))
    assert [g.kind for g in one.grounds] == ([GroundKind.NUMBERS] if found else [])
    assert one.run == "reach"


def test_in_order_along_each_leg() -> None:
    """Of two in one place the first by its key."""
    places = [("b", 200.0, 2000.0), ("a", 200.0, 2000.0), ("e", 0.0, 900.0), ("z", 0.0, 3000.0)]
    found = met(UP, charts([mark((x, y), P, name) for name, x, y in places]))
    assert [p.mark.name for p in found] == ["e", "a", "b", "z"]


def test_an_index_made_before_serves_as_well() -> None:
    held = charts([mark((-100.0, 2000.0), P), mark((100.0, 2000.0), S)], [zone(0.0, "A")])
    legs = corridors(route(UP), ((50.0, 50.0),))
    index = MarkIndex(held)
    assert mark_passes(legs, held, far_m=740.0, index=index) == mark_passes(legs, held, far_m=740.0)
    assert mark_passes((), held, far_m=740.0) == {}
    # It is the index that counts, where one is given.
    assert mark_passes(legs, charts([]), far_m=740.0, index=index)[1] != ()


PAIR = [mark((-150.0, 0.0), P, "left"), mark((150.0, 0.0), S, "right")]


def test_what_a_gate_holds() -> None:
    (left, right) = met([(100.0, -2000.0), (100.0, 2000.0)], charts(PAIR))
    by_name = {one.mark.name: one.gate for one in (left, right)}
    for name, partner in (("left", "right"), ("right", "left")):
        gate = by_name[name]
        assert gate is not None
        assert gate.partner_name == partner and gate.partner_key.startswith(f"cell/{partner}@")
        assert (gate.edge_key, gate.edge_name, gate.bend_m) == ("", "", 0.0)
        assert gate.nearer is (name == "right")
        assert gate.off_middle_m == pytest.approx(100.0, abs=0.01)
        assert GEOD.inv(gate.lon_deg, gate.lat_deg, *HERE.at((100.0, 0.0)))[2] < 0.01


def test_through_a_gate_and_back_through_it() -> None:
    """Each pass has its own crossing: 50 m to port of the middle inward, and 100 m out again."""
    back = [(-50.0, -900.0), (-50.0, 900.0), (100.0, 900.0), (100.0, -900.0)]
    found = met(back, charts(PAIR))
    off_m = {(p.leg, p.mark.name): p.gate.off_middle_m for p in found if p.gate is not None}
    assert off_m == {
        (1, "left"): pytest.approx(-50.0, abs=0.01),
        (1, "right"): pytest.approx(-50.0, abs=0.01),
        (3, "left"): pytest.approx(-100.0, abs=0.01),
        (3, "right"): pytest.approx(-100.0, abs=0.01),
    }


@pytest.mark.parametrize(("east_m", "belongs"), [(2000.0, True), (2300.0, False)])
@pytest.mark.parametrize("back", [False, True])
def test_a_crossing_two_miles_on_is_another_matter(
    east_m: float, *, belongs: bool, back: bool
) -> None:
    """By one mark of a wide pair, and far beyond the other over their line: 3600 or 3900 m on."""
    wide = [mark((-900.0, 0.0), P, "left"), mark((900.0, 0.0), S, "right")]
    track = [(-900.0, -3000.0), (-900.0, -700.0), (east_m, -700.0), (east_m, 800.0)]
    (left,) = named(met(track[::-1] if back else track, charts(wide)), "left")
    assert (left.gate is not None) is belongs
    if left.gate is not None:
        assert left.gate.outside_m == pytest.approx(1100.0, abs=1.0) and not left.gate.nearer


@pytest.mark.parametrize(
    ("off_m", "partner"),
    [
        (460.0, "an unnamed starboard-hand mark"),
        (610.0, "an unnamed starboard-hand mark"),
        (290.0, ""),
    ],
)
def test_another_channels_pair(off_m: float, partner: str) -> None:
    """Passed by, further off than it is wide (300 m)."""
    unnamed = [PAIR[0], mark((150.0, 0.0), S)]
    track = [(-150.0 - off_m, -2000.0), (-150.0 - off_m, -50.0)]
    if off_m > 300.0:
        track = [track[0], (-150.0 - off_m, 2000.0)]
    (left,) = named(met(track, charts(unnamed)), "left")
    assert (left.other_channel, left.gate) == (partner, None)


def test_what_else_contradicts_or_is_odd() -> None:
    """Red and green in one region, and two regions stated."""
    green = mark((-100.0, 2000.0), P, colours=("green",))
    user = [zone(90.0, user=True)]
    (found,) = met(UP, charts([green], [zone(0.0, "A")], user), region="A")
    assert found.contradiction != ""
    assert "direction of buoyage" in found.conflict and ";" not in found.conflict
    (both,) = met(UP, charts([green], [zone(0.0, "A")], user), region="B")
    region, direction = both.conflict.split("; ")
    assert "region" in region and direction == found.conflict
    (plain,) = met(UP, charts([mark((-100.0, 2000.0), P)], [zone(0.0, "A")]))
    assert (plain.contradiction, plain.conflict, plain.odd_shape, plain.doubtful) == (
        "", "", "", ()
    )  # fmt: skip
    assert plain.region == "A" and plain.opposite_m is None
    assert plain.position_uncertainty_m == 20.0  # floating: IHO S-44 ed. 6, table 2, order 2
    assert plain.course_deg == pytest.approx(0.0, abs=1e-6)
