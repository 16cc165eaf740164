"""How depth findings are told: sums, evidence, zones of quality, grids."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.checks.too_little_water import too_little_water
from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.objects import Danger, DangerKind
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Quality
from routecheck.model.view import DepthFrom, DepthGridMet, Touch
from tests.checks.views import EXACT, POINT, SOURCE, boat, depth, met, passage, place, run, view


def test_the_sum_is_shown_in_full() -> None:
    (found,) = run(
        too_little_water, view(depths=(depth(2.4, quality=CATZOC_QUALITY[3]),)), passage(tide_m=0.4)
    )
    assert found.severity is Severity.DANGER
    assert found.sums["available_m"] == pytest.approx(2.8)
    assert found.sums["needed_m"] == pytest.approx(3.0)
    assert found.sums["margin_m"] == pytest.approx(-0.2)
    # Zone B: 1 m + 2 % of the depth (IHO S-57 ed. 3.1, CATZOC).
    assert found.sums["uncertainty_m"] == pytest.approx(1.0 + 0.02 * 2.4)
    assert list(found.sums)[:2] == ["charted_depth_m", "height_of_tide_m"]
    assert found.source == "cell" and "CATZOC B" in found.rests_on


def test_grounding_is_said() -> None:
    (found,) = run(too_little_water, view(depths=(depth(1.9),)))
    assert "ground" in found.explanation
    (found,) = run(too_little_water, view(depths=(depth(2.5),)))
    assert "ground" not in found.explanation


def test_what_does_not_count_says_nothing() -> None:
    assert run(too_little_water, view(depths=(depth(0.1, counts=False),))) == []


def test_only_in_the_belt_is_a_caution_that_says_how_well_it_is_placed() -> None:
    where = place(cross_m=300.0, touch=Touch.BELT, belt_m=500.0)
    (found,) = run(too_little_water, view(depths=(depth(0.5, where=where),)))
    assert found.severity is Severity.CAUTION and "500 m" in found.explanation


def test_a_tide_on_another_datum_is_not_added() -> None:
    # Boston: 4.0 m below MSL and a tide of 2.0 m above MLLW are not 6.0 m of water
    # (NOAA CO-OPS station 8443970: MSL stands 1.586 m above MLLW).
    on_msl = view(depths=(depth(4.0, datum="MSL"),))
    (found,) = run(too_little_water, on_msl, passage(boat(4.5, 0.0), tide_m=2.0, tide_datum="MLLW"))
    assert found.sums["height_of_tide_m"] == 0.0
    assert "no tide added" in found.explanation


def test_a_tide_below_datum_is_taken_off_whatever_the_datum() -> None:
    on_msl = view(depths=(depth(3.2, datum="MSL"),))
    (found,) = run(too_little_water, on_msl, passage(tide_m=-0.4, tide_datum="MLLW"))
    assert found.sums["height_of_tide_m"] == pytest.approx(-0.4)
    # Found 2026-11-28: "-0.4 m tide", and in the next sentence "no tide added".
    assert "no tide added" not in found.explanation
    assert found.explanation.endswith("below MSL: their lowest taken off, none added.")


def test_an_object_in_two_zones_of_quality_is_one_finding_with_its_worst_part() -> None:
    two = (
        depth(3.5, quality=CATZOC_QUALITY[1]),
        depth(3.5, quality=CATZOC_QUALITY[4]),
    )
    (found,) = run(too_little_water, view(depths=two))
    assert found.severity is Severity.CAUTION and "CATZOC C" in found.rests_on


def test_contours_and_soundings_inside_are_evidence() -> None:
    line = shapely.LineString([(100.0, -20.0), (100.0, 20.0)])
    met = (
        depth(2.0),
        depth(2.0, key="cell/line", depth_from=DepthFrom.CONTOUR, shape=line),
        depth(2.2, key="cell/dot", depth_from=DepthFrom.SOUNDING, shape=shapely.Point(105, 0)),
    )
    (found,) = run(too_little_water, view(depths=met))
    assert found.object_key == "cell/area"
    assert {e.key for e in found.evidence} == {"cell/line", "cell/dot"}


def test_a_doubtful_sounding_deep_enough_is_still_a_caution() -> None:
    dot = depth(4.0, depth_from=DepthFrom.SOUNDING, shape=shapely.Point(105, 0), unreliable=True)
    (found,) = run(too_little_water, view(depths=(dot,)))
    assert found.severity is Severity.CAUTION and "doubtful" in found.explanation


def grid(depths_m: list[float], quality: Quality = EXACT, **facts: object) -> DepthGridMet:
    count = len(depths_m)
    base: dict[str, object] = {
        "source": SOURCE,
        "quality": quality,
        "datum": "LAT",
        "along_from_m": np.arange(count) * 92.6,
        "along_to_m": np.arange(1, count + 1) * 92.6,
        "charted_depth_m": np.array(depths_m),
        "lon_deg": np.full(count, 10.0),
        "lat_deg": np.full(count, 50.0),
        "along_m": np.arange(count) * 92.6 + 40.0,
        "cross_m": np.zeros(count),
        "counts": np.ones(count, dtype=bool),
    }
    return DepthGridMet(**{**base, **facts})  # type: ignore[arg-type]


def test_grid_stretches_side_by_side_are_one_shoal() -> None:
    met = grid([9, 2, 1, 2.5, 9, 9, 9, 1, 9])
    found = run(too_little_water, view(grids=(met,)))
    assert [f.sums["charted_depth_m"] for f in found] == [1.0, 1.0]
    assert [len(f.evidence) for f in found] == [2, 0]
    assert found[0].object_key == "cell/stretch/2"


def test_a_grid_part_that_does_not_count_says_nothing() -> None:
    counts = np.array([True, False, True])
    assert run(too_little_water, view(grids=(grid([9, 1, 9], counts=counts),))) == []


def test_grid_boundaries_are_those_of_the_sum() -> None:
    met = grid([3.0, 2.999, 3.001])
    (found,) = run(too_little_water, view(grids=(met,)))
    assert found.severity is Severity.DANGER and found.evidence == ()


def test_a_grid_within_its_uncertainty_is_a_caution_and_an_unknown_one_is_not() -> None:
    (found,) = run(too_little_water, view(grids=(grid([3.4], CATZOC_QUALITY[1]),)))
    assert found.severity is Severity.CAUTION
    assert run(too_little_water, view(grids=(grid([3.4], UNKNOWN_QUALITY),))) == []


def test_a_grid_that_dries_is_told_as_drying() -> None:
    (found,) = run(too_little_water, view(grids=(grid([-1.5]),)))
    assert "dries 1.5 m" in found.title


def test_a_lower_tide_reaches_the_grid_too() -> None:
    (found,) = run(too_little_water, view(grids=(grid([3.3]),)), passage(tide_m=-0.5))
    assert found.sums["margin_m"] == pytest.approx(-0.2)


def test_a_rocks_depth_is_brought_to_its_datum() -> None:
    danger = Danger(
        key="cell/r",
        cls="UWTROC",
        source="cell",
        geometry=POINT,
        kind=DangerKind.ROCK,
        charted_depth_m=4.0,
    )
    low = view(dangers=(met(danger, datum="chart datum", shift_m=-1.5),))
    (found,) = run(underwater_danger, low)
    assert found.sums["charted_depth_m"] == pytest.approx(2.5)
