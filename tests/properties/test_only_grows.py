"""What must only ever add: a deeper boat, a wider corridor, a lower tide, one more danger.

Stated on sets of charted objects, never on counts: two shoals may join to one finding.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.chart import Severity
from routecheck.model.finding import Outcome, Report, Verdict
from tests.properties.worlds import CELL_DEG, World, charted, grown, sailed, spot, worlds
from tests.survey.charts import rock, route

more = st.floats(0.001, 4.0)


@given(worlds(), more)
def test_a_deeper_draught_only_adds(world: World, more_m: float) -> None:
    deeper = replace(world.boat, draught_m=world.boat.draught_m + more_m)
    assert grown(world.report(), world.report(boat=deeper)) == []


@given(worlds(), more)
def test_a_larger_under_keel_clearance_only_adds(world: World, more_m: float) -> None:
    margins = replace(world.boat.margins, under_keel_m=world.boat.margins.under_keel_m + more_m)
    assert grown(world.report(), world.report(boat=replace(world.boat, margins=margins))) == []


@given(worlds(), more)
def test_a_lower_tide_only_adds(world: World, less_m: float) -> None:
    assert grown(world.report(), world.report(tide_m=world.tide_m - less_m)) == []


hours = st.floats(0.0, 24.0)
etas_s = st.floats(0.0, 20_000.0)


@given(worlds(), hours, etas_s, st.floats(0.0, 20_000.0))
def test_a_longer_uncertainty_of_the_eta_only_adds(
    world: World, hours: float, eta_s: float, more_s: float
) -> None:
    before = sailed(world, hours=hours, eta_s=eta_s)
    assert grown(before, sailed(world, hours=hours, eta_s=eta_s + more_s)) == []


@given(worlds(), hours, etas_s, more)
def test_a_lower_tide_at_every_time_only_adds(
    world: World, hours: float, eta_s: float, less_m: float
) -> None:
    before = sailed(world, hours=hours, eta_s=eta_s)
    assert grown(before, sailed(world, hours=hours, eta_s=eta_s, lower_m=less_m)) == []


@given(worlds(), st.floats(0.1, 500.0))
def test_a_wider_corridor_only_adds(world: World, more_m: float) -> None:
    assert grown(world.report(), world.report(width_m=world.width_m + more_m)) == []


@given(worlds(), st.floats(0.2, 5.8), st.floats(0.2, 5.8))
def test_one_more_rock_takes_nothing_away(world: World, x: float, y: float) -> None:
    extra = rock("extra", *spot(world.lon_deg, world.lat_deg, x, y))
    chart = replace(world.chart, dangers=(*world.chart.dangers, extra))
    assert grown(world.report(), world.report(chart=chart)) == []


def outcomes(report: Report) -> dict[tuple[str, int], Outcome]:
    return {(a.check, a.leg): a.outcome for a in report.assessed}


@given(worlds(), st.integers(0, 35))
def test_lost_coverage_never_turns_into_nothing_found(world: World, index: int) -> None:
    areas = world.chart.depth_areas
    if not areas:
        return
    lost = index % len(areas)
    chart = replace(world.chart, depth_areas=areas[:lost] + areas[lost + 1 :])
    before, after = world.report(), world.report(chart=chart)
    for key, outcome in outcomes(after).items():
        if outcome is Outcome.NOTHING_FOUND:
            # The danger that was lost with its area leaves a hole, and that is not assessed.
            assert outcomes(before)[key] is not Outcome.NOT_ASSESSED
            if key[0] == "too-little-water":
                assert outcomes(before)[key] is Outcome.NOTHING_FOUND


@given(worlds())
def test_the_reversed_route_meets_the_same_objects(world: World) -> None:
    points = [(w.lon_deg, w.lat_deg) for w in world.route.waypoints]
    back = world.report(route=route(points[::-1]))
    assert charted(back) == charted(world.report())


@given(worlds(), st.floats(0.1, 0.9))
def test_a_waypoint_on_a_leg_changes_nothing(world: World, share: float) -> None:
    points = [(w.lon_deg, w.lat_deg) for w in world.route.waypoints]
    (lon1, lat1), (lon2, lat2) = points[0], points[1]
    # On a leg of under 3 nmi the middle of the chord is within a centimetre of the rhumb line.
    extra = (lon1 + share * (lon2 - lon1), lat1 + share * (lat2 - lat1))
    if min(share, 1 - share) * (abs(lon2 - lon1) + abs(lat2 - lat1)) < 1e-5:
        return
    split = world.report(route=route([points[0], extra, *points[1:]]))
    whole = world.report()
    slack = world.report(width_m=world.width_m + 0.05)
    tight = world.report(width_m=max(1.0, world.width_m - 0.05))
    assert grown(tight, split) == [] or grown(whole, split) == []
    assert grown(split, slack) == []


@given(worlds(), st.randoms(use_true_random=False))
def test_the_order_of_features_changes_nothing(world: World, rng: object) -> None:
    chart = world.chart
    shuffled = {}
    for name in ("depth_areas", "dangers", "soundings", "solids"):
        things = list(getattr(chart, name))
        rng.shuffle(things)  # type: ignore[attr-defined]
        shuffled[name] = tuple(things)
    mixed = world.report(chart=replace(chart, **shuffled))
    assert mixed.findings == world.report().findings


@given(worlds())
def test_the_verdict_is_the_worst_that_was_found(world: World) -> None:
    report = world.report()
    severities = {f.severity for f in report.findings}
    if Severity.DANGER in severities:
        assert report.verdict is Verdict.HAZARDS
    elif Severity.NOT_ASSESSED in severities:
        assert report.verdict is Verdict.INCOMPLETE
    assert (report.verdict is Verdict.NO_HAZARD_FOUND) <= (severities <= {Severity.NOTE})


@pytest.mark.parametrize("turn_deg", [168.0 - 0.01, -180.0 + 0.005])
def test_the_antimeridian_changes_nothing(turn_deg: float) -> None:
    """The same little world at 12 E and astride 180: cut there, as charts are."""
    import shapely
    from shapely.affinity import translate

    from routecheck.model.boat import Boat
    from routecheck.model.chart import Chart
    from tests.survey.charts import covered, depth_area, source

    def world(lon: float) -> World:
        def place(x: float, y: float) -> tuple[float, float]:
            return spot(lon, 43.0, x, y)

        areas = []
        for x in range(6):
            for y in range(3):
                west = lon + x * CELL_DEG
                box = shapely.box(
                    west, 43.0 + y * CELL_DEG, west + CELL_DEG, 43.0 + (y + 1) * CELL_DEG
                )
                depth_m = 1.0 + (x * 7 + y * 3) % 10
                for turn, limits in ((0, (-180, 180)), (-360, (180, 540)), (360, (-540, -180))):
                    part = shapely.clip_by_rect(box, limits[0], -90, limits[1], 90)
                    if not part.is_empty:
                        part = translate(part, xoff=turn)
                        areas.append(depth_area(f"a{x}.{y}", part, depth_m))
        cover = [a.geometry for a in areas]
        chart = Chart(
            source=source(),
            depth_areas=tuple(areas),
            dangers=(rock("r", *place(2.5, 1.5)), rock("q", *place(4.1, 1.4), 1.0)),
            coverage=tuple(replace(covered(c), key=f"cell/c{i}") for i, c in enumerate(cover)),
        )
        return World(
            chart=chart,
            route=route([place(0.5, 1.5), place(3.2, 1.2), place(5.5, 1.5)]),
            boat=Boat(name="b", draught_m=3.0),
            width_m=150.0,
            tide_m=0.0,
            lon_deg=lon,
            lat_deg=43.0,
        )

    here, there = world(12.0).report(), world(12.0 + turn_deg).report()
    assert charted(here) == charted(there)
    assert [round(f.along_m, 1) for f in here.findings] == [
        round(f.along_m, 1) for f in there.findings
    ]
    assert here.verdict is there.verdict
