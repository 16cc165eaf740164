"""The water of the map: which band every shape is in for this boat, and what covers what."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.datum import stands_below_tides
from routecheck.model.finding import Report
from routecheck.model.passage import HeightOfTide, Passage
from routecheck.model.picture import CellState, WaterArea, WaterGrid, WaterPicture
from routecheck.writers.drawing.bands import Band, bands_of
from routecheck.writers.wording.lengths import Units

# From the bottom to the top: the worse of two adequate sources covers the better one.
_ORDER = (Band.AMPLE, Band.FAIR, Band.SLIM, Band.EXACT, Band.UNKNOWN, Band.SHORT, Band.TOUCHES)
_CANNOT_CLEAR, _COARSE, _ADEQUATE = 0, 10, 20


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
    tide_m: float
    tide_uncertainty_m: float


class _Heights:
    """The height of tide over each datum; looked up once where a single station holds."""

    def __init__(self, report: Report) -> None:
        self.passage = Passage(boat=report.boat, tide=report.tide)
        self.one = report.tide is None or len(report.tide.stations) == 1
        self.known: dict[str, HeightOfTide] = {}

    def over(self, datum: str, lon_deg: float, lat_deg: float) -> HeightOfTide:
        if self.one and datum in self.known:
            return self.known[datum]
        height = self.passage.height_of_tide(
            datum=datum,
            lon_deg=(lon_deg + 180.0) % 360.0 - 180.0,
            lat_deg=lat_deg,
            along_from_m=0.0,
            along_to_m=0.0,
        )
        self.known[datum] = height
        return height


def tide_in_colours(report: Report) -> str:
    """The height of tide that the colours are for, in words."""
    if report.tide is None:
        return "colours for a height of tide of 0 at chart datum"
    return f"colours for: {report.tide_text}"


def painted_areas(report: Report, picture: WaterPicture, units: Units) -> tuple[PaintedArea, ...]:
    """Every depth area with its band, in the order of painting."""
    heights = _Heights(report)
    made = [_area(area, report, picture, heights, units) for area in picture.areas]
    return tuple(sorted(made, key=lambda one: (one.layer, one.area.key)))


def _area(
    area: WaterArea, report: Report, picture: WaterPicture, heights: _Heights, units: Units
) -> PaintedArea:
    if area.charted_depth_m is None:
        base = _CANNOT_CLEAR if area.coarse else _ADEQUATE
        layer = base + (_ORDER.index(Band.UNKNOWN) if base else 0)
        return PaintedArea(
            area=area, band=Band.UNKNOWN, layer=layer, tide_m=0.0, uncertainty_m=None
        )
    west, south, east, north = area.geometry.bounds
    tide = heights.over(area.datum, (west + east) / 2.0, (south + north) / 2.0)
    clears = stands_below_tides(area.datum) and tide.applies
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
    heights = _Heights(report)
    return tuple(_grid(grid, report, picture, heights, units) for grid in picture.grids)


def _grid(
    grid: WaterGrid, report: Report, picture: WaterPicture, heights: _Heights, units: Units
) -> PaintedGrid:
    # One height for the whole grid: the lowest anywhere on its lattice.
    spots = zip(grid.lon_deg.ravel(), grid.lat_deg.ravel(), strict=True)
    found = [heights.over(grid.datum, float(lon), float(lat)) for lon, lat in spots]
    tide = min(found, key=lambda height: height.height_m)
    depth = grid.charted_depth_m.astype(float)
    clears = np.full(depth.shape, stands_below_tides(grid.datum) and tide.applies)
    if grid.coarse:
        clears &= depth >= picture.coarse_clears_from_m
    own = (grid.vertical_fixed_m or 0.0) + grid.vertical_share * np.abs(depth)
    bands = bands_of(
        depth + tide.height_m,
        own + tide.uncertainty_m,
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
        tide_m=tide.height_m,
        tide_uncertainty_m=tide.uncertainty_m,
    )


def bands_shown(areas: Iterable[PaintedArea], grids: Iterable[PaintedGrid]) -> set[Band]:
    """The bands that occur, for a legend."""
    shown = {one.band for one in areas}
    for grid in grids:
        shown |= {Band(int(b)) for b in np.unique(grid.bands[grid.layers != 255])}
    return shown
