"""How far off a thing may lie where its chart was shifted from an older horizontal datum.

A stated accuracy is that of the chart on its own datum (IHO S-57 ed. 3.1, attribute POSACC); what
the shift may be off by comes on top of it.
The rock's 45 m are 0.5 mm at 1:90,000 (common practice).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.model.chart import Chart
from routecheck.model.view import Touch
from tests.survey.charts import land
from tests.survey.equator import box
from tests.survey.test_limits_of_scale import BELT_M, a_rock, small, view_of

SHIFT_M = 12.0


def shifted(one: Chart) -> Chart:
    return replace(one, source=replace(one.source, system_off_m=SHIFT_M))


@pytest.mark.parametrize("stated_m", [None, 70.0])
def test_a_rock_and_land_beside_the_corridor(stated_m: float | None) -> None:
    """The corridor is 100 m wide to each side."""
    own_m = stated_m or BELT_M
    for off_m, told in ((own_m + SHIFT_M - 1.0, 1), (own_m + SHIFT_M + 1.0, 0), (own_m + 2.0, 1)):
        rock = a_rock(1000.0, 100.0 + off_m, position_uncertainty_m=stated_m)
        islet = land("i", box(1000.0, 1010.0, 100.0 + off_m, 200.0 + off_m), of="coast")
        islet = replace(islet, position_uncertainty_m=stated_m)
        view = view_of(shifted(small(rock, solids=(islet,))))
        for met in (view.dangers, view.solids):
            assert [m.place.touch for m in met] == [Touch.BELT] * told
            assert [m.place.belt_m for m in met] == [own_m + SHIFT_M] * told
        unshifted = view_of(small(rock, solids=(islet,)))
        assert not unshifted.dangers and not unshifted.solids
