"""A leg's part of a route's profile, column by column."""

from __future__ import annotations

import numpy as np

from routecheck.survey.parts import Parts
from routecheck.survey.profile import GridProfile, RouteProfile


def test_a_leg_has_its_own_parts_of_every_column() -> None:
    """Seven parts, of which the third to the fifth are the leg's."""
    n = np.arange(7)
    corners = np.array([0.0, 0.0, 1.0, 1.0]), np.array([0.0, 1.0, 1.0, 0.0])
    parts = Parts(
        along_from_m=n * 10.0,
        along_to_m=n * 10.0 + 5.0,
        lon_deg=n[:, None] + corners[0],
        lat_deg=50.0 + n[:, None] + corners[1],
    )
    route = RouteProfile(
        step_m=92.6,
        parts=parts,
        depth_m=(n * 1.5).astype(np.float32),
        lon_deg=n + 0.25,
        lat_deg=n + 50.25,
        column=n * 2,
        row=n * 3,
        any_invalid=n % 2 == 0,
        off_grid=n == 3,
    )
    leg = GridProfile(route, 2, 5)
    assert leg.step_m == 92.6
    assert leg.along_from_m.tolist() == [20.0, 30.0, 40.0]
    assert leg.along_to_m.tolist() == [25.0, 35.0, 45.0]
    assert leg.parts.along_to_m.tolist() == [25.0, 35.0, 45.0]
    assert leg.charted_depth_m.tolist() == [3.0, 4.5, 6.0]
    assert leg.charted_depth_m.dtype == np.float64
    assert leg.lon_deg.tolist() == [2.25, 3.25, 4.25]
    assert leg.lat_deg.tolist() == [52.25, 53.25, 54.25]
    assert leg.column.tolist() == [4, 6, 8]
    assert leg.row.tolist() == [6, 9, 12]
    assert leg.any_invalid.tolist() == [True, False, True]
    assert leg.off_grid.tolist() == [False, True, False]
    shapes = leg.quadrilaterals(np.array([2, 0]))
    assert [shape.bounds for shape in shapes] == [(4.0, 54.0, 5.0, 55.0), (2.0, 52.0, 3.0, 53.0)]
    assert [shape.area for shape in shapes] == [1.0, 1.0]
