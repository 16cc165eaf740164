"""The corridor: cross-track room either side of every leg, joined at the turns.

A leg's corridor is the union of convex quadrilaterals whose corners lie at the exact cross-track
distance from the track: one a stretch, and at each turn a fan on the outside of the bend and,
where the turn has a radius, a band along the arc that cuts the corner. Every approximation errs
outward, by less than 0.1 % of the half-width, but that of a great circle by rhumb lines, which
leave it by 0.1 m, or by 0.05 % of the narrower half-width where that is more. `OUTWARD` makes a
touch count in spite of rounding.

All legs of a route are worked out together, in arrays: a hundred legs take a millisecond.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.route import Leg, Route
from routecheck.nav.angles import Floats
from routecheck.nav.legframe import LegFrame
from routecheck.survey.bends import bends
from routecheck.survey.parts import OUTWARD_M, OUTWARD_SHARE, STRETCH_M, Parts, outward_m
from routecheck.survey.strips import RouteCorridor, stretches_of_legs
from routecheck.survey.track import LONGEST_CHUNK_M, Lines, track_of

__all__ = [
    "OUTWARD_M",
    "OUTWARD_SHARE",
    "STRETCH_M",
    "Chunk",
    "LegCorridor",
    "Parts",
    "corridors",
    "outward_m",
]


@dataclass(frozen=True, kw_only=True)
class Chunk:
    """A piece of a leg that is one rhumb line, with its own plane."""

    frame: LegFrame
    along_m: float
    """Where it starts, metres from the leg's start."""


@dataclass(frozen=True, eq=False)
class LegCorridor:
    """One leg's corridor: number `index`, from 0, of a route's."""

    leg: Leg
    route: RouteCorridor
    index: int

    @property
    def length_m(self) -> float:
        """Length of the leg."""
        return float(self.route.track.length_m[self.index])

    @property
    def start_along_m(self) -> float:
        """Where the leg starts, metres from the route's start."""
        return float(self.route.start_along_m[self.index])

    @property
    def port_m(self) -> float:
        """Half-width to port."""
        return float(self.route.port_m[self.index])

    @property
    def starboard_m(self) -> float:
        """Half-width to starboard."""
        return float(self.route.starboard_m[self.index])

    @cached_property
    def bends(self) -> Parts:
        """The fans and arc bands of the leg's two ends."""
        bounds = self.route.bend_bounds
        return self.route.bends.some(slice(int(bounds[self.index]), int(bounds[self.index + 1])))

    @property
    def course_deg(self) -> float:
        """Course at the start, true."""
        return float(self._lines.course_deg[self._first])

    @property
    def end_course_deg(self) -> float:
        """Course at the end, true."""
        return float(self._lines.course_deg[self._last])

    @property
    def _lines(self) -> Lines:
        return self.route.track.lines

    @property
    def _first(self) -> int:
        return int(self.route.track.first[self.index])

    @property
    def _last(self) -> int:
        return int(self.route.track.last[self.index])

    @cached_property
    def chunks(self) -> tuple[Chunk, ...]:
        """The leg in pieces of at most 5 nmi, each one rhumb line with its own plane."""
        lines, made = self._lines, []
        for line in range(self._first, self._last + 1):
            length_m, start_m = float(lines.length_m[line]), float(lines.along_m[line])
            count = max(1, int(np.ceil(length_m / LONGEST_CHUNK_M - 1e-3)))
            along = start_m + np.linspace(0.0, length_m, count + 1)
            lon, lat = lines.positions(np.full(count + 1, line), along)
            lon[0], lat[0] = lines.lon_deg[line], lines.lat_deg[line]
            lon[-1], lat[-1] = lines.end_lon_deg[line], lines.end_lat_deg[line]
            for i in range(count):
                ends = float(lon[i]), float(lat[i]), float(lon[i + 1]), float(lat[i + 1])
                made.append(Chunk(frame=LegFrame.between(*ends), along_m=float(along[i])))
        return tuple(made)

    def track(self, along_m: Floats) -> tuple[Floats, Floats, Floats]:
        """(longitude, latitude, course) at distances from the leg's start, shape (n,)."""
        starts = self._lines.along_m[self._first : self._last + 1]
        which = self._first + np.clip(np.searchsorted(starts, along_m, side="right") - 1, 0, None)
        lon, lat = self._lines.positions(which, along_m)
        return lon, lat, self._lines.course_deg[which]

    def stretches(self, step_m: float = STRETCH_M) -> Parts:
        """One quadrilateral a stretch of `step_m` (the last may be shorter), then the bends.

        Where a great circle passes from one of its lines to the next a stretch ends, too; a
        corridor wider than a nautical mile either side has several side by side.
        """
        return stretches_of_legs(self.route, np.array([self.index]), step_m)[0]

    @cached_property
    def outline(self) -> BaseGeometry:
        """The whole corridor as one lon/lat shape (longitudes unwrapped), for drawing and holes."""
        parts = self.stretches()
        rings = shapely.polygons(np.stack([parts.lon_deg, parts.lat_deg], axis=2))
        return shapely.union_all(shapely.make_valid(rings))


def corridors(
    route: Route, half_widths_m: tuple[tuple[float, float], ...]
) -> tuple[LegCorridor, ...]:
    """The corridors of all legs; `half_widths_m` holds (port, starboard) for each leg.

    Raises ValueError for a leg of no length.
    """
    widths = np.array(half_widths_m, dtype=float).reshape(len(route.legs), 2)
    track = track_of(route.legs, widths.min(axis=1))
    parts, of_leg = bends(route.legs, track, widths[:, 0], widths[:, 1])
    whole = RouteCorridor(
        track=track,
        port_m=widths[:, 0],
        starboard_m=widths[:, 1],
        start_along_m=np.cumsum(track.length_m) - track.length_m,
        bends=parts,
        bend_bounds=np.searchsorted(of_leg, np.arange(len(route.legs) + 1)),
    )
    return tuple(LegCorridor(leg, whole, index) for index, leg in enumerate(route.legs))
