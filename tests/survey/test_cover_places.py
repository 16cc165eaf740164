"""Where a hole lies and how large it is, over several chunks as well; in metres on the equator.

Of a rectangle the middle stands for the place.
"""

from __future__ import annotations

import pytest
import shapely

from routecheck.model.source import UNKNOWN_QUALITY, SourceKind
from routecheck.model.view import CoarseWater, Gap, QualityRun
from routecheck.survey.cover import GridCover, Pieces, cover_chunk, spot_of, without_slivers
from routecheck.survey.overlay import NOTHING
from tests.survey.charts import EXACT, source
from tests.survey.equator import Shape, at, box, plane, planes

CM = 0.01
EMPTY: Shape = NOTHING


def grid(hole: Shape, **more: object) -> GridCover:
    of = source("g", kind=SourceKind.GRID, scale=None, resolution_m=250.0)
    facts = {"source": of, "quality": EXACT, "clears": True, "hole": hole, **more}
    return GridCover(**facts)  # type: ignore[arg-type]


def over(*grids: GridCover) -> Pieces:
    """Two chunks of 5,000 m, a grid for each."""
    found = Pieces()
    for on, one in zip(planes(10000.0), grids, strict=True):
        cover_chunk(on, [], [one], found)
    return found


def found_at(one: Gap | CoarseWater | QualityRun) -> tuple[float, ...]:
    return one.along_from_m, one.along_to_m, one.cross_m, one.lon_deg, one.lat_deg


WEST, EAST = box(1000.0, 2000.0, -20.0, 60.0), box(6000.0, 8000.0, -80.0, -40.0)
FIRST_PLACE = (20.0, *at(1500.0, 20.0))
"""What is told of both is where the first of them lies."""
BOTH_M2 = 1000.0 * 80.0 + 2000.0 * 40.0


def test_a_hole_in_two_chunks_is_told_once() -> None:
    (gap,) = [g for g in over(grid(WEST), grid(EAST)).gaps.values() if g.layer == "depth"]
    assert found_at(gap) == pytest.approx((1000.0, 8000.0, *FIRST_PLACE), abs=CM)
    assert gap.area_m2 == pytest.approx(BOTH_M2, rel=1e-4)
    (gap,) = [g for g in over(grid(EMPTY), grid(EAST)).gaps.values() if g.layer == "depth"]
    assert found_at(gap) == pytest.approx((6000.0, 8000.0, -60.0, *at(7000.0, -60.0)), abs=CM)
    assert gap.area_m2 == pytest.approx(80_000.0, abs=0.3)


def test_unknown_quality_in_two_chunks_is_told_once() -> None:
    (run,) = over(grid(EMPTY, unknown=WEST), grid(EMPTY, unknown=EAST)).unknown.values()
    assert found_at(run) == pytest.approx((1000.0, 8000.0, *FIRST_PLACE), abs=CM)
    assert run.area_m2 == pytest.approx(BOTH_M2, rel=1e-4)
    assert (run.source.id, run.quality) == ("g", UNKNOWN_QUALITY)
    (alone,) = over(grid(EMPTY, unknown=WEST), grid(EMPTY)).unknown.values()
    assert alone.area_m2 == pytest.approx(80_000.0, abs=0.3)


@pytest.mark.parametrize("shoalest_m", [(230.0, 250.0), (250.0, 230.0)])
def test_coarse_deep_water_in_two_chunks_is_told_once(shoalest_m: tuple[float, float]) -> None:
    water = [
        grid(EMPTY, clears=False, coarse=True, deep=deep, shoalest_m=depth_m)
        for deep, depth_m in zip((WEST, EAST), shoalest_m, strict=True)
    ]
    (one,) = over(*water).coarse.values()
    assert found_at(one) == pytest.approx((1000.0, 8000.0, *FIRST_PLACE), abs=CM)
    assert (one.source.id, one.shoalest_m) == ("g", 230.0)
    (alone,) = over(water[0], grid(EMPTY)).coarse.values()
    assert alone.shoalest_m == shoalest_m[0]


def test_the_place_of_several_parts_is_in_the_largest() -> None:
    on = plane()
    small, large = box(4000.0, 4100.0, -50.0, -40.0), box(2000.0, 3000.0, 30.0, 50.0)
    spot = spot_of(on, shapely.union(small, large))
    reach = (spot.from_m, spot.to_m, spot.cross_m, spot.lon_deg, spot.lat_deg)
    assert reach == pytest.approx((2000.0, 4100.0, 40.0, *at(2500.0, 40.0)), abs=CM)
    assert spot.area_m2 == pytest.approx(1000.0 + 20000.0, rel=1e-4)


@pytest.mark.parametrize(
    ("from_m", "to_m", "reach_m"),
    [
        (-50.0, 0.4, (0.0, 0.4)),
        (0.5, 4999.5, (0.5, 4999.5)),
        (-90.0, 5090.0, (0.0, 5000.0)),
        (4999.4, 5050.0, (4999.4, 5000.0)),
    ],
)
def test_it_lies_along_the_leg_and_not_beyond(
    from_m: float, to_m: float, reach_m: tuple[float, float]
) -> None:
    spot = spot_of(plane(), box(from_m, to_m, -10.0, 10.0))
    assert (spot.from_m, spot.to_m) == pytest.approx(reach_m, abs=0.001)


def test_what_is_narrower_than_two_decimetres_is_no_hole() -> None:
    on = plane()
    narrow = box(1000.0, 2000.0, 0.0, 0.195)
    wide, square = box(1000.0, 2000.0, 10.0, 10.205), box(3000.0, 3100.0, 0.0, 100.0)
    assert without_slivers(on, narrow).is_empty
    assert without_slivers(on, EMPTY).is_empty
    kept = without_slivers(on, shapely.union_all([narrow, wide, square]))
    assert kept.equals(shapely.union(wide, square))
    assert without_slivers(on, box(1000.0, 1000.195, -90.0, 90.0)).is_empty
    assert without_slivers(on, square).equals(square)
    line = shapely.GeometryCollection([square, shapely.LineString([at(0.0, 0.0), at(9.0, 0.0)])])
    assert without_slivers(on, line).equals(square)
