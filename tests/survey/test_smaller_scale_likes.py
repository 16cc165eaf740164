"""What of a larger scale is the like of a rock or of land that only the smaller one shows.

0.5 mm at the scale, 45 m at 1:90,000 and 5 m at 1:10,000, is common practice. That a danger of
unknown depth counts as one at chart datum is our own rule, on the careful side.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import Charted, UnknownObject
from tests.survey.charts import contour, covered, depth_area, land, rock, sounding
from tests.survey.equator import at, box
from tests.survey.test_limits_of_scale import WEST, large, small, view_of
from tests.survey.test_smaller_scale import mark, told

SPOT = box(2990.0, 3010.0, -10.0, 10.0)


def with_depths(*areas: object) -> Chart:
    """The harbour's cell, with areas of depth over its water."""
    chart = large()
    return replace(chart, depth_areas=(*chart.depth_areas, *areas))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("depth_m", "other_m", "says"),
    [
        (1.0, 0.9, []),
        (1.0, 1.0, []),
        (1.0, 1.1, ["coast/rock"]),
        (None, 0.0, []),
        (None, 0.1, ["coast/rock"]),
        (-0.5, 0.0, ["coast/rock"]),
    ],
)
def test_a_depth_no_greater_than_the_rocks(
    depth_m: float | None, other_m: float, says: list[str]
) -> None:
    coast = small(rock("rock", *at(3000.0, 0.0), depth_m, of="coast"))
    here = at(3000.0, 0.0)
    ring = shapely.LineString([at(2990.0, -5.0), at(3000.0, 0.0), at(3010.0, 5.0)])
    assert told(coast, with_depths(depth_area("bank", SPOT, other_m, "harbour"))) == says
    assert told(coast, large(soundings=(sounding("s", *here, other_m, "harbour"),))) == says
    assert told(coast, large(contours=(contour("c", ring, other_m, "harbour"),))) == says


def test_a_rocks_depth_says_nothing_against_land() -> None:
    """Land counts as a danger of unknown depth: a bank of 1 m is no like of it, a drying one is."""
    coast = small(solids=(land("islet", SPOT, "coast"),))
    assert told(coast, with_depths(depth_area("bank", SPOT, 1.0, "harbour"))) == ["coast/islet"]
    assert told(coast, with_depths(depth_area("bank", SPOT, -1.0, "harbour"))) == []


@pytest.mark.parametrize("depth_m", [1.0, None])
def test_land_and_what_nobody_knows_are_the_like_of_a_rock(depth_m: float | None) -> None:
    coast = small(rock("rock", *at(3000.0, 0.0), depth_m, of="coast"))
    unknown = UnknownObject(key="harbour/x", cls="XXXXXX", source="harbour", geometry=SPOT, why="")
    assert told(coast, large(solids=(land("islet", SPOT, "harbour"),))) == []
    assert told(coast, large(unknown=(unknown,))) == []


def test_an_area_without_a_depth_is_no_like() -> None:
    """It lies beside the rock: what a chart does not know it hides nothing with."""
    coast = small(rock("rock", *at(3000.0, 0.0), 1.0, of="coast"))
    bare = depth_area("bare", box(3040.0, 3060.0, -10.0, 10.0), None, "harbour")
    assert told(coast, with_depths(bare)) == ["coast/rock"]


def test_nothing_hides_what_a_chart_of_no_stated_scale_shows() -> None:
    """It may be the largest of all."""
    lone = small(marks=(mark(3000.0),))
    lone = replace(lone, source=replace(lone.source, scale=None))
    assert [m.mark.key for m in view_of(lone, large()).marks] == ["coast/mark"]
    coast = small(rock("rock", *at(3000.0, 0.0), 1.0, of="coast"), marks=(mark(3000.0),))
    no_scale = replace(coast, source=replace(coast.source, scale=None))
    assert told(no_scale, large()) == []
    other = replace(no_scale, source=replace(no_scale.source, id="none"))
    assert sorted(told(coast, large(), other)) == ["coast/mark", "coast/rock"]


@pytest.mark.parametrize(("cross_m", "says"), [(99.5, ["coast/mark"]), (100.5, [])])
def test_a_mark_by_the_corridors_edge(cross_m: float, says: list[str]) -> None:
    coast = small(marks=(mark(3000.0, geometry=shapely.Point(at(3000.0, cross_m))),))
    assert told(coast, large()) == says


def test_of_two_cells_over_the_place_the_larger_scale_is_named_in_any_order() -> None:
    coast = small(marks=(mark(1000.0),))
    names = {}
    for scale in (3_000.0, 50_000.0):
        other = Chart(
            source=replace(large().source, id="other", scale=scale),
            depth_areas=(depth_area("sea", WEST, 20.0, "other"),),
            coverage=(covered(WEST, "other"),),
        )
        (one,) = view_of(coast, other, large(cover=WEST)).only_smaller
        names[scale] = one.larger.id
    assert names == {3_000.0: "other", 50_000.0: "harbour"}


def test_a_rock_of_any_depth_is_the_like_of_a_rock() -> None:
    """Its depth is judged by the check of rocks."""
    coast = small(rock("rock", *at(3000.0, 0.0), 1.0, of="coast"))
    likes: list[Charted] = [rock("r", *at(3000.0, 0.0), m, of="harbour") for m in (0.0, 9.0)]
    assert [told(coast, large(one)) for one in likes] == [[], []]
