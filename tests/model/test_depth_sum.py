"""The sum: draught, tide and uncertainty against charted depth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.depth_sum import DepthSum, worst
from routecheck.model.passage import HeightOfTide
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Quality
from routecheck.units import length_m

EXACT = Quality(name="exact", vertical_m=0.0)


def boat(draught_m: float, under_keel_m: float = 0.0, **margins: float) -> Boat:
    return Boat(
        name="b", draught_m=draught_m, margins=Margins(under_keel_m=under_keel_m, **margins)
    )


def tide(height_m: float = 0.0, uncertainty_m: float = 0.0) -> HeightOfTide:
    return HeightOfTide(height_m=height_m, uncertainty_m=uncertainty_m, text="t")


def total(
    depth_m: float, of: Boat, quality: Quality = EXACT, water: HeightOfTide | None = None
) -> DepthSum:
    return DepthSum.of(charted_depth_m=depth_m, quality=quality, tide=water or tide(), boat=of)


def test_a_five_foot_draught_grounds_in_five_feet_of_water() -> None:
    # Common practice: afloat needs more water than the draught, not as much.
    five_feet_m = length_m("5 ft")
    sums = total(five_feet_m, boat(five_feet_m))
    assert sums.touches
    assert sums.severity(in_corridor=True) is Severity.DANGER


def test_exactly_the_wanted_clearance_passes() -> None:
    assert total(3.0, boat(2.0, 1.0)).severity(in_corridor=True) is None


def test_a_hair_less_than_the_wanted_clearance_is_a_danger() -> None:
    assert total(2.999, boat(2.0, 1.0)).severity(in_corridor=True) is Severity.DANGER


@pytest.mark.parametrize(
    ("catzoc", "uncertainty_m"),
    # Depth accuracy at 30 m: IHO S-57 ed. 3.1, CATZOC table (S-101 FC 2.1.0 has the formulae).
    [(1, 0.8), (2, 1.6), (3, 1.6), (4, 3.5)],
)
def test_zones_of_confidence_at_thirty_metres(catzoc: int, uncertainty_m: float) -> None:
    assert CATZOC_QUALITY[catzoc].vertical_uncertainty_m(30.0) == pytest.approx(uncertainty_m)


def test_position_of_zone_a1_at_thirty_metres() -> None:
    # 5 m + 5 % of the depth: IHO S-57 ed. 3.1, CATZOC table.
    assert CATZOC_QUALITY[1].belt_m(30.0) == pytest.approx(6.5)


def test_a_margin_within_the_uncertainty_is_a_caution() -> None:
    # Zone B at 14.9 m: 1 + 2 % of 14.9 = 1.298 m.
    zone_b = CATZOC_QUALITY[3]
    assert total(14.9, boat(13.0, 0.5), zone_b).severity(in_corridor=True) is None
    assert total(14.9, boat(13.0, 0.7), zone_b).severity(in_corridor=True) is Severity.CAUTION
    assert total(14.9, boat(13.0, 2.0), zone_b).severity(in_corridor=True) is Severity.DANGER


def test_what_lies_only_in_the_belt_is_a_caution() -> None:
    assert total(1.0, boat(2.0)).severity(in_corridor=False) is Severity.CAUTION


def test_a_tide_below_chart_datum_counts() -> None:
    assert total(3.1, boat(2.0, 1.0), water=tide(-0.2)).severity(in_corridor=True) is (
        Severity.DANGER
    )


def test_the_tides_uncertainty_is_added_to_the_depths() -> None:
    sums = total(10.0, boat(2.0), CATZOC_QUALITY[3], tide(1.0, 0.25))
    assert sums.uncertainty_m == pytest.approx(1.2 + 0.25)
    assert sums.available_m == pytest.approx(11.0)


def test_squat_heel_and_swell_are_needed_too() -> None:
    of = boat(2.0, 1.0, squat_m=0.2, heel_swell_m=0.3)
    assert of.needed_m == pytest.approx(3.5)
    assert of.touches_at_m == pytest.approx(2.5)


def test_land_and_drying_heights_fail_whatever_the_wish() -> None:
    assert total(-0.5, boat(0.3), water=tide(0.5)).severity(in_corridor=True) is Severity.DANGER


def test_unknown_quality_puts_no_figure_in_the_sum() -> None:
    assert total(9.0, boat(2.0), UNKNOWN_QUALITY).uncertainty_m == 0.0


def test_a_doubtful_sounding_never_counts_as_full_depth() -> None:
    sums = total(5.5, boat(2.0, 1.0))
    assert sums.severity(in_corridor=True) is None
    assert sums.severity(in_corridor=True, unreliable=True) is Severity.CAUTION


def test_worst_of_several() -> None:
    assert worst([None, Severity.CAUTION, Severity.DANGER]) is Severity.DANGER
    assert worst([None]) is None


metres = st.floats(-20.0, 60.0)
RANK = {None: 0, Severity.CAUTION: 1, Severity.DANGER: 2}


@given(metres, st.floats(0.1, 20.0), st.floats(0.0, 5.0), metres, st.floats(0, 2), st.floats(0, 3))
def test_more_need_or_less_water_never_mends_a_sum(
    depth_m: float, draught_m: float, keel_m: float, tide_m: float, spread_m: float, less_m: float
) -> None:
    quality = Quality(name="q", vertical_m=spread_m)
    before = total(depth_m, boat(draught_m, keel_m), quality, tide(tide_m))
    for after in (
        total(depth_m - less_m, boat(draught_m, keel_m), EXACT, tide(tide_m, spread_m)),
        total(depth_m, boat(draught_m + less_m, keel_m), quality, tide(tide_m)),
        total(depth_m, boat(draught_m, keel_m + less_m), quality, tide(tide_m)),
        total(depth_m, boat(draught_m, keel_m), quality, tide(tide_m - less_m)),
    ):
        if after.margin_m <= before.margin_m and after.uncertainty_m >= before.uncertainty_m:
            assert RANK[after.severity(in_corridor=True)] >= RANK[before.severity(in_corridor=True)]
