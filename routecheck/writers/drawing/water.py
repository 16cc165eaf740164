"""The water of the map: which band every shape is in for this boat, and what covers what."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from routecheck.model.datum import stands_below_tides
from routecheck.model.finding import Report
from routecheck.model.picture import CellState, WaterArea, WaterGrid, WaterPicture
from routecheck.writers.drawing.bands import Band, bands_of
from routecheck.writers.drawing.heights import Heights
from routecheck.writers.wording.lengths import Units

# From the bottom to the top: the worse of two adequate sources covers the better one.
_ORDER = (Band.AMPLE, Band.FAIR, Band.SLIM, Band.EXACT, Band.UNKNOWN, Band.SHORT, Band.TOUCHES)
_CANNOT_CLEAR, _COARSE, _ADEQUATE = 0, 10, 20
TILE = 16


@dataclass(frozen=True, kw_only=True)
class PaintedArea:
    """One depth area as it is painted. `layer` orders the painting, the lowest first."""

    area: WaterArea
    band: Band
    layer: int
    tide_m: float
    uncertainty_m: float | None
    """The source's and the tide's together; None where the source's is not stated."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PaintedGrid:
    """One grid as it is painted: bands and layers by cell, (rows, columns); layer 255 is none."""

    grid: WaterGrid
    bands: NDArray[np.uint8]
    layers: NDArray[np.uint8]
    tide_m: NDArray[np.float64]
    """Height of tide by tiles of `TILE` by `TILE` cells."""
    tide_uncertainty_m: float


def painted_areas(report: Report, picture: WaterPicture, units: Units) -> tuple[PaintedArea, ...]:
    """Every depth area with its band, in the order of painting."""
    heights = Heights(report, picture)
    made = [_area(area, report, picture, heights, units) for area in picture.areas]
    return tuple(sorted(made, key=lambda one: (one.layer, one.area.key)))


def _area(
    area: WaterArea, report: Report, picture: WaterPicture, heights: Heights, units: Units
) -> PaintedArea:
    if area.charted_depth_m is None:
        base = _CANNOT_CLEAR if area.coarse else _ADEQUATE
        layer = base + (_ORDER.index(Band.UNKNOWN) if base else 0)
        return PaintedArea(
            area=area, band=Band.UNKNOWN, layer=layer, tide_m=0.0, uncertainty_m=None
        )
    tide = heights.over(area.datum, area.geometry)
    clears = stands_below_tides(area.datum) and tide.applies and tide.known
    if area.coarse:
        clears = clears and area.charted_depth_m >= picture.coarse_clears_from_m
    stated = area.vertical_uncertainty_m
    own_m = (stated or 0.0) + tide.uncertainty_m
    available_m = area.charted_depth_m + tide.height_m
    band = Band(int(bands_of(available_m, own_m, boat=report.boat, clears=clears, units=units)))
    return PaintedArea(
        area=area,
        band=band,
        layer=int(_layers(np.array(band), coarse=area.coarse, clears=np.array(clears))),
        tide_m=tide.height_m,
        uncertainty_m=None if stated is None else own_m,
    )


def _layers(
    bands: NDArray[np.uint8], *, coarse: bool, clears: NDArray[np.bool_]
) -> NDArray[np.uint8]:
    rank = np.zeros(len(Band), dtype=np.uint8)
    for place, band in enumerate(_ORDER):
        rank[band] = place
    base = _COARSE if coarse else _ADEQUATE
    layers = rank[bands] + np.uint8(base)
    # What cannot clear and does not condemn says nothing: it lies beneath everything.
    return np.where((bands == Band.UNKNOWN) & ~clears, _CANNOT_CLEAR, layers).astype(np.uint8)


def painted_grids(report: Report, picture: WaterPicture, units: Units) -> tuple[PaintedGrid, ...]:
    """Every grid with its bands."""
    heights = Heights(report, picture)
    return tuple(_grid(grid, report, picture, heights, units) for grid in picture.grids)


def _grid(
    grid: WaterGrid, report: Report, picture: WaterPicture, heights: Heights, units: Units
) -> PaintedGrid:
    tides, clear_tiles, uncertainty_m = _tide_tiles(grid, heights)
    rows, columns = grid.state.shape
    spread = (np.arange(rows) // TILE)[:, None], (np.arange(columns) // TILE)[None, :]
    depth = grid.charted_depth_m.astype(float)
    clears = clear_tiles[spread] & stands_below_tides(grid.datum)
    if grid.coarse:
        clears &= depth >= picture.coarse_clears_from_m
    own = (grid.vertical_fixed_m or 0.0) + grid.vertical_share * np.abs(depth)
    bands = bands_of(
        depth + tides[spread],
        own + uncertainty_m,
        boat=report.boat,
        clears=clears,
        units=units,
    )
    layers = _layers(bands, coarse=grid.coarse, clears=clears)
    layers[grid.state == CellState.EMPTY] = 255
    return PaintedGrid(
        grid=grid,
        bands=bands,
        layers=layers,
        tide_m=tides,
        tide_uncertainty_m=uncertainty_m,
    )


def _tide_tiles(
    grid: WaterGrid, heights: Heights
) -> tuple[NDArray[np.float64], NDArray[np.bool_], float]:
    """(height of tide, whether it lets water clear) of each tile of `TILE` by `TILE` cells, and
    the tide's uncertainty."""
    rows, columns = (-(-count // TILE) for count in grid.state.shape)
    tides, clears = np.zeros((rows, columns)), np.zeros((rows, columns), dtype=bool)
    uncertainty_m = 0.0
    lon, lat = (
        _spread(values, rows * TILE / grid.state.shape[0], columns * TILE / grid.state.shape[1],
                rows, columns)
        for values in (grid.lon_deg, grid.lat_deg)
    )  # fmt: skip
    for row in range(rows):
        for column in range(columns):
            part = (slice(row, row + 2), slice(column, column + 2))
            corners = np.column_stack([lon[part].ravel(), lat[part].ravel()])
            tide = heights.over(grid.datum, shapely.MultiPoint(corners).convex_hull)
            tides[row, column] = tide.height_m
            clears[row, column] = tide.applies and tide.known
            uncertainty_m = max(uncertainty_m, tide.uncertainty_m)
    return tides, clears, uncertainty_m


def _spread(
    values: NDArray[np.float64], down: float, across: float, rows: int, columns: int
) -> NDArray[np.float64]:
    """A lattice's values at the corners of tiles, (rows + 1, columns + 1); the last tiles may
    reach beyond the lattice, where its edge stands for them."""
    y = np.clip(np.linspace(0.0, down, rows + 1), 0.0, 1.0) * (values.shape[0] - 1)
    x = np.clip(np.linspace(0.0, across, columns + 1), 0.0, 1.0) * (values.shape[1] - 1)
    i = np.clip(np.floor(y).astype(int), 0, values.shape[0] - 2)
    j = np.clip(np.floor(x).astype(int), 0, values.shape[1] - 2)
    dy, dx = (y - i)[:, None], (x - j)[None, :]
    top = values[np.ix_(i, j)] * (1 - dx) + values[np.ix_(i, j + 1)] * dx
    bottom = values[np.ix_(i + 1, j)] * (1 - dx) + values[np.ix_(i + 1, j + 1)] * dx
    return np.asarray(top * (1 - dy) + bottom * dy)
