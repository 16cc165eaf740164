"""What lies just within the limit of a larger-scale chart, and is only shown by a smaller one.

The larger one's limit is exact, the place of what the smaller one shows is not: IHO S-57 ed. 3.1,
appendix A, POSACC and CATZOC; the smaller one's own accuracy, 0.5 mm at its scale, is common
practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import MarkKind, Solid, SolidKind
from routecheck.model.source import UNKNOWN_QUALITY
from routecheck.model.view import LegView, Touch
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.buoys import chart, mark, square
from tests.buoys import source as mark_source
from tests.survey.charts import chart_set, covered, depth_area, land, rock, route, source
from tests.survey.equator import at, box
from tests.survey.test_markset_which import kept

WHOLE, WEST, EAST = (
    box(-900.0, 5900.0, -900.0, 900.0),
    box(-900.0, 2500.0, -900.0, 900.0),
    box(2500.0, 5900.0, -900.0, 900.0),
)
BELT_M = 45.0
"""0.5 mm at 1:90,000."""


def small(*dangers: object, **more: object) -> Chart:
    return Chart(
        source=source("coast", scale=90_000.0, quality=UNKNOWN_QUALITY),
        depth_areas=(depth_area("sea", WHOLE, 20.0, "coast"),),
        coverage=(covered(WHOLE, "coast"),),
        dangers=dangers,  # type: ignore[arg-type]
        **more,  # type: ignore[arg-type]
    )


def large(*dangers: object, cover: shapely.Geometry = EAST, **more: object) -> Chart:
    return Chart(
        source=source("harbour", scale=10_000.0),
        depth_areas=(depth_area("sea", cover, 20.0, "harbour"),),
        coverage=(covered(cover, "harbour"),),
        dangers=dangers,  # type: ignore[arg-type]
        **more,  # type: ignore[arg-type]
    )


def view_of(*charts: Chart, to_m: float = 5000.0) -> LegView:
    line = route([at(0.0, 0.0), at(to_m, 0.0)])
    return survey(line, chart_set(*charts), SurveySettings(cross_track_m=100.0))[1][0]


def a_rock(along_m: float, cross_m: float = 0.0, **more: object) -> object:
    return rock("rock", *at(along_m, cross_m), 1.0, of="coast", **more)


@pytest.mark.parametrize(
    ("along_m", "touch"),
    [
        (2499.0, Touch.CORRIDOR),
        (2501.0, Touch.BELT),
        (2500.0 + BELT_M - 1.0, Touch.BELT),
        (2500.0 + BELT_M + 1.0, None),
    ],
)
def test_a_rock_beside_the_limit_may_stand_outside_it(along_m: float, touch: Touch | None) -> None:
    met = view_of(small(a_rock(along_m)), large()).dangers
    assert [m.place.touch for m in met] == ([touch] if touch else [])
    assert [m.place.hidden for m in met] == ([touch is Touch.BELT] if touch else [])


@pytest.mark.parametrize(("stated_m", "told"), [(80.0, 1), (30.0, 1), (200.0, 1), (None, 0)])
def test_its_own_accuracy_counts_if_it_is_worse(stated_m: float | None, told: int) -> None:
    off_m = BELT_M + 5.0 if stated_m != 30.0 else BELT_M - 5.0
    one = a_rock(2500.0 + off_m, position_uncertainty_m=stated_m)
    assert len(view_of(small(one), large()).dangers) == told


def test_it_may_only_stand_where_the_smaller_scale_counts_in_the_corridor() -> None:
    """A corridor that ends 50 m short of the limit is reached only from within 45 m of its end."""
    assert not view_of(small(a_rock(2501.0)), large(), to_m=2340.0).dangers
    (met,) = view_of(small(a_rock(2501.0)), large(), to_m=2490.0).dangers
    assert met.place.belt_m == pytest.approx(BELT_M)


def test_wholly_within_the_larger_scale_nothing_of_the_smaller_counts() -> None:
    assert not view_of(small(a_rock(2501.0)), large(cover=WHOLE)).dangers


def test_land_and_soundings_beside_the_limit() -> None:
    islet = land("islet", box(2510.0, 2520.0, -10.0, 10.0), of="coast")
    shoal = depth_area("shoal", box(2510.0, 2520.0, -10.0, 10.0), 1.0, "coast")
    chart = small(solids=(islet,))
    chart = replace(chart, depth_areas=(*chart.depth_areas, shoal))
    view = view_of(chart, large())
    assert [m.place.touch for m in view.solids] == [Touch.BELT]
    assert [m.place.hidden for m in view.depths if m.key == "coast/shoal"] == [True]


def test_what_counts_in_the_corridor_anyway_reaches_no_further_for_it() -> None:
    (sea,) = [d for d in view_of(small(), large()).depths if d.key == "coast/sea"]
    assert sea.place.along_to_m == pytest.approx(2500.0, abs=1.0)
    assert not sea.place.hidden


@pytest.mark.parametrize(("within_m", "stays"), [(10.0, True), (30.0, False)])
def test_a_mark_beside_the_limit_may_float_outside_it(within_m: float, stays: bool) -> None:
    """20 m for what floats: IHO S-44 ed. 6, table 2, order 2."""
    buoy = mark((500.0 - within_m, 0.0), MarkKind.PORT_HAND, "buoy")
    under = chart((buoy,), of=mark_source("b", 20_000.0))
    over = chart((), of=mark_source("a", 10_000.0), covers=square(500.0))
    assert kept(under, over) == (["buoy"] if stays else [])


@pytest.mark.parametrize(
    ("harbour", "told"),
    [
        (large(), ["coast/rock"]),
        (large(rock("r", *at(3030.0, 0.0), 15.0, of="harbour")), []),  # within 45 m and none
        (large(rock("r", *at(3060.0, 0.0), 0.5, of="harbour")), ["coast/rock"]),
        (large(solids=(land("l", box(3010.0, 3020.0, -9.0, 9.0), "harbour"),)), []),
    ],
)
def test_what_only_the_smaller_scale_shows(harbour: Chart, told: list[str]) -> None:
    view = view_of(small(a_rock(3000.0)), harbour)
    assert [one.object.key for one in view.only_smaller] == told
    assert not [m for m in view.dangers if m.source.id == "coast"]


def test_the_like_of_it_is_a_depth_no_greater() -> None:
    def harbour(depth_m: float) -> Chart:
        shoal = depth_area("shoal", box(2990.0, 3010.0, -10.0, 10.0), depth_m, "harbour")
        return replace(large(), depth_areas=(*large().depth_areas, shoal))

    assert not view_of(small(a_rock(3000.0)), harbour(1.0)).only_smaller
    assert view_of(small(a_rock(3000.0)), harbour(1.1)).only_smaller


def test_land_of_the_smaller_scale_and_what_lies_outside_the_corridor() -> None:
    islet = Solid(
        key="coast/islet", cls="LNDARE", source="coast", kind=SolidKind.LAND,
        geometry=box(3000.0, 3010.0, 20.0, 30.0),
    )  # fmt: skip
    far = a_rock(3000.0, 150.0)
    view = view_of(small(far, solids=(islet,)), large())
    assert [(o.object.key, o.source.id, o.larger.id) for o in view.only_smaller] == [
        ("coast/islet", "coast", "harbour")
    ]
