"""A source that anyone fills in, here and there, covers nothing and outranks no one."""

from __future__ import annotations

import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import Layer, MarkKind
from routecheck.model.source import SourceKind
from routecheck.survey.markset import mark_set
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests import buoys
from tests.survey.charts import chart_set, depth_area, land, rock, route, source

WATER = shapely.box(-0.1, -0.1, 0.2, 0.1)


def loose(name: str, *, proves_absence: bool) -> Chart:
    return Chart(
        source=source(name, kind=SourceKind.VECTOR, scale=None),
        depth_areas=(depth_area("water", WATER, 20.0, of=name),),
        dangers=(rock("far", 0.15, 0.09, of=name),),
        solids=(land("islet", shapely.box(0.15, 0.05, 0.16, 0.06), of=name),),
        proves_absence=proves_absence,
    )


@pytest.mark.parametrize("proves_absence", [True, False])
def test_dangers_and_land_of_a_file_that_proves_nothing_cover_nothing(proves_absence: bool) -> None:
    _, views = survey(
        route([(0.0, 0.0), (0.1, 0.0)]),
        chart_set(loose("osm", proves_absence=proves_absence)),
        SurveySettings(cross_track_m=100.0),
    )
    missing = {gap.layer for view in views for gap in view.gaps}
    held = {Layer.DANGERS, Layer.LAND}
    assert (held & missing == set()) is proves_absence
    assert (held <= missing) is not proves_absence


@pytest.mark.parametrize("scale", [10000.0, None])
def test_its_marks_give_way_to_those_of_every_other_source(scale: float | None) -> None:
    hand = MarkKind.PORT_HAND
    theirs = buoys.mark((0.0, 0.0), hand, of="b")
    same = buoys.mark((0.0, 40.0), hand, of="a")
    another = buoys.mark((0.0, 90.0), hand, of="a")
    osm = Chart(source=buoys.source("a", None), marks=(same, another), proves_absence=False)
    chart = Chart(source=buoys.source("b", scale), marks=(theirs,))
    kept = mark_set(ChartSet(charts=(osm, chart))).marks
    assert [m.key for m in kept] == [theirs.key, another.key]
