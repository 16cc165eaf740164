"""The surroundings of a route: boxes about its corridors, in longitudes that run on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Charted
from routecheck.nav.angles import Floats
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.plane import Shapes, as_shapes
from routecheck.units import METRES_PER_NMI

ROOM_M = 3.0 * METRES_PER_NMI
"""How far beyond the corridors the picture reaches."""
_METRES_PER_DEGREE = 60.0 * METRES_PER_NMI
_DRAWN_PIXELS = 4000.0
_FINEST_M, _COARSEST_M = 0.3, 25.0

Thing = TypeVar("Thing", bound=Charted)


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """Where to look. All bounds are (west, south, east, north) in degrees."""

    route_deg: tuple[float, float, float, float]
    window_deg: tuple[float, float, float, float]
    boxes_deg: Floats
    """One box a chunk of each leg, grown by `ROOM_M`; shape (n, 4)."""
    turns_deg: tuple[float, ...]
    """What to add to each leg's longitudes so that all legs run on without a jump."""
    turns: tuple[float, ...]
    """What to add to charted longitudes, each in turn, so that they fall into the window."""
    tolerance_deg: float
    """How far a drawn line may leave the charted one."""
    track: BaseGeometry

    def clipped(self, shape: BaseGeometry, turn_deg: float) -> BaseGeometry:
        """A charted shape moved by whole turns and clipped to the window."""
        return shapely.clip_by_rect(moved(shape, turn_deg), *self.window_deg)

    def near(self, things: Sequence[Thing]) -> tuple[list[Thing], Shapes]:
        """Charted objects whose bounds meet a box, and their shapes clipped to the window, (n,)."""
        found: list[Thing] = []
        shapes: list[BaseGeometry] = []
        held = as_shapes([thing.geometry for thing in things])
        tree = shapely.STRtree(held)
        for turn in self.turns:
            west, south, east, north = self.boxes_deg.T
            boxes = shapely.box(west - turn, south, east - turn, north)
            hits = np.unique(tree.query(boxes)[1])
            near = _clipped(shapely.force_2d(held[hits]), self._window(turn))
            for index, shape in zip(hits, near, strict=True):
                if not shape.is_empty:
                    found.append(things[int(index)])
                    shapes.append(moved(shape, turn))
        return found, as_shapes(shapes)

    def _window(self, turn_deg: float) -> BaseGeometry:
        west, south, east, north = self.window_deg
        return shapely.box(west - turn_deg, south, east - turn_deg, north)


def _clipped(shapes: Shapes, window: BaseGeometry) -> Shapes:
    """Shapes within a window; those that lie inside are left as they are."""
    west, south, east, north = window.bounds
    box = shapely.bounds(shapes)
    inside = (box[:, :2] >= (west, south)).all(axis=1) & (box[:, 2:] <= (east, north)).all(axis=1)
    for index in np.flatnonzero(~inside):
        try:
            shapes[index] = shapes[index].intersection(window)
        except shapely.errors.GEOSException:
            shapes[index] = shapely.make_valid(shapes[index]).intersection(window)
    return shapes


def moved(shape: BaseGeometry, turn_deg: float) -> BaseGeometry:
    """The shape with whole turns added to its longitudes."""
    if turn_deg == 0.0:
        return shape
    return shapely.transform(shape, lambda xy: xy + np.array([turn_deg, 0.0]))


def surroundings(corridors: Sequence[LegCorridor], room_m: float = ROOM_M) -> Surroundings:
    """The surroundings of a route's corridors. Raises ValueError where there are none."""
    if not corridors:
        raise ValueError("a picture needs at least one leg")
    turns, boxes, lines, at_lon = [], [], [], None
    for corridor in corridors:
        start_lon = corridor.chunks[0].frame.start_lon_deg
        turn = 0.0 if at_lon is None else float(np.round((at_lon - start_lon) / 360.0) * 360.0)
        turns.append(turn)
        starts = [(c.frame.start_lon_deg, c.frame.start_lat_deg) for c in corridor.chunks]
        lon, lat, _ = corridor.track(np.array([corridor.length_m]))
        # Longitudes run on along a leg, but not from leg to leg.
        ends = np.array([*starts, (lon[0], lat[0])]) + np.array([turn, 0.0])
        at_lon = float(ends[-1, 0])
        lines.append(ends)
        width_m = max(corridor.port_m, corridor.starboard_m)
        boxes.append(_boxes(ends, width_m))
    tight = np.concatenate(boxes)
    grown = _grown(tight, room_m)
    window = _hull(grown)
    west, _, east, _ = window
    first, last = int(np.floor((west + 180.0) / 360.0)), int(np.floor((east + 180.0) / 360.0))
    # One turn more either way: charts may themselves run past 180 degrees.
    each = tuple(360.0 * k for k in range(first - 1, last + 2))
    route = _hull(tight)
    span_m = max(route[3] - route[1], 0.5 * (route[2] - route[0])) * _METRES_PER_DEGREE
    tolerance_m = float(np.clip((span_m + 2.0 * room_m) / _DRAWN_PIXELS, _FINEST_M, _COARSEST_M))
    return Surroundings(
        route_deg=route,
        window_deg=window,
        boxes_deg=grown,
        turns_deg=tuple(turns),
        turns=each,
        tolerance_deg=tolerance_m / _METRES_PER_DEGREE,
        track=shapely.LineString(np.concatenate(lines)),
    )


def _hull(boxes: Floats) -> tuple[float, float, float, float]:
    low, high = boxes.min(axis=0), boxes.max(axis=0)
    return float(low[0]), float(low[1]), float(high[2]), float(high[3])


def _boxes(points: Floats, width_m: float) -> Floats:
    first, second = points[:-1], points[1:]
    boxes = np.hstack([np.minimum(first, second), np.maximum(first, second)])
    return _grown(boxes, width_m)


def _grown(boxes: Floats, room_m: float) -> Floats:
    room_lat = room_m / _METRES_PER_DEGREE
    steepest = np.minimum(np.abs(boxes[:, [1, 3]]).max(axis=1) + room_lat, 89.0)
    room_lon = np.minimum(room_lat / np.cos(np.radians(steepest)), 180.0)
    south = np.maximum(boxes[:, 1] - room_lat, -90.0)
    north = np.minimum(boxes[:, 3] + room_lat, 90.0)
    return np.column_stack([boxes[:, 0] - room_lon, south, boxes[:, 2] + room_lon, north])
