"""Which areas and lines a corridor meets, and which parts of the track lie in them.

On the equator a degree of longitude is 111,319.490793 m (the semi-major axis 6,378,137 m of NGA
STND.0036 (2014), Table 3.1, times pi / 180); a degree of latitude there 110,574.2758 m.
"""

from __future__ import annotations

import pytest
import shapely

from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Chart
from routecheck.model.route import LegLine
from routecheck.model.view import LegView, Met, Touch
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.survey.charts import chart_set, covered, depth_area, route, source

EAST_M, NORTH_M = 111319.490793, 110574.2758
HALF_M = 100.0
ONE_CENTIMETRE = 0.01
SEA = shapely.box(-0.2, -0.2, 0.4, 0.4)


def area(shape: shapely.Geometry, kind: AreaKind = AreaKind.RESTRICTED, **more: object) -> Area:
    facts = {"key": "cell/RESARE/1", "cls": "RESARE", "source": "cell", "geometry": shape}
    return Area(**{**facts, "kind": kind, **more})  # type: ignore[arg-type]


def views(
    shape: shapely.Geometry, points: list[tuple[float, float]], *, scale: float = 20_000.0,
    line: LegLine = LegLine.RHUMB, **more: object,
) -> tuple[LegView, ...]:  # fmt: skip
    chart = Chart(
        source=source(scale=scale),
        depth_areas=(depth_area("sea", SEA, 50.0),),
        areas=(area(shape, **more),),  # type: ignore[arg-type]
        coverage=(covered(SEA),),
    )
    settings = SurveySettings(cross_track_m=HALF_M)
    return survey(route(points, line=line), chart_set(chart), settings)[1]


def only(found: tuple[LegView, ...]) -> Met[Area]:
    (met,) = found[0].areas
    return met


ALONG_THE_EQUATOR = [(0.0, 0.0), (0.2, 0.0)]


def test_part_of_the_track_inside_an_area() -> None:
    met = only(views(shapely.box(0.05, -0.01, 0.07, 0.02), ALONG_THE_EQUATOR))
    (run,) = met.runs
    assert run.along_from_m == pytest.approx(0.05 * EAST_M, abs=ONE_CENTIMETRE)
    assert run.along_to_m == pytest.approx(0.07 * EAST_M, abs=ONE_CENTIMETRE)
    assert run.course_deg == pytest.approx(90.0, abs=1e-6)
    assert met.place.touch is Touch.CORRIDOR and met.place.cross_m == 0.0


def test_an_area_that_only_the_corridor_touches_holds_no_part_of_the_track() -> None:
    north = 60.0 / NORTH_M
    met = only(views(shapely.box(0.05, north, 0.07, 0.02), ALONG_THE_EQUATOR))
    assert met.runs == () and met.place.touch is Touch.CORRIDOR
    assert met.place.cross_m == pytest.approx(-60.0, abs=ONE_CENTIMETRE)
    assert met.course_deg == pytest.approx(90.0, abs=1e-6)


@pytest.mark.parametrize(
    ("off_m", "touch"),
    # 0.5 mm at 1:20,000 is 10 m (common practice); the corridor ends at 100 m.
    [(99.99, Touch.CORRIDOR), (109.9, Touch.BELT), (110.2, None)],
)
def test_position_uncertainty_at_the_scale(off_m: float, touch: Touch | None) -> None:
    (view,) = views(shapely.box(0.05, off_m / NORTH_M, 0.07, 0.02), ALONG_THE_EQUATOR)
    assert [met.place.touch for met in view.areas] == ([touch] if touch else [])


def test_what_the_object_states_of_its_position_outweighs_the_scale() -> None:
    shape = shapely.box(0.05, 590.0 / NORTH_M, 0.07, 0.02)
    assert views(shape, ALONG_THE_EQUATOR)[0].areas == ()
    met = only(views(shape, ALONG_THE_EQUATOR, position_uncertainty_m=500.0))
    assert met.place.touch is Touch.BELT and met.runs == ()


def test_a_line_that_is_crossed_and_a_point() -> None:
    line = only(views(shapely.LineString([(0.1, -0.1), (0.1, 0.1)]), ALONG_THE_EQUATOR))
    (run,) = line.runs
    assert run.along_from_m == pytest.approx(0.1 * EAST_M, abs=ONE_CENTIMETRE)
    assert run.along_to_m == run.along_from_m
    assert line.object.dimension == 1
    point = only(views(shapely.Point(0.1, 0.0005), ALONG_THE_EQUATOR))
    assert point.runs == () and point.object.dimension == 0


def test_two_arms_of_one_area_are_two_runs() -> None:
    arms = shapely.union_all(
        [shapely.box(0.02, -0.01, 0.03, 0.02), shapely.box(0.05, -0.01, 0.06, 0.02),
         shapely.box(0.02, 0.015, 0.06, 0.02)]
    )  # fmt: skip
    met = only(views(arms, ALONG_THE_EQUATOR))
    assert [round(run.along_from_m / EAST_M, 6) for run in met.runs] == [0.02, 0.05]


def test_a_long_leg_is_one_run_and_a_bend_belongs_to_each_leg() -> None:
    # Longer than one chunk of a corridor (5 nmi), and a turn inside the area.
    found = views(shapely.box(-0.1, -0.1, 0.3, 0.3), [(0.0, 0.0), (0.2, 0.0), (0.2, 0.2)])
    assert [len(view.areas[0].runs) for view in found] == [1, 1]
    for view, course in zip(found, (90.0, 0.0), strict=True):
        (run,) = view.areas[0].runs
        assert run.along_from_m == pytest.approx(0.0, abs=ONE_CENTIMETRE)
        assert run.along_to_m == pytest.approx(view.length_m, abs=ONE_CENTIMETRE)
        off = (run.course_deg - course + 180.0) % 360.0 - 180.0
        assert off == pytest.approx(0.0, abs=1e-6)


def test_over_the_antimeridian() -> None:
    chart = Chart(
        source=source(),
        areas=(area(shapely.box(-179.99, -0.01, -179.97, 0.01)),),
        coverage=(covered(shapely.box(-180.0, -0.1, -179.8, 0.1)),),
    )
    one = route([(179.95, 0.0), (-179.95, 0.0)])
    (view,) = survey(one, chart_set(chart), SurveySettings(cross_track_m=HALF_M))[1]
    (run,) = view.areas[0].runs
    assert run.along_from_m == pytest.approx(0.06 * EAST_M, abs=ONE_CENTIMETRE)
    assert run.along_to_m == pytest.approx(0.08 * EAST_M, abs=ONE_CENTIMETRE)


def test_a_better_chart_counts_instead_where_it_covers() -> None:
    coarse = Chart(
        source=source("coarse", scale=90_000.0),
        areas=(area(shapely.box(0.05, -0.01, 0.07, 0.02), source="coarse"),),
        coverage=(covered(SEA, of="coarse"),),
    )
    held = shapely.box(-0.2, -0.2, 0.06, 0.2)
    fine = Chart(
        source=source("fine", scale=20_000.0),
        depth_areas=(depth_area("sea", held, 20.0, of="fine"),),
        coverage=(covered(held, of="fine"),),
    )
    settings = SurveySettings(cross_track_m=HALF_M)
    (view,) = survey(route(ALONG_THE_EQUATOR), chart_set(coarse, fine), settings)[1]
    (met,) = view.areas
    assert met.runs[0].along_from_m == pytest.approx(0.06 * EAST_M, abs=ONE_CENTIMETRE)
