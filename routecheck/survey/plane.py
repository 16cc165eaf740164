"""A chunk of a leg's corridor in its own plane, and the test of what touches it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.shortedges import all_valid, with_short_edges
from routecheck.model.view import Place, Touch
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.survey.corridors import OUTWARD_M, Chunk, LegCorridor, outward_m
from routecheck.survey.overlay import areal, union

_LONGEST_EDGE_DEG = 0.004
"""Edges of charted objects are straight in longitude and latitude. Cut to this length (440 m
of latitude) they leave that line by under 2 cm at 75 degrees when drawn straight in a plane."""
Shapes = NDArray[np.object_]


def as_shapes(shapes: Sequence[BaseGeometry]) -> Shapes:
    """An array of shapes, (n,): numpy itself would look for numbers in them."""
    held = np.empty(len(shapes), dtype=object)
    held[:] = shapes
    return held


class ChunkPlane:
    """The plane of one chunk: x is metres along the *leg*, y metres to starboard."""

    def __init__(self, corridor: LegCorridor, chunk: Chunk) -> None:
        self.corridor, self.chunk = corridor, chunk
        self.from_m = chunk.along_m
        self.to_m = chunk.along_m + chunk.frame.length_m
        self.first = chunk is corridor.chunks[0]
        self.last = chunk is corridor.chunks[-1]

    def to_plane(self, shapes: Shapes) -> Shapes:
        """Lon/lat shapes, array (n,), in this plane."""

        def turn(lonlat: Floats) -> Floats:
            along, cross = self.chunk.frame.to_frame(lonlat[:, 0], lonlat[:, 1])
            return np.column_stack([along + self.from_m, cross])

        cut = with_short_edges(np.asarray(shapely.force_2d(shapes)), _LONGEST_EDGE_DEG)
        # Parts cut along a zone may come out of the turn into the plane crossing themselves by a
        # rounding, which overlays refuse and buffers drop.
        return all_valid(np.asarray(shapely.transform(cut, turn)))

    def turned(self, shape: BaseGeometry) -> BaseGeometry:
        """One lon/lat shape in this plane."""
        made: BaseGeometry = self.to_plane(as_shapes([shape]))[0]
        return made

    def to_position(self, along_m: float, cross_m: float) -> tuple[float, float]:
        """(longitude in [-180, 180), latitude) of a point of the plane."""
        lon, lat = self.chunk.frame.from_frame(along_m - self.from_m, cross_m)
        return float((lon + 180.0) % 360.0 - 180.0), float(lat)

    @cached_property
    def corridor_shape(self) -> BaseGeometry:
        """This chunk's part of the corridor, in the plane, bends included."""
        strip = shapely.box(
            self.from_m - self._lap_m(-1),
            -outward_m(self.corridor.port_m),
            self.to_m + self._lap_m(1),
            outward_m(self.corridor.starboard_m),
        )
        return union([strip, *self._bends()]) if self.first or self.last else strip

    def _lap_m(self, step: int) -> float:
        """How far to lap over the chunk before (-1) or after (1); at the leg's own ends only so far
        that rounding loses nothing that lies on the end itself.

        Chunks of a great circle meet at a hair's angle, which opens with the corridor's width.
        """
        if self.first if step < 0 else self.last:
            return OUTWARD_M
        chunks = self.corridor.chunks
        number = next(n for n, chunk in enumerate(chunks) if chunk is self.chunk)
        turn = wrap180_deg(chunks[number + step].frame.course_deg - self.chunk.frame.course_deg)
        wider_m = max(self.corridor.port_m, self.corridor.starboard_m)
        return 1.0 + outward_m(wider_m) * float(np.tan(np.radians(np.abs(turn))))

    def _bends(self) -> list[BaseGeometry]:
        bends = self.corridor.bends
        if not len(bends.lon_deg):
            return []
        middle_m = self.corridor.length_m / 2.0
        at_start = bends.along_from_m < middle_m
        here = (at_start & self.first) | (~at_start & self.last)
        corners = np.stack([bends.lon_deg[here], bends.lat_deg[here]], axis=2)
        quads = np.atleast_1d(np.asarray(shapely.polygons(corners), dtype=object))
        return [areal(shape) for shape in self.to_plane(quads)]

    @cached_property
    def track(self) -> BaseGeometry:
        """The chunk's track line in the plane."""
        return shapely.linestrings([[self.from_m, 0.0], [self.to_m, 0.0]])

    def _lonlat(self, shape: BaseGeometry) -> BaseGeometry:
        def turn(xy: Floats) -> Floats:
            lon, lat = self.chunk.frame.from_frame(xy[:, 0] - self.from_m, xy[:, 1])
            return np.column_stack([lon, lat])

        cut = with_short_edges(as_shapes([shape]), 400.0)[0]
        turned: BaseGeometry = shapely.transform(cut, turn)
        return turned

    @cached_property
    def outline(self) -> BaseGeometry:
        """The chunk's part of the corridor in lon/lat, longitudes unwrapped."""
        return areal(self._lonlat(self.corridor_shape))

    def search(self, margin_m: float) -> BaseGeometry:
        """A lon/lat shape that holds the chunk's corridor and `margin_m` round it."""
        west, south, east, north = self.corridor_shape.bounds
        room = margin_m * 1.01 + 1.0
        return self._lonlat(shapely.box(west - room, south - room, east + room, north + room))

    def places(
        self, shapes: Shapes, belts_m: Floats, left: BaseGeometry | None = None
    ) -> list[tuple[int, Place, BaseGeometry]]:
        """(index, place, part in reach) of the plane shapes that the corridor or belt touches.

        `shapes` are in this plane, (n,); `belts_m` their position uncertainties, (n,). `left`, if
        given, is the part of the corridor in which they count, and they lie outside it as charted.
        """
        corridor = self.corridor_shape if left is None else left
        shapely.prepare(corridor)
        apart_m = shapely.distance(corridor, shapes)
        met = []
        for index in np.flatnonzero(apart_m <= belts_m + 1e-9):
            shape, belt_m = shapes[index], float(belts_m[index])
            inside = left is None and apart_m[index] <= 1e-9
            touch = Touch.CORRIDOR if inside else Touch.BELT
            reach_of = corridor if touch is Touch.CORRIDOR else corridor.buffer(belt_m + 0.01)
            reach = _reach(shape, reach_of)
            place = self._place(reach, touch, belt_m)
            if left is not None:
                place = replace(place, hidden=True)
            met.append((int(index), place, reach))
        return met

    def _place(self, reach: BaseGeometry, touch: Touch, belt_m: float) -> Place:
        on_track = reach.intersection(self.track) if reach.intersects(self.track) else None
        if on_track is not None and not on_track.is_empty:
            longest = max(shapely.get_parts(on_track), key=lambda piece: piece.length)
            along_m, cross_m = float(longest.centroid.x), 0.0
        else:
            near = shapely.get_coordinates(shapely.shortest_line(self.track, reach))[-1]
            along_m, cross_m = float(near[0]), float(near[1])
        lon, lat = self.to_position(along_m, cross_m)
        west, _, east, _ = reach.bounds
        length_m = self.corridor.length_m
        return Place(
            along_m=min(max(along_m, 0.0), length_m),
            cross_m=cross_m,
            lon_deg=lon,
            lat_deg=lat,
            along_from_m=min(max(west, 0.0), length_m),
            along_to_m=min(max(east, 0.0), length_m),
            touch=touch,
            belt_m=belt_m,
        )


def _reach(shape: BaseGeometry, limits: BaseGeometry) -> BaseGeometry:
    """The part of a shape within limits; a bare touch that the overlay loses keeps its point."""
    part = shape.intersection(limits)
    if part.is_empty:
        ends = shapely.get_coordinates(shapely.shortest_line(limits, shape))
        return shapely.Point(ends[-1])
    return part
