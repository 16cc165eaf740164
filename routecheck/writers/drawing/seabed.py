"""The seabed along the track, column by column: the shoalest that the corridor meets there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from routecheck.model.clock import Clock
from routecheck.model.datum import stands_below_tides
from routecheck.model.finding import Report
from routecheck.model.objects import Layer
from routecheck.model.view import DepthMet, LegView, Touch
from routecheck.writers.drawing.bands import bands_of
from routecheck.writers.drawing.heights import lost_tide
from routecheck.writers.wording.lengths import Units


@dataclass(frozen=True, kw_only=True, eq=False)
class Seabed:
    """Arrays over equal columns of the route, shape (n,).

    charted_depth_m  the shoalest that counts, +inf where none is known
    bands            its margin band (of the depth that leaves the least margin)
    gap, solid       whether any of the corridor there lacks a depth, or is land
    """

    length_m: float
    charted_depth_m: NDArray[np.float64]
    bands: NDArray[np.uint8]
    gap: NDArray[np.bool_]
    solid: NDArray[np.bool_]
    height_of_tide_m: NDArray[np.float64]
    """The lowest height of tide that was added there."""


def seabed(report: Report, columns: int, units: Units) -> Seabed:
    """The seabed along the whole route in `columns` columns; ends count in both neighbours."""
    length_m = max(1.0, sum(view.length_m for view in report.views))
    depth = np.full(columns, np.inf)
    bands = np.full(columns, 255, dtype=np.uint8)
    gap = np.zeros(columns, dtype=bool)
    solid = np.zeros(columns, dtype=bool)
    tides = np.full(columns, np.inf)
    lost = lost_tide(report)

    def span(view: LegView, from_m: float, to_m: float) -> slice:
        start = (view.start_along_m + from_m) / length_m * columns
        end = (view.start_along_m + to_m) / length_m * columns
        first = int(np.clip(np.ceil(start) - 1, 0, columns - 1))
        return slice(first, int(np.clip(np.floor(end) + 1, first + 1, columns)))

    passages = Clock(report.views, report.boat, report.tide).passages(report.depart)
    for view, passage in zip(report.views, passages, strict=True):
        for charted in _charted(view):
            tide = passage.height_of_tide(
                datum=charted.datum,
                lon_deg=charted.lon_deg,
                lat_deg=charted.lat_deg,
                along_from_m=charted.from_m,
                along_to_m=charted.to_m,
            )
            known = tide.applies and tide.known and not lost
            clears = known and not charted.coarse and stands_below_tides(charted.datum)
            band = int(
                bands_of(
                    charted.depth_m + tide.height_m,
                    charted.uncertainty_m + tide.uncertainty_m,
                    boat=report.boat,
                    clears=clears,
                    units=units,
                )
            )
            here = span(view, charted.from_m, charted.to_m)
            depth[here] = np.minimum(depth[here], charted.depth_m)
            tides[here] = np.minimum(tides[here], tide.height_m)
            bands[here] = np.minimum(bands[here], band if band else 200)
        for hole in view.gaps:
            if hole.layer is Layer.DEPTH:
                gap[span(view, hole.along_from_m, hole.along_to_m)] = True
        for met in view.solids:
            if met.place.touch is Touch.CORRIDOR:
                solid[span(view, met.place.along_from_m, met.place.along_to_m)] = True
    bands[bands >= 200] = 0
    return Seabed(
        length_m=length_m,
        charted_depth_m=depth,
        bands=bands,
        gap=gap | ~np.isfinite(depth),
        solid=solid,
        height_of_tide_m=_filled(tides),
    )


def _filled(tides: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where no depth was met, the height between the nearest that were looked up."""
    known = np.flatnonzero(np.isfinite(tides))
    if not len(known):
        return np.zeros_like(tides)
    return np.interp(np.arange(len(tides)), known, tides[known])


@dataclass(frozen=True, kw_only=True, slots=True)
class _Charted:
    from_m: float
    to_m: float
    depth_m: float
    uncertainty_m: float
    datum: str
    coarse: bool
    lon_deg: float
    lat_deg: float


def _charted(view: LegView) -> Iterator[_Charted]:
    for met in view.depths:
        if not met.counts or met.place.touch is not Touch.CORRIDOR:
            continue
        for from_m, to_m in _reaches(met):
            yield _Charted(
                from_m=from_m,
                to_m=to_m,
                depth_m=met.charted_depth_m,
                uncertainty_m=met.quality.vertical_uncertainty_m(met.charted_depth_m),
                datum=met.datum,
                coarse=met.coarse,
                lon_deg=met.place.lon_deg,
                lat_deg=met.place.lat_deg,
            )
    for grid in view.grids:
        for index in np.flatnonzero(grid.counts):
            depth_m = float(grid.charted_depth_m[index])
            yield _Charted(
                from_m=float(grid.along_from_m[index]),
                to_m=float(grid.along_to_m[index]),
                depth_m=depth_m,
                uncertainty_m=float(grid.uncertainty_m[index]),
                datum=grid.datum,
                coarse=grid.coarse,
                lon_deg=float(grid.lon_deg[index]),
                lat_deg=float(grid.lat_deg[index]),
            )


def _reaches(met: DepthMet) -> Sequence[tuple[float, float]]:
    """(from, to) along the leg of each separate part of the object in the corridor."""
    if not met.reach_wkb:
        return [(met.place.along_from_m, met.place.along_to_m)]
    parts = shapely.get_parts(shapely.get_parts(shapely.from_wkb(met.reach_wkb)))
    boxes = shapely.bounds(parts)
    return [(float(west), float(east)) for west, _, east, _ in boxes if np.isfinite(west)]
