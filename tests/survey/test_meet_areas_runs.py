"""Runs of the track in an area: what is joined, what is kept apart, what is never lost."""

from __future__ import annotations

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Chart
from routecheck.model.view import Met, Place, Touch, TrackRun
from routecheck.survey import meet_areas
from tests.survey.charts import EXACT, source
from tests.survey.equator import Shape, box, locals_on, plane, shape

Run = tuple[float, float, float]


def area(where: Shape) -> Area:
    return Area(key="cell/a", cls="RESARE", source="cell", geometry=where, kind=AreaKind.RESTRICTED)


def met(where: Shape) -> Met[Area]:
    on, into = plane(), {}
    for local in locals_on(on, Chart(source=source(), areas=(area(where),))):
        meet_areas.meet_areas(on, local, into)
    return into["cell/a"]


@pytest.mark.parametrize(
    ("from_m", "to_m"), [(-100.0, 0.5), (4999.5, 5100.0), (-100.0, 5100.0), (0.3, 0.6)]
)
def test_a_run_ends_with_the_leg(from_m: float, to_m: float) -> None:
    (run,) = met(box(from_m, to_m, -50.0, 50.0)).runs
    wanted = max(from_m, 0.0), min(to_m, 5000.0)
    assert (run.along_from_m, run.along_to_m) == pytest.approx(wanted, abs=0.001)


def test_a_touch_that_the_overlay_loses_is_a_run_of_no_length(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    on = plane()
    wedge = shapely.Polygon([(2000.0, 0.0), (2500.0, 60.0), (1500.0, 60.0)])
    assert [(r.along_from_m, r.along_to_m) for r in meet_areas._runs(wedge, on)] == [(2000.0,) * 2]
    monkeypatch.setattr(BaseGeometry, "intersection", lambda _self, _other: shapely.Polygon())
    assert [(r.along_from_m, r.along_to_m) for r in meet_areas._runs(wedge, on)] == [(2000.0,) * 2]


def test_an_area_that_touches_the_track_from_the_side() -> None:
    found = met(shape((2000.0, 0.0), (2500.0, 60.0), (1500.0, 60.0)))
    assert found.place.touch is Touch.CORRIDOR
    assert found.place.along_from_m == pytest.approx(1500.0, abs=0.01)


def runs(*given: Run) -> tuple[TrackRun, ...]:
    return tuple(TrackRun(along_from_m=a, along_to_m=b, course_deg=c) for a, b, c in given)


@pytest.mark.parametrize(
    ("given", "made"),
    [
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 90.0)], [(0.0, 20.0, 90.0)]),
        # A centimetre apart, and a hundredth of a degree, is the rounding of two chunks.
        ([(0.0, 10.0, 90.0), (10.01, 20.0, 90.0)], [(0.0, 20.0, 90.0)]),
        ([(0.0, 10.0, 90.0), (10.0105, 20.0, 90.0)], None),
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 90.0095)], [(0.0, 20.0, 90.0)]),
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 90.0105)], None),
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 89.9895)], None),
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 85.0)], None),
        ([(0.0, 10.0, 90.0), (10.0, 20.0, 270.0)], None),
        ([(0.0, 10.0, 359.996), (10.0, 20.0, 0.004)], [(0.0, 20.0, 359.996)]),
        ([(0.0, 10.0, 0.004), (10.0, 20.0, 359.996)], [(0.0, 20.0, 0.004)]),
        ([(0.0, 10.0, 90.0), (2.0, 5.0, 90.0), (10.0, 12.0, 90.0)], [(0.0, 12.0, 90.0)]),
        (
            [(0.0, 1.0, 90.0), (5.0, 6.0, 90.0), (6.0, 7.0, 90.0)],
            [(0.0, 1.0, 90.0), (5.0, 7.0, 90.0)],
        ),
        ([], []),
    ],
)
def test_runs_on_one_course_that_meet_are_one(given: list[Run], made: list[Run] | None) -> None:
    wanted = runs(*(given if made is None else made))
    assert meet_areas._end_to_end(list(runs(*given))) == wanted


def meeting(along_m: float, cross_m: float, course_deg: float) -> Met[Area]:
    place = Place(
        along_m=along_m, cross_m=cross_m, lon_deg=0.0, lat_deg=0.0,
        along_from_m=along_m - 5.0, along_to_m=along_m + 5.0,
    )  # fmt: skip
    return Met(
        object=area(box(0.0, 1.0, 0.0, 1.0)), place=place, source=source(), quality=EXACT,
        course_deg=course_deg, runs=runs((along_m - 5.0, along_m + 5.0, course_deg)),
    )  # fmt: skip


def test_of_two_meetings_the_nearer_gives_the_course() -> None:
    near, far = meeting(100.0, 1.0, 90.0), meeting(20.0, 30.0, 80.0)
    for both in (meet_areas._both(near, far), meet_areas._both(far, near)):
        assert (both.place.along_m, both.course_deg) == (100.0, 90.0)
        assert (both.place.along_from_m, both.place.along_to_m) == (15.0, 105.0)
        assert both.runs == runs((15.0, 25.0, 80.0), (95.0, 105.0, 90.0))
