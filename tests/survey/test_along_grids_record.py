"""The record of a grid along a leg: order, datum, and where each shoalest cell is placed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.model.route import LegLine
from routecheck.survey.along_grids import depth_grid_met
from routecheck.survey.corridors import LegCorridor, corridors
from tests.survey.memory_grid import route_through
from tests.survey.test_along_grids import INF, leg_grid, profile
from tests.survey.test_along_grids_cover import GOOD, LEG


def test_the_record_of_a_grid_is_in_order_and_without_empty_parts() -> None:
    """Parts 200-300, 0-150, 0-100 and 100-200; one touches no valid cell."""
    parts = profile(
        [9.0, 7.0, 8.0, INF, 3.0],
        from_m=[200, 0, 0, 50, 100],
        to_m=[300, 150, 100, 60, 200],
        lon=[10.05, 370.02, 10.01, 0.0, -349.97],
        lat=[0.001, -0.002, 0.003, 0.0, 0.0],
    )
    facts = {"datum": "MSL", "datum_below_msl_m": 1.5, "quality": GOOD}
    beside = profile([-0.2, -0.3, -0.4, INF, -0.5])
    measured = profile([0.0] * 5, invalid=[4])
    one = leg_grid(parts, uncertainty=beside, measured=measured, coarse=True, **facts)  # type: ignore[arg-type]
    found = depth_grid_met(LEG, one, np.array([True, False, True, True, False]))
    assert found is not None
    assert found.along_from_m.tolist() == [0, 0, 100, 200]
    assert found.along_to_m.tolist() == [100, 150, 200, 300]
    # From mean sea level to a chart datum 1.5 m below it.
    assert found.charted_depth_m.tolist() == [6.5, 5.5, 1.5, 7.5]
    assert found.datum == "chart datum" and found.quality == GOOD and found.coarse is True
    assert found.lon_deg == pytest.approx([10.01, 10.02, 10.03, 10.05])
    assert found.lat_deg.tolist() == [0.003, -0.002, 0.0, 0.001]
    assert found.counts.tolist() == [True, False, False, True]
    assert found.off_m is not None and found.known is not None and found.measured is not None
    assert found.off_m == pytest.approx([0.4, 0.3, 0.5, 0.2])
    assert found.known.tolist() == [True, True, False, True]
    assert found.measured.tolist() == [True, True, False, True]
    degree_m = 111_319.4908  # of longitude on the equator; of latitude 110,574.3 m (WGS 84)
    assert found.along_m == pytest.approx([degree_m * d for d in (0.01, 0.02, 0.03, 0.05)], abs=0.1)
    assert found.cross_m == pytest.approx([-331.72, 221.15, 0.0, -110.57], abs=0.02)
    assert depth_grid_met(LEG, leg_grid(profile([INF, INF])), np.ones(2, dtype=bool)) is None
    as_it_is = depth_grid_met(LEG, leg_grid(profile([9.0])), np.ones(1, dtype=bool))
    assert as_it_is is not None and as_it_is.coarse is False
    assert (as_it_is.datum, as_it_is.charted_depth_m.tolist()) == ("LAT", [9.0])


def test_longitudes_of_the_record_are_within_half_a_turn() -> None:
    parts = profile([9.0] * 4, lon=[180.0, -180.0, 539.0, -181.0], lat=[0.0] * 4)
    found = depth_grid_met(LEG, leg_grid(parts), np.ones(4, dtype=bool))
    assert found is not None and found.lon_deg.tolist() == [-180.0, -180.0, 179.0, 179.0]


def great_circle() -> LegCorridor:
    """25 nmi along 60 degrees north: in five chunks, whose courses differ by some 0.14 degrees."""
    drawn = route_through([(10.0, 60.0), (10.83, 60.0)])
    leg = replace(drawn.legs[0], line=LegLine.GREAT_CIRCLE)
    return corridors(replace(drawn, legs=(leg,)), ((500.0, 500.0),))[0]


def test_each_cell_is_placed_in_the_plane_of_its_own_parts_chunk() -> None:
    leg = great_circle()
    starts = [chunk.along_m for chunk in leg.chunks]
    assert len(starts) >= 5
    spans = [(s - 40.0, s + 90.0) for s in starts] + [(s - 90.0, s + 40.0) for s in starts[1:]]
    owner = [*range(len(starts)), *range(len(starts) - 1)]  # whose chunk holds the middle
    lon = np.interp([a for a, _ in spans], [0.0, leg.length_m], [10.0, 10.83])
    parts = profile(
        [9.0] * len(spans),
        from_m=[a for a, _ in spans],
        to_m=[b for _, b in spans],
        lon=lon.tolist(),
        lat=[60.01] * len(spans),
    )
    found = depth_grid_met(leg, leg_grid(parts), np.ones(len(spans), dtype=bool))
    assert found is not None
    by_place = {}
    for n, chunk in enumerate(leg.chunks[k] for k in owner):
        along, cross = chunk.frame.to_frame(lon[n], 60.01)
        by_place[spans[n]] = (max(float(along) + chunk.along_m, 0.0), float(cross))
    order = sorted(spans)
    assert found.along_m == pytest.approx([by_place[span][0] for span in order], abs=1e-6)
    assert found.cross_m == pytest.approx([by_place[span][1] for span in order], abs=1e-6)


def test_cells_off_the_ends_are_placed_at_the_ends() -> None:
    parts = profile([9.0] * 3, lon=[9.99, 10.2, 10.05], lat=[0.0] * 3, from_m=[-50.0, 11_000, 0],
                    to_m=[10.0, 11_200, 100])  # fmt: skip
    found = depth_grid_met(LEG, leg_grid(parts), np.ones(3, dtype=bool))
    assert found is not None
    assert found.along_m == pytest.approx([0.0, 5565.97, LEG.length_m], abs=0.1)
