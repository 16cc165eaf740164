"""Which region and which direction of buoyage hold at a mark, and who contradicts whom."""

from __future__ import annotations

import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.finding import MarkOutcome
from routecheck.model.objects import BuoyageZone, Mark, MarkKind
from routecheck.model.passes import GroundKind, MarkPass, Sense
from tests.buoys import Spot, chart, judged, mark, met, source, zone

UP = [(0.0, 0.0), (0.0, 4000.0)]
BUOY = mark((-300.0, 2000.0), MarkKind.LATERAL, colours=("red",))


def passed(
    zones: list[BuoyageZone], user: tuple[BuoyageZone, ...] = (), region: str = ""
) -> MarkPass:
    held = ChartSet(charts=(chart([BUOY], zones),), zones=user)
    (one,) = met(UP, held, region=region)
    return one


def test_region_in_order_of_trust() -> None:
    """The user's zones, --region, the mark itself, the chart; a lower one that differs is named."""
    chart_b = [zone(region="B", name="sea")]
    alone = passed(chart_b)
    assert (alone.region, alone.region_from, alone.conflict) == ("B", "cell (zone sea)", "")
    optioned = passed(chart_b, region="A")
    assert (optioned.region, optioned.region_from) == ("A", "--region")
    assert "--region says region A" in optioned.conflict and "sea" in optioned.conflict
    users = passed(chart_b, (zone(region="B", name="mine", user=True),), region="A")
    assert users.region == "B" and "mine" in users.region_from
    assert "mine" in users.conflict and "--region says A" in users.conflict


def test_the_marks_own_region_outweighs_the_charts() -> None:
    buoy = mark((-300.0, 2000.0), MarkKind.LATERAL, colours=("red",), region="A")
    (one,) = met(UP, ChartSet(charts=(chart([buoy], [zone(region="B")]),)))
    assert (one.region, one.kind) == ("A", MarkKind.PORT_HAND)
    assert "the mark itself says region A" in one.conflict


def test_direction_by_the_innermost_zone_of_a_chart() -> None:
    outer, inner = zone(180.0, half_m=9000.0, name="sea"), zone(10.0, half_m=5000.0, name="bay")
    one = passed([outer, inner])
    (ground,) = one.grounds
    assert (ground.kind, ground.sense, ground.direction_deg) == (
        GroundKind.CHART, Sense.WITH, 10.0,
    )  # fmt: skip
    assert one.conflict == ""  # the general statement and its exception


def test_zones_that_merely_overlap_contradict_each_other() -> None:
    first = zone(180.0, half_m=5000.0, centre=(0.0, 4000.0), name="north")
    second = zone(10.0, half_m=5000.1, centre=(0.0, -1000.0), name="south")
    one = passed([first, second])
    assert one.grounds[0].direction_deg == 180.0
    assert "north" in one.conflict and "180°" in one.conflict
    assert "south" in one.conflict and "10°" in one.conflict
    near = zone(145.0, half_m=5000.1, centre=(0.0, -1000.0))
    assert passed([first, near]).conflict == ""  # within 45 degrees


def outcomes(buoy: Mark, held: ChartSet) -> set[MarkOutcome]:
    """What is said of the mark, whichever way the track goes."""
    found = [met(track, held) for track in (UP, UP[::-1])]
    assert all(one.mark is buoy for passes in found for one in passes)
    return {judged(one).outcome for passes in found for one in passes}


PORT = mark((-150.0, 2000.0), MarkKind.PORT_HAND)
RED = mark((-150.0, 2000.0), MarkKind.LATERAL, colours=("red",))
RED_PORT = mark((-150.0, 2000.0), MarkKind.PORT_HAND, colours=("red",))
UNKNOWN, JUDGED = {MarkOutcome.NOT_ASSESSED}, {MarkOutcome.RIGHT}


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("buoy", "first", "second", "said"),
    [
        (PORT, zone(0.0), zone(180.0), UNKNOWN),
        (PORT, zone(0.0), zone(180.0, half_m=20100.0), UNKNOWN),
        (PORT, zone(0.0), zone(120.0, half_m=20100.0), UNKNOWN),
        (PORT, zone(0.0), zone(40.0, half_m=20100.0), JUDGED),  # the same way, either of them
        (PORT, zone(0.0, "A"), zone(region="B"), JUDGED),  # its category alone tells its hand
        (RED_PORT, zone(0.0, "A"), zone(region="B"), UNKNOWN),
        (RED, zone(0.0, "A"), zone(region="B"), UNKNOWN),
        (RED, zone(0.0, "A"), zone(region="A"), JUDGED),
    ],
)
def test_zones_of_one_standing_that_differ_judge_no_mark(
    buoy: Mark, first: BuoyageZone, second: BuoyageZone, said: set[MarkOutcome], turned: bool
) -> None:
    """Of one chart, of the user, and of two charts of one rank: the order says nothing."""
    zones = [second, first] if turned else [first, second]
    other = chart([], [zones[1]], of=source("cell two"))
    for held in (
        ChartSet(charts=(chart([buoy], zones),)),
        ChartSet(charts=(chart([buoy]),), zones=tuple(zones)),
        ChartSet(charts=(chart([buoy], zones[:1]), other)),
    ):
        assert outcomes(buoy, held) == said


def test_a_contested_region_is_said_and_an_option_settles_it() -> None:
    zones = [zone(0.0, "A", name="one"), zone(region="B", name="two")]
    bare = passed(zones)
    assert (bare.region, bare.kind) == ("", MarkKind.LATERAL)
    assert "one" in bare.uncertain_hand and "two" in bare.uncertain_hand
    assert "one" in bare.conflict and "two" in bare.conflict
    assert passed(zones, region="A").kind is MarkKind.PORT_HAND
    users = (zone(region="B", name="mine", user=True),)
    assert passed(zones, users).kind is MarkKind.STARBOARD_HAND


def test_directions_of_one_standing_that_differ_are_named_in_the_finding() -> None:
    one = passed([zone(0.0, "A", name="in"), zone(120.0, "A", name="out")])
    said = judged(one)
    assert "zone in" in said.why and "zone out" in said.why and "contradict" in said.why
    assert [g.sense for g in one.grounds] == [Sense.WITH, Sense.AGAINST]


def test_the_user_outweighs_the_chart_and_the_conflict_names_both() -> None:
    one = passed([zone(180.0, name="sea")], (zone(0.0, name="mine", user=True),))
    assert (one.grounds[0].kind, one.grounds[0].sense) == (GroundKind.USER_ZONE, Sense.WITH)
    assert "mine" in one.conflict and "sea" in one.conflict
    agreeing = passed([zone(20.0)], (zone(0.0, user=True),))
    assert agreeing.conflict == ""


def test_region_and_direction_may_come_from_zones_of_their_own() -> None:
    one = passed([zone(region="A"), zone(0.0)])
    assert (one.region, one.kind, one.grounds[0].sense) == ("A", MarkKind.PORT_HAND, Sense.WITH)


def test_the_larger_scale_states_the_direction_where_it_states_any() -> None:
    harbour, approach = source("harbour", 10000.0), source("approach", 50000.0)
    small = chart([], [zone(180.0, name="small")], of=approach)
    large = chart([BUOY], [zone(10.0, name="large")], of=harbour)
    (one,) = met(UP, ChartSet(charts=(small, large)))
    assert one.grounds[0].direction_deg == 10.0 and one.conflict == ""
    silent = chart([BUOY], [zone(region="A")], of=harbour)
    (other,) = met(UP, ChartSet(charts=(small, silent)))
    assert other.grounds[0].direction_deg == 180.0


@pytest.mark.parametrize(
    ("east_m", "sense"), [(-6000.0, Sense.WITH), (6000.0, Sense.AGAINST)], ids=["west", "east"]
)
def test_the_direction_may_turn_round_along_one_route(east_m: float, sense: Sense) -> None:
    """Beyond the watershed the direction of buoyage is turned round, and the colours with it."""
    buoys = [mark((x, 300.0), MarkKind.STARBOARD_HAND, str(x)) for x in (-6000.0, 6000.0)]
    zones = [
        zone(90.0, half_m=10000.0, centre=(-10000.0, 0.0), name="west"),
        zone(270.0, half_m=10000.0, centre=(10000.0, 0.0), name="east"),
    ]
    held = ChartSet(charts=(chart(buoys, zones),))
    found = met([(-9000.0, 0.0), (9000.0, 0.0)], held)
    (one,) = [p for p in found if p.mark.name == str(east_m)]
    assert one.grounds[0].sense is sense and one.conflict == ""


@pytest.mark.parametrize("spot", [Spot(180.0, 10.0), Spot(-179.999, -20.0, 40.0)], ids=str)
def test_a_zone_written_past_180_holds_on_both_sides(spot: Spot) -> None:
    area = zone(0.0, "A", spot=spot, half_m=5000.0)
    west, _, east, _ = area.geometry.bounds
    assert east > 180.0 or west < -180.0
    for east_m in (-300.0, 300.0):
        buoy = mark((east_m, 2000.0), MarkKind.PORT_HAND, spot=spot)
        (one,) = met(UP, ChartSet(charts=(chart([buoy], [area]),)), spot=spot)
        assert one.region == "A" and one.grounds[0].sense is Sense.WITH
