"""Small rasters written for tests: GeoTIFF, NetCDF and S-102, as their own libraries write them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.transform import Affine, from_origin

NORTH_UP = from_origin(10.0, 54.0, 0.01, 0.02)


def geotiff(
    path: Path,
    values: Any,
    *,
    name: str | None = "elevation",
    unit: str | None = "m",
    crs: Any = "EPSG:4326",
    transform: Affine | None = NORTH_UP,
    nodata: float | None = None,
    dtype: str | None = None,
    point: bool = False,
    **profile: Any,
) -> Path:
    """A GeoTIFF of one band, (rows, columns), or several, (bands, rows, columns)."""
    array = np.asarray(values, dtype=dtype)
    bands = array if array.ndim == 3 else array[None]
    if transform is not None:
        profile["transform"] = transform
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        height=bands.shape[1],
        width=bands.shape[2],
        count=len(bands),
        dtype=bands.dtype,
        crs=crs,
        nodata=nodata,
        **profile,
    ) as out:
        if point:
            out.update_tags(AREA_OR_POINT="Point")
        out.write(bands)
        if name:
            out.set_band_description(1, name)
        if unit:
            out.units = (unit, *[None] * (len(bands) - 1))
    return path


def netcdf(
    path: Path,
    variables: Mapping[str, NDArray[Any]],
    *,
    attributes: Mapping[str, Any] | None = None,
    whole: Mapping[str, Any] | None = None,
    west: float = 10.0,
    south: float = 53.0,
    step: float = 0.01,
    axes: tuple[str, str] = ("degrees_north", "degrees_east"),
    fill: float | None = None,
) -> Path:
    """A NetCDF of variables (latitude, longitude), the first row the most southern one."""
    import netCDF4

    rows, columns = next(iter(variables.values())).shape[-2:]
    with netCDF4.Dataset(path, "w") as out:
        out.setncatts(dict(whole or {}))
        for name, count, start, unit in (
            ("lat", rows, south, axes[0]),
            ("lon", columns, west, axes[1]),
        ):
            out.createDimension(name, count)
            axis = out.createVariable(name, "f8", (name,))
            axis[:] = start + step * np.arange(count)
            if unit:
                axis.units = unit
        for name, values in variables.items():
            dims = ("lat", "lon")
            if values.ndim == 3:
                out.createDimension("time", len(values))
                dims = ("time", *dims)
            made = out.createVariable(name, values.dtype, dims, fill_value=fill)
            made.set_auto_maskandscale(False)
            made[:] = values
            made.setncatts(dict(attributes or {}))
    return path


def s102(path: Path, depth: NDArray[np.float32], *, uncertainty: bool = True) -> Path:
    """A minimal S-102 surface (edition 2.2), first row the most southern one."""
    import h5py

    kinds = [("depth", "<f4")] + ([("uncertainty", "<f4")] if uncertainty else [])
    values = np.zeros(depth.shape, dtype=kinds)
    values["depth"] = depth
    with h5py.File(path, "w") as out:
        out.attrs["productSpecification"] = "INT.IHO.S-102.2.2"
        out.attrs["horizontalCRS"] = np.int32(4326)
        out.attrs["issueDate"] = "2027-05-14"
        out.attrs["verticalDatum"] = np.int16(23)  # lowest astronomical tide
        group = out.create_group("BathymetryCoverage/BathymetryCoverage.01")
        group.attrs["gridOriginLatitude"] = 53.0
        group.attrs["gridOriginLongitude"] = 10.0
        group.attrs["gridSpacingLatitudinal"] = 0.01
        group.attrs["gridSpacingLongitudinal"] = 0.01
        group.attrs["numPointsLatitudinal"] = np.uint32(depth.shape[0])
        group.attrs["numPointsLongitudinal"] = np.uint32(depth.shape[1])
        group.create_dataset("Group_001/values", data=values)
        columns = ("code", "name", "uom.name", "fillValue", "datatype", "lower", "upper", "closure")
        about = np.zeros(len(kinds), dtype=[(column, "S16") for column in columns])
        for row, (name, _) in enumerate(kinds):
            about[row] = (name, "", "", "1000000.0", "H5T_FLOAT", "", "", "geSemiInterval")
        out.create_dataset("Group_F/BathymetryCoverage", data=about)
    return path
