"""What must hold of regulated areas whatever the chart: nothing disappears from a wider corridor,
and an extra waypoint on a leg changes nothing that the route meets."""

from __future__ import annotations

import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.checks import all_checks
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from tests.checks.views import boat, passage
from tests.survey.charts import covered, source

SEA = shapely.box(-0.1, -0.1, 0.2, 0.1)
ORDER = list(Severity)
CHECKS = [check for check in all_checks() if check.group == "areas"]
Told = dict[tuple[str, str], int]


def box(draw: st.DrawFn) -> shapely.Geometry:
    lon, lat = draw(st.floats(-0.02, 0.12)), draw(st.floats(-0.012, 0.012))
    east, north = draw(st.floats(0.0001, 0.06)), draw(st.floats(0.0001, 0.01))
    sort = draw(st.sampled_from(["area", "line", "point"]))
    if sort == "point":
        return shapely.Point(lon, lat)
    if sort == "line":
        return shapely.LineString([(lon, lat), (lon + east, lat + north)])
    return shapely.box(lon, lat, lon + east, lat + north)


@st.composite
def charts(draw: st.DrawFn) -> ChartSet:
    areas = [
        Area(
            key=f"cell/{number}",
            cls="X",
            source="cell",
            geometry=box(draw),
            kind=draw(st.sampled_from(AreaKind)),
            restrictions=tuple(draw(st.lists(st.sampled_from([1, 7, 8, 13, 14, 27]), max_size=2))),
            categories=tuple(draw(st.lists(st.sampled_from([1, 2, 4, 28]), max_size=1))),
            orientation_deg=draw(st.floats(0.0, 359.9)),
            one_way=draw(st.booleans()),
            status=draw(st.sampled_from([(), (9,)])),
        )
        for number in range(draw(st.integers(1, 5)))
    ]
    scale = draw(st.sampled_from([5_000.0, 90_000.0]))
    chart = Chart(source=source(scale=scale), areas=tuple(areas), coverage=(covered(SEA),))
    return ChartSet(charts=(chart,))


def told(charts: ChartSet, points: list[tuple[float, float]], half_m: float) -> Told:
    """The worst severity of each (check, object), as a place in the order of severities."""
    ends = [Waypoint(name=str(i), lon_deg=x, lat_deg=y) for i, (x, y) in enumerate(points)]
    legs = tuple(Leg(number=i + 1, start=ends[i], end=ends[i + 1]) for i in range(len(points) - 1))
    route = Route(name="r", file="r", legs=legs)
    _, views = survey(route, charts, SurveySettings(cross_track_m=half_m))
    found: Told = {}
    for view in views:
        for check in CHECKS:
            for finding in check.function(view, passage(boat())):
                keys = [finding.object_key, *(e.key for e in finding.evidence)]
                for key in keys:
                    rank = ORDER.index(finding.severity)
                    found[check.name, key] = min(rank, found.get((check.name, key), rank))
    return found


@given(charts(), st.floats(20.0, 300.0), st.floats(1.0, 500.0))
def test_a_wider_corridor_loses_nothing(charts: ChartSet, half_m: float, more_m: float) -> None:
    points = [(0.0, 0.0), (0.1, 0.002)]
    narrow, wide = told(charts, points, half_m), told(charts, points, half_m + more_m)
    assert set(narrow) <= set(wide)
    for key, rank in narrow.items():
        assert wide[key] <= rank, key


@given(charts(), st.floats(0.05, 0.95))
def test_a_waypoint_on_the_leg_changes_nothing_that_is_met(charts: ChartSet, part: float) -> None:
    whole = told(charts, [(0.0, 0.0), (0.1, 0.0)], 100.0)
    halves = told(charts, [(0.0, 0.0), (0.1 * part, 0.0), (0.1, 0.0)], 100.0)
    assert set(whole) == set(halves)
    for key, rank in whole.items():
        # The axis of a separation zone is that of lanes on the same leg.
        if key[0] != "in-the-separation-zone":
            assert halves[key] <= rank, key


@given(charts())
def test_nothing_that_bars_the_way_is_ever_silent(charts: ChartSet) -> None:
    """Every area on the track that prohibits or restricts entry is in a finding."""
    found = told(charts, [(0.0, 0.0), (0.1, 0.0)], 100.0)
    track = shapely.LineString([(0.0, 0.0), (0.1, 0.0)])
    for area in charts.charts[0].areas:
        if {7, 8} & set(area.restrictions) and area.geometry.intersects(track):
            assert ("entry-prohibited", area.key) in found
