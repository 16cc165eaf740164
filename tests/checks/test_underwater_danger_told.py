"""Every branch of what is told of a danger, word for word, alone and for many departures.

The boat draws 2 m and wants 1 m below her keel; depths are exact. Expected sums by hand.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger, DangerKind
from routecheck.model.rule import REGISTRY, code_of
from routecheck.model.source import Quality
from routecheck.model.view import LegView, Touch
from tests.checks.told import said, stands_at
from tests.checks.views import POINT, SOURCE, met, passage, place, run, view

BELT = " As charted it lies outside the corridor, but its position is only known to 30 m."
RANGE = " No depth of its own is charted; it is charted as not shoaler than its depth area."
FARM = " Cages, lines and buoys may reach higher, and move."
UNKNOWN = "No depth over it is known: it counts as reaching any keel."
HARMLESS = "No depth over it is charted; it is charted as not dangerous to surface navigation."
FOUL = "Foul ground without a depth: passable by its charting, bad to anchor on."
OUT = "It stands out of the water or floats: no height of tide takes a boat over it."
S52 = " As a last resort the display rules of the IHO (S-52) would take it to reach "
ROUGH = Quality(name="rough", vertical_m=0.5)


def leg(depth_m: float | None, **facts: Any) -> LegView:
    """A leg with one danger. `belt`: only its position uncertainty reaches the corridor."""
    where = place(cross_m=12.0)
    if facts.pop("belt", False):
        where = place(cross_m=120.0, touch=Touch.BELT, belt_m=30.0)
    round_it = {k: facts.pop(k) for k in ("area_depth_m", "datum", "shift_m") if k in facts}
    quality = facts.pop("quality", None)
    source = replace(SOURCE, datum=facts.pop("source_datum", "LAT"))
    base: dict[str, Any] = {"key": "cell/UWTROC/7", "cls": "UWTROC", "source": "cell"}
    base |= {"geometry": POINT, "kind": DangerKind.ROCK, "charted_depth_m": depth_m}
    one = replace(met(Danger(**{**base, **facts}), where, **round_it), source=source)
    return view(dangers=(replace(one, quality=quality) if quality else one,))


def over(depth: str, margin: str, uncertainty: str = "0.0 m", tide: str = "+0") -> str:
    """The sentence of the sum; with a tide the depth of water is not the charted one."""
    charted, _, water = depth.partition(" -> ")
    return (
        f"{water or charted} of water over it ({charted} charted, {tide} m tide) against 3.0 m "
        f"needed: margin {margin}, uncertainty {uncertainty}."
    )


def floating(why: str) -> str:
    return f" It may condemn, never clear: {why}."


def alone(depth: str) -> str:
    return f" It stands alone: the water round it is charted at {depth}."


def charted_at(depth: str) -> str:
    return f" The water round it is charted at {depth}."


MSL = floating("it is on MSL")
NOBODY = floating("nobody states the datum of that depth")
SHORT = ("rock with 2.5 m over it", over("2.5 m", "-0.5 m"))
CASES: list[tuple[LegView, tuple[str, str, str] | None]] = [
    # Its own depth, either side of the 3 m that are needed; below datum, on it and above it.
    (leg(3.0), None),
    (leg(2.5), ("danger", *SHORT)),
    (leg(2.5, name="Old Tom"), ("danger", "rock Old Tom with 2.5 m over it", SHORT[1])),
    (leg(0.5), ("danger", "rock with 0.5 m over it", over("0.5 m", "-2.5 m"))),
    (leg(0.0), ("danger", "rock with 0.0 m over it", over("0.0 m", "-3.0 m"))),
    (leg(-0.4), ("danger", "rock dries 0.4 m", over("-0.4 m", "-3.4 m"))),
    (leg(2.5, belt=True), ("caution", SHORT[0], SHORT[1] + BELT)),
    (leg(2.5, depth_in_area_range=True, area_depth_m=2.0), ("danger", *SHORT)),
    (
        leg(3.2, quality=ROUGH, area_depth_m=9.0),
        ("caution", "rock with 3.2 m over it", over("3.2 m", "0.2 m", "0.5 m")),
    ),
    (
        leg(4.0, unreliable=True),
        ("caution", "rock with 4.0 m over it", over("4.0 m", "1.0 m")),
    ),
    # The same in water that would do (3 m and more), in none, and in none that is charted.
    (leg(2.5, area_depth_m=9.0), ("danger", SHORT[0], SHORT[1] + alone("9.0 m"))),
    (leg(2.5, area_depth_m=3.0), ("danger", SHORT[0], SHORT[1] + alone("3.0 m"))),
    (leg(2.5, area_depth_m=2.9), ("danger", *SHORT)),
    # Brought to another level: both depths move with it.
    (
        leg(3.0, area_depth_m=3.5, shift_m=-0.5),
        ("danger", SHORT[0], SHORT[1] + alone("3.5 m")),
    ),
    (leg(3.0, area_depth_m=3.4, shift_m=-0.5), ("danger", *SHORT)),
    (leg(2.0, area_depth_m=2.5, shift_m=0.5), ("danger", SHORT[0], SHORT[1] + alone("2.5 m"))),
    # Not shoaler than its depth area, unless it uncovers and the area does not.
    (leg(None, depth_in_area_range=True, area_depth_m=3.0), None),
    (
        leg(None, depth_in_area_range=True, area_depth_m=2.5),
        ("danger", SHORT[0], SHORT[1] + RANGE),
    ),
    (
        leg(None, depth_in_area_range=True, area_depth_m=0.0, uncovers=True),
        ("danger", "rock with 0.0 m over it", over("0.0 m", "-3.0 m") + RANGE),
    ),
    (
        leg(None, depth_in_area_range=True, area_depth_m=0.5, uncovers=True),
        ("danger", "rock of unknown depth", UNKNOWN + charted_at("0.5 m")),
    ),
    (
        leg(None, depth_in_area_range=True, uncovers=True),
        ("danger", "rock of unknown depth", UNKNOWN),
    ),
    (
        leg(None, area_depth_m=9.0),
        ("danger", "rock of unknown depth", UNKNOWN + charted_at("9.0 m")),
    ),
    # A marine farm never passes in silence.
    (
        leg(9.0, kind=DangerKind.MARINE_FARM, area_depth_m=20.0),
        ("caution", "marine farm with 9.0 m over it", over("9.0 m", "6.0 m") + FARM),
    ),
    (
        leg(2.5, kind=DangerKind.MARINE_FARM),
        ("danger", "marine farm with 2.5 m over it", over("2.5 m", "-0.5 m") + FARM),
    ),
    # On a level that cannot clear. The danger's own level holds before that of its chart.
    (leg(9.0, datum="MSL"), ("caution", "rock with 9.0 m over it", over("9.0 m", "6.0 m") + MSL)),
    (
        leg(9.0, source_datum="MSL"),
        ("caution", "rock with 9.0 m over it", over("9.0 m", "6.0 m") + MSL),
    ),
    (
        leg(9.0, source_datum="unknown"),
        ("caution", "rock with 9.0 m over it", over("9.0 m", "6.0 m") + NOBODY),
    ),
    (
        leg(9.0, datum="MSL", source_datum="unknown"),
        ("caution", "rock with 9.0 m over it", over("9.0 m", "6.0 m") + MSL),
    ),
    (leg(9.0, datum="LAT", source_datum="unknown"), None),
    (leg(2.5, datum="MSL"), ("danger", SHORT[0], SHORT[1] + MSL)),
    (
        leg(199.9, datum="MSL"),
        ("caution", "rock with 199.9 m over it", over("199.9 m", "196.9 m") + MSL),
    ),
    (leg(200.0, datum="MSL"), None),
    # Out of the water, or afloat.
    (
        leg(9.0, stands_out=True, water_level="always dry"),
        ("danger", "rock, always dry", OUT),
    ),
    (leg(None, stands_out=True, name="Hat"), ("danger", "rock Hat, afloat", OUT)),
    (leg(9.0, stands_out=True, belt=True), ("caution", "rock, afloat", OUT + BELT)),
    # No depth known.
    (leg(None), ("danger", "rock of unknown depth", UNKNOWN)),
    (leg(None, belt=True), ("caution", "rock of unknown depth", UNKNOWN + BELT)),
    (
        leg(None, water_level="awash"),
        ("danger", "rock of unknown depth", UNKNOWN + " Charted as: awash."),
    ),
    (
        leg(None, kind=DangerKind.WRECK, dangerous=False),
        ("caution", "wreck of unknown depth", HARMLESS),
    ),
    (
        leg(None, kind=DangerKind.FOUL_GROUND, dangerous=False),
        ("caution", "foul ground of unknown depth", FOUL),
    ),
    # What the display rules take makes a harmless one a danger where it reaches the keel's 3 m.
    (
        leg(None, dangerous=False, default_depth_m=2.9),
        ("danger", "rock of unknown depth", HARMLESS + S52 + "2.9 m below chart datum."),
    ),
    (
        leg(None, dangerous=False, default_depth_m=3.0),
        ("caution", "rock of unknown depth", HARMLESS + S52 + "3 m below chart datum."),
    ),
    (
        leg(None, dangerous=False, default_depth_m=2.9, belt=True),
        ("caution", "rock of unknown depth", HARMLESS + S52 + "2.9 m below chart datum." + BELT),
    ),
    # It never makes a danger less.
    (
        leg(None, default_depth_m=20.1),
        ("danger", "rock of unknown depth", UNKNOWN + S52 + "20.1 m below chart datum."),
    ),
    (
        leg(None, default_depth_m=0.0),
        ("danger", "rock of unknown depth", UNKNOWN + S52 + "0 m below chart datum."),
    ),
    (
        leg(None, default_depth_m=0.6),
        ("danger", "rock of unknown depth", UNKNOWN + S52 + "0.6 m below chart datum."),
    ),
    (
        leg(None, default_depth_m=-15.0),
        ("danger", "rock of unknown depth", UNKNOWN + S52 + "15 m above chart datum."),
    ),
]


def one_of(view: LegView, **by: Any) -> Finding:
    (found,) = run(underwater_danger, view, passage(**by))
    return found


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_is_told(case: int) -> None:
    of, expected = CASES[case]
    found = run(underwater_danger, of)
    assert said(found) == ([] if expected is None else [expected])
    for one in found:
        stands_at(one, of.dangers[0], of)
    # Many departures at once come to the same, without a word.
    sweep = REGISTRY["underwater-danger"].sweep
    assert sweep is not None
    codes = sweep(of, LegDepartures(passage=passage(), depart_s=np.array([0.0, 3600.0])))
    assert codes.tolist() == 2 * [code_of(found[0].severity if found else None)]


def test_the_tide_is_added_to_both_depths() -> None:
    found = one_of(leg(2.0, area_depth_m=2.5), tide_m=0.5)
    words = over("2.0 m -> 2.5 m", "-0.5 m", tide="+0.5") + alone("2.5 m")
    assert said([found]) == [("danger", "rock with 2.0 m over it", words)]
    # 4.0 m below a level above which nobody gives the tide: nothing is added.
    on_msl = one_of(leg(2.0, source_datum="MSL", datum="LAT"), tide_m=0.5)
    assert on_msl.sums["available_m"] == 2.5
    assert one_of(leg(2.0, datum="MSL"), tide_m=0.5).sums["available_m"] == 2.0


@pytest.mark.parametrize(
    ("datum", "source_datum", "expected"),
    [
        # 2.0 m and a tide of 1.5 m where both are on chart datum; else 2.0 m, and no tide.
        ("", "LAT", None),
        ("LAT", "MSL", None),
        ("MSL", "LAT", "danger"),
        ("", "MSL", "danger"),
    ],
)
def test_the_tide_is_added_on_the_dangers_own_level(
    datum: str, source_datum: str, expected: str | None
) -> None:
    of, by = leg(2.0, datum=datum, source_datum=source_datum), passage(tide_m=1.5)
    assert [one.severity for one in run(underwater_danger, of, by)] == [expected] * bool(expected)
    sweep = REGISTRY["underwater-danger"].sweep
    assert sweep is not None
    codes = sweep(of, LegDepartures(passage=by, depart_s=np.array([0.0])))
    assert codes.tolist() == [code_of(Severity(expected) if expected else None)]


def test_the_numbers_that_stand_beside_it() -> None:
    assert one_of(leg(9.0, stands_out=True)).sums == {
        "charted_depth_m": "none: it stands out or floats"
    }
    assert one_of(leg(None)).sums == {"charted_depth_m": "not known"}
    assert one_of(leg(None, default_depth_m=20.1)).sums == {
        "charted_depth_m": "not known",
        "assumed_depth_m": 20.1,
        "needed_m": 3.0,
    }
    assert one_of(leg(2.5)).sums["margin_m"] == -0.5
    assert one_of(leg(2.5)).rests_on == "cell, quality exact"


def test_each_of_several_is_told_and_the_worst_counts_for_a_departure() -> None:
    several = [leg(9.0), leg(None, dangerous=False), leg(3.2, quality=ROUGH), leg(2.5)]
    several += [leg(None), leg(9.0, stands_out=True), leg(9.0, kind=DangerKind.MARINE_FARM)]
    dangers = tuple(one.dangers[0] for one in several)
    found = run(underwater_danger, view(dangers=dangers))
    kinds = ["caution", "caution", "danger", "danger", "danger", "caution"]
    assert [one.severity for one in found] == kinds
    sweep = REGISTRY["underwater-danger"].sweep
    assert sweep is not None
    departs = LegDepartures(passage=passage(), depart_s=np.array([0.0]))
    for first, second in ((0, 1), (1, 2), (2, 4), (5, 6), (1, 4), (6, 0)):
        pair = (dangers[first], dangers[second])
        worst = min(code_of(one.severity) for one in run(underwater_danger, view(dangers=pair)))
        assert sweep(view(dangers=pair), departs).tolist() == [worst]
