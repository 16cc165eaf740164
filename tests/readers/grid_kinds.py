"""One small grid in each format that is read, for tests that damage them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import rasterio
import rasterio.shutil
from rasterio.transform import from_origin

from tests.readers.rasters import geotiff, netcdf
from tests.readers.s102_files import write_s102

ROWS, COLUMNS = 96, 128
_rng = np.random.default_rng(7)
DEPTH = (5.0 + 10.0 * _rng.random((ROWS, COLUMNS))).astype(np.float32)
_LIES = from_origin(10.0, 53.0 + 0.001 * ROWS, 0.001, 0.001)
_SAYS = 'quantity = "elevation"\nunit = "m"\ndatum = "LAT"\n'


def _tiff(path: Path) -> None:
    geotiff(
        path, -DEPTH, transform=_LIES, tiled=True, blockxsize=64, blockysize=64, compress="deflate"
    )
    _say(path, 'datum = "LAT"\n')


def _cloud(path: Path) -> None:
    _tiff(path.with_name("plain.tif"))
    rasterio.shutil.copy(path.with_name("plain.tif"), path, driver="COG", blocksize=128)
    for name in ("plain.tif", "plain.tif.toml"):
        path.with_name(name).unlink()
    _say(path, 'datum = "LAT"\n')


def _netcdf(path: Path) -> None:
    attributes = {"units": "m", "standard_name": "height_above_mean_sea_level"}
    netcdf(path, {"elevation": -DEPTH[::-1]}, attributes=attributes, step=0.001)
    _say(path, 'datum = "LAT"\n')


def _classic(path: Path) -> None:
    import netCDF4

    _netcdf(path.with_name("four.nc"))
    with (
        netCDF4.Dataset(path.with_name("four.nc")) as new,
        netCDF4.Dataset(path, "w", format="NETCDF3_CLASSIC") as old,
    ):
        for name, dimension in new.dimensions.items():
            old.createDimension(name, dimension.size)
        for name, one in new.variables.items():
            made = old.createVariable(name, one.dtype, one.dimensions)
            made.setncatts({key: one.getncattr(key) for key in one.ncattrs()})
            made[:] = one[:]
    for name in ("four.nc", "four.nc.toml"):
        path.with_name(name).unlink()
    _say(path, 'datum = "LAT"\n')


def _bag(path: Path) -> None:
    with rasterio.open(
        path,
        "w",
        driver="BAG",
        width=COLUMNS,
        height=ROWS,
        count=2,
        dtype="float32",
        crs="EPSG:32632+5866",
        transform=from_origin(5e5, 6e6, 60.0, 60.0),
        nodata=1e6,
    ) as out:
        out.write(-DEPTH, 1)
        out.write(np.full_like(DEPTH, 0.25), 2)


def _s102(path: Path) -> None:
    write_s102(
        path, DEPTH[::-1], step=0.001, uncertainty=np.full_like(DEPTH, 0.25), chunks=(32, 64)
    )


def _ascii(path: Path) -> None:
    head = f"ncols {COLUMNS}\nnrows {ROWS}\nxllcorner 10\nyllcorner 53\ncellsize 0.001\n"
    rows = "\n".join(" ".join(f"{-v:.2f}" for v in row) for row in DEPTH)
    path.write_text(head + rows + "\n")
    path.with_suffix(".prj").write_text(rasterio.crs.CRS.from_epsg(4326).to_wkt())
    _say(path, _SAYS)


def _geopackage(path: Path) -> None:
    with rasterio.open(
        path,
        "w",
        driver="GPKG",
        width=COLUMNS,
        height=ROWS,
        count=1,
        dtype="float32",
        crs="EPSG:4326",
        transform=_LIES,
        raster_table="depth",
    ) as out:
        out.write(-DEPTH, 1)
    _say(path, _SAYS)


def _say(path: Path, text: str) -> None:
    path.with_name(path.name + ".toml").write_text(text)


KINDS: dict[str, Callable[[Path], None]] = {
    "a.tif": _tiff,
    "cloud.tif": _cloud,
    "a.nc": _netcdf,
    "classic.nc": _classic,
    "a.bag": _bag,
    "a.h5": _s102,
    "a.asc": _ascii,
    "a.gpkg": _geopackage,
}
