"""Depth grids: what their numbers mean, where they lie, and what is refused, in one line."""

from __future__ import annotations

import hashlib
import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
import rasterio.shutil
from rasterio.transform import Affine

from routecheck.model.chart import Grid, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.grids import looks_like_grid, open_grid
from tests.readers.rasters import NORTH_UP, geotiff, netcdf, s102

HEIGHTS = np.array([[-12.5, -3.0, 0.0], [-40.0, 2.5, -1.0]])
DOWN = -HEIGHTS


def opened(path: Path) -> Grid:
    (grid,) = open_grid(path)
    return grid


def depths(grid: Grid) -> np.ndarray:
    """All charted depths, NaN where invalid."""
    whole = np.full((grid.rows, grid.columns), np.nan)
    for r in range(-(-grid.rows // grid.block_rows)):
        for c in range(-(-grid.columns // grid.block_columns)):
            depth, valid = grid.block(r, c)
            top, left = r * grid.block_rows, c * grid.block_columns
            whole[top : top + depth.shape[0], left : left + depth.shape[1]] = np.where(
                valid, depth, np.nan
            )
    return whole


def refused(path: Path) -> str:
    """The one line that says why a file is no grid."""
    with pytest.raises(BadInput) as told:
        open_grid(path)
    line = str(told.value)
    assert "\n" not in line and path.name in line
    return line


def sidecar(path: Path, text: str) -> None:
    path.with_name(path.name + ".toml").write_text(text)


def test_elevations_become_depths_and_land_a_drying_height(tmp_path: Path) -> None:
    grid = opened(geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32"))
    assert np.array_equal(depths(grid), [[12.5, 3.0, 0.0], [40.0, -2.5, 1.0]])
    assert not np.signbit(depths(grid)[0, 2])
    assert grid.problems == ()
    assert grid.source.datum == "unknown" and grid.source.format == "GeoTIFF"


def test_depths_stay_depths(tmp_path: Path) -> None:
    grid = opened(geotiff(tmp_path / "a.tif", DOWN, name="depth", dtype="float32"))
    assert np.array_equal(depths(grid), DOWN)


def test_no_one_says_which_way_up_and_the_sidecar_settles_it(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, name=None, dtype="float32")
    assert 'quantity = "depth" or "elevation" in a.tif.toml' in refused(path)
    sidecar(path, 'quantity = "elevation"')
    assert depths(opened(path))[1, 0] == 40.0
    sidecar(path, 'quantity = "depth"')
    assert depths(opened(path))[1, 0] == -40.0


def test_no_one_says_the_unit_and_the_sidecar_settles_it(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, unit=None, dtype="float32")
    assert "unit" in refused(path) and "a.tif.toml" in refused(path)
    sidecar(path, 'unit = "ft"')
    # One foot is 0.3048 m exactly: NIST SP 811 (2008), Appendix B.8.
    assert depths(opened(path))[1, 0] == pytest.approx(12.192, abs=1e-5)


@pytest.mark.parametrize(
    ("unit", "metres"),
    [("metre", 1.0), ("ft", 0.3048), ("us survey foot", 1200 / 3937), ("fathom", 1.8288)],
)
def test_units_of_depth(tmp_path: Path, unit: str, metres: float) -> None:
    path = geotiff(tmp_path / "a.tif", [[-10.0, -20.0]] * 2, unit=unit, dtype="float64")
    assert depths(opened(path))[0] == pytest.approx([10.0 * metres, 20.0 * metres], abs=1e-5)


def test_an_unknown_unit_is_refused(tmp_path: Path) -> None:
    assert "'kg'" in refused(geotiff(tmp_path / "a.tif", HEIGHTS, unit="kg", dtype="float32"))


def test_a_sidecar_that_contradicts_the_file_is_refused(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32")
    for text, words in (
        ('quantity = "depth"', "sidecar"),
        ('unit = "ft"', "sidecar"),
    ):
        sidecar(path, text)
        assert words in refused(path)
    path = geotiff(tmp_path / "b.tif", HEIGHTS, crs="EPSG:4326+5714", dtype="float32")
    sidecar(path, 'datum = "LAT"')
    assert "MSL by the file and from LAT by its sidecar" in refused(path)


@pytest.mark.parametrize(
    ("code", "down", "datum"),
    # EPSG Dataset (pyproj 3.7.2): name, axis direction and unit of vertical systems.
    [
        (5714, False, "MSL"),
        (5715, True, "MSL"),
        (5703, False, "NAVD88"),
        (5861, True, "LAT"),
        (5866, True, "MLLW"),
        (5867, True, "MLW"),
        (5863, True, "ISLW"),
        (5862, True, "LLWLT"),
        (9287, True, "LAT"),
        (9672, True, "chart datum"),
        (7837, False, "unknown"),
        (5831, True, "unknown"),
    ],
)
def test_the_vertical_system_gives_sign_unit_and_datum(
    tmp_path: Path, code: int, down: bool, datum: str
) -> None:
    values = DOWN if down else HEIGHTS
    path = geotiff(
        tmp_path / "a.tif",
        values,
        name=None,
        unit=None,
        crs=f"EPSG:32632+{code}",
        transform=rasterio.transform.from_origin(5e5, 6e6, 20.0, 20.0),
        dtype="float32",
    )
    grid = opened(path)
    assert np.array_equal(depths(grid), DOWN)
    assert grid.source.datum == datum
    assert grid.source.datum_from == ("vertical system" if datum != "unknown" else "")


def test_name_and_axis_that_contradict_each_other_are_refused(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, crs="EPSG:4326+5715", dtype="float32")
    assert "contradict" in refused(path)
    sidecar(path, 'quantity = "elevation"')
    assert depths(opened(path))[1, 0] == 40.0


def test_a_sign_that_the_values_belie_is_refused(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", [[-5.0, -9.0]] * 2, name="depth", dtype="float32")
    assert 'state quantity = "elevation" in a.tif.toml' in refused(path)
    values = [[-5000.0, -900.0], [3.0, 4.0]]
    path = geotiff(tmp_path / "b.tif", values, name="depth", dtype="float32")
    assert "mostly high land" in refused(path)
    grid = opened(geotiff(tmp_path / "c.tif", [[5.0, 9.0]] * 2, dtype="float32"))
    assert [p.severity for p in grid.problems] == [Severity.CAUTION]
    assert depths(grid).max() == -5.0


def test_what_the_sidecar_states_reaches_the_source(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32")
    sidecar(
        path,
        'datum = "MSL"\ndatum_below_msl = "0 m"\nvertical_uncertainty = "0.5 m + 1 %"\n'
        'horizontal_uncertainty = "20 m"\nsurveyed = 2019\n',
    )
    source = opened(path).source
    assert (source.datum, source.datum_from, source.surveyed) == ("MSL", "sidecar", 2019)
    assert (source.quality.vertical_m, source.quality.horizontal_m) == (0.5, 20.0)
    assert source.datum_below_msl_m == 0.0
    assert source.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize(("off_m", "told"), [("5 m", False), ("5.5 m", True), ("500 m", True)])
def test_what_cells_may_be_off_is_told_since_it_is_not_added(
    tmp_path: Path, off_m: str, told: bool
) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32")
    sidecar(path, f'datum = "LAT"\nhorizontal_uncertainty = "{off_m}"\n')
    said = [p for p in opened(path).problems if f"positions may be {off_m} off" in p.text]
    assert [p.severity for p in said] == ([Severity.CAUTION] if told else [])


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_without_a_place_on_the_earth_it_is_refused(tmp_path: Path) -> None:
    far = rasterio.transform.from_origin(10.0, 200.0, 0.01, 0.01)
    local = 'LOCAL_CS["somewhere",UNIT["metre",1]]'
    for name, extra in {
        "nothing": {"crs": None, "transform": None},
        "no system": {"crs": None},
        "no corner": {"transform": None},
        "off the earth": {"transform": far},
        "far too fine": {"transform": Affine(1e-9, 0.0, 10.0, 0.0, -1e-9, 54.0)},
        "local": {"crs": rasterio.crs.CRS.from_wkt(local)},
    }.items():
        line = refused(geotiff(tmp_path / f"{name}.tif", HEIGHTS, dtype="float32", **extra))
        assert any(word in line for word in ("earth", "coordinate system", "finer than")), line


def test_what_is_no_grid_of_depths_is_refused(tmp_path: Path) -> None:
    picture = np.zeros((3, 4, 4), dtype="uint8")
    path = geotiff(tmp_path / "rgb.tif", picture, name=None, unit=None, photometric="RGB")
    assert "picture" in refused(path)
    bands = np.zeros((2, 4, 4), dtype="float32")
    assert "which of its bands" in refused(geotiff(tmp_path / "b.tif", bands, name=None))
    (tmp_path / "text.tif").write_text("no raster")
    assert "cannot be read as a grid" in refused(tmp_path / "text.tif")
    (tmp_path / "empty.nc").write_bytes(b"")
    assert "empty" in refused(tmp_path / "empty.nc")
    (tmp_path / "x.h5").write_bytes(b"\x89HDF\r\n\x1a\n" + bytes(600))
    assert "HDF5" in refused(tmp_path / "x.h5")


def test_an_ascii_grid(tmp_path: Path) -> None:
    path = tmp_path / "a.asc"
    head = "ncols 3\nnrows 2\nxllcorner 10\nyllcorner 53\ncellsize 0.01\nNODATA_value -9999\n"
    path.write_text(head + "-1 -2.5 3\n-9999 -4 -5\n")
    path.with_suffix(".prj").write_text(rasterio.crs.CRS.from_epsg(4326).to_wkt())
    sidecar(path, 'quantity = "elevation"\nunit = "m"\n')
    assert np.array_equal(depths(opened(path)), [[1, 2.5, -3], [np.nan, 4, 5]], equal_nan=True)
    path.write_text(head.replace("nrows 2", "nrows 2000000000") + "-1 -2 -3\n")
    assert "promises 3 x 2000000000 cells" in refused(path)


@pytest.mark.parametrize("point", [False, True])
def test_area_and_node_registration(tmp_path: Path, point: bool) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32", point=point)
    grid = opened(path)
    assert grid.reach == (1.0 if point else 0.5)
    column, row = grid.to_cell(np.array([10.005]), np.array([53.99]))
    # rasterio's transform is that of the cell's corner in both cases; GDAL shifts by half a cell.
    assert (column[0], row[0]) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_bag_as_gdal_writes_it(tmp_path: Path) -> None:
    path = tmp_path / "a.bag"
    values = np.array([[-12.0, -3.5], [1e6, -7.0]], dtype="float32")
    with rasterio.open(
        path,
        "w",
        driver="BAG",
        width=2,
        height=2,
        count=1,
        dtype="float32",
        crs="EPSG:32632+5866",
        transform=rasterio.transform.from_origin(5e5, 6e6, 8.0, 8.0),
        nodata=1e6,
    ) as out:
        out.write(values, 1)
    grid = opened(path)
    assert np.array_equal(depths(grid), [[12.0, 3.5], [np.nan, 7.0]], equal_nan=True)
    assert grid.reach == 1.0
    assert grid.source.resolution_m == pytest.approx(8.0, rel=1e-3)


def test_s102_as_h5py_writes_it(tmp_path: Path) -> None:
    south_first = np.array([[1.0, 2.0, 3.0], [1e6, -0.5, 6.0]], dtype="float32")
    grid = opened(s102(tmp_path / "a.h5", south_first))
    north_first = [[np.nan, -0.5, 6.0], [1.0, 2.0, 3.0]]
    assert np.array_equal(depths(grid), north_first, equal_nan=True)
    assert (grid.source.datum, grid.reach, grid.source.format) == ("LAT", 1.0, "S-102")
    assert grid.source.issued == "2027-05-14"
    lon, lat = grid.to_position(np.array([0.0]), np.array([1.0]))
    assert (lon[0], lat[0]) == pytest.approx((10.0, 53.0), abs=1e-9)


def test_a_geopackage_of_one_or_two_grids(tmp_path: Path) -> None:
    path = tmp_path / "a.gpkg"
    lies = {"crs": "EPSG:4326", "transform": NORTH_UP, "driver": "GPKG", "dtype": "float32"}
    values = -np.arange(1.0, 7.0, dtype="float32").reshape(2, 3)
    for table in ("depth", "other"):
        extra = {"append_subdataset": True} if path.exists() else {}
        with rasterio.open(
            path, "w", width=3, height=2, count=1, raster_table=table, **lies, **extra
        ) as out:
            out.write(values, 1)
        assert looks_like_grid(path)
        sidecar(path, 'quantity = "elevation"\nunit = "m"\n')
        assert np.nanmin(depths(opened(path))) == 1.0
    sidecar(path, 'quantity = "elevation"\nunit = "m"\n[columns]\ndepth = "third"\n')
    assert "none is called 'third'" in refused(path)


def test_a_missing_part_is_a_hole_and_a_problem_never_water(tmp_path: Path) -> None:
    rng = np.random.default_rng(1)
    values = rng.uniform(-90.0, -10.0, (1024, 1024))
    path = geotiff(
        tmp_path / "a.tif",
        values,
        dtype="float32",
        tiled=True,
        blockxsize=256,
        blockysize=256,
        compress="deflate",
    )
    cut = tmp_path / "cut.tif"
    cut.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert "cannot be read as a grid" in refused(cut)  # its directory stands at the end
    cloud = tmp_path / "cog.tif"
    rasterio.shutil.copy(path, cloud, driver="COG", blocksize=256, overviews="NONE")
    cut.write_bytes(cloud.read_bytes()[: cloud.stat().st_size // 2])
    grid = opened(cut)
    found = depths(grid)
    read = np.isfinite(found)
    assert 0.2 < read.mean() < 0.8
    assert np.array_equal(found[read], -values.astype("float32")[read])
    told = [p for p in grid.problems if "cannot be read" in p.text]
    assert told and all(p.severity is Severity.NOT_ASSESSED for p in told)
    assert len(grid.problems) <= 25


def test_a_block_too_large_to_hold_is_refused(tmp_path: Path) -> None:
    path = geotiff(
        tmp_path / "a.tif",
        np.zeros((3000, 3000), dtype="int16"),
        compress="deflate",
        blockysize=3000,
    )
    line = refused(path)
    assert "blocks of 3000 x 3000 cells" in line and "512 x 512" in line


def test_wide_strips_are_fine_and_read_once(tmp_path: Path) -> None:
    values = -np.arange(1, 2_000_001, dtype="float32").reshape(20, 100_000) / 1e4 - 1.0
    path = geotiff(tmp_path / "a.tif", values, transform=NORTH_UP * NORTH_UP.scale(0.01, 1))
    grid = opened(path)
    assert grid.block_columns == 100_000
    assert np.array_equal(depths(grid), -values)


def test_overviews_are_never_read(tmp_path: Path) -> None:
    values = np.full((512, 512), -30.0, dtype="float32")
    values[200, 300] = -1.0
    path = geotiff(tmp_path / "a.tif", values, tiled=True, blockxsize=256, blockysize=256)
    with rasterio.open(path, "r+") as out:
        out.build_overviews([2, 4, 8], rasterio.enums.Resampling.average)
    found = depths(opened(path))
    assert found.shape == (512, 512) and found[200, 300] == 1.0


def test_a_grid_survives_the_way_to_another_process(tmp_path: Path) -> None:
    path = geotiff(
        tmp_path / "a.tif",
        HEIGHTS,
        crs="EPSG:32632",
        transform=rasterio.transform.from_origin(5e5, 6e6, 20.0, 20.0),
        dtype="float32",
    )
    grid = opened(path)
    copy: Any = pickle.loads(pickle.dumps(grid))
    assert np.array_equal(depths(copy), depths(grid))
    assert copy.source == grid.source
    lon, lat = np.array([9.0003]), np.array([54.1])
    assert np.array_equal(copy.to_cell(lon, lat), grid.to_cell(lon, lat))


def test_looks_like_grid_by_content_or_name(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", HEIGHTS, dtype="float32")
    plain = tmp_path / "no_suffix"
    plain.write_bytes(path.read_bytes())
    assert looks_like_grid(path) and looks_like_grid(plain)
    (tmp_path / "cut.bag").write_bytes(b"")
    assert looks_like_grid(tmp_path / "cut.bag")
    for name, data in {
        "cell.000": b"00259 3 L E",
        "a.geojson": b"{}",
        "a.txt": b"ncols",
        "a.png": b"\x89PNG",
    }.items():
        (tmp_path / name).write_bytes(data)
        assert not looks_like_grid(tmp_path / name)
    assert not looks_like_grid(tmp_path / "missing")
    grd = netcdf(tmp_path / "n", {"elevation": HEIGHTS.astype("float32")})
    assert looks_like_grid(grd)


def test_a_name_made_unique_names_the_problems_too(tmp_path: Path) -> None:
    from dataclasses import replace

    grid = opened(geotiff(tmp_path / "c.tif", [[5.0, 9.0]] * 2, dtype="float32"))
    grid.source = replace(grid.source, id="c.tif~2")
    assert [p.source for p in grid.problems] == ["c.tif~2"]
