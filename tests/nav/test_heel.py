"""A heeled hull's draught: flat bottoms, the quick rule, fin keels. Common practice."""

from __future__ import annotations

import math

import pytest

from routecheck.nav.heel import (
    box_draught_m,
    deepest_box_draught_m,
    fin_keel_draught_m,
    simple_heel_increase_m,
)


@pytest.mark.parametrize("heel_deg", [30.0, -30.0])
def test_at_thirty_degrees(heel_deg: float) -> None:
    # The sine is a half, the cosine half the root of 3: by drawing.
    cos = math.sqrt(3.0) / 2.0
    box = box_draught_m(beam_m=10.0, draught_m=4.0, heel_deg=heel_deg)
    assert box == pytest.approx(2.5 + 4.0 * cos)
    risen = box_draught_m(beam_m=10.0, draught_m=4.0, heel_deg=heel_deg, rise_of_floor_m=0.5)
    assert risen == pytest.approx(2.5 + 3.5 * cos)
    assert simple_heel_increase_m(beam_m=10.0, heel_deg=heel_deg) == pytest.approx(2.5)
    assert fin_keel_draught_m(draught_m=2.0, heel_deg=heel_deg) == pytest.approx(2.0 * cos)


@pytest.mark.parametrize("heel_deg", [0.0, 10.0, 44.0, 45.0, 46.0, -60.0, 90.0])
def test_the_deepest_on_the_way(heel_deg: float) -> None:
    angles = [abs(heel_deg) * part / 2000.0 for part in range(2001)]
    most = max(box_draught_m(beam_m=3.0, draught_m=1.5, heel_deg=one) for one in angles)
    found = deepest_box_draught_m(beam_m=3.0, draught_m=1.5, heel_deg=heel_deg)
    assert found == pytest.approx(most, abs=1e-6)
