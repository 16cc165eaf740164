"""The current triangle, by triangles of whole numbers."""

from __future__ import annotations

import math

import pytest

from routecheck.nav.current import speed_over_ground_kn

THREE_IN_FIVE_DEG = math.degrees(math.asin(3.0 / 5.0))


@pytest.mark.parametrize(
    ("course_deg", "set_deg", "drift_kn", "heading_deg", "over_ground_kn"),
    # A boat of 5 kn. Across by 3 kn leaves 4 kn (the triangle of 3, 4 and 5).
    [
        (0.0, 90.0, 3.0, 360.0 - THREE_IN_FIVE_DEG, 4.0),
        (0.0, 270.0, 3.0, THREE_IN_FIVE_DEG, 4.0),
        (180.0, 90.0, 3.0, 180.0 + THREE_IN_FIVE_DEG, 4.0),
        (350.0, 260.0, 3.0, THREE_IN_FIVE_DEG - 10.0, 4.0),
        # Across by 3 and along by 3: the set is 45 degrees off, the drift 3 times the root of 2.
        (90.0, 135.0, 3.0 * math.sqrt(2.0), 90.0 - THREE_IN_FIVE_DEG, 7.0),
        (90.0, 45.0, 3.0 * math.sqrt(2.0), 90.0 + THREE_IN_FIVE_DEG, 7.0),
        # Against by 3: one knot is left.
        (90.0, 225.0, 3.0 * math.sqrt(2.0), 90.0 - THREE_IN_FIVE_DEG, 1.0),
        (90.0, 270.0, 4.5, 90.0, 0.5),
        (90.0, 90.0, 2.0, 90.0, 7.0),
    ],
)
def test_triangles(
    course_deg: float, set_deg: float, drift_kn: float, heading_deg: float, over_ground_kn: float
) -> None:
    found = speed_over_ground_kn(
        course_deg=course_deg, speed_kn=5.0, set_deg=set_deg, drift_kn=drift_kn
    )
    assert found == (pytest.approx(heading_deg), pytest.approx(over_ground_kn))


@pytest.mark.parametrize(
    ("set_deg", "drift_kn"),
    [
        (90.0, 5.0),  # all the speed goes into staying on the line
        (270.0, 5.0),
        (60.0, 6.0),  # helped along, but set across by 5.2 kn
        (180.0, 5.0),  # it stays where it is
        (180.0, 5.5),
        (225.0, 3.0 * math.sqrt(2.0) * 4.5 / 3.0),  # across by 4.5, back by 4.5 with 2.2 left
    ],
)
def test_no_way_ahead(set_deg: float, drift_kn: float) -> None:
    found = speed_over_ground_kn(course_deg=0.0, speed_kn=5.0, set_deg=set_deg, drift_kn=drift_kn)
    assert found is None
