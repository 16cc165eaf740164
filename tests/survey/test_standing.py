"""What is odd about where marks are charted: two in one place, or afloat on dry ground."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import DepthArea, Mark, MarkKind, Solid, SolidKind
from routecheck.survey.markset import mark_set
from routecheck.survey.standing import doubts
from tests.survey.charts import depth_area, land, source
from tests.survey.equator import at, box


def mark(
    name: str, along_m: float, kind: MarkKind, of: str = "cell", floating: bool = True
) -> Mark:
    return Mark(
        key=f"{of}/{name}{along_m}", cls="BOYLAT", source=of, kind=kind, name=name,
        geometry=shapely.Point(at(along_m, 0.0)), floating=floating,
    )  # fmt: skip


def said(
    *marks: Mark, wanted: list[int] | None = None, **held: tuple[Solid | DepthArea, ...]
) -> dict[int, tuple[str, ...]]:
    charts = ChartSet(charts=(Chart(source=source(), marks=marks, **held),))  # type: ignore[arg-type]
    return doubts(charts, mark_set(charts), list(range(len(marks))) if wanted is None else wanted)


K = MarkKind


@pytest.mark.parametrize(
    ("a", "b", "apart_m", "odd"),
    [
        (K.PORT_HAND, K.STARBOARD_HAND, 4.95, True),
        (K.PORT_HAND, K.STARBOARD_HAND, 5.05, False),
        (K.PORT_HAND, K.PORT_HAND, 1.0, False),
        (K.NORTH, K.SOUTH, 1.0, True),
        (K.NORTH, K.LATERAL, 1.0, True),
        (K.SAFE_WATER, K.ISOLATED_DANGER, 1.0, True),
        (K.EMERGENCY_WRECK, K.WEST, 1.0, True),
        (K.SPECIAL, K.NORTH, 1.0, False),  # a special mark forbids no side
        (K.SPECIAL, K.SAFE_WATER, 1.0, False),
    ],
)
def test_two_kinds_of_mark_in_one_place(a: K, b: K, apart_m: float, odd: bool) -> None:
    found = said(mark("", 1000.0, a), mark("", 1000.0 + apart_m, b))
    called = [f"an {k.value}" if k.value[0] in "ei" else f"a {k.value}" for k in (b, a)]
    texts = {n: (f"{k} mark (cell) is charted in the same place",) for n, k in enumerate(called)}
    assert found == (texts if odd else {})


def test_the_other_mark_is_named_and_only_the_wanted_are_told() -> None:
    marks = (mark("", 0.0, K.NORTH), mark("Ost", 1000.0, K.EAST), mark("West", 1001.0, K.WEST))
    assert said(*marks, wanted=[2]) == {
        2: ("an east mark Ost (cell) is charted in the same place",)
    }
    assert said(*marks, wanted=[0]) == {}


LAND = land("l", box(900.0, 1100.0, -50.0, 50.0))
DRY = depth_area("d", box(1900.0, 2100.0, -50.0, 50.0), -1.24)


def test_a_floating_mark_on_land_or_where_it_dries() -> None:
    marks = (
        mark("", 1000.0, K.NORTH),
        mark("", 2000.0, K.NORTH),
        mark("", 3000.0, K.NORTH),  # in water
        mark("", 900.0, K.NORTH),  # on the very edge
    )
    found = said(*marks, solids=(LAND,), depth_areas=(DRY,))
    assert found == {
        0: ("it floats, and is charted on land",),
        1: ("it floats, and is charted where it dries 1.2 m",),
    }
    assert said(*marks, solids=(LAND,)) == {0: ("it floats, and is charted on land",)}
    assert said(*marks, depth_areas=(DRY,)) == {1: found[1]}
    assert said(*marks, wanted=[1, 2], solids=(LAND,), depth_areas=(DRY,)) == {1: found[1]}


@pytest.mark.parametrize("turn_deg", [-360.0, 360.0])
def test_on_land_however_its_longitudes_are_written(turn_deg: float) -> None:
    land_there = shapely.transform(LAND.geometry, lambda xy: xy + np.array([turn_deg, 0.0]))
    found = said(mark("", 1000.0, K.NORTH), solids=(replace(LAND, geometry=land_there),))
    assert found == {0: ("it floats, and is charted on land",)}


def test_both_are_told_land_once_and_every_drying_area() -> None:
    here = box(900.0, 1100.0, -50.0, 50.0)
    found = said(
        mark("", 1000.0, K.NORTH),
        solids=(LAND, land("again", here)),
        depth_areas=(depth_area("a", here, -0.1), depth_area("b", here, -2.0)),
    )
    assert found == {
        0: (
            "it floats, and is charted on land",
            "it floats, and is charted where it dries 0.1 m",
            "it floats, and is charted where it dries 2.0 m",
        )
    }


def test_what_stands_may_stand_on_dry_ground() -> None:
    assert said(mark("", 1000.0, K.NORTH, floating=False), solids=(LAND,)) == {}


def test_only_land_and_what_dries_is_dry() -> None:
    here = box(900.0, 1100.0, -50.0, 50.0)
    pier = Solid(key="cell/p", cls="SLCONS", source="cell", geometry=here, kind=SolidKind.STRUCTURE)
    wet = (depth_area("a", here, 0.0), depth_area("b", here, None), depth_area("c", here, 3.0))
    assert said(mark("", 1000.0, K.NORTH), solids=(pier,), depth_areas=wet) == {}


def test_only_the_marks_own_chart_says_what_it_stands_on() -> None:
    charts = ChartSet(
        charts=(
            Chart(source=source("a"), marks=(mark("", 1000.0, K.NORTH, of="a"),)),
            Chart(source=source("b"), solids=(land("l", LAND.geometry, of="b"),)),
        )
    )
    assert doubts(charts, mark_set(charts), [0]) == {}
