"""What only a chart of smaller scale shows, where a larger one counts: dangers, land, spans, marks
and what else a check would have told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeGuard

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.arearule import faults_of
from routecheck.model.areas import Area
from routecheck.model.objects import (
    Charted,
    Contour,
    Danger,
    DangerKind,
    DepthArea,
    Mark,
    Solid,
    Sounding,
    Span,
    UnknownObject,
)
from routecheck.model.source import SourceKind
from routecheck.model.view import OnlySmaller, Place
from routecheck.survey.local import LocalChart
from routecheck.survey.markset import (
    SAME_MARK_M,
    covered_by_larger,
    one_kind,
    places_of,
    uncertainty_m,
)
from routecheck.survey.meet import belt_m, own_belt
from routecheck.survey.plane import ChunkPlane, as_shapes

Told = Danger | Solid | Span | Mark | Area

_STATED = frozenset({DangerKind.LEAST_DEPTH, DangerKind.GROUND, DangerKind.SILL})
"""Depths and seabed, which are held against each other as depths."""
_KINDS = (Danger, Solid, UnknownObject, DepthArea, Contour, Sounding, Span, Area)


def only_smaller(plane: ChunkPlane, locals_: Sequence[LocalChart]) -> Iterator[OnlySmaller]:
    """Every danger, land, span, mark or judged area in the corridor that a chart of larger scale
    hides, and that no larger one shows the like of within the uncertainties of both positions.

    The like of a danger or land is any danger, land or structure, or a depth that is not greater;
    of a span any span; of a mark one of its kind (or within 50 m); of an area or line one of its
    kind by which a route may do the same wrong.
    """
    for local in locals_:
        scale = local.source.scale or np.inf
        larger = [c for c in locals_ if c.source.scale is not None and c.source.scale < scale]
        cells = [c for c in larger if c.source.kind is SourceKind.CHART_CELL]
        hidden = [*_hidden(plane, local), *_hidden_marks(plane, local, cells)]
        if not hidden:
            continue
        others = [other for chart in larger for other in _others(plane, chart)]
        shapes = as_shapes([other.shape for other in others])
        belts_m = np.array([other.belt_m for other in others])
        for thing, place, there in hidden:
            like = [index for index, other in enumerate(others) if _like(other.object, thing)]
            room_m = _belt_m(local, thing) + belts_m[like]
            if isinstance(thing, Mark):
                room_m = np.maximum(room_m, SAME_MARK_M)
            if not (shapely.distance(shapes[like], there) <= room_m).any():
                over = _over(plane, cells, there).source
                yield OnlySmaller(object=thing, place=place, source=local.source, larger=over)


def _over(plane: ChunkPlane, cells: Sequence[LocalChart], there: BaseGeometry) -> LocalChart:
    """The cell of largest scale that covers any of a place in the plane."""
    covers = plane.to_plane(as_shapes([cell.cover for cell in cells]))
    met = shapely.intersects(covers, there)
    return min(zip(cells, met, strict=True), key=lambda c: (not c[1], c[0].source.scale or 0.0))[0]


_Hidden = tuple[Told, Place, BaseGeometry]
"""A thing, its place, and the part of it in the corridor, in the chunk's plane."""


def _hidden(plane: ChunkPlane, local: LocalChart) -> Iterator[_Hidden]:
    """What larger scales hide there of a chart, without marks."""
    if local.hidden.is_empty:
        return
    for thing, shape in zip(local.near.objects, local.near.shapes, strict=True):
        if not _judged(thing):
            continue
        here = shape.intersection(plane.outline)
        if not here.is_empty and local.effective(here).is_empty:
            yield from _in_corridor(plane, thing, here)


def _judged(thing: Charted) -> TypeGuard[Danger | Solid | Span | Area]:
    if isinstance(thing, Danger):
        return thing.kind not in _STATED
    return isinstance(thing, Solid | Span) or (isinstance(thing, Area) and bool(faults_of(thing)))


def _hidden_marks(
    plane: ChunkPlane, local: LocalChart, cells: Sequence[LocalChart]
) -> Iterator[_Hidden]:
    """The marks of a chart that do not count, since cells of larger scale cover their places."""
    near = local.index.marks_near(plane.outline)
    if not (cells and near.objects):
        return
    larger = [cell.index.chart for cell in cells]
    covered = covered_by_larger(larger, near.objects, local.source, *places_of(near.objects))
    for index in np.flatnonzero(covered):
        yield from _in_corridor(plane, near.objects[index], near.shapes[index])


def _in_corridor(plane: ChunkPlane, thing: Told, here: BaseGeometry) -> Iterator[_Hidden]:
    for _, place, there in plane.places(as_shapes([plane.turned(here)]), np.zeros(1)):
        yield thing, place, there


class _Other(NamedTuple):
    object: Charted
    shape: BaseGeometry
    """In the chunk's plane."""
    belt_m: float


def _others(plane: ChunkPlane, chart: LocalChart) -> Iterator[_Other]:
    """What of a larger-scale chart may be the like of something."""
    near, marks = chart.near, chart.index.marks_near(plane.search(chart.index.margin_m))
    which = [index for index, one in enumerate(near.objects) if isinstance(one, _KINDS)]
    objects = [*(near.objects[index] for index in which), *marks.objects]
    if not objects:
        return
    turned = plane.to_plane(as_shapes([*near.shapes[which], *marks.shapes]))
    for one, shape in zip(objects, turned, strict=True):
        yield _Other(one, shape, _belt_m(chart, one))


def _belt_m(chart: LocalChart, thing: Charted) -> float:
    """How far off a thing may lie, as the survey of its noun has it."""
    if isinstance(thing, Mark):
        return uncertainty_m(thing, chart.source)
    if isinstance(thing, Span | Area):
        return own_belt(chart)(thing, chart.source.quality)
    return belt_m(chart, thing, chart.source.quality)


def _like(its: Charted, thing: Told) -> bool:
    if isinstance(thing, Span):
        return isinstance(its, Span)
    if isinstance(thing, Mark):
        return isinstance(its, Mark) and one_kind(its, thing)
    if isinstance(thing, Area):
        return (
            isinstance(its, Area) and its.kind is thing.kind and faults_of(thing) <= faults_of(its)
        )
    return _as_danger(its, thing.charted_depth_m if isinstance(thing, Danger) else None)


def _as_danger(its: Charted, depth_m: float | None) -> bool:
    """Whether something is as bad as a danger of a charted depth (None: not known, or land)."""
    if isinstance(its, Danger):
        return its.kind not in _STATED
    if isinstance(its, Solid | UnknownObject):
        return True
    if not isinstance(its, DepthArea | Contour | Sounding):
        return False
    own_m = its.charted_depth_m
    return own_m is not None and own_m <= (0.0 if depth_m is None else depth_m)
