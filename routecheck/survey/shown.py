"""Which of a chart's objects count in one chunk, and in which part of its corridor."""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import dataclass, replace

from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Charted
from routecheck.survey.local import LocalChart
from routecheck.survey.plane import ChunkPlane, Shapes, as_shapes


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
    if local.left.is_empty:
        return made
    told = {
        thing.key
        for thing, shape in zip(made[0].objects, made[0].shapes, strict=True)
        if shape.intersects(plane.outline)
    }
    covered = _shown(local, kinds, local.hidden.intersection, without=told)
    return [*made, replace(covered, left=local.left)]


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
    return Shown(objects=objects, shapes=as_shapes(shapes))
