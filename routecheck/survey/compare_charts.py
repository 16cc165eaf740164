"""Where two vector charts show depths of one place that do not go together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import DepthArea
from routecheck.model.source import Quality
from routecheck.model.view import Disagreement
from routecheck.survey.cover import spot_of
from routecheck.survey.local import LocalChart, on_chart_datum, usable_datum
from routecheck.survey.overlay import both
from routecheck.survey.plane import ChunkPlane

_LEAST_BELT_M = 5.0
_Area = tuple[BaseGeometry, DepthArea]


def charts_differ(plane: ChunkPlane, locals_: Sequence[LocalChart]) -> Iterator[Disagreement]:
    """Every pair of depth areas of two charts, in the corridor, of which the one is deeper at its
    shoal end than the other at its deep end, by more than the uncertainties of both.

    A chart that is too coarse, or on a datum of its own, is not compared: what it shows was drawn
    together on purpose. Nor are edges that the charts' own scales do not place any better.
    """
    held = [
        (local, _areas(plane, local))
        for local in locals_
        if usable_datum(local.source) and not local.coarse
    ]
    held = [(local, areas) for local, areas in held if areas]
    for index, (one, areas) in enumerate(held):
        tree = shapely.STRtree([shape for shape, _ in areas])
        for other, its in held[index + 1 :]:
            pairs = tree.query([shape for shape, _ in its], predicate="intersects")
            for theirs, ours in pairs.T.tolist():
                yield from _differ(plane, (one, areas[ours]), (other, its[theirs]))


def _areas(plane: ChunkPlane, local: LocalChart) -> list[_Area]:
    found = []
    for shape, thing in zip(local.near.shapes, local.near.objects, strict=True):
        if isinstance(thing, DepthArea) and thing.charted_depth_m is not None:
            here = both(shape, plane.outline)
            if not here.is_empty:
                found.append((here, thing))
    return found


def _differ(
    plane: ChunkPlane, one: tuple[LocalChart, _Area], other: tuple[LocalChart, _Area]
) -> Iterator[Disagreement]:
    for (deep, (shape, area)), (shoal, (its, below)) in ((one, other), (other, one)):
        low_m, _ = on_chart_datum(deep.source, deep.source.datum, area.charted_depth_m or 0.0)
        end_m = below.deep_end_m if below.deep_end_m is not None else below.charted_depth_m
        if below.deep_end_m is None and below.cls != "DRGARE":
            continue  # how deep it is at most is not said
        high_m, _ = on_chart_datum(shoal.source, shoal.source.datum, end_m or 0.0)
        if low_m <= high_m:
            continue
        part = both(shape, its)
        room_m = _off_m(deep, part, low_m) + _off_m(shoal, part, high_m)
        belt_m = max(
            _LEAST_BELT_M,
            deep.source.own_position_uncertainty_m + shoal.source.own_position_uncertainty_m,
        )
        if low_m - high_m <= room_m or not _wider(plane, part, belt_m):
            continue
        spot = spot_of(plane, part)
        yield Disagreement(
            shoaler=shoal.source,
            deeper=deep.source,
            shoaler_depth_m=high_m,
            deeper_depth_m=low_m,
            uncertainty_m=room_m,
            along_m=spot.from_m,
            cross_m=spot.cross_m,
            lon_deg=spot.lon_deg,
            lat_deg=spot.lat_deg,
        )


def _off_m(local: LocalChart, part: BaseGeometry, depth_m: float) -> float:
    here: list[Quality] = [q for q, region in local.qualities if region.intersects(part)]
    return max(q.vertical_uncertainty_m(depth_m) for q in (*here, local.source.quality))


def _wider(plane: ChunkPlane, part: BaseGeometry, belt_m: float) -> bool:
    if part.is_empty:
        return False
    return not plane.turned(part).buffer(-belt_m / 2.0).is_empty
