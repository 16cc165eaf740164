"""Stage 1, whole: a route and a set of charts become one view a leg."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import ChartSet, Problem, Severity, Unread
from routecheck.model.route import Route
from routecheck.model.view import DepthGridMet, LegView, OnlySmaller
from routecheck.survey.along_grids import (
    LegGrid,
    depth_grid_met,
    grid_cover,
    which_count,
)
from routecheck.survey.chart_index import ChartIndex
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.cover import Pieces, cover_chunk
from routecheck.survey.disagree import Comparison, compare
from routecheck.survey.local import LocalChart, local_charts
from routecheck.survey.meet import Meetings, depths_in_order, in_order, meet_chart
from routecheck.survey.meet_areas import meet_areas
from routecheck.survey.old_surveys import Runs, old_surveys
from routecheck.survey.overlay import union
from routecheck.survey.passes import mark_passes
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.settings import SurveySettings, rank
from routecheck.survey.shoalest import shoalest
from routecheck.survey.smaller_scale import only_smaller

Progress = Callable[[int, int, str], None]


def survey(
    route: Route,
    charts: ChartSet,
    settings: SurveySettings,
    *,
    progress: Progress | None = None,
) -> tuple[tuple[LegCorridor, ...], tuple[LegView, ...]]:
    """(corridors, views) of all legs, in order.

    `progress` is called with (legs done, legs, what). Raises ValueError where a leg has no length.
    """
    widths = [settings.half_widths_m(leg) for leg in route.legs]
    legs = corridors(route, tuple((port, starboard) for port, starboard, _ in widths))
    # Charts that came without their objects, far from the route, have nothing to be asked.
    held = [c for c in charts.charts if c.coverage or c.problems or c.objects()]
    indexes = [ChartIndex(chart) for chart in sorted(held, key=lambda c: rank(c.source))]
    grids = sorted(charts.grids, key=lambda g: rank(g.source))
    profiles = [shoalest(grid, legs) for grid in grids]
    beside = [
        [
            shoalest(one, legs) if (one := getattr(grid, name, None)) is not None else None
            for name in ("uncertainty", "measured")
        ]
        for grid in grids
    ]
    passes = mark_passes(legs, charts, far_m=settings.mark_far_m, region=settings.region)
    views = []
    for position, (corridor, (_, _, said)) in enumerate(zip(legs, widths, strict=True)):
        if progress is not None:
            progress(position, len(legs), f"leg {corridor.leg.number}")
        leg_grids = [
            LegGrid(
                grid=grid,
                profile=profile[position],
                coarse=settings.too_coarse(grid.source),
                uncertainty=None if off is None else off[position],
                measured=None if measured is None else measured[position],
            )
            for grid, profile, (off, measured) in zip(grids, profiles, beside, strict=True)
        ]
        views.append(
            _view(corridor, indexes, leg_grids, settings, said, passes.get(corridor.leg.number, ()))
        )
    if progress is not None:
        progress(len(legs), len(legs), "survey done")
    anywhere = [_unread(one) for one in charts.unread if one.looks_like_chart]
    anywhere += _lost_anywhere(indexes, views)
    if anywhere:
        # Nobody knows what water it shows: told once a route, on its first leg.
        views[0] = replace(views[0], problems=(*anywhere, *views[0].problems))
    return legs, tuple(views)


def _unread(one: Unread) -> Problem:
    name = one.file.replace("\\", "/").rsplit("/", 1)[-1]
    text = f"left unread, and may cover this water: {one.why}"
    return Problem(source=name, text=text, used=False)


def _lost_anywhere(indexes: Sequence[ChartIndex], views: Sequence[LegView]) -> list[Problem]:
    """What was lost of charts that do not say what they cover, and could lie anywhere."""
    told = {(problem.source, problem.text) for view in views for problem in view.problems}
    return [
        problem
        for index in indexes
        if not index.chart.coverage
        for problem in index.chart.problems
        if problem.bounds is None
        and problem.severity is Severity.NOT_ASSESSED
        and (problem.source, problem.text) not in told
    ]


def _view(
    corridor: LegCorridor,
    indexes: Sequence[ChartIndex],
    leg_grids: Sequence[LegGrid],
    settings: SurveySettings,
    said: str,
    passes: tuple,  # type: ignore[type-arg]
) -> LegView:
    met, pieces, comparison = Meetings(), Pieces(), Comparison()
    problems: dict[tuple[str, str], Problem] = {}
    old: Runs = {}
    smaller: dict[str, OnlySmaller] = {}
    covered = [np.zeros(len(g.profile.along_from_m), dtype=bool) for g in leg_grids]
    for chunk in corridor.chunks:
        plane = ChunkPlane(corridor, chunk)
        locals_ = local_charts(plane, indexes, settings)
        for local in locals_:
            meet_chart(plane, local, met)
            meet_areas(plane, local, met.areas)
        _mark_covered(plane, locals_, leg_grids, covered)
        cover_chunk(plane, locals_, [grid_cover(plane, g) for g in leg_grids], pieces)
        compare(plane, locals_, leg_grids, comparison)
        for one in only_smaller(plane, locals_):
            smaller.setdefault(one.object.key, one)
        old_surveys(plane, locals_, leg_grids, settings.oldest_survey_year, old)
        for problem in _problems(plane, indexes, locals_, leg_grids):
            problems[problem.source, problem.text] = problem
    counts = which_count(leg_grids, covered)
    grids_met = [depth_grid_met(corridor, g, c) for g, c in zip(leg_grids, counts, strict=True)]
    return LegView(
        leg=corridor.leg,
        length_m=corridor.length_m,
        course_deg=corridor.course_deg,
        end_course_deg=corridor.end_course_deg,
        start_along_m=corridor.start_along_m,
        port_m=corridor.port_m,
        starboard_m=corridor.starboard_m,
        width_from=said,
        depths=depths_in_order(met.depths),
        grids=tuple(g for g in grids_met if isinstance(g, DepthGridMet)),
        coarse_water=tuple(pieces.coarse[k] for k in sorted(pieces.coarse)),
        dangers=in_order(met.dangers),
        solids=in_order(met.solids),
        spans=in_order(met.spans),
        areas=in_order(met.areas),
        unsurveyed=in_order(met.unsurveyed),
        unknown=in_order(met.unknown),
        marks=passes,
        gaps=tuple(sorted(pieces.gaps.values(), key=lambda g: (g.along_from_m, g.layer, g.why))),
        quality_runs=tuple(pieces.unknown[k] for k in sorted(pieces.unknown)),
        old_surveys=tuple(old[k] for k in sorted(old)),
        disagreements=comparison.worst(),
        only_smaller=tuple(sorted(smaller.values(), key=lambda o: (o.place.along_m, o.object.key))),
        problems=tuple(problems[k] for k in sorted(problems)),
        remarks=(f"corridor from {said}",) if "raised" in said else (),
    )


def _mark_covered(
    plane: ChunkPlane,
    locals_: Sequence[LocalChart],
    leg_grids: Sequence[LegGrid],
    covered: Sequence[NDArray[np.bool_]],
) -> None:
    """Note which parts of coarse grids lie wholly where an adequate chart states depths."""
    if not any(g.coarse for g in leg_grids):
        return
    cover = union([c.clears() for c in locals_ if not c.coarse])
    shapely.prepare(cover)
    for leg_grid, flags in zip(leg_grids, covered, strict=True):
        if leg_grid.coarse:
            here = np.flatnonzero(leg_grid.within(plane.from_m, plane.to_m))
            quads = leg_grid.profile.quadrilaterals(here)
            flags[here] |= shapely.covers(cover, quads)


def _problems(
    plane: ChunkPlane,
    indexes: Sequence[ChartIndex],
    locals_: Sequence[LocalChart],
    leg_grids: Sequence[LegGrid],
) -> list[Problem]:
    """What went wrong with the sources that this chunk rests on, as far as it lies near.

    What was lost may have been all that a source held here: that it holds nothing else does not
    make it another water's affair.
    """
    found: list[Problem] = []
    by_index = {id(local.index): local for local in locals_}
    for index in indexes:
        if not index.chart.problems:
            continue
        local = by_index.get(id(index))
        if local is not None and _hidden(local):
            continue
        search = plane.search(index.margin_m)
        for problem in index.chart.problems:
            if local is not None if problem.bounds is None else _meets(search, problem.bounds):
                found.append(problem)
    for leg_grid in leg_grids:
        here = leg_grid.within(plane.from_m, plane.to_m)
        holds = bool(np.isfinite(leg_grid.profile.charted_depth_m[here]).any())
        for problem in leg_grid.grid.problems:
            lost = problem.severity is Severity.NOT_ASSESSED and bool(here.any())
            if lost and problem.bounds is not None:
                lost = _meets(plane.search(0.0), problem.bounds)
            if holds or lost:
                found.append(problem)
    return found


def _hidden(local: LocalChart) -> bool:
    """Whether cells of larger scale cover all that a chart covers here."""
    return not local.cover.is_empty and local.effective(local.cover).is_empty


def _meets(search: BaseGeometry, bounds: tuple[float, float, float, float]) -> bool:
    west, south, east, north = bounds
    return any(
        search.intersects(shapely.box(west + turn, south, east + turn, north))
        for turn in (-360.0, 0.0, 360.0)
    )
