"""What the tiles of a virtual raster hold beside what it shows of them is told, as that of a
GeoTIFF read by itself is.

Bands, pages: GDAL raster data model and its pages "GTiff" and "VRT".
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import rasterio

from routecheck.model.chart import Severity
from routecheck.readers.folder import read_charts
from tests.readers.rasters import geotiff
from tests.readers.test_grid_axes import unread
from tests.readers.test_grids import sidecar
from tests.readers.test_vrt import CELL, NORTH, TWO, VALUES, WEST, from_origin, vrt


def tile(path: Path, first: int, *names: str, **more: Any) -> Path:
    lies = from_origin(WEST + first * CELL, NORTH, CELL, CELL)
    shown = VALUES[:, first : first + 6]
    geotiff(path, [shown, *[shown + 1.0] * len(names)], transform=lies, **more)
    with rasterio.open(path, "r+") as out:
        for number, name in enumerate(names, start=2):
            out.set_band_description(number, name)
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "tiles").mkdir()
    tile(tmp_path / "west.tif", 0)
    tile(tmp_path / "tiles/east.tif", 6)
    sidecar(tmp_path / "a.vrt", 'datum = "LAT"\n')
    vrt(tmp_path / "a.vrt", TWO)
    return tmp_path


def test_tiles_of_one_band_and_page_have_nothing_to_tell(folder: Path) -> None:
    assert unread(folder / "a.vrt") == []


@pytest.mark.parametrize("name", ["west.tif", "tiles/east.tif"])
def test_further_bands_of_a_tile_are_told(folder: Path, name: str) -> None:
    tile(folder / name, 0 if name == "west.tif" else 6, "min_depth", "source")
    (text,) = unread(folder / "a.vrt")
    assert "left unread of its tiles: band 2 (min_depth). Say in a.vrt.toml which" in text


def test_it_is_told_of_the_folder_in_which_the_tile_is_not_read_by_itself(folder: Path) -> None:
    tile(folder / "west.tif", 0, "min_depth")
    charts = read_charts([folder])
    assert [grid.source.id for grid in charts.grids] == ["a.vrt"]
    (grid,) = charts.grids
    told = [p for p in grid.problems if "band 2 (min_depth)" in p.text]
    assert [p.severity for p in told] == [Severity.NOT_ASSESSED]


def test_the_same_band_of_many_tiles_is_told_once_and_not_where_the_user_chose(
    folder: Path,
) -> None:
    tile(folder / "west.tif", 0, "min_depth")
    tile(folder / "tiles/east.tif", 6, "min_depth")
    (text,) = unread(folder / "a.vrt")
    assert text.count("band 2 (min_depth)") == 1
    sidecar(folder / "a.vrt", 'datum = "LAT"\ncolumns = { depth = "1" }\n')
    assert unread(folder / "a.vrt") == []


def test_further_pages_of_tiles_are_told(folder: Path) -> None:
    tile(folder / "west.tif", 0, APPEND_SUBDATASET="YES")
    (text,) = unread(folder / "a.vrt")
    assert text.startswith("the first page of each tile was read; ")
    assert "left unread of its tiles: a second page." in text
    tile(folder / "tiles/east.tif", 6, APPEND_SUBDATASET="YES")
    assert "left unread of its tiles: 2 further pages." in unread(folder / "a.vrt")[0]


@pytest.mark.parametrize("name", ["uncertainty", "std_dev"])
def test_uncertainties_of_tiles_are_not_shown_and_told(folder: Path, name: str) -> None:
    tile(folder / "west.tif", 0, name)
    (text,) = unread(folder / "a.vrt")
    assert f"was not used of its tiles: band 2 ({name}). Give the tiles themselves" in text
