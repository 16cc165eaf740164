"""A synthetic ocean: a grid of 14400 x 14400 cells of 15 arc-seconds, and routes over it."""

from __future__ import annotations

import os
import tempfile
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from routecheck.model.route import Leg, Route, Waypoint
from routecheck.nav.rhumb import rhumb_direct
from routecheck.survey.corridors import LegCorridor, corridors

CELLS = 14400
TILE = 512
CELL_DEG = 15.0 / 3600.0
WEST_DEG, NORTH_DEG = -60.0, 60.0
LAND_SHARE = 0.14
SEED = 20270514
_OCTAVES = ((7, 3000.0), (19, 1400.0), (47, 700.0), (113, 300.0), (331, 90.0), (997, 25.0))


def cache_folder() -> Path:
    """Where the grid is kept between runs: $ROUTECHECK_BENCH, or a folder in the temp folder."""
    folder = Path(os.environ.get("ROUTECHECK_BENCH", Path(tempfile.gettempdir()) / "routecheck"))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def ocean_grid(cells: int = CELLS) -> Path:
    """The grid's file, written first where it is missing (half a minute)."""
    path = cache_folder() / f"ocean-{cells}-{SEED}.tif"
    if not path.exists():
        part = path.with_suffix(".part")
        _write(part, cells)
        path.with_name(path.name + ".toml").write_text('quantity = "depth"\ndatum = "MSL"\n')
        part.rename(path)
    return path


def _write(path: Path, cells: int) -> None:
    import rasterio
    from rasterio.transform import Affine

    terrain = _Terrain(cells)
    middle = np.concatenate([terrain.rows(r, r + 1)[:, ::8] for r in range(0, cells, 31)])
    sea_level = float(np.quantile(middle, 1.0 - LAND_SHARE))
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=cells,
        height=cells,
        count=1,
        dtype="int16",
        crs="EPSG:4326",
        transform=Affine(CELL_DEG, 0.0, WEST_DEG, 0.0, -CELL_DEG, NORTH_DEG),
        tiled=True,
        blockxsize=TILE,
        blockysize=TILE,
        compress="deflate",
        nodata=-32768,
    ) as out:
        out.set_band_description(1, "depth")
        out.units = ("m",)
        for top in range(0, cells, TILE):
            stop = min(top + TILE, cells)
            metres = np.rint(sea_level - terrain.rows(top, stop)).astype(np.int16)
            out.write(metres, 1, window=((top, stop), (0, cells)))


class _Terrain:
    """Smooth hills of several sizes: octaves of seeded noise, each bent between its nodes."""

    def __init__(self, cells: int) -> None:
        rng = np.random.default_rng(SEED)
        self.cells = cells
        self.octaves = [
            (rng.standard_normal((n + 2, n + 2)).astype(np.float32) * scale, n)
            for n, scale in _OCTAVES
        ]

    def rows(self, top: int, stop: int) -> NDArray[np.float32]:
        """Heights above an arbitrary level, (stop - top, cells)."""
        total = np.zeros((stop - top, self.cells), dtype=np.float32)
        for noise, nodes in self.octaves:
            low, share = self._between(np.arange(top, stop), nodes)
            lines = noise[low] * (1 - share[:, None]) + noise[low + 1] * share[:, None]
            low, share = self._between(np.arange(self.cells), nodes)
            total += lines[:, low] * (1 - share) + lines[:, low + 1] * share
        return total

    def _between(
        self, cell: NDArray[np.intp], nodes: int
    ) -> tuple[NDArray[np.intp], NDArray[np.float32]]:
        at = cell * (nodes / self.cells)
        low = np.floor(at).astype(np.intp)
        share = at - low
        return low, (share * share * (3.0 - 2.0 * share)).astype(np.float32)


def ocean_route(seed: int, legs: int = 100, mean_leg_nmi: float = 14.4) -> Route:
    """A wandering route well inside the grid: legs of 0.3 to 1.7 times the mean."""
    rng = np.random.default_rng(seed)
    lon, lat = rng.uniform(-45.0, -15.0), rng.uniform(15.0, 45.0)
    course = rng.uniform(0.0, 360.0)
    points = [(lon, lat)]
    while len(points) <= legs:
        course += rng.normal(0.0, 25.0)
        if not (-55.0 < lon < -5.0 and 5.0 < lat < 55.0):
            course = np.degrees(np.arctan2(-30.0 - lon, 30.0 - lat))
        length_m = 1852.0 * mean_leg_nmi * rng.uniform(0.3, 1.7)
        lon, lat = rhumb_direct(lon, lat, course, length_m)
        points.append((lon, lat))
    marks = [
        Waypoint(name=f"W{i}", lon_deg=lon, lat_deg=lat) for i, (lon, lat) in enumerate(points)
    ]
    return Route(
        name=f"ocean {seed}",
        file="",
        legs=tuple(Leg(number=i + 1, start=a, end=b) for i, (a, b) in enumerate(pairwise(marks))),
    )


def legs_of(route: Route, half_width_m: float) -> tuple[LegCorridor, ...]:
    return corridors(route, ((half_width_m, half_width_m),) * len(route.legs))
