"""Water levels from NetCDF-4 and S-104."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import h5py
import numpy as np
import pytest

from routecheck.model.errors import BadInput
from routecheck.readers.tide_csv import read_time_s
from routecheck.readers.tide_hdf import read_hdf_series

netCDF4 = pytest.importorskip("netCDF4", reason="netCDF4 is not installed: pip install netCDF4")
HOURS = np.arange(30.0)
LEVELS = 2.0 + np.cos(HOURS / 2.0)


def netcdf(
    folder: Path,
    *,
    units: str = "hours since 2027-05-14 00:00:00",
    height_units: str = "m",
    extra: bool = False,
    levels: Any = LEVELS,
    fmt: str = "NETCDF4",
) -> Path:
    path = folder / "levels.nc"
    with netCDF4.Dataset(path, "w", format=fmt) as top:
        top.createDimension("time", None)
        time = top.createVariable("time", "f8", ("time",))
        time.units = units
        time[:] = HOURS
        for name in ("level", "observed")[: 2 if extra else 1]:
            data = top.createVariable(name, "f4", ("time",), fill_value=-9999.0)
            data.units = height_units
            data[:] = levels
    return path


@pytest.mark.parametrize(
    ("units", "start", "step_s"),
    [
        ("hours since 2027-05-14 00:00:00", "2027-05-14T00:00Z", 3600.0),
        ("minutes since 2027-05-14T06:30:00Z", "2027-05-14T06:30Z", 60.0),
        ("seconds since 1970-01-01 00:00:00 UTC", "1970-01-01T00:00Z", 1.0),
        ("days since 2027-01-01", "2027-01-01T00:00Z", 86_400.0),
    ],
)
def test_netcdf(tmp_path: Path, units: str, start: str, step_s: float) -> None:
    made = read_hdf_series(netcdf(tmp_path, units=units))
    assert made.time_s[0] == read_time_s(start)
    assert made.time_s[1] - made.time_s[0] == step_s
    assert made.sample_m == pytest.approx(LEVELS, abs=1e-6)


def test_what_is_positive_downwards_is_no_height(tmp_path: Path) -> None:
    """The attribute `positive` of CF conventions 1.11, chapter 4.3."""
    path = netcdf(tmp_path)
    with netCDF4.Dataset(path, "a") as top:
        top["level"].positive = "down"
    with pytest.raises(BadInput, match="'level' is positive downwards"):
        read_hdf_series(path)


def test_netcdf_in_other_units_and_with_holes(tmp_path: Path) -> None:
    assert read_hdf_series(netcdf(tmp_path, height_units="cm")).sample_m == pytest.approx(
        LEVELS / 100.0, abs=1e-6
    )
    holed = np.ma.masked_array(LEVELS, mask=(HOURS >= 10) & (HOURS < 14))
    made = read_hdf_series(netcdf(tmp_path, levels=holed))
    assert len(made.sample_m) == 26
    assert len(made.spans_s) == 2


@pytest.mark.parametrize("name", ["time", "level"])
def test_netcdf_with_packed_numbers(tmp_path: Path, name: str) -> None:
    """`scale_factor` and `add_offset`: CF conventions 1.11, chapter 8.1."""
    path = netcdf(tmp_path)
    plain = read_hdf_series(path)
    with netCDF4.Dataset(path, "a") as top:
        top[name].scale_factor, top[name].add_offset = 0.5, 1.0
    made = read_hdf_series(path)
    if name == "time":
        assert made.time_s - made.time_s[0] == pytest.approx(1800.0 * HOURS)
        assert made.time_s[0] - plain.time_s[0] == 3600.0
    else:
        assert made.sample_m == pytest.approx(1.0 + LEVELS / 2.0, abs=1e-6)


def test_netcdf_with_several_series_needs_a_name(tmp_path: Path) -> None:
    path = netcdf(tmp_path, extra=True)
    with pytest.raises(BadInput, match="2 series of heights instead of one; name it with variable"):
        read_hdf_series(path)
    assert len(read_hdf_series(path, variable="observed").sample_m) == 30
    with pytest.raises(BadInput, match="those are level, observed"):
        read_hdf_series(path, variable="x")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            {"units": "fortnights since 2027-05-14"},
            "fortnights since 2027-05-14' is not understood",
        ),
        ({"units": "hours since yesterday"}, "cannot be read"),
        ({"units": "hours since 2027-05-14 00:00 +02:00"}, "is not understood"),
        (
            {"height_units": "furlong"},
            "0 series of heights instead of one; give its heights a unit",
        ),
        ({"levels": LEVELS * 100.0}, "look at the unit"),
        ({"fmt": "NETCDF3_CLASSIC"}, "classic NetCDF format, which is not read; convert it"),
    ],
)
def test_netcdf_that_cannot_be_used(tmp_path: Path, more: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_hdf_series(netcdf(tmp_path, **more))
    assert said in str(caught.value)


def s104(folder: Path, *, coding: int = 2, axis: int = 6499, datum: int = 12) -> Path:
    path = folder / "levels.h5"
    record = np.dtype([("waterLevelHeight", "<f4"), ("waterLevelTrend", "u1")])
    text = h5py.string_dtype()
    with h5py.File(path, "w") as top:
        top.attrs["verticalCS"], top.attrs["verticalDatum"] = axis, datum
        about = np.dtype([("code", text), ("uom.name", text), ("fillValue", text)])
        top["Group_F/WaterLevel"] = np.array(
            [("waterLevelHeight", "metres", "-9999.00"), ("waterLevelTrend", "", "0")], dtype=about
        )
        level = top.create_group("WaterLevel")
        level.attrs["dataCodingFormat"] = coding
        inner = level.create_group("WaterLevel.01")
        if coding == 2:
            for name, value in (
                ("gridOriginLongitude", 9.0),
                ("gridOriginLatitude", 53.0),
                ("gridSpacingLongitudinal", 0.1),
                ("gridSpacingLatitudinal", 0.2),
                ("numPointsLongitudinal", 3),
                ("numPointsLatitudinal", 2),
            ):
                inner.attrs[name] = value
            for hour in range(6):
                group = inner.create_group(f"Group_{hour + 1:03d}")
                group.attrs["timePoint"] = f"20270514T{hour:02d}0000Z"
                values = np.zeros((2, 3), dtype=record)
                values["waterLevelHeight"] = hour / 10.0 + np.arange(6.0).reshape(2, 3)
                values["waterLevelHeight"][0, 0] = -9999.0
                group["values"] = values
        else:
            spots = np.array(
                [(9.0, 53.0), (9.3, 53.0)], dtype=[("longitude", "<f8"), ("latitude", "<f8")]
            )
            inner["Positioning/geometryValues"] = spots
            for number in (1, 2):
                group = inner.create_group(f"Group_{number:03d}")
                group.attrs["startDateTime"] = "20270514T000000Z"
                group.attrs["timeRecordInterval"] = 600
                values = np.zeros(12, dtype=record)
                values["waterLevelHeight"] = number + np.arange(12) / 100.0
                group["values"] = values
    return path


def test_s104_grid(tmp_path: Path) -> None:
    made = read_hdf_series(s104(tmp_path), lon_deg=9.19, lat_deg=53.2, datum="MLLW")
    assert made.sample_m == pytest.approx(5.0 + np.arange(6) / 10.0, abs=1e-6)
    assert made.time_s[0] == read_time_s("2027-05-14T00:00Z")
    assert np.diff(made.time_s).tolist() == [3600.0] * 5


def test_s104_stations(tmp_path: Path) -> None:
    made = read_hdf_series(s104(tmp_path, coding=8), lon_deg=9.29, lat_deg=53.01, datum="MLLW")
    assert made.sample_m == pytest.approx(2.0 + np.arange(12) / 100.0, abs=1e-6)
    assert np.diff(made.time_s).tolist() == [600.0] * 11


@pytest.mark.parametrize(
    ("file", "asked", "said"),
    [
        ({}, {}, "give the station's lon and lat"),
        ({}, {"lon_deg": 9.0, "lat_deg": 50.0}, "does not lie on its grid"),
        ({}, {"lon_deg": 9.0, "lat_deg": 53.0}, "fewer than three heights"),
        ({}, {"lon_deg": 9.1, "lat_deg": 53.0, "datum": "LAT"}, "above MLLW, not above LAT"),
        ({"axis": 6498}, {"lon_deg": 9.1, "lat_deg": 53.0}, "its vertical axis points down"),
        ({"coding": 3}, {"lon_deg": 9.1, "lat_deg": 53.0}, "format 3 is not read; 2 and 8 are"),
        ({"coding": 8}, {"lon_deg": 9.1, "lat_deg": 53.0}, "no station within 0.05 degrees"),
    ],
)
def test_s104_that_cannot_be_used(
    tmp_path: Path, file: dict[str, Any], asked: dict[str, Any], said: str
) -> None:
    with pytest.raises(BadInput) as caught:
        read_hdf_series(s104(tmp_path, **file), **asked)
    assert said in str(caught.value)


def test_a_sample_of_s104_whose_axis_points_down(real_data: Path) -> None:
    """GDAL's own test file, "not strictly fully S104 compliant": refused, not misread."""
    path = real_data / "raster_gdal_s102" / "test_s104_v1.1.h5"
    with pytest.raises(BadInput, match="axis points down"):
        read_hdf_series(path, lon_deg=2.0, lat_deg=48.0)


@pytest.mark.parametrize(
    "data", [b"", b"CDF\x01junk", b"\x89HDF\r\n\x1a\n" + b"\0" * 40, b"x" * 99]
)
def test_broken_files(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "x.nc"
    path.write_bytes(data)
    with pytest.raises(BadInput):
        read_hdf_series(path)
    with pytest.raises(BadInput, match="no such file"):
        read_hdf_series(tmp_path / "none.nc")
