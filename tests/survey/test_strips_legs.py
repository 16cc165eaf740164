"""The stretches of legs of a whole route, among others and alone, narrow and wide."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from routecheck.model.route import LegLine
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.parts import Parts
from routecheck.survey.strips import stretches_of_legs
from tests.survey.memory_grid import GEOD, route_through
from tests.survey.test_strips import NMI_M, limits


def bent(line: LegLine, widths: list[tuple[float, float]], lat: float = 0.0) -> LegCorridor:
    points = [(10.0, lat), (10.1, lat), (10.1, lat + 0.06), (10.23, lat + 0.06)]
    drawn = route_through(points)
    drawn = replace(drawn, legs=tuple(replace(leg, line=line) for leg in drawn.legs))
    return corridors(drawn, tuple(widths))[0]


def listed(parts: Parts) -> list[tuple[float, ...]]:
    rows = np.column_stack([parts.along_from_m, parts.along_to_m, parts.lon_deg, parts.lat_deg])
    return [tuple(row) for row in rows.tolist()]


NARROW = [(100.0, 150.0), (300.0, 40.0), (50.0, 50.0)]
MIXED = [(100.0, 150.0), (2000.0, 5000.0), (50.0, 50.0)]


@pytest.mark.parametrize("line", [LegLine.RHUMB, LegLine.GREAT_CIRCLE])
@pytest.mark.parametrize("widths", [NARROW, MIXED])
def test_some_legs_are_as_among_all(line: LegLine, widths: list[tuple[float, float]]) -> None:
    route = bent(line, widths, lat=60.0).route
    whole, bounds = stretches_of_legs(route, np.arange(3), 92.6)
    assert bounds[0] == 0 and bounds[-1] == len(whole.lon_deg)
    by_leg = [listed(whole)[a:b] for a, b in pairwise(bounds)]
    assert all(by_leg)
    for wanted in ([0], [1], [2], [2, 0], [1, 2]):
        parts, ends = stretches_of_legs(route, np.array(wanted), 92.6)
        found = listed(parts)
        assert [found[a:b] for a, b in pairwise(ends)] == [by_leg[leg] for leg in wanted]
    # Stretches first, then the bends, each leg its own.
    for leg, held in enumerate(by_leg):
        turns = listed(route.bends.some(slice(*route.bend_bounds[leg : leg + 2])))
        assert turns and held[-len(turns) :] == turns


def test_corners_go_from_port_ahead_and_back_to_starboard() -> None:
    """Due east on the equator: port is north; the stretch of 1 nmi is a minute of longitude and
    more (1,855.3 m, WGS 84)."""
    route = bent(LegLine.RHUMB, NARROW).route
    parts, bounds = stretches_of_legs(route, np.array([0]), NMI_M)
    turns = int(route.bend_bounds[1] - route.bend_bounds[0])
    length_m = float(GEOD.inv(10.0, 0.0, 10.1, 0.0)[2])  # 11,132 m: six whole miles and 20 m
    assert bounds.tolist() == [0, 7 + turns]
    assert parts.along_from_m[:7] == pytest.approx([NMI_M * n for n in range(7)])
    assert parts.along_to_m[:7] == pytest.approx([*(NMI_M * n for n in range(1, 7)), length_m])
    for n in range(7):
        ends_m = NMI_M * n, min(NMI_M * (n + 1), length_m)
        back, ahead = (10.0 + end_m / length_m * 0.1 for end_m in ends_m)
        assert parts.lon_deg[n] == pytest.approx([back, ahead, ahead, back], abs=1e-9)
        # 100 m to port and 150 m to starboard, with a thousandth of a per cent and a millimetre.
        north = [1.0, 1.0, -1.0, -1.0]
        off_m = [100.002, 100.002, 150.0025, 150.0025]
        lat = [s * m / 110_574.2758 for s, m in zip(north, off_m, strict=True)]  # m to a degree
        assert parts.lat_deg[n] == pytest.approx(lat, abs=1e-9)


def test_lanes_of_a_wide_leg_lie_side_by_side() -> None:
    """North along a meridian, 2,000 m to port and 5,000 m to starboard: two lanes and three."""
    route = bent(LegLine.RHUMB, MIXED).route
    parts, _ = stretches_of_legs(route, np.array([1]), 1e6)
    lon = parts.lon_deg[:5]
    turns = int(route.bend_bounds[2] - route.bend_bounds[1])
    assert len(parts.lon_deg) == 5 + turns
    degree_m = 111_319.4908  # of longitude on the equator, WGS 84
    found = sorted(
        (float(ring[0] - 10.1) * degree_m, float(ring[3] - 10.1) * degree_m) for ring in lon
    )
    port_m, starboard_m = 2000.021 / 2.0, 5000.051 / 3.0
    edges_m = [-2 * port_m, -port_m, 0.0, *(n * starboard_m for n in (1, 2, 3))]
    assert np.array(found) == pytest.approx(np.array(limits(*edges_m)), abs=0.02)
    assert (lon[:, 0] < lon[:, 3]).all() and (lon[:, 1] < lon[:, 2]).all()
