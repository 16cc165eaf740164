"""What a grid's file holds beside the depths that are read is used, told, or plainly harmless.

Bands, their names, units and colours: GDAL raster data model; pages: TIFF 6.0, section 2, and
GDAL's page "GTiff" (subdatasets); coverages: OGC 17-066r1; units, bounds and standard name
modifiers: CF Conventions 1.11, 3.1, 7.1 and appendix C.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio

from tests.readers.rasters import NORTH_UP, geotiff, netcdf
from tests.readers.test_grid_axes import unread
from tests.readers.test_grid_quality import beside
from tests.readers.test_grids import opened, sidecar

DEEP = np.full((8, 12), 25.0, dtype="float32")


def bands(path: Path, *names: str, units: tuple[str | None, ...] = (), **profile: Any) -> Path:
    geotiff(path, [DEEP, *[DEEP - 20.0] * len(names)], name="depth", dtype="float32", **profile)
    with rasterio.open(path, "r+") as out:
        for number, name in enumerate(names, start=2):
            out.set_band_description(number, name)
        if units:
            out.units = ("m", *units)
    return path


@pytest.mark.parametrize(
    "name", ["min_depth", "shoal depth", "least_elevation", "band2", "", "foo"]
)
def test_a_second_band_is_told(tmp_path: Path, name: str) -> None:
    (text,) = unread(bands(tmp_path / "a.tif", name))
    assert f"left unread: band 2 ({name or 'unnamed'})" in text and "a.tif.toml" in text


def test_a_second_band_is_not_told_where_the_user_chose(tmp_path: Path) -> None:
    path = bands(tmp_path / "a.tif", "min_depth")
    sidecar(path, 'columns = { depth = "depth" }\n')
    assert unread(path) == []


@pytest.mark.parametrize(
    "name", ["Contributor", "tid", "number of soundings", "sounding_count", "depth_source"]
)
def test_bands_that_are_plainly_no_depths_are_not_told(tmp_path: Path, name: str) -> None:
    assert unread(bands(tmp_path / "a.tif", name)) == []


def test_a_band_of_alpha_is_not_told(tmp_path: Path) -> None:
    assert unread(bands(tmp_path / "a.tif", "", alpha="yes")) == []


def test_further_pages_are_told(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", DEEP, name="depth")
    assert unread(path) == []
    shutil.copy(path, tmp_path / "b.tif")
    for more in ("a second page", "2 further pages"):
        geotiff(tmp_path / "b.tif", DEEP - 24.0, name="depth", APPEND_SUBDATASET="YES")
        (text,) = unread(tmp_path / "b.tif")
        assert f"left unread: {more}" in text


@pytest.mark.parametrize("unit", ["ft", "cm", "fathom", ""])
def test_a_second_variable_of_any_length_unit_is_told(tmp_path: Path, unit: str) -> None:
    path = two_variables(tmp_path / "a.nc", "depth_min", unit)
    assert "left unread: depth_min" in unread(path)[0]


@pytest.mark.parametrize(("name", "unit"), [("temperature", "degC"), ("status_flag", "")])
def test_variables_that_are_plainly_no_depths_are_not_told(
    tmp_path: Path, name: str, unit: str
) -> None:
    assert unread(two_variables(tmp_path / "a.nc", name, unit)) == []


def two_variables(path: Path, name: str, unit: str, **more: str) -> Path:
    import netCDF4

    netcdf(path, {"depth": DEEP, name: DEEP - 20.0}, attributes={"positive": "down"})
    with netCDF4.Dataset(path, "a") as out:
        out["depth"].units = "m"
        if unit:
            out[name].units = unit
        out[name].setncatts(more)
    return path


def test_a_variable_of_another_shape_and_more_than_are_looked_at_are_told(tmp_path: Path) -> None:
    import netCDF4

    path = two_variables(tmp_path / "a.nc", "status_flag", "")
    with netCDF4.Dataset(path, "a") as out:
        out.createDimension("other", 30)
        out.createVariable("depth_harbour", "f4", ("lat", "other"))[:] = 1.0
    assert "left unread: depth_harbour" in unread(path)[0]
    with netCDF4.Dataset(path, "a") as out:
        for number in range(60):
            out.createVariable(f"a{number}_flag", "f4", ("lat", "lon"))
    assert "2 more, not looked at" in unread(path)[0]


@pytest.mark.parametrize("rows", [8, 4])
def test_a_second_coverage_of_a_geopackage_is_told(tmp_path: Path, rows: int) -> None:
    path = tmp_path / "a.gpkg"
    for name, values, more in (
        ("elevation", -DEEP, {}),
        ("harbour", -DEEP[:rows] + 24.0, {"APPEND_SUBDATASET": "YES"}),
    ):
        profile: dict[str, Any] = {"height": len(values), "width": 12, "count": 1}
        profile |= {"dtype": "float32", "crs": "EPSG:4326", "transform": NORTH_UP}
        with rasterio.open(path, "w", driver="GPKG", raster_table=name, **profile, **more) as out:
            out.write(values, 1)
    sidecar(path, 'quantity = "elevation"\nunit = "m"\n')
    (text,) = unread(path)
    assert "left unread: harbour" in text


@pytest.mark.parametrize(
    ("name", "unit", "scale", "off_m"),
    [
        ("uncertainty", None, 1.0, 5.0),
        ("uncertainty", "metre", 1.0, 5.0),
        ("Uncertainty", "cm", 1.0, 0.05),
        ("Vertical Uncertainty", "m", 1.0, 5.0),
        ("vertical_uncertainty", None, 0.1, 0.5),
    ],
)
def test_uncertainties_of_plain_meaning_are_used(
    tmp_path: Path, name: str, unit: str | None, scale: float, off_m: float
) -> None:
    """As those of one standard deviation: 1.96 of them are 95 % of a normal distribution."""
    path = bands(tmp_path / "a.tif", name, units=(unit,))
    with rasterio.open(path, "r+") as out:
        out.scales = (1.0, scale)
    assert unread(path) == []
    assert -beside(opened(path))[0].min() == pytest.approx(1.96 * off_m, rel=1e-5)


@pytest.mark.parametrize(
    "names", [("std_dev",), ("uncertainty", "Uncertainty"), ("depth standard error",), ("TPU",)]
)
def test_uncertainties_that_are_not_used_are_told(tmp_path: Path, names: tuple[str, ...]) -> None:
    path = bands(tmp_path / "a.tif", *names)
    sidecar(path, 'columns = { depth = "depth" }\nvertical_uncertainty = "0.3 m"\n')
    (text,) = unread(path)
    assert "was not used: " + ", ".join(f"band {n} ({o})" for n, o in enumerate(names, 2)) in text


def test_uncertainties_in_a_unit_of_no_length_are_told(tmp_path: Path) -> None:
    (text,) = unread(bands(tmp_path / "a.tif", "uncertainty", units=("%",)))
    assert "was not used: band 2 (uncertainty)" in text


def test_a_variable_of_uncertainties_is_used_or_told(tmp_path: Path) -> None:
    path = two_variables(tmp_path / "a.nc", "uncertainty", "m")
    assert unread(path) == []
    assert -beside(opened(path))[0].min() == pytest.approx(9.8, rel=1e-5)
    path = two_variables(
        tmp_path / "b.nc", "u", "m", standard_name="sea_floor_depth_below_geoid standard_error"
    )
    assert "was not used: u" in unread(path)[0]
