"""Which of a chart's objects count in one chunk, and in which part of its corridor."""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Charted
from routecheck.survey.local import LocalChart
from routecheck.survey.plane import ChunkPlane, Shapes


@dataclass(frozen=True, kw_only=True)
class Shown:
    """Objects of a chart, their shapes, (n,), and the part of the corridor in which they count:
    None for the whole of it."""

    objects: list[Charted]
    shapes: Shapes
    left: BaseGeometry | None = None


def shown(plane: ChunkPlane, local: LocalChart, kinds: tuple[type[Charted], ...]) -> list[Shown]:
    """Objects of some kinds, without what a better chart covers; and what it does cover, where it
    leaves some of the corridor to this one: by its uncertainty it may stand there."""
    made = [_shown(local, kinds, local.effective)]
    if local.hidden.is_empty:
        return made
    left = local.left_of(plane.outline)
    if left.is_empty:
        return made
    held = np.empty(1, dtype=object)
    held[0] = left
    told = {
        thing.key
        for thing, shape in zip(made[0].objects, made[0].shapes, strict=True)
        if shape.intersects(plane.outline)
    }
    covered = _shown(local, kinds, local.hidden.intersection, without=told)
    return [*made, replace(covered, left=plane.to_plane(held)[0])]


def _shown(
    local: LocalChart,
    kinds: tuple[type[Charted], ...],
    part_of: Callable[[BaseGeometry], BaseGeometry],
    without: Container[str] = (),
) -> Shown:
    objects, shapes = [], []
    for thing, shape in zip(local.near.objects, local.near.shapes, strict=True):
        if isinstance(thing, kinds) and thing.key not in without:
            kept = part_of(shape)
            if not kept.is_empty:
                objects.append(thing)
                shapes.append(kept)
    held = np.empty(len(shapes), dtype=object)
    held[:] = shapes
    return Shown(objects=objects, shapes=held)
