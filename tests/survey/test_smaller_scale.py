"""Spans, marks and judged areas that only the smaller of two scales shows.

0.5 mm at the scale, 45 m at 1:90,000 and 5 m at 1:10,000, is common practice; 20 m for what
floats: IHO S-44 ed. 6, table 2, order 2.
"""

from __future__ import annotations

import pytest
import shapely

from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Chart
from routecheck.model.objects import Charted, Mark, MarkKind, Span
from routecheck.model.source import SourceKind
from tests.survey.charts import covered, depth_area, rock, source
from tests.survey.equator import at, box
from tests.survey.test_limits_of_scale import EAST, WEST, large, small, view_of

DRAWN_M = 45.0 + 5.0
CABLE = shapely.LineString([at(3000.0, -150.0), at(3000.0, 150.0)])


def span(shape: shapely.Geometry = CABLE, of: str = "coast", cls: str = "CBLOHD") -> Span:
    return Span(key=f"{of}/span", cls=cls, source=of, geometry=shape)


def area(
    shape: shapely.Geometry, of: str = "coast", kind: AreaKind = AreaKind.RESTRICTED, *codes: int
) -> Area:
    return Area(
        key=f"{of}/area", cls="RESARE", source=of, geometry=shape, kind=kind, restrictions=codes
    )


def mark(
    along_m: float, of: str = "coast", kind: MarkKind = MarkKind.PORT_HAND, **more: object
) -> Mark:
    facts: dict[str, object] = {
        "key": f"{of}/mark", "cls": "BOYLAT", "source": of, "kind": kind,
        "geometry": shapely.Point(at(along_m, 0.0)),
    }  # fmt: skip
    return Mark(**{**facts, **more})  # type: ignore[arg-type]


def told(under: Chart, *over: Chart) -> list[str]:
    return [one.object.key for one in view_of(under, *over).only_smaller]


def beside(off_m: float) -> shapely.Geometry:
    return shapely.LineString([at(3000.0 + off_m, -150.0), at(3000.0 + off_m, 150.0)])


@pytest.mark.parametrize(
    ("others", "says"),
    [
        ({}, ["coast/span"]),
        ({"spans": (span(beside(DRAWN_M - 1.0), "harbour", "BRIDGE"),)}, []),
        ({"spans": (span(beside(DRAWN_M + 1.0), "harbour"),)}, ["coast/span"]),
        ({"areas": (area(beside(0.0), "harbour"),)}, ["coast/span"]),
    ],
)
def test_a_span(others: dict[str, tuple[Charted, ...]], says: list[str]) -> None:
    assert told(small(spans=(span(),)), large(**others)) == says


def test_a_span_that_a_rock_stands_by_is_told_all_the_same() -> None:
    harbour = large(rock("r", *at(3000.0, 0.0), 1.0, of="harbour"))
    assert told(small(spans=(span(),)), harbour) == ["coast/span"]


def test_a_rock_is_no_span_or_area() -> None:
    coast = small(rock("rock", *at(3000.0, 0.0), 1.0, of="coast"))
    over = large(spans=(span(of="harbour"),), areas=(area(CABLE, "harbour"),))
    assert told(coast, over) == ["coast/rock"]


BAR = box(3000.0, 3200.0, -50.0, 50.0)
NEXT = box(3200.0 + DRAWN_M - 1.0, 3400.0, -50.0, 50.0)
FURTHER = box(3200.0 + DRAWN_M + 1.0, 3400.0, -50.0, 50.0)


@pytest.mark.parametrize(
    ("other", "says"),
    [
        (None, ["coast/area"]),
        (area(NEXT, "harbour", AreaKind.RESTRICTED, 7), []),
        (area(FURTHER, "harbour", AreaKind.RESTRICTED, 7), ["coast/area"]),
        (area(BAR, "harbour", AreaKind.RESTRICTED, 1), ["coast/area"]),  # no anchoring alone
        (area(BAR, "harbour", AreaKind.CAUTION, 7), ["coast/area"]),
    ],
)
def test_a_prohibited_area(other: Area | None, says: list[str]) -> None:
    """RESTRN 7 is entry prohibited, 1 anchoring prohibited: IHO S-57 ed. 3.1, attribute 131."""
    coast = small(areas=(area(BAR, "coast", AreaKind.RESTRICTED, 7),))
    assert told(coast, large(areas=() if other is None else (other,))) == says


def test_an_area_that_no_check_tells_is_not_told() -> None:
    coast = small(areas=(area(BAR, "coast", AreaKind.FAIRWAY),))
    assert told(coast, large()) == []


def test_one_that_counts_in_part_of_the_corridor_is_told_by_its_own_check() -> None:
    coast = small(areas=(area(box(2400.0, 3200.0, -50.0, 50.0)),))
    view = view_of(coast, large())
    assert (len(view.only_smaller), len(view.areas)) == (0, 1)


ROUND_M = 45.0 + 20.0
"""Of a buoy at 1:90,000 (more than 20 m) and one at 1:10,000 (less)."""


@pytest.mark.parametrize(
    ("other", "says"),
    [
        (None, ["coast/mark"]),
        (mark(3000.0 + ROUND_M - 1.0, "harbour"), []),
        (mark(3000.0 + ROUND_M + 1.0, "harbour"), ["coast/mark"]),
        (mark(3000.0, "harbour", MarkKind.STARBOARD_HAND), ["coast/mark"]),
        (mark(3000.0, "harbour", MarkKind.LATERAL), []),
    ],
)
def test_a_mark(other: Mark | None, says: list[str]) -> None:
    coast = small(marks=(mark(3000.0),))
    assert told(coast, large(marks=() if other is None else (other,))) == says


@pytest.mark.parametrize(("off_m", "says"), [(49.0, []), (51.0, ["coast/mark"])])
def test_marks_of_one_kind_within_50_m_are_one(off_m: float, says: list[str]) -> None:
    sure = {"floating": False, "position_uncertainty_m": 1.0}
    coast = small(marks=(mark(3000.0, **sure),))
    assert told(coast, large(marks=(mark(3000.0 + off_m, "harbour", **sure),))) == says


def test_a_mark_that_counts_or_lies_outside_the_corridor_is_not_told() -> None:
    """One of 45 m within the limit may float outside it, and counts."""
    assert told(small(marks=(mark(2500.0 + 44.0),)), large()) == []
    assert told(small(marks=(mark(2500.0 + 46.0),)), large()) == ["coast/mark"]
    far = mark(3000.0, geometry=shapely.Point(at(3000.0, 101.0)))
    assert told(small(marks=(far,)), large()) == []


def test_a_loose_file_of_larger_scale_hides_no_mark() -> None:
    loose = Chart(
        source=source("loose", scale=5_000.0, kind=SourceKind.VECTOR),
        depth_areas=(depth_area("sea", EAST, 20.0, "loose"),),
        coverage=(covered(EAST, "loose"),),
    )
    assert told(small(marks=(mark(3000.0),)), loose) == []


def test_the_cell_named_is_the_largest_that_covers_the_place() -> None:
    largest = Chart(
        source=source("berth", scale=4_000.0),
        depth_areas=(depth_area("sea", WEST, 20.0, "berth"),),
        coverage=(covered(WEST, "berth"),),
    )
    coast = small(spans=(span(),), marks=(mark(1000.0),))
    view = view_of(coast, large(), largest)
    assert [(o.object.key, o.larger.id) for o in view.only_smaller] == [
        ("coast/mark", "berth"),
        ("coast/span", "harbour"),
    ]
