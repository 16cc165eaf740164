"""How far off a mark may stand where its chart was shifted from an older horizontal datum.

A stated accuracy is that of the chart on its own datum (IHO S-57 ed. 3.1, attribute POSACC); what
the shift may be off by comes on top of it.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import MarkKind
from routecheck.survey.markset import mark_set
from tests.buoys import chart, mark, source, square
from tests.survey.test_markset_which import kept

SHIFT_M = 12.0


def shifted(one: Chart) -> Chart:
    return replace(one, source=replace(one.source, system_off_m=SHIFT_M))


@pytest.mark.parametrize(
    ("floating", "stated_m", "uncertainty_m"),
    [(True, None, 20.0), (True, 50.0, 50.0), (False, None, 5.0), (False, 1.0, 1.0)],
)
def test_a_mark(floating: bool, stated_m: float | None, uncertainty_m: float) -> None:
    """Without the shift: IHO S-44 ed. 6, table 2, order 2 for what floats, else 0.5 mm."""
    one = mark((0.0, 0.0), MarkKind.PORT_HAND, floating=floating, position_uncertainty_m=stated_m)
    held = chart([one], of=source("cell", 10_000.0))
    for by_m, of in ((0.0, held), (SHIFT_M, shifted(held))):
        marks = mark_set(ChartSet(charts=(of,)))
        assert marks.uncertainty_m(0) == pytest.approx(uncertainty_m + by_m)


def test_a_mark_near_the_limit_of_a_larger_scale() -> None:
    """26 m within it: further than a buoy's 20 m, until the shift is added."""
    buoy = mark((474.0, 0.0), MarkKind.PORT_HAND, "buoy")
    under = chart((buoy,), of=source("b", 20_000.0))
    over = chart((), of=source("a", 10_000.0), covers=square(500.0))
    assert kept(under, over) == []
    assert kept(shifted(under), over) == ["buoy"]
