"""Dangers and land that only a chart of smaller scale shows, where a larger one counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import (
    Charted,
    Contour,
    Danger,
    DangerKind,
    DepthArea,
    Solid,
    Sounding,
    UnknownObject,
)
from routecheck.model.view import OnlySmaller, Place
from routecheck.survey.local import LocalChart
from routecheck.survey.meet import belt_m
from routecheck.survey.plane import ChunkPlane, as_shapes

_STATED = frozenset({DangerKind.LEAST_DEPTH, DangerKind.GROUND, DangerKind.SILL})
"""Depths and seabed, which are held against each other as depths."""
_KINDS = (Danger, Solid, UnknownObject, DepthArea, Contour, Sounding)


def only_smaller(plane: ChunkPlane, locals_: Sequence[LocalChart]) -> Iterator[OnlySmaller]:
    """Every danger or land in the corridor that a chart of larger scale hides, and that no larger
    one shows the like of within the uncertainties of both positions.

    The like of it is any danger, land or structure, or a depth that is not greater.
    """
    for local in locals_:
        hidden = list(_hidden(plane, local))
        if not hidden:
            continue
        scale = local.source.scale or np.inf
        larger = [c for c in locals_ if c.source.scale is not None and c.source.scale < scale]
        others = [other for chart in larger for other in _others(plane, chart)]
        shapes = as_shapes([other.shape for other in others])
        belts_m = np.array([other.belt_m for other in others])
        first = min(larger, key=lambda c: c.source.scale or 0.0).source
        for thing, place, there in hidden:
            like = [index for index, other in enumerate(others) if _like(other.object, thing)]
            room_m = belt_m(local, thing, local.source.quality) + belts_m[like]
            if not (shapely.distance(shapes[like], there) <= room_m).any():
                yield OnlySmaller(object=thing, place=place, source=local.source, larger=first)


def _hidden(
    plane: ChunkPlane, local: LocalChart
) -> Iterator[tuple[Danger | Solid, Place, BaseGeometry]]:
    """(danger or land, place, the part of it in the corridor) of what larger scales hide there."""
    if local.hidden.is_empty:
        return
    for thing, shape in zip(local.near.objects, local.near.shapes, strict=True):
        if not isinstance(thing, Danger | Solid):
            continue
        if isinstance(thing, Danger) and thing.kind in _STATED:
            continue
        here = shape.intersection(plane.outline)
        if here.is_empty or not local.effective(here).is_empty:
            continue
        for _, place, there in plane.places(as_shapes([plane.turned(here)]), np.zeros(1)):
            yield thing, place, there


class _Other(NamedTuple):
    object: Charted
    shape: BaseGeometry
    """In the chunk's plane."""
    belt_m: float


def _others(plane: ChunkPlane, chart: LocalChart) -> Iterator[_Other]:
    """What of a larger-scale chart may be the like of something."""
    near = chart.near
    which = [index for index, one in enumerate(near.objects) if isinstance(one, _KINDS)]
    if not which:
        return
    turned = plane.to_plane(near.shapes[which])
    for index, shape in zip(which, turned, strict=True):
        one = near.objects[index]
        yield _Other(one, shape, belt_m(chart, one, chart.source.quality))


def _like(its: Charted, thing: Danger | Solid) -> bool:
    if isinstance(its, Danger):
        return its.kind not in _STATED
    if isinstance(its, Solid | UnknownObject):
        return True
    if not isinstance(its, DepthArea | Contour | Sounding):
        return False
    depth_m = its.charted_depth_m
    if depth_m is None:
        return False
    own_m = thing.charted_depth_m if isinstance(thing, Danger) else None
    return depth_m <= (0.0 if own_m is None else own_m)
