"""Which regulated areas and lines one chunk of a corridor meets, and where the track is in them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.areas import Area
from routecheck.model.view import Met, Touch, TrackRun
from routecheck.survey.local import LocalChart
from routecheck.survey.meet import joined, own_belt
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.shown import Shown, shown

_SAME_COURSE_DEG = 0.01
_SAME_PLACE_M = 0.01


def meet_areas(plane: ChunkPlane, local: LocalChart, into: dict[str, Met[Area]]) -> None:
    """Add the areas and lines of one chart in a chunk's corridor or within their own accuracy."""
    for some in shown(plane, local, (Area,)):
        if some.objects:
            _meet_shown(plane, local, some, into)


def _meet_shown(
    plane: ChunkPlane, local: LocalChart, some: Shown, into: dict[str, Met[Area]]
) -> None:
    areas = some.objects
    belt_m, quality = own_belt(local), local.source.quality
    belts = np.array([belt_m(area, quality) for area in areas])
    turned = plane.to_plane(some.shapes)
    course_deg = plane.chunk.frame.course_deg
    for index, place, _ in plane.places(turned, belts, some.left):
        area = areas[index]
        assert isinstance(area, Area)
        met = Met(
            object=area,
            place=place,
            source=local.source,
            quality=quality,
            runs=_runs(turned[index], plane) if place.touch is Touch.CORRIDOR else (),
            course_deg=course_deg,
        )
        before = into.get(area.key)
        into[area.key] = met if before is None else _both(before, met)


def _runs(shape: BaseGeometry, plane: ChunkPlane) -> tuple[TrackRun, ...]:
    """The parts of a chunk's track in a shape of its plane, edges included."""
    track = plane.track
    if not shape.intersects(track):
        return ()
    pieces = shapely.get_parts(shape.intersection(track))
    ends = sorted((piece.bounds[0], piece.bounds[2]) for piece in pieces if not piece.is_empty)
    if not ends:  # a touch that the overlay loses
        along = float(shapely.get_coordinates(shapely.shortest_line(track, shape))[0][0])
        ends = [(along, along)]
    length_m = plane.corridor.length_m
    return tuple(
        TrackRun(
            along_from_m=min(max(start, 0.0), length_m),
            along_to_m=min(max(end, 0.0), length_m),
            course_deg=plane.chunk.frame.course_deg,
        )
        for start, end in ends
    )


def _both(one: Met[Area], other: Met[Area]) -> Met[Area]:
    """One meeting for an area met in two chunks, or in two pieces."""
    place = joined(one.place, other.place)
    nearer = one if place.along_m == one.place.along_m else other
    return replace(
        nearer, place=place, runs=_end_to_end(sorted((*one.runs, *other.runs), key=_along))
    )


def _along(run: TrackRun) -> tuple[float, float]:
    return run.along_from_m, run.along_to_m


def _end_to_end(runs: list[TrackRun]) -> tuple[TrackRun, ...]:
    """Runs on one course that meet become one."""
    made: list[TrackRun] = []
    for run in runs:
        last = made[-1] if made else None
        if (
            last is not None
            and run.along_from_m <= last.along_to_m + _SAME_PLACE_M
            and abs((run.course_deg - last.course_deg + 180.0) % 360.0 - 180.0) < _SAME_COURSE_DEG
        ):
            made[-1] = replace(last, along_to_m=max(last.along_to_m, run.along_to_m))
        else:
            made.append(run)
    return tuple(made)
