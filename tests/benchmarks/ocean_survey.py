"""The survey of a 100-leg ocean route, warm: ours against rasterstats on the same corridors.

Both have what they need in memory: ours its blocks, rasterstats GDAL's, through a dataset that is
kept open and shared with the one it opens. Ours includes building the corridors, and tells the
shoalest cell of every stretch; rasterstats is given finished polygons, one a leg and the same
corner for corner, and tells one number a leg.
"""

from __future__ import annotations

import functools
import importlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import rasterio
import rasterstats
import shapely

from routecheck.model.chart import Grid
from routecheck.model.route import Route
from routecheck.readers.grids import open_grid
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.shoalest import shoalest
from routecheck.units import METRES_PER_NMI
from tests.benchmarks.measure import Row, interleaved
from tests.benchmarks.ocean import legs_of, ocean_grid, ocean_route

WIDTHS_NMI = (0.25, 1.0)
GOAL = 50.0
ROUTES = (0, 1, 2)


def polygons(legs: tuple[LegCorridor, ...], step_m: float) -> list[shapely.Geometry]:
    """One polygon a leg, with the corners of our own stretches."""
    made = []
    for leg in legs:
        parts = leg.stretches(step_m)
        rings = np.stack([parts.lon_deg, parts.lat_deg], axis=2)
        made.append(shapely.union_all(shapely.make_valid(shapely.polygons(rings))))
    return made


@contextmanager
def shared_files() -> Iterator[None]:
    """rasterstats opens its raster anew each time: let it share GDAL's blocks with ours."""
    theirs = importlib.import_module("rasterstats.io").rasterio
    plain = theirs.open
    theirs.open = functools.partial(plain, sharing=True)
    try:
        yield
    finally:
        theirs.open = plain


def rows() -> Iterator[Row]:
    """One row a width."""
    path = ocean_grid()
    (grid,) = open_grid(path)
    for width_nmi in WIDTHS_NMI:
        ratios, ours, theirs, same = [], [], [], []
        for number in ROUTES:
            took, equal = _one(path, grid, ocean_route(number), width_nmi * METRES_PER_NMI)
            ratios.append(took["theirs"] / took["ours"])
            ours.append(took["ours"])
            theirs.append(took["theirs"])
            same.append(equal)
        yield Row(
            what=f"survey of 100 legs at {width_nmi:g} nmi, times faster than rasterstats, warm",
            goal=f">= {GOAL:g}",
            measured=f"{min(ratios):.0f}–{max(ratios):.0f} "
            f"({1e3 * np.mean(ours):.1f} ms to {1e3 * np.mean(theirs):.0f} ms; "
            f"{100 * np.mean(same):.1f} % of leg minima equal)",
            met=min(ratios) >= GOAL and min(same) > 0.95,
        )


def _one(
    path: Path, grid: Grid, route: Route, half_width_m: float
) -> tuple[dict[str, float], float]:
    legs = legs_of(route, half_width_m)
    shapes = polygons(legs, shoalest(grid, legs)[0].step_m)

    def ours() -> list[float]:
        found = shoalest(grid, legs_of(route, half_width_m))
        return [float(profile.charted_depth_m.min()) for profile in found]

    def theirs() -> list[float]:
        found = rasterstats.zonal_stats(shapes, str(path), stats=["min"], all_touched=True)
        return [float(one["min"]) for one in found]

    with rasterio.Env(GDAL_CACHEMAX=1024), rasterio.open(path, sharing=True), shared_files():
        equal = float(np.mean(np.array(ours()) == np.array(theirs())))
        works = {"ours": ours, "theirs": theirs}
        return interleaved(works, rounds=9, at_once={"ours": 8}), equal
