"""Fills, scales, whole-number types and rounding: no number becomes water that is none."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.readers.gridvalues import DEEPEST_M, HIGHEST_M, Values
from tests.readers.rasters import geotiff, netcdf
from tests.readers.test_grids import depths, opened, refused, sidecar


def values(dtype: str, **given: object) -> Values:
    plain = {"nodata": (), "scale": 1.0, "offset": 0.0, "metres_per_unit": 1.0, "elevation": False}
    return Values(dtype=dtype, **{**plain, **given})  # type: ignore[arg-type]


@pytest.mark.parametrize("dtype", ["float32", "float64"])
@pytest.mark.parametrize("elevation", [False, True])
def test_what_is_no_depth(dtype: str, elevation: bool) -> None:
    none = [np.nan, np.inf, -np.inf, -9999, 9999, -99999, -32767, -32768, 1e6, 12001, -12001]
    none += [9.969209968386869e36, -3.4028234663852886e38, 3.4028234663852886e38, 1e300]
    with np.errstate(over="ignore"):
        raw = np.array(none, dtype=dtype)
    depth, valid = values(dtype, elevation=elevation).depths(raw)
    assert not valid.any()
    assert (depth == 0.0).all()


def test_the_limits_of_depth_are_those_of_the_earth() -> None:
    raw = np.array([DEEPEST_M, -HIGHEST_M, 12000.5, -9000.5, 0.0])
    _, valid = values("float64").depths(raw)
    assert valid.tolist() == [True, True, False, False, True]


@pytest.mark.parametrize(
    ("dtype", "none"),
    [
        ("int16", [-9999, -32768, -32767, 32767, 9999]),
        ("uint16", [65535, 9999, 32768]),
        ("uint8", [255]),
        ("int8", [-128, 127]),
        ("int32", [-9999, -2147483648, 2147483647, -32768, 99999]),
        ("uint32", [4294967295]),
        ("int64", [-9999, -(2**63), 2**63 - 1]),
    ],
)
def test_whole_numbers_do_not_wrap_round_when_turned(dtype: str, none: list[int]) -> None:
    for elevation in (False, True):
        raw = np.array([0, 1, 100, *none], dtype=dtype)
        depth, valid = values(dtype, elevation=elevation).depths(raw)
        assert valid.tolist() == [True] * 3 + [False] * len(none)
        sign = -1.0 if elevation else 1.0
        assert depth[:3].tolist() == [0.0, sign, sign * 100.0]


def test_declared_no_data_wins_and_a_fill_is_known_though_scaled() -> None:
    raw = np.array([0, 5, -9999, 7], dtype="int16")
    _, valid = values("int16", nodata=(0.0, 7.0)).depths(raw)
    assert valid.tolist() == [False, True, False, False]
    # 65535 cm would be 655 m of water.
    raw = np.array([65535, 1200, 9999], dtype="uint16")
    depth, valid = values("uint16", scale=0.01).depths(raw)
    assert valid.tolist() == [False, True, False]
    assert depth[1] == pytest.approx(12.0)
    # A number that its type cannot hold is none of its values.
    _, valid = values("uint8", nodata=(-9999.0, 3.5, float("nan"))).depths(np.array([3], "uint8"))
    assert valid.all()
    # Declared as 64 bits, stored as 32.
    raw = np.array([-99999.9], dtype="float32")
    assert not values("float32", nodata=(-99999.9,)).depths(raw)[1].any()


@given(
    st.lists(st.floats(-9000.0, 9000.0), min_size=1, max_size=20),
    st.booleans(),
    st.sampled_from([1.0, 0.3048, 1.8288, 0.01, 1200 / 3937]),
    st.sampled_from([1.0, 0.1, 0.5]),
    st.floats(-10.0, 10.0),
    st.sampled_from(["float64", "float32", "int32"]),
)
def test_never_rounded_towards_the_deep(
    numbers: list[float], elevation: bool, unit_m: float, scale: float, offset: float, dtype: str
) -> None:
    raw = np.array(numbers).astype(dtype)
    given = values(dtype, elevation=elevation, metres_per_unit=unit_m, scale=scale, offset=offset)
    depth, valid = given.depths(raw)
    exact = (raw.astype(np.float64) * scale + offset) * unit_m * (-1.0 if elevation else 1.0)
    assert (depth[valid].astype(np.float64) <= exact[valid]).all()
    assert (exact[valid] - depth[valid] <= 1.3e-7 * np.abs(exact[valid]) + 1e-40).all()


def test_scale_and_offset_of_a_geotiff(tmp_path: Path) -> None:
    import rasterio

    path = geotiff(tmp_path / "a.tif", np.array([[-250, 100]] * 2, dtype="int16"))
    with rasterio.open(path, "r+") as out:
        out.scales, out.offsets = (0.1,), (-2.0,)
    assert depths(opened(path))[0] == pytest.approx([27.0, -8.0])


def test_scale_and_two_fills_of_a_netcdf(tmp_path: Path) -> None:
    raw = np.array([[100, -200], [-7, -5]], dtype="int16")
    attributes = {
        "units": "m",
        "scale_factor": 0.1,
        "add_offset": 1.0,
        "missing_value": np.int16(-7),
    }
    path = netcdf(tmp_path / "a.nc", {"elevation": raw}, attributes=attributes, fill=-5)
    found = depths(opened(path))  # the last row is the most northern
    assert np.isnan(found[0]).all()
    assert found[1] == pytest.approx([-11.0, 19.0])


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        ({"valid_min": -200}, [[20.0, np.nan], [20.0, 5.0]]),
        ({"valid_max": -60}, [[20.0, 30.0], [20.0, np.nan]]),
        ({"valid_min": -200, "valid_max": -60}, [[20.0, np.nan], [20.0, np.nan]]),
        ({"valid_range": [-200, -60]}, [[20.0, np.nan], [20.0, np.nan]]),
    ],
)
def test_numbers_outside_of_what_a_netcdf_calls_valid(
    tmp_path: Path, limits: dict[str, Any], expected: list[list[float]]
) -> None:
    """CF Conventions 1.11, section 2.5.1: such numbers are missing data; they are packed ones."""
    raw = np.array([[-200, -50], [-200, -300]], dtype="int16")
    stated = {key: np.array(value, dtype="int16") for key, value in limits.items()}
    attributes = {"units": "m", "scale_factor": 0.1, **stated}
    path = netcdf(tmp_path / "a.nc", {"elevation": raw}, attributes=attributes)
    assert depths(opened(path)) == pytest.approx(np.array(expected), nan_ok=True)


def test_a_declared_no_data_of_nought_is_told(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", [[-5.0, 0.0]] * 2, nodata=0.0, dtype="float32")
    grid = opened(path)
    assert np.isnan(depths(grid)[0, 1])
    assert any("declares 0 as no data" in problem.text for problem in grid.problems)


def test_the_files_own_mask_counts(tmp_path: Path) -> None:
    import rasterio

    path = geotiff(tmp_path / "a.tif", [[-5.0, -6.0]] * 2, dtype="float32")
    with rasterio.open(path, "r+") as out:
        out.write_mask(np.array([[255, 0], [255, 255]], dtype="uint8"))
    assert np.array_equal(depths(opened(path)), [[5.0, np.nan], [5.0, 6.0]], equal_nan=True)


@pytest.mark.parametrize("dtype", ["uint8", "int16", "float32"])
@pytest.mark.parametrize("nodata", [None, 99.0])
def test_a_band_of_alpha_says_where_there_is_nothing(
    tmp_path: Path, dtype: str, nodata: float | None
) -> None:
    bands = [[[5, 6], [7, 8]], [[100, 0], [1, 100]]]
    given: dict[str, object] = {"name": "depth", "dtype": dtype, "nodata": nodata, "alpha": "yes"}
    path = geotiff(tmp_path / "a.tif", bands, **given)  # type: ignore[arg-type]
    assert np.array_equal(depths(opened(path)), [[5.0, np.nan], [7.0, 8.0]], equal_nan=True)


def test_a_mask_of_one_band_counts(tmp_path: Path) -> None:
    import rasterio

    path = geotiff(tmp_path / "a.tif", [[-5.0, -6.0]] * 2, dtype="float32")
    mask = np.array([[255, 0], [255, 255]], dtype="uint8")
    with rasterio.open(
        f"{path}.msk", "w", driver="GTiff", height=2, width=2, count=1, dtype="uint8"
    ) as out:
        out.write(mask, 1)
        out.update_tags(INTERNAL_MASK_FLAGS_1="0")  # GDAL raster data model, RFC 15: mask bands
    assert np.array_equal(depths(opened(path)), [[5.0, np.nan], [5.0, 6.0]], equal_nan=True)


def test_scales_that_are_no_numbers_are_refused(tmp_path: Path) -> None:
    import rasterio

    path = geotiff(tmp_path / "a.tif", [[-5.0, -6.0]] * 2, dtype="float32")
    with rasterio.open(path, "r+") as out:
        out.scales = (0.0,)
    assert "scaled by 0.0" in refused(path)


def test_a_grid_without_any_depth_says_so(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", np.full((2, 2), np.nan), dtype="float32")
    sidecar(path, 'datum = "LAT"')
    grid = opened(path)
    assert ["holds no depth" in problem.text for problem in grid.problems] == [True]
