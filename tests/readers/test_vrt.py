"""Virtual rasters: a plain mosaic of tiles is read; whatever is more is refused in one line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from rasterio.transform import from_origin

from routecheck.readers.folder import read_charts
from tests.readers.rasters import geotiff
from tests.readers.test_grids import depths, opened, refused, sidecar

WEST, NORTH, CELL = 10.0, 54.0, 0.01
VALUES = -np.arange(1.0, 49.0, dtype="float32").reshape(4, 12)
SYSTEM = (
    'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],'
    'PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433],AUTHORITY["EPSG","4326"]]'
)


def tile(folder: Path, name: str, first: int, last: int, **more: object) -> None:
    lies = from_origin(WEST + first * CELL, NORTH, CELL, CELL)
    geotiff(folder / name, VALUES[:, first:last], transform=lies, **more)  # type: ignore[arg-type]


def source(name: str, left: int, columns: int = 6, **changes: str) -> str:
    parts = {
        "kind": "SimpleSource",
        "relative": "1",
        "src": f'<SrcRect xOff="0" yOff="0" xSize="{columns}" ySize="4"/>',
        "dst": f'<DstRect xOff="{left}" yOff="0" xSize="{columns}" ySize="4"/>',
        "more": "",
    } | changes
    return (
        f'<{parts["kind"]}><SourceFilename relativeToVRT="{parts["relative"]}">{name}'
        f"</SourceFilename><SourceBand>1</SourceBand>{parts['src']}{parts['dst']}{parts['more']}"
        f"</{parts['kind'].split()[0]}>"
    )


def vrt(path: Path, sources: str, *, band: str = "", attributes: str = "", more: str = "") -> Path:
    path.write_text(
        f'<VRTDataset rasterXSize="12" rasterYSize="4"{attributes}><SRS>{SYSTEM}</SRS>'
        f"<GeoTransform>{WEST}, {CELL}, 0, {NORTH}, 0, -{CELL}</GeoTransform>{more}"
        f'<VRTRasterBand dataType="Float32" band="1"{band}>{sources}</VRTRasterBand></VRTDataset>'
    )
    return path


SMALL = '<SrcRect xOff="0" yOff="0" xSize="6" ySize="4"/>'
TWO = source("west.tif", 0) + source("tiles/east.tif", 6)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "tiles").mkdir()
    tile(tmp_path, "west.tif", 0, 6)
    tile(tmp_path / "tiles", "east.tif", 6, 12)
    return tmp_path


def test_a_mosaic_of_tiles_reads_as_one_grid(folder: Path) -> None:
    path = vrt(folder / "a.vrt", TWO)
    sidecar(path, 'datum = "LAT"\n')
    grid = opened(path)
    assert np.array_equal(depths(grid), -VALUES)
    assert (grid.source.datum, grid.source.format) == ("LAT", "virtual raster")
    before = grid.source.sha256
    tile(folder, "west.tif", 0, 6, nodata=-99.0)
    assert opened(path).source.sha256 != before, "a tile that changed must show"


def test_its_tiles_are_not_read_twice(folder: Path) -> None:
    path = vrt(folder / "a.vrt", TWO)
    sidecar(path, 'datum = "LAT"\n')
    charts = read_charts([folder])
    assert [grid.source.id for grid in charts.grids] == ["a.vrt"] and charts.unread == ()


def test_a_refused_one_leaves_its_tiles_to_be_read(folder: Path) -> None:
    sidecar(folder / "west.tif", 'datum = "LAT"\n')
    vrt(folder / "a.vrt", TWO)
    charts = read_charts([folder])
    assert [grid.source.id for grid in charts.grids] == ["east.tif", "west.tif"]
    (unread,) = charts.unread
    assert "west.tif has a sidecar of its own" in unread.why


def test_what_lies_under_no_tile_is_a_hole(folder: Path) -> None:
    path = vrt(folder / "a.vrt", "<NoDataValue>-99</NoDataValue>" + source("west.tif", 0))
    found = depths(opened(path))
    assert np.array_equal(found[:, :6], -VALUES[:, :6]) and np.isnan(found[:, 6:]).all()
    path = vrt(folder / "b.vrt", source("west.tif", 0))
    assert "no value for no data" in refused(path)


def test_what_tiles_declare_as_no_data_is_none(folder: Path) -> None:
    tile(folder, "west.tif", 0, 6, nodata=-2.0)
    assert np.isnan(depths(opened(vrt(folder / "a.vrt", TWO)))[0, 1])


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("../west.tif", "no file of its own folder"),
        ("/etc/passwd", "no file of its own folder"),
        ("/vsicurl/http://127.0.0.1/a.tif", "no file of its own folder"),
        ("vsizip/a.zip/a.tif", "no file of its own folder"),
        ("http://127.0.0.1/a.tif", "no file of its own folder"),
        ('NETCDF:"a.nc":z', "no file of its own folder"),
        ("vrt://west.tif", "no file of its own folder"),
        ("C:\\\\west.tif", "no file of its own folder"),
        ("&lt;GDAL_WMS/&gt;", "no file of its own folder"),
        ("link.tif", "no file of its own folder"),
        ("none.tif", "which is not there"),
        ("tiles", "which is no"),
        ("fake.tif", "no GeoTIFF"),
        ("a.vrt", "no GeoTIFF"),
        ("", "no file of its own folder"),
    ],
)
def test_what_it_may_not_point_to(folder: Path, name: str, why: str) -> None:
    outside = folder.parent / f"{folder.name}-outside.tif"
    tile(folder.parent, outside.name, 0, 6)
    (folder / "link.tif").symlink_to(outside)
    (folder / "fake.tif").write_text("<GDAL_WMS><Service name='TMS'/></GDAL_WMS>")
    assert why in refused(vrt(folder / "a.vrt", source(name, 0) + source("tiles/east.tif", 6)))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"sources": source("west.tif", 0, relative="0") + TWO}, "no file of its own folder"),
        ({"band": ' subClass="VRTDerivedRasterBand"'}, "subClass"),
        ({"attributes": ' subClass="VRTWarpedDataset"'}, "subClass"),
        ({"more": "<GDALWarpOptions/>"}, "GDALWarpOptions"),
        ({"sources": "<PixelFunctionType>sum</PixelFunctionType>" + TWO}, "PixelFunctionType"),
        ({"more": "<MaskBand/>"}, "MaskBand"),
        ({"sources": TWO.replace("SimpleSource", "AveragedSource")}, "AveragedSource"),
        ({"sources": TWO.replace("SimpleSource", "KernelFilteredSource")}, "KernelFiltered"),
        ({"sources": source("west.tif", 0, more="<OpenOptions/>") + TWO}, "OpenOptions"),
        ({"sources": source("west.tif", 0, kind="SimpleSource resampling='mode'")}, "resampling"),
        ({"sources": TWO + source("west.tif", 3)}, "upon one another"),
        ({"sources": source("west.tif", 7) + source("tiles/east.tif", 0)}, "off at its edge"),
        ({"sources": source("west.tif", 6) + source("tiles/east.tif", 0)}, "lies elsewhere"),
        ({"sources": source("west.tif", 0, columns=5)}, "no value for no data"),
        (
            {"sources": "<NoDataValue>-9</NoDataValue>" + source("west.tif", 0, columns=5)},
            "of another size",
        ),
        (
            {
                "sources": source(
                    "west.tif",
                    0,
                    columns=12,
                    src=SMALL,
                )
            },
            "at another size",
        ),
        ({"sources": source("west.tif", 0, dst="")}, "what it shows of a tile"),
    ],
)
def test_what_more_it_may_not_do(folder: Path, changes: dict[str, str], why: str) -> None:
    changes = {"sources": TWO, **changes}
    assert why in refused(vrt(folder / "a.vrt", changes.pop("sources"), **changes))


def test_entities_and_broken_files_are_refused(folder: Path) -> None:
    path = folder / "a.vrt"
    path.write_text(
        '<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><VRTDataset>&b;</VRTDataset>'
    )
    assert "document type" in refused(path)
    path.write_text("<VRTDataset>")
    assert "cut short" in refused(path)
    path.write_text("<OGRVRTDataSource/>")
    assert "not <VRTDataset>" in refused(path)


def test_a_tile_with_a_band_of_alpha_is_refused(folder: Path) -> None:
    there = np.full((4, 6), 255.0, dtype="float32")
    lies = from_origin(WEST, NORTH, CELL, CELL)
    geotiff(folder / "west.tif", [VALUES[:, :6], there], transform=lies, alpha="yes")
    assert "west.tif has a mask" in refused(vrt(folder / "a.vrt", TWO))
