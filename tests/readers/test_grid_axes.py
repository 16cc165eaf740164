"""NetCDF grids whose rows or columns are not evenly spaced, and with several variables.

Coordinate variables as CF Conventions 1.11, section 4, have them; a Mercator grid's rows by the
sphere's formula (Snyder, Map Projections: A Working Manual, 1987, 7-4).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from routecheck.model.chart import Severity
from tests.readers.rasters import netcdf
from tests.readers.test_grids import opened, refused, sidecar

ROWS, COLUMNS = 40, 60


def grid_of(path: Path, *, lat: np.ndarray | None = None, lon: np.ndarray | None = None) -> Path:
    import netCDF4

    values = -1.0 - np.arange(ROWS * COLUMNS, dtype="f4").reshape(ROWS, COLUMNS)
    netcdf(path, {"elevation": values}, attributes={"units": "m"})
    with netCDF4.Dataset(path, "a") as out:
        for name, places in (("lat", lat), ("lon", lon)):
            if places is not None:
                out[name][:] = places
    return path


def test_rows_of_a_mercator_grid_are_refused(tmp_path: Path) -> None:
    """GDAL 3.10 warns, and places the grid by its ends."""
    y = np.linspace(*np.arcsinh(np.tan(np.radians([50.0, 53.0]))), ROWS)
    line = refused(grid_of(tmp_path / "a.nc", lat=np.degrees(np.arctan(np.sinh(y)))))
    assert "its rows are not evenly spaced" in line and "resample it" in line


@pytest.mark.parametrize("wide", [0.0006, 0.02])
def test_columns_with_a_gap_are_refused(tmp_path: Path, wide: float) -> None:
    """GDAL says nothing, wherever the gap lies but at the beginning, the middle or the end."""
    lon = 5.0 + 0.0001 * np.arange(COLUMNS)
    lon[20:] += wide
    assert "its columns are not evenly spaced" in refused(grid_of(tmp_path / "a.nc", lon=lon))


def test_columns_in_two_parts_are_refused(tmp_path: Path) -> None:
    lon = 10.0 + 0.01 * np.roll(np.arange(COLUMNS), 20)
    assert "its columns are not evenly spaced" in refused(grid_of(tmp_path / "a.nc", lon=lon))


@pytest.mark.parametrize("kind", ["f4", "f8"])
def test_places_rounded_to_few_digits_are_even_enough(tmp_path: Path, kind: str) -> None:
    lat = np.round(53.0 + np.arange(ROWS) / 3600.0, 5).astype(kind)
    grid = opened(grid_of(tmp_path / "a.nc", lat=lat))
    assert (grid.rows, grid.columns) == (ROWS, COLUMNS)


def two(path: Path, second: str, unit: str = "m") -> Path:
    import netCDF4

    values = np.full((ROWS, COLUMNS), -20.0, dtype="f4")
    netcdf(path, {"elevation": values, second: values + 15.0}, attributes={"units": "m"})
    with netCDF4.Dataset(path, "a") as out:
        out[second].units = unit
    return path


def unread(path: Path) -> list[str]:
    return [p.text for p in opened(path).problems if p.severity is Severity.NOT_ASSESSED]


def test_a_second_variable_in_metres_is_told_as_unread(tmp_path: Path) -> None:
    path = two(tmp_path / "a.nc", "elevation_min")
    (text,) = unread(path)
    assert "unread: elevation_min" in text and "a.nc.toml" in text
    sidecar(path, 'columns = { depth = "elevation" }\n')
    assert unread(path) == []


@pytest.mark.parametrize(("name", "unit"), [("sounding_count", "1"), ("uncertainty", "m")])
def test_what_is_no_depth_is_passed_over(tmp_path: Path, name: str, unit: str) -> None:
    assert unread(two(tmp_path / "a.nc", name, unit)) == []
