"""S-102 of every edition, with and without uncertainties; and what is refused."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from routecheck.model.chart import Grid
from routecheck.readers.grids import open_grid
from tests.readers.s102_files import EDITIONS, write_s102
from tests.readers.test_grids import depths, opened, refused

SOUTH_FIRST = np.array([[1.0, 2.0, 3.0], [1e6, -0.5, 6.0]], dtype="float32")
OFF = np.array([[0.3, 0.2, 0.0], [1e6, 0.5, 1e6]], dtype="float32")
NORTH_FIRST = [[np.nan, -0.5, 6.0], [1.0, 2.0, 3.0]]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("with_off", [True, False])
def test_every_edition_reads_alike(tmp_path: Path, edition: str, with_off: bool) -> None:
    off = OFF if with_off else None
    grid = opened(write_s102(tmp_path / "a.h5", SOUTH_FIRST, edition=edition, uncertainty=off))
    assert np.array_equal(depths(grid), NORTH_FIRST, equal_nan=True)
    source = grid.source
    # Code 23: lowest astronomical tide (IHO S-100, vertical datum; the same as S-57's VERDAT).
    assert (source.datum, source.format, source.edition) == ("LAT", "S-102", edition)
    assert source.issued == "2027-05-14" and grid.reach == 1.0
    lon, lat = grid.to_position(np.array([0.0, 2.0]), np.array([1.0, 0.0]))
    assert np.allclose(lon, [10.0, 10.02]) and np.allclose(lat, [53.0, 53.01])
    assert source.quality.known is with_off
    if with_off:
        assert source.quality.by_cell and source.quality.vertical_m == np.float32(0.5)


@pytest.mark.parametrize("edition", ["2.2.0", "3.0.0"])
def test_gdal_reads_the_same(tmp_path: Path, edition: str) -> None:
    """GDAL's S102 driver as the second reading."""
    import rasterio

    path = write_s102(tmp_path / "a.h5", SOUTH_FIRST, edition=edition, uncertainty=OFF)
    grid = opened(path)
    with rasterio.open(path, driver="S102") as second:
        assert np.array_equal(
            np.where(second.read(1) == 1e6, np.nan, second.read(1)), depths(grid), equal_nan=True
        )
        lon, lat = second.xy(0, 0)
        column, row = grid.to_cell(np.array([lon]), np.array([lat]))
        assert (column[0], row[0]) == pytest.approx((0.0, 0.0), abs=1e-6)


def beside(grid: Grid, name: str) -> Any:
    return getattr(grid, name)


def test_uncertainties_stand_cell_by_cell_and_nothing_is_certain(tmp_path: Path) -> None:
    grid = opened(write_s102(tmp_path / "a.h5", SOUTH_FIRST, uncertainty=OFF))
    less, stated = beside(grid, "uncertainty").block(0, 0)
    # North first: no depth; 0.5; one that is not stated. Then 0.3, 0.2 and one of 0: not believed.
    assert stated.tolist() == [[True, True, False], [True, True, False]]
    assert np.array_equal(-less, np.float32([[0.0, 0.5, 0.0], [0.3, 0.2, 0.0]]))


def test_one_uncertainty_for_the_whole_surface(tmp_path: Path) -> None:
    feature = {"verticalUncertainty": 0.7, "horizontalPositionUncertainty": 5.0}
    quality = opened(write_s102(tmp_path / "a.h5", SOUTH_FIRST, feature=feature)).source.quality
    assert (quality.vertical_m, quality.horizontal_m, quality.by_cell) == (0.7, 5.0, False)
    # It holds where a cell states none of its own.
    grid = opened(write_s102(tmp_path / "c.h5", SOUTH_FIRST, uncertainty=OFF, feature=feature))
    less, stated = beside(grid, "uncertainty").block(0, 0)
    assert stated.all()
    assert np.array_equal(-less, np.float32([[0.0, 0.5, 0.0], [0.3, 0.2, 0.0]]))
    # S-102 3.0.0: -1 is unknown.
    feature = {"verticalUncertainty": -1.0, "horizontalPositionUncertainty": -1.0}
    quality = opened(write_s102(tmp_path / "b.h5", SOUTH_FIRST, feature=feature)).source.quality
    assert (quality.vertical_m, quality.horizontal_m) == (None, None)


def test_a_coverage_on_its_own_datum(tmp_path: Path) -> None:
    path = write_s102(
        tmp_path / "a.h5", SOUTH_FIRST, second=SOUTH_FIRST, instance={"verticalDatum": 12}
    )
    first, second = open_grid(path)
    assert (first.source.datum, second.source.datum) == ("MLLW", "LAT")
    lon, _ = second.to_position(np.array([0.0]), np.array([0.0]))
    assert lon[0] == pytest.approx(10.03)


@pytest.mark.parametrize(
    ("root", "datum"),
    [
        ({"verticalDatumReference": np.uint8(2), "verticalDatum": np.int32(1089)}, "MLLW"),
        ({"verticalDatumReference": np.uint8(2), "verticalDatum": np.int32(1080)}, "LAT"),
        ({"verticalCoordinateBase": np.uint8(1)}, "unknown"),
        ({"verticalDatum": np.int32(77)}, "unknown"),
    ],
)
def test_the_vertical_datum_by_epsg_or_not_at_all(
    tmp_path: Path, root: dict[str, Any], datum: str
) -> None:
    """EPSG datums 1080 and 1089: lowest astronomical tide and mean lower low water."""
    path = write_s102(tmp_path / "a.h5", SOUTH_FIRST, root=root)
    assert opened(path).source.datum == datum


def test_chunks_of_any_shape_are_turned_the_right_way_up(tmp_path: Path) -> None:
    values = np.arange(1.0, 1.0 + 700 * 300, dtype="float32").reshape(700, 300) / 100.0
    path = write_s102(tmp_path / "a.h5", values, step=0.0001, chunks=(128, 77))
    assert np.array_equal(depths(opened(path)), values[::-1])


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"edition": "1.0.0"}, "edition 1.0.0 is not read"),
        ({"edition": "4.0.0"}, "edition 4.0.0 is not read"),
        ({"root": {"verticalCS": np.int32(6499)}}, "not depths in metres"),
        ({"root": {"horizontalCRS": np.int32(-1)}}, "none of EPSG's"),
        ({"instance": {"numPointsLongitudinal": np.uint32(4)}}, "promises 4 x 2 cells"),
        ({"instance": {"gridSpacingLongitudinal": np.nan}}, "does not state"),
        ({"instance": {"gridSpacingLatitudinal": -0.01}}, "its cells are"),
        ({"feature": {"sequencingRule.scanDirection": "Latitude,Longitude"}}, "not read"),
        ({"instance": {"startSequence": "0,1"}}, "not read"),
    ],
)
def test_what_is_refused(tmp_path: Path, changes: dict[str, Any], why: str) -> None:
    assert why in refused(write_s102(tmp_path / "a.h5", SOUTH_FIRST, **changes))


def test_the_real_surface_is_that_of_h5py(real_data: Path) -> None:
    """Edition 3.0.0 without uncertainties, 10 m, on approximate LAT; surveys from its own table."""
    import h5py

    path = real_data / "s102_elbe_de" / "102DE00NO13R.H5"
    grid = opened(path)
    with h5py.File(path) as file:
        values = file["BathymetryCoverage/BathymetryCoverage.01/Group_001/values"]["depth"]
        table = file["QualityOfBathymetryCoverage/featureAttributeTable"][:]
    expected = np.where(values == 1e6, np.nan, values)[::-1]
    assert np.array_equal(depths(grid), expected, equal_nan=True)
    assert (grid.source.datum, grid.source.edition) == ("LAT", "3.0.0")
    assert grid.source.surveyed == min(int(d[:4]) for d in table["surveyDateRange.dateStart"])
    assert not grid.source.quality.known
