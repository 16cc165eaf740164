"""Dangers and land that only a chart of smaller scale shows, where a larger one counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

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
from routecheck.model.view import OnlySmaller
from routecheck.survey.local import LocalChart
from routecheck.survey.meet import belt_m
from routecheck.survey.plane import ChunkPlane, Shapes

_STATED = frozenset({DangerKind.LEAST_DEPTH, DangerKind.GROUND, DangerKind.SILL})
"""Depths and seabed, which are held against each other as depths."""


def only_smaller(plane: ChunkPlane, locals_: Sequence[LocalChart]) -> Iterator[OnlySmaller]:
    """Every danger or land in the corridor that a chart of larger scale hides, and that no larger
    one shows the like of within the uncertainties of both positions.

    The like of it is any danger, land or structure, or a depth that is not greater.
    """
    for local in locals_:
        if local.hidden.is_empty:
            continue
        scale = local.source.scale or np.inf
        larger = [c for c in locals_ if c.source.scale is not None and c.source.scale < scale]
        for thing, shape in zip(local.near.objects, local.near.shapes, strict=True):
            if not isinstance(thing, Danger | Solid):
                continue
            if isinstance(thing, Danger) and thing.kind in _STATED:
                continue
            here = shape.intersection(plane.outline)
            if here.is_empty or not local.effective(here).is_empty:
                continue
            found = plane.places(plane.to_plane(_one(here)), np.zeros(1))
            if found and not _shown_too(plane, local, larger, thing, found[0][2]):
                _, place, _ = found[0]
                yield OnlySmaller(
                    object=thing,
                    place=place,
                    source=local.source,
                    larger=min(larger, key=lambda c: c.source.scale or 0.0).source,
                )


def _one(shape: shapely.Geometry) -> Shapes:
    held = np.empty(1, dtype=object)
    held[0] = shape
    return held


def _shown_too(
    plane: ChunkPlane,
    local: LocalChart,
    larger: Sequence[LocalChart],
    thing: Danger | Solid,
    there: shapely.Geometry,
) -> bool:
    own_m = belt_m(local, thing, local.source.quality)
    for other in larger:
        pairs = [
            (its, shape)
            for its, shape in zip(other.near.objects, other.near.shapes, strict=True)
            if _like(its, thing)
        ]
        if not pairs:
            continue
        shapes = np.empty(len(pairs), dtype=object)
        shapes[:] = [shape for _, shape in pairs]
        room_m = [own_m + belt_m(other, its, other.source.quality) for its, _ in pairs]
        if (shapely.distance(plane.to_plane(shapes), there) <= np.array(room_m)).any():
            return True
    return False


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
