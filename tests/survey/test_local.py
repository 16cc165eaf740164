"""Which source counts where, how good it is, and what is a hole."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.chart import Chart, Problem
from routecheck.model.objects import DatumZone
from routecheck.model.source import UNKNOWN_QUALITY, Quality, SourceKind
from routecheck.model.view import LegView, Touch
from routecheck.survey.corridors import corridors
from routecheck.survey.local import split
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.settings import SurveySettings, rank
from routecheck.survey.survey import survey
from tests.survey.charts import (
    chart_set,
    contour,
    covered,
    depth_area,
    land,
    rock,
    route,
    sounding,
    source,
    unsurveyed,
    zone,
)

WATER = shapely.box(9.9, 49.9, 10.3, 50.1)
WEST, EAST = shapely.box(9.9, 49.9, 10.1, 50.1), shapely.box(10.1, 49.9, 10.3, 50.1)
GEOD = Geod(ellps="WGS84")


def view_of(*charts: Chart, width_m: float = 100.0) -> LegView:
    _, (view,) = survey(
        route([(10.0, 50.0), (10.2, 50.0)]),
        chart_set(*charts),
        SurveySettings(cross_track_m=width_m),
    )
    return view


def cell(
    name: str, scale: float, depth_m: float, cover: shapely.Geometry = WATER, **more: object
) -> Chart:
    facts: dict[str, object] = {
        "source": source(name, scale=scale),
        "depth_areas": (depth_area("sea", cover, depth_m, of=name),),
        "coverage": (covered(cover, of=name),),
    }
    return Chart(**{**facts, **more})  # type: ignore[arg-type]


def test_the_larger_scale_counts_where_both_cover() -> None:
    # IMO Res. MSC.232(82), 11.2: the largest-scale data available.
    view = view_of(cell("harbour", 10000.0, 5.0, EAST), cell("coast", 90000.0, 2.0))
    by_cell = {m.source.id: m.place for m in view.depths}
    assert by_cell["coast"].along_to_m == pytest.approx(GEOD.inv(10.0, 50.0, 10.1, 50.0)[2], abs=1)
    assert by_cell["harbour"].along_from_m == pytest.approx(by_cell["coast"].along_to_m, abs=1)


def test_a_rock_of_a_smaller_scale_counts_only_outside_the_larger_ones_cover() -> None:
    west, east = rock("west", 10.05, 50.0, of="coast"), rock("east", 10.15, 50.0, of="coast")
    view = view_of(
        cell("harbour", 10000.0, 5.0, EAST), cell("coast", 90000.0, 9.0, dangers=(west, east))
    )
    assert [m.object.key for m in view.dangers] == ["coast/west"]


def test_a_cell_too_small_in_scale_takes_nothing_from_others_and_clears_nothing() -> None:
    view = view_of(cell("overview", 700000.0, 50.0))
    assert {g.layer for g in view.gaps} >= {"depth", "dangers", "marks"}
    assert any("1:700000" in g.why for g in view.gaps)
    assert view.depths[0].coarse


def test_deep_water_under_a_small_scale_cell_clears_with_a_caution_only() -> None:
    view = view_of(cell("overview", 700000.0, 200.0))
    assert [w.source.id for w in view.coarse_water] == ["overview"]
    assert "depth" not in {g.layer for g in view.gaps}
    assert "dangers" in {g.layer for g in view.gaps}


def test_a_coarse_cell_does_not_condemn_where_an_adequate_one_covers() -> None:
    view = view_of(cell("harbour", 10000.0, 9.0), cell("overview", 700000.0, 1.0))
    assert {m.source.id for m in view.depths} == {"harbour"}
    assert not view.gaps


def test_water_between_cells_is_a_hole_for_every_layer() -> None:
    left, right = shapely.box(9.9, 49.9, 10.05, 50.1), shapely.box(10.06, 49.9, 10.3, 50.1)
    view = view_of(cell("a", 10000.0, 9.0, left), cell("b", 10000.0, 9.0, right))
    assert {g.layer for g in view.gaps} == {
        "depth", "dangers", "land", "marks", "overhead", "areas",
    }  # fmt: skip


def test_coverage_bounds_but_does_not_fill() -> None:
    chart = Chart(
        source=source(), depth_areas=(depth_area("w", WEST, 9.0),), coverage=(covered(WATER),)
    )
    view = view_of(chart)
    assert {g.layer for g in view.gaps} == {"depth"}


def test_a_depth_area_without_a_depth_is_a_hole_that_names_the_chart() -> None:
    chart = Chart(
        source=source(),
        depth_areas=(depth_area("w", WEST, 9.0), depth_area("e", EAST, None)),
        coverage=(covered(WATER),),
    )
    (gap,) = view_of(chart).gaps
    assert "without a depth" in gap.why and "cell" in gap.why


def test_unsurveyed_water_is_a_hole_whatever_depth_area_lies_there() -> None:
    chart = cell("cell", 20000.0, 9.0, unsurveyed=(unsurveyed("u", EAST),))
    gaps = view_of(chart).gaps
    assert {g.layer for g in gaps} == {"depth", "dangers"}
    assert {g.why for g in gaps} == {"charted as unsurveyed"}


@pytest.mark.parametrize("datum", ["unknown", "MSL"])
def test_a_datum_that_cannot_clear_leaves_a_hole_but_condemns(datum: str) -> None:
    chart = cell("cell", 20000.0, 9.0, source=source("cell", datum=datum))
    view = view_of(chart)
    assert any("cannot clear" in g.why for g in view.gaps)
    assert [m.datum for m in view.depths] == [datum]


def test_a_stated_offset_brings_mean_sea_level_to_chart_datum() -> None:
    # Boston: MSL stands 1.586 m above MLLW (NOAA CO-OPS station 8443970 datums).
    chart = cell("cell", 20000.0, 4.0, source=source("cell", datum="MSL", datum_below_msl_m=1.586))
    view = view_of(chart)
    assert not view.gaps
    assert view.depths[0].charted_depth_m == pytest.approx(2.414)


def test_a_datum_zone_on_mean_sea_level_is_a_hole() -> None:
    msl = DatumZone(key="cell/d", cls="M_SDAT", source="cell", geometry=EAST, datum="MSL")
    view = view_of(cell("cell", 20000.0, 9.0, datum_zones=(msl,)))
    assert {m.datum for m in view.depths} == {"LAT", "MSL"}
    (gap,) = [g for g in view.gaps if g.layer == "depth"]
    assert gap.along_from_m > 5000.0


def test_the_position_belt_is_the_zones_own() -> None:
    # CATZOC C: 500 m; A1: 5 m + 5 % of the depth (IHO S-57 ed. 3.1).
    north = 50.0 + 400.0 / 111229.0  # 400 m north, outside the corridor of 100 m
    rocks = (rock("west", 10.05, north), rock("east", 10.15, north))
    chart = cell(
        "cell",
        20000.0,
        9.0,
        source=source(quality=UNKNOWN_QUALITY),
        dangers=rocks,
        quality_zones=(zone("c", WEST, 4), zone("a", EAST, 1)),
    )
    (met,) = view_of(chart).dangers
    assert met.object.key == "cell/west"
    assert met.place.touch is Touch.BELT and met.place.belt_m == 500.0


def test_an_area_is_cut_by_zones_of_quality() -> None:
    chart = cell(
        "cell",
        20000.0,
        9.0,
        source=source(quality=UNKNOWN_QUALITY),
        quality_zones=(zone("b", WEST, 3), zone("d", EAST, 5)),
    )
    view = view_of(chart)
    assert {m.quality.name for m in view.depths} == {"CATZOC B", "CATZOC D"}
    (run,) = view.quality_runs
    assert run.quality.name == "CATZOC D"
    assert run.along_from_m == pytest.approx(GEOD.inv(10.0, 50.0, 10.1, 50.0)[2], abs=2.0)


def test_zones_of_quality_that_overlap_count_as_the_worse() -> None:
    chart = cell(
        "cell",
        20000.0,
        9.0,
        source=source(quality=UNKNOWN_QUALITY),
        quality_zones=(zone("a", WATER, 1), zone("d", WATER, 6)),
    )
    assert {m.quality.name for m in view_of(chart).depths} == {"CATZOC U (unassessed)"}


def test_land_covers_and_soundings_alone_do_not() -> None:
    island = Chart(
        source=source(),
        depth_areas=(depth_area("w", WEST, 9.0),),
        solids=(land("e", EAST),),
        coverage=(covered(WATER),),
    )
    assert not view_of(island).gaps
    dots = tuple(sounding(f"s{i}", 10.1 + i * 1e-4, 50.0, 20.0) for i in range(1000))
    alone = Chart(
        source=source(),
        depth_areas=(depth_area("w", WEST, 9.0),),
        soundings=dots,
        contours=(contour("c", shapely.LineString([(10.1, 50.0), (10.2, 50.0)]), 20.0),),
        coverage=(covered(WATER),),
    )
    assert {g.layer for g in view_of(alone).gaps} == {"depth"}


def test_edges_that_meet_leave_no_hole_and_a_metre_does() -> None:
    def pair(gap_deg: float) -> LegView:
        east = shapely.box(10.1 + gap_deg, 49.9, 10.3, 50.1)
        return view_of(
            Chart(
                source=source(),
                depth_areas=(depth_area("w", WEST, 9.0), depth_area("e", east, 9.0)),
                coverage=(covered(WATER),),
            )
        )

    assert not pair(1e-7).gaps
    assert pair(1e-5).gaps  # 0.7 m of longitude at 50 N


def test_a_loose_file_without_dangers_says_nothing_of_them() -> None:
    loose = source(
        "loose", kind=SourceKind.VECTOR, scale=None, quality=Quality(name="q", vertical_m=0.1)
    )
    bare = Chart(source=loose, depth_areas=(depth_area("a", WATER, 9.0, of="loose"),))
    assert {g.layer for g in view_of(bare).gaps} == {
        "dangers",
        "land",
        "marks",
        "overhead",
        "areas",
    }


def test_problems_count_only_near_the_leg() -> None:
    near = Problem(source="cell", text="near", bounds=(10.05, 49.99, 10.06, 50.01))
    far = Problem(source="cell", text="far", bounds=(12.0, 49.99, 12.1, 50.01))
    whole = Problem(source="cell", text="whole")
    view = view_of(cell("cell", 20000.0, 9.0, problems=(near, far, whole)))
    assert {p.text for p in view.problems} == {"near", "whole"}


def test_rank_puts_scale_first_and_for_grids_quality() -> None:
    large, small = source("l", scale=5000.0), source("s", scale=90000.0)
    assert sorted([small, large], key=rank)[0] is large
    newer = source("n", scale=5000.0, issued="20250101")
    older = source("o", scale=5000.0, issued="20190101")
    assert sorted([older, newer], key=rank)[0] is newer
    good = source(
        "g", kind=SourceKind.GRID, resolution_m=50.0, quality=Quality(name="q", vertical_m=0.2)
    )
    fine = source("f", kind=SourceKind.GRID, resolution_m=5.0, quality=UNKNOWN_QUALITY)
    assert sorted([fine, good], key=rank)[0] is good


def test_split_keeps_all_of_every_shape() -> None:
    shapes = np.empty(3, dtype=object)
    shapes[:] = [WATER, shapely.LineString([(9.9, 50.0), (10.3, 50.0)]), shapely.Point(10.1, 50.0)]
    pieces, labels, origins = split(shapes, (("west", WEST), ("east", EAST)), "rest")
    assert sum(p.area for p, o in zip(pieces, origins, strict=True) if o == 0) == pytest.approx(
        WATER.area
    )
    assert sum(p.length for p, o in zip(pieces, origins, strict=True) if o == 1) == pytest.approx(
        0.4
    )
    assert [label for label, o in zip(labels, origins, strict=True) if o == 2] == ["west"]


def test_a_loose_file_shows_only_the_layers_that_it_holds() -> None:
    loose = source("loose", kind=SourceKind.VECTOR, scale=None)
    some = Chart(
        source=loose,
        depth_areas=(depth_area("a", WATER, 9.0, of="loose"),),
        dangers=(rock("r", 10.29, 50.09, of="loose"),),
    )
    assert {g.layer for g in view_of(some).gaps} == {"land", "marks", "overhead", "areas"}


def test_a_cell_that_states_no_scale_clears_nothing() -> None:
    view = view_of(cell("cell", 20000.0, 50.0, source=source("cell", scale=None)))
    assert {g.layer for g in view.gaps} >= {"depth", "dangers"}


def test_a_rock_below_mean_sea_level_is_brought_to_chart_datum() -> None:
    chart = cell(
        "cell",
        20000.0,
        9.0,
        source=source("cell", datum="MSL", datum_below_msl_m=1.5),
        dangers=(rock("r", 10.05, 50.0, 4.0),),
    )
    (met,) = view_of(chart).dangers
    assert (met.datum, met.shift_m) == ("chart datum", -1.5)


def test_a_hole_in_the_larger_scale_is_not_filled_by_a_smaller() -> None:
    harbour = Chart(
        source=source("harbour", scale=10000.0),
        depth_areas=(depth_area("w", WEST, 9.0, of="harbour"),),
        coverage=(covered(WATER, of="harbour"),),
    )
    gaps = view_of(harbour, cell("coast", 90000.0, 9.0)).gaps
    assert {g.layer for g in gaps} == {"depth"}


def test_a_rock_of_approximate_position_has_its_own_belt() -> None:
    # QUAPOS 4, position approximate (IHO S-57 ed. 3.1, attribute 402): 500 m is common practice.
    north = 50.0 + 400.0 / 111229.0
    loose = rock("r", 10.05, north, position_uncertainty_m=500.0)
    (met,) = view_of(cell("cell", 20000.0, 9.0, dangers=(loose,))).dangers
    assert met.place.touch is Touch.BELT and met.place.belt_m == 500.0


def test_a_chart_left_unread_is_told_once_a_route() -> None:
    from routecheck.model.chart import ChartSet, Unread

    unread = (
        Unread(file="charts/OTHER.000", why="it is cut short"),
        Unread(file="charts/notes.txt", why="a text", looks_like_chart=False),
    )
    charts = ChartSet(charts=(cell("cell", 20000.0, 9.0),), unread=unread)
    two_legs = route([(10.0, 50.0), (10.1, 50.0), (10.2, 50.0)])
    _, views = survey(two_legs, charts, SurveySettings(cross_track_m=100.0))
    assert [[p.source for p in v.problems] for v in views] == [["OTHER.000"], []]


@pytest.mark.parametrize("blind", ["unsurveyed", "no depth", "no datum"])
def test_a_larger_scale_that_does_not_know_hides_nothing(blind: str) -> None:
    facts: dict[str, object] = {"source": source("harbour", scale=10000.0)}
    if blind == "unsurveyed":
        facts["unsurveyed"] = (unsurveyed("u", WATER, of="harbour"),)
    elif blind == "no depth":
        facts["depth_areas"] = (depth_area("a", WATER, None, of="harbour"),)
    else:
        facts["source"] = source("harbour", scale=10000.0, datum="unknown")
    rocky = cell("coast", 90000.0, 9.0, dangers=(rock("r", 10.05, 50.0, of="coast"),))
    view = view_of(cell("harbour", 10000.0, 9.0, **facts), rocky)
    assert [m.object.key for m in view.dangers] == ["coast/r"]
    assert "depth" in {g.layer for g in view.gaps}


def test_a_larger_scale_without_a_depth_hides_nothing() -> None:
    """Its bounds cover the rock, no area of it does: what the smaller scale shows there counts."""
    east = rock("east", 10.15, 50.0, of="coast")
    bare = cell("harbour", 10000.0, 5.0, shapely.box(10.1, 49.9, 10.12, 50.1))
    bare = replace(bare, coverage=(covered(EAST, of="harbour"),))
    view = view_of(bare, cell("coast", 90000.0, 9.0, dangers=(east,)))
    assert [m.object.key for m in view.dangers] == ["coast/east"]
    # It clears nothing there: the larger scale may know better.
    assert any(gap.layer == "depth" for gap in view.gaps)


def test_a_cell_of_unknown_scale_is_hidden_by_none() -> None:
    """It may be of the largest scale of all."""
    east = rock("east", 10.15, 50.0, of="plan")
    plan = cell("plan", 1.0, 9.0, dangers=(east,))
    plan = replace(plan, source=source("plan", scale=None))
    view = view_of(cell("coast", 90000.0, 9.0), plan)
    assert [m.object.key for m in view.dangers] == ["plan/east"]


@pytest.mark.parametrize(("catzoc", "off_m"), [(5, 400.0), (6, 8.0)])
def test_unknown_quality_has_a_position_belt(catzoc: int, off_m: float) -> None:
    # Zone D is worse than C's 500 m; an unassessed one no better than 0.5 mm at 1:20,000.
    north = 50.0 + (100.0 + off_m) / 111229.0
    chart = cell(
        "cell",
        20000.0,
        9.0,
        source=source(quality=UNKNOWN_QUALITY),
        dangers=(rock("r", 10.05, north),),
        quality_zones=(zone("z", WATER, catzoc),),
    )
    (met,) = view_of(chart).dangers
    assert met.place.touch is Touch.BELT


def test_a_part_that_crosses_itself_by_a_rounding_does_not_end_the_run() -> None:
    # Found by the campaign on 2026-11-25: areas cut along a zone of quality and turned into the
    # leg's plane crossed themselves, and GEOS refused to overlay them with the corridor.
    (leg,) = corridors(route([(10.0, 50.0), (10.2, 50.0)]), ((100.0, 100.0),))
    plane = ChunkPlane(leg, leg.chunks[0])
    bow = shapely.Polygon([(10.0, 50.0), (10.004, 50.0), (10.0, 50.0005), (10.004, 50.0005)])
    held = np.array([bow], dtype=object)
    ((index, place, _),) = plane.places(plane.to_plane(held), np.zeros(1))
    assert index == 0 and place.touch is Touch.CORRIDOR
