"""Every real grid of the open data opens, or is refused with one line that says why.

Kinds, cells, depth ranges and the shoalest cells along the route through the Oresund are those of
the data folder's README; BAG and S-102 test files are GDAL's own (autotest/gdrivers/data).
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely

from routecheck.model.errors import BadInput
from routecheck.readers.grids import looks_like_grid, open_grid
from routecheck.survey.corridors import corridors
from routecheck.survey.shoalest import shoalest, unseen
from tests.readers.test_grids import depths, opened
from tests.survey.memory_grid import route_through, true_corridors

# folder/file: (format, larger cell side in metres, charted depths from, to)
GRIDS = {
    "raster_s100py/F00788_SR_8m.bag": ("BAG", 8.0, 36.2, 68.4),
    "raster_s100py/F00788_SR_8m.tif": ("GeoTIFF", 8.0, 36.2, 68.4),
    "raster_s100py/BlueTopo_BC25M26L_20221102b.tiff": ("GeoTIFF", 1350.0, 792.0, 3541.0),
    "raster_bag_hyo2/bdb_01.bag": ("BAG", 4.0, 2.8, 4.5),
    "raster_bag_hyo2/bdb_02.bag": ("BAG", 4.0, 0.8, 16.8),
    "raster_bag_hyo2qc/tiny_sr.bag": ("BAG", 0.5, 12.1, 13.8),
    "raster_bag_hyo2qc/tiny_vr.bag": ("BAG", 0.5, 12.1, 13.7),
    "raster_bag_ons/JD211_public_Release_1-4_UTM.bag": ("BAG", 2.0, 50.99, 52.96),
    "raster_bag_ons/Sample_VR_BAG-gzip.bag": ("BAG", 2.0, 20.0, 24.9),
    "raster_gdal_bag/southern_hemi_false_northing.bag": ("BAG", 75.0, 3226.0, 4184.0),
    "raster_gdal_bag/test_vr.bag": ("BAG", 32.0, -10.0, -10.0),
    "raster_gdal_bag/test_georef_metadata.bag": ("BAG", 8.0, -7.0, -2.0),
    "raster_gdal_bag/test_interpolated.bag": ("BAG", 8.0, -20.0, -2.0),
    "raster_gebco_oresund/gebco_2020_n56.3_s55.2_w12.2_e13.1.nc": ("NetCDF", 464.0, -185.0, 43.0),
    "raster_gdal_s102/test_s102_v2.2.h5": ("S-102", 55595.0, 0.0, 5.0),
    "raster_gdal_s102/test_s102_v3.0_with_QualityOfBathymetryCoverage.h5": (
        "S-102",
        55595.0,
        0.0,
        5.0,
    ),
    "s102_elbe_de/102DE00NO13R.H5": ("S-102", 10.0, -1.88, 27.82),
}
REFUSED = {
    "raster_gdal_s102/test_s104_v1.1.h5": "water levels",
}
DATUMS = {
    "raster_s100py/BlueTopo_BC25M26L_20221102b.tiff": "NAVD88",
    "raster_gdal_bag/test_vr.bag": "MLLW",
    "raster_gdal_s102/test_s102_v2.2.h5": "MLLW",
    "raster_bag_ons/JD211_public_Release_1-4_UTM.bag": "MSL",
    "raster_gebco_oresund/gebco_2020_n56.3_s55.2_w12.2_e13.1.nc": "unknown",
    "raster_bag_hyo2/bdb_01.bag": "unknown",
    "s102_elbe_de/102DE00NO13R.H5": "LAT",
}


def test_no_grid_of_the_data_is_left_out(real_data: Path) -> None:
    files = {
        str(path.relative_to(real_data))
        for folder in real_data.glob("*")
        if folder.name.startswith(("raster_", "s102_"))
        for path in folder.rglob("*")
        if path.is_file() and looks_like_grid(path)
    }
    assert files == {*GRIDS, *REFUSED}


@pytest.mark.parametrize("name", GRIDS)
def test_a_real_grid_opens_with_its_depths(real_data: Path, name: str) -> None:
    kind, cell_m, shoalest_m, deepest_m = GRIDS[name]
    grid = opened(real_data / name)
    assert grid.source.format == kind
    assert grid.source.resolution_m == pytest.approx(cell_m, rel=0.01)
    found = depths(grid)
    assert np.nanmin(found) == pytest.approx(shoalest_m, abs=0.06 if cell_m < 70 else 0.6)
    assert np.nanmax(found) == pytest.approx(deepest_m, abs=0.06 if cell_m < 70 else 0.6)
    assert grid.source.datum == DATUMS.get(name, grid.source.datum)
    assert grid.reach == (
        0.5 if kind in ("GeoTIFF", "NetCDF") and "F00788" not in name else 1.0
    ) or (grid.reach == 1.5 and kind == "BAG")
    middle = np.array([(grid.columns - 1) / 2.0]), np.array([(grid.rows - 1) / 2.0])
    lon, lat = grid.to_position(*middle)
    west, south, east, north = grid.bounds_deg()
    assert west < lon[0] < east and south < lat[0] < north


@pytest.mark.parametrize("name", REFUSED)
def test_a_real_file_that_is_no_readable_grid_is_refused(real_data: Path, name: str) -> None:
    with pytest.raises(BadInput, match=REFUSED[name]) as told:
        open_grid(real_data / name)
    assert "\n" not in str(told.value)


def test_variable_resolution_shows_the_shoalest_node(real_data: Path) -> None:
    """The base grid of tiny_vr.bag hides its shoalest node by 0.35 m."""
    import rasterio

    path = real_data / "raster_bag_hyo2qc" / "tiny_vr.bag"
    with rasterio.open(path) as base:
        hidden_m = -float(base.read(1).max())
    assert hidden_m == pytest.approx(12.415, abs=0.001)
    assert np.nanmin(depths(opened(path))) == pytest.approx(12.063, abs=0.001)


def test_bag_and_its_geotiff_are_one(real_data: Path) -> None:
    folder = real_data / "raster_s100py"
    bag, tif = (depths(opened(folder / f"F00788_SR_8m.{kind}")) for kind in ("bag", "tif"))
    assert np.array_equal(bag, tif, equal_nan=True)
    assert np.isfinite(bag).mean() == pytest.approx(0.20, abs=0.01)


def gpx_points(path: Path) -> list[tuple[float, float]]:
    found = re.findall(r'<rtept lat="([-\d.]+)" lon="([-\d.]+)"', path.read_text())
    return [(float(lon), float(lat)) for lat, lon in found]


def by_exactextract(
    path: Path, points: list[tuple[float, float]], half_width_m: float
) -> list[float]:
    """Least depths of the cells that each leg's corridor overlaps by area."""
    from exactextract import exact_extract

    features = [
        {"type": "Feature", "geometry": shapely.geometry.mapping(leg), "properties": {}}
        for leg in true_corridors(points, half_width_m)
    ]
    found = exact_extract(str(path), features, ["max"])
    return [-float(one["properties"]["max"]) for one in found]


def test_the_route_through_the_oresund(real_data: Path, tmp_path: Path) -> None:
    name = "gebco_2020_n56.3_s55.2_w12.2_e13.1.nc"
    path = tmp_path / name
    shutil.copy(real_data / "raster_gebco_oresund" / name, path)
    (tmp_path / f"{name}.toml").write_text('datum = "MSL"\n')
    grid = opened(path)
    assert (grid.source.datum, grid.source.datum_from) == ("MSL", "sidecar")
    points = gpx_points(real_data / "routes" / "F_oresund_gebco.gpx")
    route = route_through(points)

    def least(half_width_m: float) -> list[float]:
        legs = corridors(route, ((half_width_m, half_width_m),) * len(route.legs))
        return [float(profile.charted_depth_m.min()) for profile in shoalest(grid, legs)]

    # Under the track itself, as the README reads them; its +18 m on leg 1 is read at the cells'
    # centres, a cell of +28 m is touched too. A tenth of a mile reaches a cell of 1 m on leg 3.
    assert least(1.0) == [-28.0, 5.0, 3.0, 9.0, 11.0]
    assert least(185.2) == [-28.0, 5.0, 1.0, 9.0, 11.0] == by_exactextract(path, points, 185.2)
    legs = corridors(route, ((185.2, 185.2),) * len(route.legs))
    found = shoalest(grid, legs)
    for corridor, profile in zip(legs, found, strict=True):
        assert not profile.any_invalid.any() and not profile.off_grid.any()
        assert unseen(grid, corridor, np.arange(len(profile.row)), profile).area == 0.0


def test_a_survey_with_gaps_is_a_hole_where_it_has_none(real_data: Path) -> None:
    """F00788 fills a fifth of its rectangle: a track across it meets water and holes."""
    grid = opened(real_data / "raster_s100py" / "F00788_SR_8m.bag")
    row = np.isfinite(depths(grid)).sum(axis=1).argmax()
    column = np.array([10.0, grid.columns - 11.0])
    lon, lat = grid.to_position(column, np.full(2, float(row)))
    points = [(float(lon[0]), float(lat[0])), (float(lon[1]), float(lat[1]))]
    corridor = corridors(route_through(points), ((50.0, 50.0),))[0]
    profile = shoalest(grid, (corridor,))[0]
    holes = profile.any_invalid | profile.off_grid
    assert holes.any() and np.isfinite(profile.charted_depth_m).any()
    blind = np.isinf(profile.charted_depth_m)
    assert (holes[blind]).all()
    hole = unseen(grid, corridor, np.flatnonzero(holes), profile)
    # Every node without a depth blinds a square of one cell either side (node-registered).
    column, row = np.meshgrid(np.arange(grid.columns), np.arange(grid.rows))
    none = ~np.isfinite(depths(grid))
    squares = shapely.box(column - 1.0, row - 1.0, column + 1.0, row + 1.0)[none]

    def cells(shape: shapely.Geometry) -> shapely.Geometry:
        return shapely.transform(shape, lambda at: np.column_stack(grid.to_cell(*at.T)))

    outline = cells(corridor.outline)
    expected = outline.intersection(shapely.union_all(squares))
    assert cells(hole).symmetric_difference(expected).area < 1e-3 * outline.area
    assert 0.2 < expected.area / outline.area < 0.8
