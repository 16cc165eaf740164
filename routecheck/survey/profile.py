"""What one grid says along one leg."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from routecheck.nav.angles import Floats
from routecheck.survey.parts import Parts
from routecheck.survey.track import Indexes

Flags = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True, eq=False)
class RouteProfile:
    """The profiles of all legs, as arrays of shape (parts of all legs,)."""

    step_m: float
    parts: Parts
    depth_m: NDArray[np.float32]
    lon_deg: Floats
    lat_deg: Floats
    column: Indexes
    row: Indexes
    any_invalid: Flags
    off_grid: Flags


@dataclass(frozen=True, eq=False)
class GridProfile:
    """The shoalest cell that each part of a leg's corridor touches, arrays of shape (n,).

    Parts are those of `stretches(step_m)`: the leg's stretches, then its bends. A leg that comes
    nowhere near the grid has none (n = 0).
    """

    route: RouteProfile
    begin: int
    end: int

    @property
    def _here(self) -> slice:
        return slice(self.begin, self.end)

    @property
    def step_m(self) -> float:
        """How long a stretch is, a whole multiple of `STRETCH_M`."""
        return self.route.step_m

    @cached_property
    def parts(self) -> Parts:
        """The parts themselves."""
        return self.route.parts.some(self._here)

    @property
    def along_from_m(self) -> Floats:
        """Where each part begins, metres from the leg's start."""
        return self.route.parts.along_from_m[self._here]

    @property
    def along_to_m(self) -> Floats:
        """Where each part ends, metres from the leg's start."""
        return self.route.parts.along_to_m[self._here]

    @cached_property
    def charted_depth_m(self) -> Floats:
        """Of the shoalest cell, positive down; +inf where no valid cell is touched."""
        return self.route.depth_m[self._here].astype(np.float64)

    @property
    def lon_deg(self) -> Floats:
        """The centre (or node) of the shoalest cell, which may lie outside the corridor: the
        corridor touches the cell. Runs on with the leg's longitudes. 0 where there is none."""
        return self.route.lon_deg[self._here]

    @property
    def lat_deg(self) -> Floats:
        """Its latitude, 0 where no valid cell is touched."""
        return self.route.lat_deg[self._here]

    @property
    def column(self) -> Indexes:
        """Of the shoalest cell, -1 where there is none. On a tie the first in the grid."""
        return self.route.column[self._here]

    @property
    def row(self) -> Indexes:
        """Of the shoalest cell, -1 where there is none."""
        return self.route.row[self._here]

    @property
    def any_invalid(self) -> Flags:
        """Whether a touched cell holds no depth."""
        return self.route.any_invalid[self._here]

    @property
    def off_grid(self) -> Flags:
        """Whether some of the part lies beyond the grid's edge (nodes: the outermost nodes)."""
        return self.route.off_grid[self._here]

    def quadrilaterals(self, which: Indexes) -> NDArray[np.object_]:
        """Parts as lon/lat polygons, longitudes unwrapped, (m,)."""
        corners = np.stack([self.parts.lon_deg[which], self.parts.lat_deg[which]], axis=2)
        return np.asarray(shapely.make_valid(shapely.polygons(corners)))
