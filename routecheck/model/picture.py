"""What a map shows of the charts near a route: drawn shapes, simplified, never judged from.

Longitudes run on along the route without wrapping, so that a route over the antimeridian is in
one piece. Geometry is lon/lat in degrees (WGS 84); charted depths are in metres, positive down.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.finite import refuse_not_finite

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class WaterArea:
    """A depth area near the route. `charted_depth_m` is its shoal end; None: a hole, such as an
    unsurveyed area or an area whose depth is not stated."""

    key: str
    geometry: BaseGeometry
    charted_depth_m: float | None
    datum: str
    source: str
    """Id of the `Source`."""
    vertical_uncertainty_m: float | None = None
    """The worst that holds anywhere inside; None where nobody states one."""
    coarse: bool = False
    """The source is too coarse to clear: it can condemn, not clear."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True)
class GroundShape:
    """Land (a polygon), a coastline or a structure (a line, a point or a polygon)."""

    geometry: BaseGeometry
    source: str
    structure: bool = False


class CellState(IntEnum):
    """How much of a pooled cell the grid's own cells cover."""

    EMPTY = 0
    PARTLY = 1
    WHOLE = 2


@dataclass(frozen=True, kw_only=True, eq=False)
class WaterGrid:
    """A depth grid near the route, pooled to its shoalest.

    charted_depth_m  (rows, columns), float32; 0 where the state is EMPTY
    state            (rows, columns), uint8, `CellState`
    lon_deg, lat_deg (m, n) lattice over the outer edges of the cells: node (i, j) stands at row
                     i * rows / (m - 1) and column j * columns / (n - 1); between them straight
    """

    charted_depth_m: NDArray[np.float32]
    state: NDArray[np.uint8]
    lon_deg: Floats
    lat_deg: Floats
    datum: str
    source: str
    vertical_fixed_m: float | None = None
    """Fixed part of the vertical uncertainty; None where nobody states one."""
    vertical_share: float = 0.0
    coarse: bool = False

    def __post_init__(self) -> None:
        if self.charted_depth_m.shape != self.state.shape or self.charted_depth_m.ndim != 2:
            raise ValueError("depths and states differ in shape")
        if self.lon_deg.shape != self.lat_deg.shape or min(self.lon_deg.shape, default=0) < 2:
            raise ValueError("the lattice of positions needs two rows and two columns")
        for values in (self.charted_depth_m, self.lon_deg, self.lat_deg):
            if not np.isfinite(values).all():
                raise ValueError(f"{self.source}: a number of the picture is not finite")


@dataclass(frozen=True, kw_only=True, eq=False)
class TrackLine:
    """The drawn line of one leg: arrays of shape (n,), `along_m` from the leg's start."""

    leg: int
    along_m: Floats
    lon_deg: Floats
    lat_deg: Floats


@dataclass(frozen=True, kw_only=True)
class CorridorShape:
    """The outline of one leg's corridor."""

    leg: int
    geometry: BaseGeometry


@dataclass(frozen=True, kw_only=True)
class WaterPicture:
    """The surroundings of one route. What no shape covers is not assessed."""

    bounds_deg: tuple[float, float, float, float]
    """(west, south, east, north) of the route and its corridors; east may pass 180."""
    tracks: tuple[TrackLine, ...]
    corridors: tuple[CorridorShape, ...] = ()
    areas: tuple[WaterArea, ...] = ()
    grids: tuple[WaterGrid, ...] = ()
    ground: tuple[GroundShape, ...] = ()
    coarse_clears_from_m: float = 200.0
    """A source too coarse to show a danger clears only what is charted at least this deep."""
    remarks: tuple[str, ...] = field(default=())
    """What was left out of the picture, such as areas beyond a limit of size."""
