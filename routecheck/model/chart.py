"""What the readers hand to the survey: charts, grids, and what could not be read."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.areas import Area
from routecheck.model.objects import (
    BuoyageZone,
    Charted,
    Contour,
    CoverageArea,
    Danger,
    DatumZone,
    DepthArea,
    Mark,
    QualityZone,
    Solid,
    Sounding,
    Span,
    SteeringLine,
    UnknownObject,
    Unsurveyed,
)
from routecheck.model.source import Source

Floats = NDArray[np.float64]


class Severity(StrEnum):
    """The four severities, the worst first."""

    DANGER = "danger"
    CAUTION = "caution"
    NOT_ASSESSED = "not-assessed"
    NOTE = "note"


@dataclass(frozen=True, kw_only=True)
class Problem:
    """Something wrong with a chart that was read all the same: a failed update, a lost ring.

    `bounds` (west, south, east, north, degrees) says where; None: the whole chart.
    """

    source: str
    text: str
    severity: Severity = Severity.NOT_ASSESSED
    bounds: tuple[float, float, float, float] | None = None
    used: bool = True
    """False for a file that was not read at all."""


@dataclass(frozen=True, kw_only=True)
class Unread:
    """A file met in a folder that no reader takes, or that could not be read, and why."""

    file: str
    why: str
    looks_like_chart: bool = True
    """False for a text file, a picture and the like: listed, no finding."""


@dataclass(frozen=True, kw_only=True)
class Chart:
    """A vector chart: one S-57 cell with its updates, or one vector file."""

    source: Source
    depth_areas: tuple[DepthArea, ...] = ()
    contours: tuple[Contour, ...] = ()
    soundings: tuple[Sounding, ...] = ()
    dangers: tuple[Danger, ...] = ()
    solids: tuple[Solid, ...] = ()
    spans: tuple[Span, ...] = ()
    marks: tuple[Mark, ...] = ()
    unsurveyed: tuple[Unsurveyed, ...] = ()
    areas: tuple[Area, ...] = ()
    unknown: tuple[UnknownObject, ...] = ()
    quality_zones: tuple[QualityZone, ...] = ()
    buoyage_zones: tuple[BuoyageZone, ...] = ()
    steering_lines: tuple[SteeringLine, ...] = ()
    datum_zones: tuple[DatumZone, ...] = ()
    coverage: tuple[CoverageArea, ...] = ()
    """Empty for a loose vector file: then its depth areas and land are its coverage."""
    proves_absence: bool = True
    """False where what it does not hold may be there all the same (OpenStreetMap, filled in by
    anyone here and there): it covers nothing, and its marks count after those of every other."""
    counts: dict[str, int] = field(default_factory=dict)
    """Objects by class as the file holds them, also those that are not judged."""
    harmless: dict[str, int] = field(default_factory=dict)
    """Of these, the classes left aside as harmless."""
    problems: tuple[Problem, ...] = ()

    def objects(self) -> tuple[Charted, ...]:
        """All objects that a corridor may meet."""
        return (
            *self.depth_areas,
            *self.contours,
            *self.soundings,
            *self.dangers,
            *self.solids,
            *self.spans,
            *self.marks,
            *self.unsurveyed,
            *self.areas,
            *self.unknown,
        )


class Grid(Protocol):
    """A depth raster, opened by a reader and read by the survey a block at a time.

    Cell coordinates are (column, row) of cell *centres*: the value at row r, column c stands at
    (c, r), and holds within `reach` of it in both directions: 0.5 for area-registered cells,
    1.0 for node-registered ones, whose neighbours' interpolation cells all use the node.
    """

    source: Source
    rows: int
    columns: int
    reach: float
    block_rows: int
    block_columns: int
    wraps_columns: int
    """Columns of a full turn of longitude where the grid goes round the earth, else 0."""
    problems: tuple[Problem, ...]

    def bounds_deg(self) -> tuple[float, float, float, float]:
        """(west, south, east, north) that hold the grid; east may pass 180."""
        ...

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        """(column, row) of positions, any shape; longitudes a whole turn off are the same."""
        ...

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        """(longitude, latitude) of cell coordinates, any shape."""
        ...

    def block(
        self, block_row: int, block_column: int
    ) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
        """(charted depth in metres, positive down; valid) of one block, each (h, w).

        Depths of invalid cells are 0 and mean nothing. Blocks at the edge may be smaller.
        The block is decoded once and kept for as long as memory allows.
        """
        ...


@dataclass(frozen=True, kw_only=True)
class ChartSet:
    """All charts of a run. `zones` are the user's own zones of buoyage."""

    charts: tuple[Chart, ...] = ()
    grids: tuple[Grid, ...] = ()
    unread: tuple[Unread, ...] = ()
    zones: tuple[BuoyageZone, ...] = ()

    def sources(self) -> tuple[Source, ...]:
        """Every source, vector charts first."""
        return (*(c.source for c in self.charts), *(g.source for g in self.grids))


Shape = BaseGeometry
