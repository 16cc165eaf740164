"""The depth check on drawings and on single depths."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.too_little_water import too_little_water
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage, Tide, TideStation
from routecheck.model.source import Quality
from routecheck.model.view import LegView, Touch
from tests.sketch import boat, passage, view_of


def found(view: LegView, with_: Passage | None = None) -> list[Finding]:
    return list(too_little_water(view, with_ or passage()))


def tide(height_m: float, datum: str = "LAT") -> Passage:
    station = TideStation(name="pier", constant_m=height_m)
    return Passage(boat=boat(), tide=Tide(datum=datum, uncertainty_m=0.0, stations=(station,)))


def test_exactly_what_is_wanted_is_enough() -> None:
    assert found(view_of("95559")) == []
    (one,) = found(view_of("95549"))
    assert one.severity is Severity.DANGER
    assert one.sums["margin_m"] == pytest.approx(-1.0)


def test_a_five_foot_draught_grounds_in_five_feet_of_water() -> None:
    """Common practice. No margin wanted, and yet the keel touches."""
    five_feet_m = 5 * 0.3048
    view = view_of("9")
    shoal = replace(view, depths=(replace(view.depths[0], charted_depth_m=five_feet_m),))
    keel = replace(boat(under_keel_m=0.0), draught_m=five_feet_m)
    (one,) = found(shoal, Passage(boat=keel))
    assert one.severity is Severity.DANGER
    assert "would ground" in one.explanation


def test_the_sum_adds_up() -> None:
    (one,) = found(view_of("9a9"), tide(0.5))
    sums = one.sums
    assert sums["charted_depth_m"] == -1.0
    assert sums["available_m"] == pytest.approx(sums["charted_depth_m"] + sums["height_of_tide_m"])
    wanted = ("draught_m", "squat_m", "heel_swell_m", "under_keel_m")
    assert sums["needed_m"] == pytest.approx(sum(float(sums[name]) for name in wanted))
    assert sums["margin_m"] == pytest.approx(float(sums["available_m"]) - float(sums["needed_m"]))


def test_tide_above_datum_helps_and_below_it_harms() -> None:
    assert found(view_of("949"), tide(1.0)) == []
    assert found(view_of("959")) == []
    assert [one.severity for one in found(view_of("959"), tide(-0.1))] == [Severity.DANGER]


def test_tide_on_another_datum_is_not_added() -> None:
    (one,) = found(view_of("949"), tide(1.0, datum="MLLW"))
    assert one.severity is Severity.DANGER
    assert one.sums["height_of_tide_m"] == 0.0


def test_within_the_uncertainty_is_a_caution() -> None:
    view = view_of("959")
    rough = Quality(name="rough", vertical_m=0.5)
    (one,) = found(replace(view, depths=tuple(replace(d, quality=rough) for d in view.depths)))
    assert one.severity is Severity.CAUTION
    assert one.sums["uncertainty_m"] == pytest.approx(0.5)


def test_only_in_the_position_belt_is_a_caution() -> None:
    view = view_of("919")
    shoal = view.depths[1]
    belt = replace(shoal, place=replace(shoal.place, touch=Touch.BELT, belt_m=50.0))
    (one,) = found(replace(view, depths=(view.depths[0], belt)))
    assert one.severity is Severity.CAUTION


def test_what_does_not_count_condemns_nothing() -> None:
    view = view_of("919")
    assert found(replace(view, depths=tuple(replace(d, counts=False) for d in view.depths))) == []


def test_two_shoals_apart_are_two_findings_and_one_shoal_is_one() -> None:
    assert len(found(view_of("9919919"))) == 2
    (one,) = found(view_of("9911199"))
    assert len(one.evidence) == 2


def test_a_grid_on_a_level_above_the_tides_datum_is_not_passed_over_2026_11() -> None:
    """Heights above LAT, depths below a mean level 2.2 m above it: at low water 2.5 m less."""
    from tests.checks.views import SOURCE
    from tests.model.test_depth_items import START_S, leg_of, passage, tide

    of = leg_of([], [4.0])
    grid = replace(of.grids[0], datum="MSL", source=SOURCE)
    by = replace(passage(of, tide("table", "LAT"), 0.0), depart_s=START_S + 24.7 * 3600 - 5_000)
    (one,) = found(replace(of, grids=(grid,)), by)
    assert one.sums["height_of_tide_m"] == pytest.approx(-2.5, abs=0.01)
    assert one.severity is Severity.DANGER
