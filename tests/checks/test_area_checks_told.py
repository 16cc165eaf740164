"""What the checks of areas tell, word for word, and that each tells of its own areas alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.against_one_way_traffic import against_one_way_traffic
from routecheck.checks.against_the_traffic_lane import against_the_traffic_lane
from routecheck.checks.area_to_be_avoided import area_to_be_avoided
from routecheck.checks.cable_or_pipe_below import cable_or_pipe_below
from routecheck.checks.deep_water_route import deep_water_route
from routecheck.checks.depth_may_have_changed import depth_may_have_changed
from routecheck.checks.entry_prohibited import entry_prohibited
from routecheck.checks.ferry_route import ferry_route
from routecheck.checks.hampered_water import hampered_water
from routecheck.checks.in_the_separation_zone import in_the_separation_zone
from routecheck.checks.inshore_traffic_zone import inshore_traffic_zone
from routecheck.checks.local_restriction import local_restriction
from routecheck.checks.lock_or_gate import lock_or_gate
from routecheck.checks.precautionary_area import precautionary_area
from routecheck.checks.special_conditions import special_conditions
from routecheck.model.areas import Area, AreaKind
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.period import Period
from routecheck.model.view import LegView
from tests.checks.areaviews import across, area, leg, near, timed
from tests.checks.told import said, stands_at
from tests.checks.views import boat, passage, run

Function = Callable[[LegView, Passage], Iterable[Finding]]
K = AreaKind
IN_IT = "The track is in it between 0.05 and 0.59 nmi along the leg, 0.54 nmi in all."
"""From 100 m to 1,100 m."""
BARRED = "It may bar the way: look the restriction up on the chart."
AVOID = (
    "To be avoided by all ships, or by the classes of ship that its text names: navigation there "
    "is particularly hazardous, or casualties must not happen there."
)
CROSS = (
    "Nobody may be in it but to cross the scheme, square to its lanes, to fish, or in immediate "
    "danger."
)
PARTS = "It parts traffic that goes opposite ways: cross it only square, or not at all."
LOCKED = (
    "Hours of opening, signals and water level are not charted. Neither is the width between its "
    "walls."
)
SAND = "Sand waves move: the water may be shoaler than charted."
SPOIL = "Spoil is dumped here: the water may be shoaler than charted."
WHAT_FERRY = "What kind of ferry is not charted: it may run on a cable across the water."
ON_A_CABLE = "The ferry runs on a cable or chain, which may lie across the water."
SHIPS = "Meant for ships that need it for their draught: keep out of their way."
MUTE = "The chart warns of something here and does not say of what: look at its notes."
INSHORE = (
    "Her length is not known: a vessel that can use the lane beside it shall not use it, unless "
    "she sails, fishes or is under 20 m."
)


def of(kind: AreaKind, *restrictions: int, **facts: Any) -> Area:
    return area(kind, *restrictions, **facts)


CASES: list[tuple[Function, Area, str, str, str]] = [
    (entry_prohibited, of(K.RESTRICTED, 7), "danger", "restricted area: entry prohibited",
     "Nobody may enter without leave."),
    (entry_prohibited, of(K.ANCHORAGE, 7, categories=(14,)), "danger",
     "anchorage area: entry prohibited", "Nobody may enter without leave."),
    (entry_prohibited, of(K.RESTRICTED, categories=(14,)), "danger", "restricted area: minefield",
     "A minefield: keep out whatever else is charted."),
    (entry_prohibited, of(K.RESTRICTED, categories=(1,)), "danger", "restricted area: safety zone",
     "A safety zone round an offshore installation, which all ships have to respect."),
    (entry_prohibited, of(K.RESTRICTED, 8, 42), "caution", "restricted area: entry restricted",
     "Entry is restricted: to whom and when, the chart's text or its source says."),
    (entry_prohibited, of(K.MILITARY, 42), "caution",
     "military practice area: power-driven vessels prohibited",
     "Vessels under power may not enter."),
    # Of several codes those that nobody knows, without what is harmless or told elsewhere.
    (entry_prohibited, of(K.RESTRICTED, 78, 1, 14, 77), "caution",
     "restricted area: restriction 77, restriction 78", BARRED),
    (area_to_be_avoided, of(K.RESTRICTED, 14, name="Banks"), "caution",
     "restricted area Banks: area to be avoided", AVOID),
    (area_to_be_avoided, of(K.RESTRICTED, 14, status=(9,)), "danger",
     "restricted area: area to be avoided", AVOID),
    (in_the_separation_zone, of(K.SEPARATION_ZONE), "caution",
     "traffic separation zone: crossed by the track", CROSS),
    (in_the_separation_zone, of(K.SEPARATION_LINE), "caution",
     "traffic separation line: crossed by the track", PARTS),
    (lock_or_gate, of(K.LOCK), "caution", "lock basin: may be shut", LOCKED),
    (special_conditions, of(K.MILITARY), "caution", "military practice area in the corridor",
     "Firing or exercises, perhaps with submarines: ask when it is in use."),
    (special_conditions, of(K.RESTRICTED), "caution", "restricted area in the corridor",
     "What is restricted is not charted."),
    (special_conditions, of(K.RESTRICTED, 1, categories=(2,)), "caution",
     "restricted area in the corridor",
     "Conditions hold here beyond the restrictions that are charted."),
    (special_conditions, of(K.RESTRICTED, categories=(99, 18, 31)), "caution",
     "restricted area in the corridor", "People swim here. A coral sanctuary."),
    (special_conditions, of(K.CAUTION), "caution", "caution area in the corridor", MUTE),
    (depth_may_have_changed, of(K.SAND_WAVES, categories=(5,)), "caution",
     "sand waves: the depth may have changed", SAND),
    (depth_may_have_changed, of(K.DUMPING_GROUND, categories=(4, 99, 5)), "caution",
     "dumping ground: the depth may have changed", f"Explosives were dumped here. {SPOIL}"),
    (depth_may_have_changed, of(K.DUMPING_GROUND, categories=(99,)), "caution",
     "dumping ground: the depth may have changed",
     "What was dumped is not charted; the water may be shoaler."),
    (ferry_route, of(K.FERRY, categories=(1,)), "note", "ferry route", "Ferries cross here."),
    (ferry_route, of(K.FERRY, categories=(2,)), "caution", "cable ferry route", ON_A_CABLE),
    (ferry_route, of(K.FERRY, categories=(3,)), "caution", "ferry route", "Ferries cross here."),
    (ferry_route, of(K.FERRY), "caution", "ferry route", WHAT_FERRY),
    (ferry_route, of(K.FERRY, categories=(1, 2)), "caution", "ferry route", WHAT_FERRY),
    (deep_water_route, of(K.TWO_WAY_ROUTE), "note", "two-way route in the corridor", SHIPS),
    (hampered_water, of(K.ICE), "caution", "ice area in the corridor", "Ice is charted here."),
    (hampered_water, of(K.WEED), "caution", "weed or kelp in the corridor",
     "Weed or kelp fouls propellers and intakes, and grows on rock."),
    (hampered_water, of(K.TURBULENCE), "caution", "troubled water in the corridor",
     "Breakers, eddies, overfalls or tide rips."),
    (hampered_water, of(K.FISHING_GROUND), "note", "fishing ground in the corridor",
     "Nets, lines and vessels that fish are met here."),
    (inshore_traffic_zone, of(K.INSHORE_ZONE), "caution", "inshore traffic zone in the corridor",
     INSHORE),
    (local_restriction, of(K.RESTRICTED, 27, name="Haven"), "note",
     "restricted area Haven: speed restricted", "It binds a boat that passes."),
    (local_restriction, of(K.RESTRICTED, 1, 3), "note",
     "restricted area: anchoring prohibited, fishing prohibited",
     "It does not bind a boat that passes."),
    (precautionary_area, of(K.PRECAUTIONARY), "caution", "precautionary area in the corridor",
     "Ships have to navigate with particular caution here."),
    (precautionary_area, of(K.ROUNDABOUT), "caution", "traffic roundabout in the corridor",
     "Traffic goes round counter-clockwise, and leaves to all sides."),
    (precautionary_area, of(K.LANE_CROSSING), "caution",
     "crossing of traffic lanes in the corridor",
     "Lanes cross here: traffic comes from more than one side."),
    (cable_or_pipe_below, of(K.CABLE, name="Isles 2"), "note",
     "submarine cable Isles 2 below the corridor", "Do not anchor here."),
    (cable_or_pipe_below, of(K.PIPELINE, categories=(3,)), "caution",
     "submarine pipeline: an outfall or intake of unknown depth",
     "Its end may stand above the bed; no depth over it is charted."),
    (against_one_way_traffic, of(K.FAIRWAY, one_way=True), "caution",
     "fairway: one way, and which way is not charted",
     "It is used one way only; the direction is not charted."),
    (against_one_way_traffic, of(K.FAIRWAY, one_way=True, orientation_deg=270.0), "caution",
     "fairway: the track goes against its one way",
     "Course 90°, its direction 270°: 180° off. Traffic comes from ahead."),
    (against_the_traffic_lane, of(K.LANE), "not-assessed",
     "traffic lane: its direction is not charted",
     "Which way its traffic goes is not charted: the track was not held against it."),
    (against_the_traffic_lane, of(K.LANE, orientation_deg=270.0), "danger",
     "traffic lane: the track goes against it",
     "Course 90°, lane 270°: 180° off. Traffic comes from ahead."),
    (against_the_traffic_lane, of(K.LANE, orientation_deg=30.0), "caution",
     "traffic lane: the track crosses it at a slant",
     "Course 90°, lane 30°: 60° off. Go with the flow, or cross on a heading as nearly square to "
     "it as can be."),
    (against_the_traffic_lane, of(K.LANE, orientation_deg=0.0), "note",
     "traffic lane: the track crosses it square",
     "Course 90°, lane 0°: 90° off. Crossed square: give way to what follows the lane, and do not "
     "impede it."),
]  # fmt: skip


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_is_told(case: int) -> None:
    check, thing, severity, title, says = CASES[case]
    met = across(thing)
    words = " ".join([says, IN_IT, *charted(thing)])
    # What stands before and after it is told of as well: each is judged by itself.
    other = across(of(K.ICE if check is not hampered_water else K.LOCK, key="cell/other"))
    on = leg(other, met, other)
    found = run(check, on)
    assert said(found) == [(severity, title, words)]
    stands_at(found[0], met, on)
    assert len(run(check, leg(met, other, across(replace(thing, key="cell/second"))))) == (
        1 if title.endswith("below the corridor") else 2
    )


def charted(thing: Area) -> list[str]:
    """What is said of restrictions and status, in words of IHO S-57, attributes 131 and 149."""
    words = {
        1: "anchoring prohibited", 3: "fishing prohibited", 7: "entry prohibited",
        8: "entry restricted", 14: "area to be avoided", 27: "speed restricted",
        42: "power-driven vessels prohibited",
    }  # fmt: skip
    named = [words.get(code, f"restriction {code}") for code in thing.restrictions]
    return [f"Charted: {', '.join(named)}."] * bool(named) + (
        ["Charted as mandatory."] if thing.status == (9,) else []
    )


@pytest.mark.parametrize("check", sorted({case[0] for case in CASES}, key=lambda one: one.__name__))
def test_out_of_season_and_only_within_its_uncertainty_nothing_is_told(check: Function) -> None:
    winter = Period(season_start="--12", season_end="--02")
    summer = timed("2027-07-01T12:00")
    for function, thing, *_ in CASES:
        if function is check:
            seasonal = replace(thing, period=winter)
            assert run(check, leg(near(seasonal)), summer) == []
            (one,) = run(check, leg(across(seasonal)), summer)
            assert one.severity == "note"
            assert one.title.endswith(" (not in force at the time of passing)")


TOLD_OF_BARE: dict[Function | None, tuple[AreaKind, ...]] = {
    against_the_traffic_lane: (K.LANE,),
    inshore_traffic_zone: (K.INSHORE_ZONE,),
    ferry_route: (K.FERRY,),
    depth_may_have_changed: (K.DUMPING_GROUND, K.SAND_WAVES),
    deep_water_route: (K.DEEP_WATER_ROUTE, K.TWO_WAY_ROUTE),
    lock_or_gate: (K.LOCK, K.GATE),
    in_the_separation_zone: (K.SEPARATION_ZONE, K.SEPARATION_LINE),
    precautionary_area: (K.LANE_CROSSING, K.ROUNDABOUT, K.PRECAUTIONARY),
    hampered_water: (K.ICE, K.WEED, K.TURBULENCE, K.FISHING_GROUND),
    cable_or_pipe_below: (*(K.CABLE, K.CABLE_AREA, K.PIPELINE, K.PIPELINE_AREA, K.TUNNEL),),
    special_conditions: (
        *(K.RESTRICTED, K.CAUTION, K.MILITARY, K.OFFSHORE, K.PRODUCTION, K.SEAPLANES),
        *(K.SUBMARINES, K.ANCHORAGE, K.ANCHOR_BERTH, K.MARINE_FARM, K.TRANSHIPMENT),
        K.INCINERATION,
    ),
    None: (K.RECOMMENDED_TRACK, K.RECOMMENDED_DIRECTION, K.FAIRWAY, K.NARROW),
}
"""Of an area of which nothing but its kind is charted."""


@pytest.mark.parametrize("kind", list(AreaKind))
def test_each_area_is_told_by_one_check(kind: AreaKind) -> None:
    on = leg(across(of(kind)))
    told = {check for check, *_ in CASES if run(check, on)}
    assert told == {check for check, kinds in TOLD_OF_BARE.items() if check and kind in kinds}
    assert told or kind in TOLD_OF_BARE[None]


@pytest.mark.parametrize(
    ("length_m", "says"),
    [
        (19.9, "A boat under 20 m may use it."),
        (20.0, INSHORE.replace("Her length is not known", "She is 20.0 m long")),
    ],
)
def test_who_may_use_an_inshore_traffic_zone(length_m: float, says: str) -> None:
    """COLREG rule 10(d)."""
    by = passage(replace(boat(), length_m=length_m))
    (one,) = run(inshore_traffic_zone, leg(across(of(K.INSHORE_ZONE))), by)
    assert (one.explanation, one.settle) == (f"{says} {IN_IT}", "")


def test_what_would_settle_it() -> None:
    settles = {case[0].__name__: run(case[0], leg(across(case[1])))[0].settle for case in CASES}
    assert {name: text for name, text in settles.items() if text} == {
        "area_to_be_avoided": "look up which ships it addresses",
        "lock_or_gate": "look up its hours and signals",
        "inshore_traffic_zone": "give the boat's length",
    }
