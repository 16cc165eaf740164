"""Where cells lie: turned, upside down, across the antimeridian, round the earth, projected."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from pyproj import Transformer
from rasterio.transform import Affine, from_origin

from tests.readers.rasters import geotiff, netcdf
from tests.readers.test_grids import depths, opened, refused

ROWS, COLUMNS = 30, 40


def numbered(rows: int = ROWS, columns: int = COLUMNS) -> np.ndarray:
    """Every cell another elevation, all below 0."""
    return -1.0 - np.arange(rows * columns, dtype="float32").reshape(rows, columns)


def rotated(angle_deg: float) -> Affine:
    return Affine.translation(10.0, 54.0) * Affine.rotation(angle_deg) * Affine.scale(0.01, -0.01)


PLACES: dict[str, tuple[Any, Affine]] = {
    "north up": ("EPSG:4326", from_origin(10.0, 54.0, 0.01, 0.02)),
    "south up": ("EPSG:4326", Affine(0.01, 0.0, 10.0, 0.0, 0.02, 53.0)),
    "east first": ("EPSG:4326", Affine(-0.01, 0.0, 10.0, 0.0, -0.02, 53.0)),
    "turned by 30 degrees": ("EPSG:4326", rotated(30.0)),
    "over the antimeridian": ("EPSG:4326", from_origin(179.8, -20.0, 0.01, 0.01)),
    "longitudes to 360": ("EPSG:4326", from_origin(350.0, 10.0, 0.01, 0.01)),
    "NAD83": ("EPSG:4269", from_origin(-75.0, 40.0, 0.001, 0.001)),
    "ED50": ("EPSG:4230", from_origin(5.0, 54.0, 0.001, 0.001)),
    "UTM": ("EPSG:32632", from_origin(5e5, 6e6, 20.0, 20.0)),
    "UTM, turned": (
        "EPSG:32719",
        Affine.translation(3e5, 6.1e6) * Affine.rotation(-12.0) * Affine.scale(50.0, -40.0),
    ),
    "polar stereographic": ("EPSG:3996", from_origin(-4000.0, 3000.0, 200.0, 200.0)),
    "Mercator over the antimeridian": ("EPSG:3832", from_origin(3_338_000.0, 100.0, 90.0, 90.0)),
}


@pytest.mark.parametrize("place", PLACES)
def test_every_cell_is_found_at_its_own_place(tmp_path: Path, place: str) -> None:
    """Positions by rasterio's transform and pyproj; depths by the grid's own way back."""
    crs, transform = PLACES[place]
    path = geotiff(tmp_path / "a.tif", numbered(), crs=crs, transform=transform)
    grid = opened(path)
    row, column = np.mgrid[0:ROWS, 0:COLUMNS]
    x, y = transform * (column + 0.5, row + 0.5)
    lon, lat = Transformer.from_crs(crs, "EPSG:4326", always_xy=True).transform(x, y)
    found = depths(grid)
    for turn in (-360.0, 0.0, 360.0):
        at_column, at_row = grid.to_cell(np.asarray(lon) + turn, np.asarray(lat))
        assert np.abs(at_column - column).max() < 1e-5 and np.abs(at_row - row).max() < 1e-5
    assert np.array_equal(found[row, column], 1.0 + row * COLUMNS + column)
    back_lon, back_lat = grid.to_position(column.astype(float), row.astype(float))
    off = (np.asarray(back_lon) - lon + 180.0) % 360.0 - 180.0
    assert np.abs(off * np.cos(np.radians(lat))).max() < 1e-8
    assert np.abs(back_lat - lat).max() < 1e-8
    west, south, east, north = grid.bounds_deg()
    turned = west + (np.asarray(lon) - west) % 360.0
    assert (turned <= east).all() and (lat >= south).all() and (lat <= north).all()
    assert east - west == 360.0 if place == "polar stereographic" else east - west < 3.0
    assert grid.wraps_columns == 0


def test_a_datum_of_long_ago_is_shifted() -> None:
    """ED50 to WGS 84 in the North Sea: some 90 m west and 80 m south (EPSG 1311 and others)."""
    lon, lat = Transformer.from_crs("EPSG:4230", "EPSG:4326", always_xy=True).transform(5.0, 54.0)
    assert 0.0005 < abs(lon - 5.0) < 0.003 and 0.0003 < abs(lat - 54.0) < 0.002


@pytest.mark.parametrize(("west", "columns"), [(-180.0, 720), (0.0, 720), (-180.0, 721)])
def test_round_the_earth(tmp_path: Path, west: float, columns: int) -> None:
    transform = from_origin(west, 10.0, 0.5, 0.5)
    path = geotiff(tmp_path / "a.tif", numbered(40, columns), transform=transform)
    grid = opened(path)
    assert grid.wraps_columns == 720
    column, _ = grid.to_cell(np.array([179.75, -179.75, 180.25]), np.zeros(3))
    assert (column[1] - column[2]) % 720 == 0.0
    assert (column[1] - column[0]) % 720 == pytest.approx(1.0)


def test_not_quite_round_the_earth_does_not_wrap(tmp_path: Path) -> None:
    transform = from_origin(-180.0, 10.0, 0.5, 0.5)
    path = geotiff(tmp_path / "a.tif", numbered(40, 719), transform=transform)
    assert opened(path).wraps_columns == 0


def test_a_netcdf_without_a_system_by_the_names_of_its_axes(tmp_path: Path) -> None:
    values = numbered(20, 30)
    path = netcdf(tmp_path / "a.nc", {"elevation": values}, attributes={"units": "m"})
    grid = opened(path)
    # The file's first row is the most southern one.
    assert np.array_equal(depths(grid), -values[::-1])
    column, row = grid.to_cell(np.array([10.0]), np.array([53.0]))
    assert (column[0], row[0]) == pytest.approx((0.0, 19.0), abs=1e-6)
    assert any("WGS 84" in problem.text for problem in grid.problems)
    assert grid.reach == 1.0
    for axes in (("", ""), ("m", "m"), ("degrees_north", "")):
        path = netcdf(tmp_path / "b.nc", {"elevation": values}, axes=axes)
        line = refused(path)
        assert "coordinate system" in line or "earth" in line


@pytest.mark.parametrize(("node_offset", "reach"), [(0, 1.0), (1, 0.5)])
def test_node_offset_says_how_a_netcdf_is_registered(
    tmp_path: Path, node_offset: int, reach: float
) -> None:
    """GMT's convention, GEBCO's too: 0 gridline, 1 pixel registration."""
    path = netcdf(
        tmp_path / "a.nc",
        {"z": numbered(20, 30)},
        attributes={"units": "m", "positive": "up"},
        whole={"node_offset": np.int32(node_offset), "Conventions": "CF-1.6"},
    )
    assert opened(path).reach == reach


def test_the_variable_of_depths_is_picked_or_named(tmp_path: Path) -> None:
    values = numbered(20, 30)
    every = {"elevation": values, "tid": np.ones((20, 30), dtype="int16")}
    path = netcdf(tmp_path / "a.nc", every, attributes={"units": "m"})
    assert np.array_equal(depths(opened(path)), -values[::-1])
    path = netcdf(tmp_path / "b.nc", {"one": values, "two": values}, attributes={"units": "m"})
    assert "one, two" in refused(path) and "columns" in refused(path)
    (tmp_path / "b.nc.toml").write_text('quantity = "elevation"\n[columns]\ndepth = "two"\n')
    assert np.array_equal(depths(opened(path)), -values[::-1])
    (tmp_path / "b.nc.toml").write_text('quantity = "elevation"\n[columns]\ndepth = "three"\n')
    assert "none is called 'three'" in refused(path)
    path = netcdf(
        tmp_path / "c.nc", {"elevation": np.stack([values] * 3)}, attributes={"units": "m"}
    )
    assert "3 layers over the same place" in refused(path)


def test_a_variable_in_a_group_and_a_path_that_is_awkward(tmp_path: Path) -> None:
    import netCDF4

    folder = tmp_path / "a: b, c"
    folder.mkdir()
    values = numbered(20, 30)
    path = netcdf(folder / "x y.nc", {"other": values, "more": values})
    with netCDF4.Dataset(path, "a") as out:
        group = out.createGroup("surface")
        for name, unit, size in (("lat", "degrees_north", 20), ("lon", "degrees_east", 30)):
            group.createDimension(name, size)
            axis = group.createVariable(name, "f8", (name,))
            axis.units, axis[:] = unit, 10.0 + 0.01 * np.arange(size)
        made = group.createVariable("elevation", "f4", ("lat", "lon"))
        made.units = "m"
        made[:] = values
    assert np.array_equal(depths(opened(path)), -values[::-1])


def test_cf_attributes_give_the_sign_and_never_a_datum(tmp_path: Path) -> None:
    values = numbered(20, 30)
    attributes = {"units": "m", "standard_name": "height_above_mean_sea_level"}
    grid = opened(netcdf(tmp_path / "a.nc", {"v": values}, attributes=attributes))
    assert np.array_equal(depths(grid), -values[::-1])
    assert grid.source.datum == "unknown"
    attributes = {"units": "m", "positive": "down"}
    grid = opened(netcdf(tmp_path / "b.nc", {"v": -values}, attributes=attributes))
    assert np.array_equal(depths(grid), -values[::-1])
    attributes = {"units": "m", "positive": "down"}
    path = netcdf(tmp_path / "c.nc", {"elevation": -values}, attributes=attributes)
    assert "contradict" in refused(path)
    attributes = {"units": "m", "positive": "up", "vertical_datum": "LAT"}
    grid = opened(netcdf(tmp_path / "d.nc", {"z": values}, attributes=attributes))
    assert grid.source.datum == "LAT"


@pytest.mark.parametrize(
    ("variable", "value"), [("GTIFF_POINT_GEO_IGNORE", "YES"), ("GDAL_GEOREF_SOURCES", "NONE")]
)
@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_a_stray_variable_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, variable: str, value: str
) -> None:
    path = geotiff(tmp_path / "a.tif", numbered(), point=True)
    before = opened(path)
    lon, lat = before.to_position(np.zeros(1), np.zeros(1))
    with rasterio.open(path) as plain:
        was = plain.transform
    monkeypatch.setenv(variable, value)
    with rasterio.open(path) as led_astray:
        assert led_astray.transform != was, "the variable does nothing: test another"
    after = opened(path)
    column, row = after.to_cell(lon, lat)
    assert (column[0], row[0]) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert np.array_equal(depths(after), depths(before))
    assert os.environ[variable] == value


def mapped(path: Path, axis_m: float, flattening: float) -> Path:
    import netCDF4

    netcdf(path, {"elevation": numbered(20, 30)}, attributes={"units": "m"})
    with netCDF4.Dataset(path, "a") as out:
        crs = out.createVariable("crs", "i4")
        crs.grid_mapping_name = "latitude_longitude"
        crs.semi_major_axis, crs.inverse_flattening = axis_m, flattening
        out["elevation"].grid_mapping = "crs"
    return path


def test_an_ellipsoid_of_no_known_datum_is_refused(tmp_path: Path) -> None:
    """The one of 1924 (EPSG 7022). Datums on it lie up to some hundred metres off (ED50: 130 m)."""
    assert "cannot be brought to WGS 84" in refused(mapped(tmp_path / "a.nc", 6378388.0, 297.0))


@pytest.mark.parametrize(
    "crs", ["+proj=longlat +ellps=intl", "+proj=utm +zone=32 +ellps=intl +units=m"]
)
def test_so_is_a_geotiff_on_one(tmp_path: Path, crs: str) -> None:
    transform = from_origin(5.0, 54.0, 0.001, 0.001)
    if "utm" in crs:
        transform = from_origin(5e5, 6e6, 20.0, 20.0)
    path = geotiff(tmp_path / "a.tif", numbered(), crs=crs, transform=transform)
    assert "cannot be brought to WGS 84" in refused(path)


@pytest.mark.parametrize("flattening", [298.257223563, 298.257222101])
def test_the_ellipsoid_of_wgs_84_without_a_datum_is_taken_as_it(
    tmp_path: Path, flattening: float
) -> None:
    """EPSG 7030 and 7019; said, since a datum of our time may lie some metres off."""
    grid = opened(mapped(tmp_path / "a.nc", 6378137.0, flattening))
    column, row = grid.to_cell(np.array([10.0]), np.array([53.0]))
    assert (column[0], row[0]) == pytest.approx((0.0, 19.0), abs=1e-6)
    assert any("taken as WGS 84" in problem.text for problem in grid.problems)
