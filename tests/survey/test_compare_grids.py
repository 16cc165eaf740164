"""Two grids that differ: by how much, each way, and where that is told."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from routecheck.model.source import Quality
from routecheck.model.view import Disagreement
from routecheck.survey import compare_grids as module
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.compare_grids import grids_differ
from routecheck.survey.corridors import corridors
from routecheck.survey.plane import ChunkPlane
from tests.survey.memory_grid import MemoryGrid, route_through
from tests.survey.test_along_grids import INF, leg_grid, profile

# 11,132 m due east along the equator: two chunks, of 5,566 m each.
LEG = corridors(route_through([(10.0, 0.0), (10.1, 0.0)]), ((100.0, 100.0),))[0]
FIRST, SECOND = (ChunkPlane(LEG, chunk) for chunk in LEG.chunks)
DEGREE_M = 111_319.4908  # of longitude on the equator (WGS 84)
CELL = 0.002


def theirs(depth_m: Any = 20.0, *, beside: Any = None, reach: float = 0.5, **facts: Any) -> LegGrid:
    """Cells of 0.002 degrees; the centre of row 5, column 10 is at (10.0, 0.0)."""
    whole = np.broadcast_to(np.asarray(depth_m, dtype=float), (11, 70)).copy()

    def grid(values: np.ndarray) -> Any:
        place = {"x": 10.0 - 10 * CELL, "y": 5 * CELL, "dx": CELL, "dy": CELL}
        return MemoryGrid(values, reach=reach, block=(4, 16), **place)

    made = grid(whole)
    made.source = replace(made.source, id="other", **({"resolution_m": 222.0} | facts))
    if beside is not None:
        made.uncertainty = grid(-np.broadcast_to(np.asarray(beside, dtype=float), (11, 70)))
    return LegGrid(grid=made, profile=profile([]), coarse=False)


def odd(row: int, column: int, value: float, rest: float = 20.0) -> np.ndarray:
    depth = np.full((11, 70), rest)
    depth[row, column] = value
    return depth


def ours(
    depth_m: list[float], lon: list[float], lat: list[float] | None = None, **facts: Any
) -> LegGrid:
    """Shoalest cells at given places, each in a part of 100 m about it."""
    along = (np.array(lon) % 360.0 - 10.0) * DEGREE_M
    held = profile(
        depth_m,
        lon=lon,
        lat=[0.0] * len(lon) if lat is None else lat,
        from_m=(along - 50.0).tolist(),
        to_m=(along + 50.0).tolist(),
    )
    return leg_grid(held, **({"id": "one", "resolution_m": 222.0} | facts))


def differ(
    one: LegGrid, other: LegGrid, plane: ChunkPlane = FIRST
) -> list[tuple[str, float, float, float]]:
    found = grids_differ(plane, one, other)
    return [(d.shoaler.id, d.shoaler_depth_m, d.deeper_depth_m, d.uncertainty_m) for d in found]


def test_our_shoaler_cell_against_all_of_theirs_and_our_deeper_one_likewise() -> None:
    """At 10.0205 E, column 20.25, theirs are 18 to 22 m deep: 17 is shoaler, 23 deeper than all."""
    depth = odd(5, 20, 18.0)
    depth[5, 21] = 22.0
    other = theirs(depth, reach=1.0)
    for mine_m, expected in (
        (17.0, [("one", 17.0, 18.0, 0.0)]),
        (18.0, []),
        (20.0, []),
        (22.0, []),
        (23.0, [("other", 22.0, 23.0, 0.0)]),
    ):
        assert differ(ours([mine_m], [10.0205]), other) == expected


def test_within_the_uncertainties_of_both_they_agree() -> None:
    half = Quality(name="half", vertical_m=0.5)
    one = Quality(name="one", vertical_m=1.0)
    for depth_m, told in ((18.5, False), (18.375, True), (21.5, False), (21.625, True)):
        found = differ(ours([depth_m], [10.02], quality=half), theirs(20.0, quality=one))
        assert bool(found) is told
        if told:
            assert found[0][3] == 1.5
    assert differ(ours([21.0], [10.02], quality=one), theirs(20.0)) == []


def test_the_widest_difference_each_way_and_where_it_is() -> None:
    lon = [10.01, 370.02, 10.03, -349.96, 10.045]
    lat = [0.0, 0.001, 0.0, -0.001, 0.0]
    found = grids_differ(FIRST, ours([19.0, 5.0, 8.0, 40.0, 30.0], lon, lat), theirs())
    shoal, deep = found
    assert (shoal.shoaler.id, shoal.deeper.id) == ("one", "other")
    assert (shoal.shoaler_depth_m, shoal.deeper_depth_m) == (5.0, 20.0)
    assert (deep.shoaler.id, deep.deeper.id) == ("other", "one")
    assert (deep.shoaler_depth_m, deep.deeper_depth_m) == (20.0, 40.0)
    for one, at, north in ((shoal, 10.02, 0.001), (deep, 10.04, -0.001)):
        assert one.lon_deg == pytest.approx(at) and one.lat_deg == north
        assert one.along_m == pytest.approx((at - 10.0) * DEGREE_M, abs=0.1)
        assert one.cross_m == pytest.approx(-110_574.3 * north, abs=0.1)


def placed(one: LegGrid, plane: ChunkPlane, **facts: Any) -> Disagreement:
    (found,) = grids_differ(plane, one, theirs(**facts))
    return found


def test_only_parts_of_the_chunk_are_compared_and_along_is_the_legs() -> None:
    both = ours([5.0, 8.0, INF], [10.02, 10.08, 10.09])
    assert placed(both, FIRST).along_m == pytest.approx(0.02 * DEGREE_M, abs=0.1)
    assert placed(both, SECOND).along_m == pytest.approx(0.08 * DEGREE_M, abs=0.1)
    assert placed(both, SECOND).shoaler_depth_m == 8.0
    # A cell off the leg's end is told at the end.
    assert placed(ours([5.0], [9.9998]), FIRST).along_m == 0.0
    assert placed(ours([5.0], [10.1004]), SECOND).along_m == LEG.length_m


def test_where_the_other_holds_nothing_nothing_is_compared() -> None:
    assert differ(ours([5.0], [10.02]), theirs(np.nan)) == []
    assert differ(ours([5.0], [10.02]), theirs(odd(5, 20, np.nan))) == []
    assert differ(ours([INF], [10.02]), theirs()) == []
    assert differ(ours([5.0, 9.0], [10.02, 10.03]), theirs(odd(5, 20, np.nan)))[0][1] == 9.0


def test_both_datums_are_brought_to_chart_datum_or_nothing_is_compared() -> None:
    low = {"datum": "MSL", "datum_below_msl_m": 3.0}
    bare = {"datum": "MSL"}
    assert differ(ours([20.0], [10.02], **low), theirs()) == [("one", 17.0, 20.0, 0.0)]
    assert differ(ours([20.0], [10.02]), theirs(**low)) == [("other", 17.0, 20.0, 0.0)]
    assert differ(ours([20.0], [10.02], **low), theirs(**low)) == []
    assert differ(ours([5.0], [10.02], **bare), theirs()) == []
    assert differ(ours([5.0], [10.02]), theirs(**bare)) == []
    assert differ(ours([5.0], [10.02], **bare), theirs(**bare)) == []


@pytest.mark.parametrize("lon", [180.0, -180.0])
def test_at_the_antimeridian_a_place_has_one_longitude(lon: float) -> None:
    leg = corridors(route_through([(179.98, 0.0), (-179.98, 0.0)]), ((100.0, 100.0),))[0]
    grid: Any = MemoryGrid(np.full((5, 40), 20.0), x=179.961, y=0.004, dx=CELL, dy=CELL)
    grid.source = replace(grid.source, resolution_m=222.0)
    held = profile([5.0], lon=[lon], lat=[0.0], from_m=[2200.0], to_m=[2300.0])
    other = LegGrid(grid=grid, profile=profile([]), coarse=False)
    (found,) = grids_differ(ChunkPlane(leg, leg.chunks[0]), leg_grid(held), other)
    assert found.lon_deg == -180.0
    assert found.along_m == pytest.approx(0.02 * DEGREE_M, abs=0.1)


def test_of_a_great_many_parts_some_are_compared_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two at once: each two have their widest differences told; none is told twice or lost."""
    monkeypatch.setattr(module, "_PARTS_AT_ONCE", 2)
    lon = [10.01, 10.015, 10.02, 10.025, 10.03]
    found = differ(ours([9.0, 11.0, 8.0, 12.0, 10.0], lon), theirs())
    assert [shoaler_m for _, shoaler_m, _, _ in found] == [9.0, 8.0, 10.0]
