"""Which marks count where charts of several sources lie over each other, source by source."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
import shapely.affinity

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import CoverageArea, Mark, MarkKind
from routecheck.model.source import Quality, SourceKind
from routecheck.survey.markset import mark_set
from tests.buoys import HERE, chart, mark, source, square

P, S, LATERAL = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND, MarkKind.LATERAL


def cell(name: str, scale: float | None, *marks: Mark, covers_m: float = 0.0) -> Chart:
    covers = square(covers_m) if covers_m else None
    return chart(marks, of=source(name, scale), covers=covers)


def kept(*charts: Chart) -> list[str]:
    return [m.name for m in mark_set(ChartSet(charts=charts)).marks]


def at(name: str, east_m: float, kind: MarkKind = P, **more: object) -> Mark:
    return mark((east_m, 0.0), kind, name, **more)


def test_no_charts_no_marks() -> None:
    empty = mark_set(ChartSet(charts=()))
    assert (empty.marks, empty.sources, len(empty.lon_deg), len(empty.lat_deg)) == ((), (), 0, 0)
    assert kept(cell("a", 1e4), cell("b", 2e4, at("b", 0.0))) == ["b"]


def test_each_mark_with_its_own_source_and_place() -> None:
    """The places are the marks' in [-180, 180); of an area it is a place on it."""
    far = replace(at("far", 0.0), geometry=shapely.Point(190.0, 10.0))
    area = replace(at("area", 0.0), geometry=shapely.box(10.0, 50.0, 10.002, 50.002))
    held = mark_set(
        ChartSet(charts=(cell("b", 2e4, far, area), cell("a", 1e4, at("near", 5000.0))))
    )
    assert [m.name for m in held.marks] == ["near", "far", "area"]
    assert [s.id for s in held.sources] == ["a", "b", "b"]
    assert held.lon_deg[1:] == pytest.approx([-170.0, 10.001], abs=1e-9)
    assert held.lat_deg[1:] == pytest.approx([10.0, 50.001], abs=1e-9)
    assert shapely.get_coordinates(held.tree.geometries).tolist() == [
        [lon, lat] for lon, lat in zip(held.lon_deg, held.lat_deg, strict=True)
    ]


@pytest.mark.parametrize(
    ("over", "under", "counts"),
    [
        (1e4, 2e4, False),
        (2e4, 2e4, True),
        (1e4, None, True),  # a loose file's marks stay
        (None, 2e4, True),  # and a loose file covers nothing
    ],
)
def test_what_covers_what(over: float | None, under: float | None, *, counts: bool) -> None:
    covering = cell("over", over, covers_m=1000.0)
    marked = cell("under", under, at("mark", 0.0), at("beyond", 3000.0))
    assert kept(covering, marked) == (["mark", "beyond"] if counts else ["beyond"])


def test_a_loose_files_marks_stay_also_where_it_states_a_scale() -> None:
    loose = replace(source("under", 2e4), kind=SourceKind.VECTOR)
    marked = chart([at("mark", 0.0)], of=loose)
    assert kept(cell("over", 1e4, covers_m=1000.0), marked) == ["mark"]


def test_a_cell_whose_scale_is_unknown_is_covered_by_none() -> None:
    """It may be the largest scale of all."""
    unknown = replace(source("under", 2e4), scale=None)
    marked = chart([at("mark", 0.0)], of=unknown)
    for scale in (9e6, 1e3):
        assert kept(cell("over", scale, covers_m=1000.0), marked) == ["mark"]
    assert kept(replace(marked, source=replace(unknown, id="a")), marked) == ["mark"]


def test_a_hole_in_the_larger_scales_coverage() -> None:
    over = cell("over", 1e4, covers_m=2000.0)
    hole = CoverageArea(
        key="over/hole", cls="M_COVR", source="over", geometry=square(500.0), covered=False
    )
    holed = replace(over, coverage=(*over.coverage, hole))
    marked = cell("under", 2e4, at("in the hole", 0.0), at("covered", 1000.0))
    assert kept(holed, marked) == ["in the hole"]


def test_the_second_of_two_that_cover_counts_as_well() -> None:
    first = cell("first", 1e4, covers_m=1000.0)
    second = chart([], of=source("second", 1.5e4), covers=square(1000.0, HERE, (3000.0, 0.0)))
    marked = cell("under", 2e4, at("one", 0.0), at("other", 3000.0), at("none", 6000.0))
    assert kept(first, second, marked) == kept(marked, second, first) == ["none"]


@pytest.mark.parametrize("turns", [-1, 1])
def test_coverage_may_write_its_longitudes_a_turn_away(turns: int) -> None:
    shape = shapely.affinity.translate(square(1000.0), xoff=360.0 * turns)
    over = chart([], of=source("over", 1e4), covers=shape)
    assert kept(over, cell("under", 2e4, at("mark", 0.0))) == []


def test_marks_after_those_of_every_other_where_absence_is_not_proved() -> None:
    """Charts first, then loose files, then what does not prove absence; within these by scale."""
    open_map = replace(cell("open", None, at("open", 0.0)), proves_absence=False)
    loose = cell("loose", None, at("loose", 10.0))
    fine, coarse = cell("z", 1e4, at("fine", 20.0)), cell("y", 2e4, at("coarse", 30.0))
    everyone = (open_map, loose, coarse, fine)
    for count, wanted in ((4, "fine"), (3, "coarse"), (2, "loose"), (1, "open")):
        assert kept(*everyone[:count]) == kept(*everyone[:count][::-1]) == [wanted]


def test_what_does_not_prove_absence_covers_nothing() -> None:
    over = replace(cell("over", 1e4, covers_m=1000.0), proves_absence=False)
    assert kept(over, cell("under", 2e4, at("mark", 0.0))) == ["mark"]


def test_of_two_alike_the_first_by_name() -> None:
    one, two = cell("a", 1e4, at("of a", 0.0)), cell("b", 1e4, at("of b", 10.0))
    assert kept(one, two) == kept(two, one) == ["of a"]
    better = replace(two, source=replace(two.source, quality=Quality(name="x", vertical_m=0.1)))
    assert kept(one, better) == ["of b"]


@pytest.mark.parametrize(
    ("first", "second", "one"),
    [
        (P, P, True),
        (P, S, False),
        (LATERAL, S, True),
        (P, LATERAL, True),
        (LATERAL, LATERAL, True),
        (LATERAL, MarkKind.NORTH, False),
        (MarkKind.NORTH, LATERAL, False),
        (MarkKind.NORTH, MarkKind.NORTH, True),
    ],
)
def test_kinds_that_are_one_mark(first: MarkKind, second: MarkKind, *, one: bool) -> None:
    upper = cell("a", 1e4, at("upper", 0.0, first))
    assert kept(upper, cell("b", 2e4, at("lower", 10.0, second))) == (
        ["upper"] if one else ["upper", "lower"]
    )


@pytest.mark.parametrize("order", [1, -1])
def test_it_is_enough_that_one_of_several_near_ones_is_the_same(order: int) -> None:
    upper = [at("port", 0.0, P), at("starboard", 10.0, S)][::order]
    lower = [at("port too", 5.0, P), at("north", 5.0, MarkKind.NORTH), at("far", 900.0, P)]
    found = kept(cell("a", 1e4, *upper), cell("b", 2e4, *lower))
    assert found == [*(m.name for m in upper), "north", "far"]


def test_a_third_chart_is_held_against_the_first_two() -> None:
    found = kept(
        cell("a", 1e4, at("a", 0.0)),
        cell("b", 2e4, at("b", 1000.0)),
        cell("c", 3e4, at("as a", 20.0), at("as b", 980.0), at("c", 500.0)),
    )
    assert found == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("look", "other", "names"),
    [
        ({}, "north", ["bare"]),
        ({"colours": ("black", "yellow")}, "north", ["bare"]),
        ({"colours": ("yellow", "black")}, "north", ["bare", "named"]),
        ({"colours": ("yellow", "black")}, "cardinal", ["bare"]),
        ({}, "lateral", ["bare", "named"]),
        ({}, "isolated-danger", ["bare", "named"]),
    ],
)
def test_a_cardinal_without_a_quadrant_is_one_with_any_that_it_may_be(
    look: dict[str, object], other: str, names: list[str]
) -> None:
    bare = at("bare", 0.0, MarkKind.CARDINAL, **look)
    named = at("named", 30.0, MarkKind(other))
    assert kept(cell("a", 1e4, bare), cell("b", 2e4, named)) == names
    assert sorted(kept(cell("a", 1e4, named), cell("b", 2e4, bare))) == sorted(
        names if len(names) == 2 else ["named"]
    )
