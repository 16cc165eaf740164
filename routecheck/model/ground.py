"""Seabed that is charted as not always under water, in depth areas that say how high it dries."""

from __future__ import annotations

from routecheck.model.objects import Danger, DangerKind
from routecheck.model.view import DepthFrom, LegView, Met


def told_as_depth(met: Met[Danger], depth_m: float, view: LegView) -> bool:
    """Whether a depth area in the same stretch says as much, so that nothing is told twice.

    `depth_m` is the ground's, taken from the depth areas that it lies in, on the meeting's datum.
    """
    if met.object.kind is not DangerKind.GROUND or met.object.charted_depth_m is not None:
        return False
    datum, place = met.datum or met.source.datum, met.place
    return any(
        depth.counts
        and depth.depth_from is DepthFrom.AREA
        and depth.datum == datum
        and depth.charted_depth_m <= depth_m
        and depth.place.touch is place.touch
        and depth.place.along_from_m <= place.along_to_m
        and place.along_from_m <= depth.place.along_to_m
        for depth in view.depths
    )
