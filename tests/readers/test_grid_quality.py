"""What grids state of their own accuracy, held against a second reading; and type identifiers."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from routecheck.readers.folder import read_charts
from routecheck.readers.gridbands import measured_cells
from tests.readers.rasters import geotiff, netcdf
from tests.readers.test_grids import depths, opened, refused, sidecar

SIGMAS = 1.96
BAGS = (
    "raster_s100py/F00788_SR_8m.bag",
    "raster_bag_hyo2/bdb_01.bag",
    "raster_bag_hyo2/bdb_02.bag",
    "raster_bag_hyo2qc/tiny_sr.bag",
    "raster_bag_ons/JD211_public_Release_1-4_UTM.bag",
    "raster_gdal_bag/southern_hemi_false_northing.bag",
)
VARIABLE = (
    "raster_bag_hyo2qc/tiny_vr.bag",
    "raster_bag_ons/Sample_VR_BAG-gzip.bag",
    "raster_gdal_bag/test_vr.bag",
)


def beside(grid: Any, name: str = "uncertainty") -> tuple[np.ndarray, np.ndarray]:
    """(value, whether it is told) of all cells."""
    one = getattr(grid, name)
    value, told = np.zeros((grid.rows, grid.columns)), np.zeros((grid.rows, grid.columns), bool)
    for r in range(-(-grid.rows // grid.block_rows)):
        for c in range(-(-grid.columns // grid.block_columns)):
            v, t = one.block(r, c)
            at = np.s_[
                r * grid.block_rows : r * grid.block_rows + v.shape[0],
                c * grid.block_columns : c * grid.block_columns + v.shape[1],
            ]
            value[at], told[at] = v, t
    return value, told


@pytest.mark.parametrize("name", BAGS)
def test_a_bags_uncertainties_are_those_of_h5py(real_data: Path, name: str) -> None:
    """BAG format specification 1.6: root/uncertainty, rows from the south, 1e6 is none."""
    import h5py

    grid = opened(real_data / name)
    with h5py.File(real_data / name) as file:
        depth_m = -file["BAG_root/elevation"][:][::-1].astype(float)
        off_m = SIGMAS * file["BAG_root/uncertainty"][:][::-1].astype(float)
    there = depth_m != -1e6
    assert np.array_equal(depths(grid), np.where(there, depth_m, np.nan), equal_nan=True)
    less, told = beside(grid)
    stated = there & (off_m > 0.0) & (off_m < 12000.0)
    assert np.array_equal(told, stated | ~there)
    assert np.allclose(-less[stated], off_m[stated], rtol=1e-6)
    assert (-less[stated] >= off_m[stated]).all(), "rounded against the boat"
    quality = grid.source.quality
    assert quality.known is bool(stated.any()) and quality.by_cell is bool(stated.any())


@pytest.mark.parametrize("name", VARIABLE)
def test_of_variable_resolution_the_worst_node_counts(real_data: Path, name: str) -> None:
    """Depths: no node is shoaler than the cell that holds it says; uncertainty: the worst."""
    import h5py

    grid = opened(real_data / name)
    with h5py.File(real_data / name) as file:
        nodes = file["BAG_root/varres_refinements"][:].ravel()
        about = file["BAG_root/varres_metadata"][:]
    kept = nodes[nodes["depth"] != 1e6]
    assert np.nanmin(depths(grid)) == pytest.approx(float(-kept["depth"].max()), abs=1e-5)
    if (kept["depth_uncrt"] > 0.0).all():
        worst_m = SIGMAS * float(kept["depth_uncrt"].max())
        assert grid.source.quality.vertical_m == pytest.approx(worst_m)
    else:
        assert not grid.source.quality.known
    assert about.shape and getattr(grid, "uncertainty") is None  # noqa: B009


def test_every_node_of_a_variable_grid_is_in_a_cell_no_deeper(real_data: Path) -> None:
    """Node by node: place from varres_metadata (BAG 1.6: sw_corner counts from the cell's own)."""
    import h5py

    path = real_data / "raster_bag_hyo2qc" / "tiny_vr.bag"
    grid = opened(path)
    found = depths(grid)
    with rasterio.open(path) as base:
        lies, rows = base.transform, base.height
        from pyproj import Transformer

        back = Transformer.from_crs(base.crs.to_epsg() or 26919, 4326, always_xy=True)
    with h5py.File(path) as file:
        nodes, about = file["BAG_root/varres_refinements"][0], file["BAG_root/varres_metadata"][:]
    checked = 0
    for r in range(about.shape[0]):
        for c in range(about.shape[1]):
            one = about[r, c]
            count = int(one["dimensions_x"]) * int(one["dimensions_y"])
            if not count or int(one["index"]) == 0xFFFFFFFF:
                continue
            first = int(one["index"])
            depth_m = -nodes["depth"][first : first + count].astype(float)
            y, x = np.divmod(np.arange(count), int(one["dimensions_x"]))
            west = lies.c + c * lies.a
            south = lies.f + rows * lies.e - r * lies.e
            east = west + one["sw_corner_x"] + x * one["resolution_x"]
            north = south + one["sw_corner_y"] + y * one["resolution_y"]
            column, row = grid.to_cell(*back.transform(east, north))
            there = depth_m != -1e6
            for k in np.flatnonzero(there).tolist():
                near = np.s_[
                    max(0, round(row[k]) - 1) : round(row[k]) + 2,
                    max(0, round(column[k]) - 1) : round(column[k]) + 2,
                ]
                assert np.nanmin(found[near]) <= depth_m[k] + 1e-4
                checked += 1
    assert checked == np.count_nonzero(nodes["depth"] != 1e6) > 9000


def test_a_geotiffs_uncertainty_band_is_used(real_data: Path) -> None:
    """BlueTopo: band 1 elevation, band 2 uncertainty, band 3 contributor (its documents)."""
    path = real_data / "raster_s100py" / "BlueTopo_BC25M26L_20221102b.tiff"
    grid = opened(path)
    with rasterio.open(path) as second:
        off_m, depth = second.read(2).astype(float), second.read(1)
        there = (depth != second.nodatavals[0]) & np.isfinite(depth)
    less, told = beside(grid)
    stated = there & np.isfinite(off_m) & (off_m > 0.0) & (off_m < 12000.0 / SIGMAS)
    assert stated.any() and np.array_equal(told, stated | ~np.isfinite(depths(grid)))
    assert np.allclose(-less[stated], SIGMAS * off_m[stated], rtol=1e-6)


def test_an_uncertainty_band_in_feet_is_feet(tmp_path: Path) -> None:
    bands = np.stack([np.full((4, 4), 30.0), np.full((4, 4), 2.0)]).astype("float32")
    path = geotiff(tmp_path / "a.tif", bands, name="depth", unit="ft")
    with rasterio.open(path, "r+") as out:
        out.set_band_description(2, "Uncertainty")
    less, told = beside(opened(path))
    assert told.all() and np.allclose(-less, 2.0 * SIGMAS * 0.3048, rtol=1e-6)


@pytest.mark.parametrize(
    ("code", "depth_m", "measured"),
    [
        # GEBCO_2025, table of type identifiers: direct 10-17, indirect 40 and more, 0 land.
        *[(code, 20.0, True) for code in (10, 11, 12, 13, 14, 15, 16, 17)],
        *[(code, 20.0, False) for code in (40, 41, 42, 43, 44, 45, 46, 70, 71, 72)],
        (0, -3.0, True),
        (0, 20.0, False),
        (18, 20.0, False),
        (-8888, 20.0, False),
    ],
)
def test_type_identifiers(code: int, depth_m: float, measured: bool) -> None:
    found = measured_cells(np.array([code]), np.array([depth_m], dtype=np.float32))
    assert found.tolist() == [measured]


SEA = np.array([[-20.0, -30.0], [-40.0, 5.0], [-60.0, -70.0]], dtype="float32")
TYPES = np.array([[11, 40], [10, 0], [0, 17]], dtype="int16")


def gebco(folder: Path, name: str = "gebco_2024_n54_s53.nc", types: str = "") -> Path:
    attributes = {"units": "m", "standard_name": "height_above_mean_sea_level"}
    path = netcdf(folder / name, {"elevation": SEA}, attributes=attributes)
    if types:
        netcdf(folder / types, {"tid": TYPES})
    return path


@pytest.mark.parametrize("types", ["gebco_2024_tid_n54_s53.nc", "gebco_2024_n54_s53_TID.nc"])
def test_a_grid_of_type_identifiers_beside_a_gebco_grid(tmp_path: Path, types: str) -> None:
    grid = opened(gebco(tmp_path, types=types))
    _, told = beside(grid, "measured")
    # North first. A code of land where there is water is no measurement.
    assert told.tolist() == [[False, True], [True, True], [True, False]]
    assert any("tells measured from interpolated" in one.text for one in grid.problems)
    # The identifiers are no chart of their own, and nothing is missing for it.
    charts = read_charts([tmp_path])
    assert [one.source.id for one in charts.grids] == ["gebco_2024_n54_s53.nc"]
    (unread,) = charts.unread
    assert not unread.looks_like_chart and "read together with their grid" in unread.why
    assert "type identifiers" in refused(tmp_path / types)


def test_both_in_one_file(tmp_path: Path) -> None:
    attributes = {"units": "m", "standard_name": "height_above_mean_sea_level"}
    path = netcdf(tmp_path / "a.nc", {"elevation": SEA, "tid": TYPES}, attributes=attributes)
    _, told = beside(opened(path), "measured")
    assert told.tolist() == [[False, True], [True, True], [True, False]]


def test_the_codes_of_2019_mean_something_else(tmp_path: Path) -> None:
    grid = opened(gebco(tmp_path, "GEBCO_2019.nc", "GEBCO_2019_TID.nc"))
    _, told = beside(grid, "measured")
    assert not told.any()


def test_identifiers_of_other_cells_are_not_used_and_said(tmp_path: Path) -> None:
    path = gebco(tmp_path)
    netcdf(tmp_path / "gebco_2024_tid_n54_s53.nc", {"tid": TYPES}, west=11.0)
    grid: Any = opened(path)
    assert grid.measured is None
    assert any("of other cells" in one.text for one in grid.problems)


def test_the_real_gebco_grid_with_identifiers(real_data: Path, tmp_path: Path) -> None:
    """All its cells taken as interpolated: what it clears otherwise is not assessed."""
    name = "gebco_2020_n56.3_s55.2_w12.2_e13.1.nc"
    shutil.copy(real_data / "raster_gebco_oresund" / name, tmp_path / name)
    sidecar(tmp_path / name, 'datum = "LAT"\n')
    with rasterio.open(tmp_path / name) as real:
        types = np.full(real.shape, 41, dtype="int16")
        west, north = real.transform.c, real.transform.f
        lies = from_origin(west, north, real.transform.a, -real.transform.e)
    beside_it = tmp_path / name.replace("gebco_2020", "gebco_2020_tid").replace(".nc", ".tif")
    geotiff(beside_it, types, name=None, unit=None, transform=lies)
    grid = opened(tmp_path / name)
    value, told = beside(grid, "measured")
    assert not told.any() and not value.any()
