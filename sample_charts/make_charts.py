"""Makes every file of sample_charts/ from a formula: python sample_charts/make_charts.py [FOLDER]

The same bytes each time, on any machine with the locked versions of the libraries.
"""

from __future__ import annotations

import json
import sys
import warnings
from pathlib import Path

import numpy as np
import rasterio
from rasterio.errors import NotGeoreferencedWarning
from shapely import contains_xy
from shapely.geometry import Polygon

from bar_harbour import bar_harbour
from features import areas, contours, dangers, fittings, marks, soundings, zones
from isolines import depth_areas, isolines
from passages import boat_toml, passages, tide_toml
from seabed import (
    CELL_DEG,
    LAND_M,
    NORTH_DEG,
    UNSURVEYED,
    WEST_DEG,
    Floats,
    centres_deg,
    field_m,
    to_lonlat,
)

_GRID_TOML = """\
# Depths of the invented Marenquil Islands: metres below datum, positive down.
quantity = "depth"
unit = "m"
datum = "LAT"
datum_below_msl = "0.7 m"
vertical_uncertainty = "0.5 m + 1 %"
horizontal_uncertainty = "5 m"
surveyed = 2021
"""
_CHART_TOML = """\
# Chart of the invented Marenquil Islands. Classes and columns bear their names in IHO S-57.
unit = "m"
datum = "LAT"
vertical_uncertainty = "1 m + 2 %"
horizontal_uncertainty = "20 m"
surveyed = 2021
"""
_NO_DATA = -9999.0


def make_all(folder: Path) -> list[Path]:
    """Write all files into `folder` and name them."""
    depth_m = field_m()
    lines = isolines(depth_m)
    bands = depth_areas(lines)
    texts = {
        "charts/marenquil-depths.tif.toml": _GRID_TOML,
        "charts/marenquil-chart.geojson.toml": _CHART_TOML,
        "charts/marenquil-chart.geojson": _geojson(
            [
                *zones(),
                *areas(bands),
                *contours(lines),
                *soundings(depth_m, bands),
                *dangers(),
                *marks(),
                *fittings(marks()),
            ]
        ),
        "boat.toml": boat_toml(),
        "tide.toml": tide_toml(),
        **{f"routes/{name}": text for name, text in passages().items()},
        **bar_harbour(),
    }
    written = []
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
        written.append(path)
    grid = folder / "charts/marenquil-depths.tif"
    _write_grid(grid, depth_m)
    return [*written, grid]


def _geojson(features: list[dict[str, object]]) -> str:
    rows = ",\n".join(json.dumps(f, separators=(",", ":"), ensure_ascii=False) for f in features)
    return f'{{"type":"FeatureCollection","name":"marenquil-chart","features":[\n{rows}\n]}}\n'


def _write_grid(path: Path, depth_m: Floats) -> None:
    """Eighths of a metre, rounded to the shoal side; land and the unsurveyed patch are blank."""
    lon, lat = np.meshgrid(*centres_deg())
    blank = contains_xy(Polygon([to_lonlat(*corner) for corner in UNSURVEYED]), lon, lat)
    eighths = (np.floor(depth_m * 8.0) / 8.0).astype(np.float32)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(
            path,
            "w",
            driver="GTiff",
            width=depth_m.shape[1],
            height=depth_m.shape[0],
            count=1,
            dtype="float32",
            crs="EPSG:4326",
            transform=rasterio.Affine(CELL_DEG[0], 0.0, WEST_DEG, 0.0, -CELL_DEG[1], NORTH_DEG),
            nodata=_NO_DATA,
            tiled=True,
            blockxsize=256,
            blockysize=256,
            compress="deflate",
            predictor=3,
            zlevel=9,
        ) as grid:
            grid.write(np.where(blank | (depth_m < LAND_M), np.float32(_NO_DATA), eighths), 1)


if __name__ == "__main__":
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    for made in make_all(target):
        print(f"{made.stat().st_size:>9,}  {made}")
