"""What the change from an older datum may put positions off is added to their uncertainty.

Accuracies and areas: EPSG Geodetic Parameter Dataset, as PROJ 9.5.1 (pyproj 3.7.2) has it: NAD27 to
WGS 84 (6), eastern and central United States, 7 m; Tokyo to WGS 84 (108), 9 m; ETRS89 to WGS 84
(1), 1 m; NAD83 to WGS 84 (1), 4 m.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from pyproj import Transformer
from rasterio.transform import from_origin

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import Finding
from routecheck.readers.datumshift import UNKNOWN_M, Off
from routecheck.readers.folder import read_charts
from routecheck.readers.vector import read_vector
from routecheck.survey.markset import mark_set
from tests.readers.rasters import geotiff
from tests.readers.test_grid_place import numbered
from tests.readers.test_grids import opened
from tests.readers.test_vector import geopandas
from tests.test_areas_proof import GEOD, track

GULF, JAPAN, BIGHT, MAINE = (-90.0, 28.0), (139.5, 35.0), (7.0, 54.0), (-70.0, 43.0)
SIDECAR = (
    'datum = "LAT"\nunit = "m"\nvertical_uncertainty = "0.3 m"\nhorizontal_uncertainty = "5 m"'
)


def written(folder: Path, crs: Any, shapes: list[Any], **columns: Any) -> Path:
    """A GeoPackage of these shapes, given in longitude and latitude, on another system."""
    path = folder / "c.gpkg"
    frame = geopandas.GeoDataFrame(columns, geometry=shapes, crs=4326).to_crs(crs)
    frame.to_file(path, layer="UWTROC")
    (folder / "c.gpkg.toml").write_text(SIDECAR)
    return path


def rock(folder: Path, crs: Any, place: tuple[float, float]) -> Chart:
    (chart,) = read_vector(written(folder, crs, [shapely.Point(place)], VALSOU=[1.0]))
    return chart


@pytest.mark.parametrize(
    ("crs", "place", "off_m"),
    [
        ("EPSG:4267", GULF, 7.0),
        ("EPSG:4301", JAPAN, 9.0),
        ("EPSG:4258", BIGHT, 1.0),
        ("EPSG:25832", BIGHT, 1.0),
        ("EPSG:4269", MAINE, 4.0),
        ("EPSG:26919", MAINE, 4.0),
        ("EPSG:32632", BIGHT, 0.0),
        ("EPSG:3857", BIGHT, 0.0),
        ("EPSG:4326", BIGHT, 0.0),
    ],
)
def test_what_is_stated_of_the_change_counts(
    tmp_path: Path, crs: str, place: tuple[float, float], off_m: float
) -> None:
    chart = rock(tmp_path, crs, place)
    assert chart.source.system_off_m == off_m
    told = [(one.severity, one.bounds) for one in chart.problems]
    assert told == ([(Severity.NOTE, None)] if off_m > 5.0 else [])
    for problem in chart.problems:
        assert f"may be {off_m:g} m off by that, which counts" in problem.text


def test_the_worst_of_a_file_counts_for_all_of_it(tmp_path: Path) -> None:
    """NAD27 in the north of the Gulf (7 m) and off Maine (10 m)."""
    path = written(
        tmp_path, "EPSG:4267", [shapely.Point(GULF), shapely.Point(MAINE)], VALSOU=[1.0, 1.0]
    )
    assert read_vector(path)[0].source.system_off_m == 10.0


@pytest.mark.parametrize("place", [(10.0, 54.0), (0.0, -40.0)])
def test_outside_its_area_nothing_is_stated(tmp_path: Path, place: tuple[float, float]) -> None:
    """NAD27 is of North America."""
    chart = rock(tmp_path, "EPSG:4267", place)
    assert chart.source.system_off_m == UNKNOWN_M
    (problem,) = chart.problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert "(NAD27) comes to WGS 84 in its place is not stated" in problem.text


def test_a_change_of_no_stated_accuracy() -> None:
    """Parameters that a file gives itself: nobody says how good they are."""
    crs = "+proj=longlat +ellps=intl +towgs84=-87,-98,-121"
    off, places = Off(), np.array([BIGHT])
    transformer = Transformer.from_crs(crs, 4326, always_xy=True, allow_ballpark=False)
    off.see("own", transformer, places, places)
    told = off.told(counted=True)
    assert off.worst_m == UNKNOWN_M
    assert told is not None and told[1] is Severity.NOT_ASSESSED


def test_no_place_at_all_is_no_error() -> None:
    transformer = Transformer.from_crs(4267, 4326, always_xy=True, allow_ballpark=False)
    for places in (np.empty((0, 2)), np.full((3, 2), np.inf)):
        off = Off()
        off.see("NAD27", transformer, places, places)
        assert (off.worst_m, off.told(counted=True)) == (0.0, None)


LAT = 54.0
SEA = shapely.box(9.9, 53.9, 10.2, 54.1)


def findings(folder: Path, cls: str, shape: Any, crs: Any, **values: Any) -> list[Finding]:
    """Of a leg along LAT with 100 m of room, past something on the system `crs`."""
    frame = geopandas.GeoDataFrame(
        {"class": ["M_COVR", "M_QUAL", "DEPARE"], "DRVAL1": 20.0, "DRVAL2": 30.0,
         "CATCOV": 1, "CATZOC": 1}, geometry=[SEA] * 3, crs=4326,
    )  # fmt: skip
    frame.to_file(folder / "sea.geojson")
    (folder / "sea.geojson.toml").write_text(SIDECAR)
    one = geopandas.GeoDataFrame({"class": [cls], **values}, geometry=[shape], crs=4326)
    one.to_crs(crs).to_file(folder / "c.gpkg", layer="c")
    (folder / "c.gpkg.toml").write_text(SIDECAR)
    boat = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=100.0))
    return list(vet(track(LAT), read_charts([folder]), boat).report.findings)


def north(away_m: float) -> Any:
    lon, lat, _ = GEOD.fwd(10.05, LAT, 0.0, away_m)
    return shapely.Point(lon, lat)


@pytest.mark.parametrize("away_m", [104.0, 110.0])
@pytest.mark.parametrize("cls", ["UWTROC", "PILPNT"])
def test_a_rock_and_a_pile_beyond_the_corridor(tmp_path: Path, away_m: float, cls: str) -> None:
    """ED50 to WGS 84 in the west of the Baltic: 6 m or more, beside 5 m that the chart states."""
    found = findings(tmp_path, cls, north(away_m), "EPSG:4230", VALSOU=1.0)
    assert [one.severity for one in found if one.cls == cls] == [Severity.CAUTION]


def test_marks_are_as_far_off(tmp_path: Path) -> None:
    """ED50: by what is stated more than on WGS 84; a beacon and a buoy."""
    found = []
    for crs in (4326, 4230):
        shapes = [shapely.Point(BIGHT)] * 2
        path = written(tmp_path, crs, shapes, **{"class": ["BCNLAT", "BOYLAT"], "CATLAM": [1, 1]})
        chart = read_vector(path)[0]
        held = mark_set(ChartSet(charts=(chart,)))
        found.append([held.uncertainty_m(at) for at in range(len(held.marks))])
        off_m = chart.source.system_off_m
    assert off_m >= 1.0
    assert len(found[1]) == 2
    assert found[1] == [one + off_m for one in found[0]]


def test_a_grid_on_an_older_datum_is_told(tmp_path: Path) -> None:
    transform = from_origin(-90.0, 28.0, 0.001, 0.001)
    path = geotiff(tmp_path / "a.tif", numbered(), crs="EPSG:4267", transform=transform)
    (problem,) = [one for one in opened(path).problems if "NAD27" in one.text]
    assert problem.severity is Severity.CAUTION
    assert "may be 7 m off" in problem.text


@pytest.mark.parametrize("crs", ["EPSG:4326", "EPSG:4269"])
def test_one_on_a_datum_of_our_time_is_not(tmp_path: Path, crs: str) -> None:
    transform = from_origin(-70.0, 43.0, 0.001, 0.001)
    path = geotiff(tmp_path / "a.tif", numbered(), crs=crs, transform=transform)
    assert not any("WGS 84" in one.text for one in opened(path).problems)
