"""A light, a daymark or a height of land stands on something: charted, or told as not judged.

IHO S-57 edition 3.1, appendix B.1, annex A: lights, daymarks, top marks, fog signals and
reflectors are slaves of the structure that carries them; LNDELV lies on land.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.readers.s57 import read_cell
from routecheck.readers.s101 import read_cell as read_s101
from routecheck.readers.vector import read_vector
from tests import s57_writer, s101_writer

HERE = shapely.Point(10.05, 54.05)
WATER = ("DEPARE", shapely.box(10.0, 54.0, 10.1, 54.1), {"DRVAL1": 20.0, "DRVAL2": 30.0})
AROUND = shapely.box(10.04, 54.04, 10.06, 54.06)
THROUGH = shapely.LineString([(10.04, 54.05), (10.06, 54.05)])
MOUNTED = ("LIGHTS", "DAYMAR", "TOPMAR", "FOGSIG", "RETRFL", "RADRFL", "LNDELV")


def read(folder: Path, *objects: tuple[str, Any, dict[str, Any]]) -> Chart:
    """A chart of deep water and these."""
    features = [
        {"type": "Feature", "properties": {"class": cls, **values}, "geometry": shape}
        for cls, place, values in (WATER, *objects)
        for shape in [shapely.geometry.mapping(place)]
    ]
    path = folder / "c.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return read_vector(path)[0]


@pytest.mark.parametrize("cls", MOUNTED)
def test_one_alone_in_the_water_is_not_judged(tmp_path: Path, cls: str) -> None:
    chart = read(tmp_path, (cls, HERE, {}))
    (alone,) = chart.unknown
    assert (alone.cls, alone.geometry) == (cls, HERE)
    assert "charts nothing there that bears it" in alone.why
    assert chart.counts[cls] == 1
    assert not chart.harmless.get(cls)


@pytest.mark.parametrize("cls", ["LIGHTS", "DAYMAR", "LNDELV"])
def test_of_a_cell_as_well(tmp_path: Path, cls: str) -> None:
    made = s57_writer.Cell()
    made.add(cls, HERE)
    made.add(cls, shapely.Point(10.06, 54.05))
    made.add("PILPNT", HERE)
    (alone,) = read_cell(made.write(tmp_path)).unknown
    assert alone.geometry.x == pytest.approx(10.06)


@pytest.mark.parametrize("feature", ["LightAllAround", "LightSectored", "Daymark", "LandElevation"])
def test_of_an_s101_cell_as_well_and_once(tmp_path: Path, feature: str) -> None:
    sectors = [{"colour": 3}, {"colour": 4}]
    parts = {"sectorCharacteristics": {"lightCharacteristic": 2, "lightSector": sectors}}
    made = s101_writer.Cell()
    made.add("DataCoverage", AROUND, maximumDisplayScale=12_000, minimumDisplayScale=45_000)
    for lon_deg in (10.05, 10.055):
        made.add(feature, shapely.Point(lon_deg, 54.05), **parts)
    made.add("Pile", HERE)
    path = tmp_path / "101XX00TEST1.000"
    path.write_bytes(made.bytes(path.name))
    (alone,) = read_s101(path).unknown
    assert alone.geometry.x == pytest.approx(10.055)


BEARERS: dict[str, tuple[str, Any, dict[str, Any]]] = {
    "a beacon": ("BCNLAT", HERE, {"CATLAM": 1}),
    "a buoy": ("BOYCAR", HERE, {"CATCAM": 1}),
    "a pile": ("PILPNT", HERE, {}),
    "land": ("LNDARE", AROUND, {}),
    "the end of a pier, five metres off": (
        "SLCONS",
        shapely.LineString([(10.04, 54.05), (10.05 - 8e-5, 54.05)]),
        {},
    ),
    "a bridge": ("BRIDGE", THROUGH, {"VERCLR": 20.0}),
    "a wreck that shows": ("WRECKS", HERE, {"WATLEV": 2}),
    "a rock of unknown depth": ("UWTROC", HERE, {}),
    "a gate": ("GATCON", THROUGH, {}),
    "an area of a class that no one knows": ("NEWOBJ", AROUND, {}),
}


@pytest.mark.parametrize("bearer", BEARERS)
def test_what_bears_it_is_judged_in_its_place(tmp_path: Path, bearer: str) -> None:
    chart = read(tmp_path, ("LIGHTS", HERE, {}), BEARERS[bearer])
    assert [thing.cls for thing in chart.unknown if thing.cls == "LIGHTS"] == []
    assert chart.harmless["LIGHTS"] == 1


@pytest.mark.parametrize(
    "other",
    [
        ("UWTROC", HERE, {"VALSOU": 15.0, "WATLEV": 3}),
        ("CBLOHD", THROUGH, {"VERCLR": 20.0}),
        ("RESARE", AROUND, {}),
        ("PILPNT", shapely.Point(10.0504, 54.05), {}),
        ("BOYCAR", shapely.Point(10.0501, 54.05), {"CATCAM": 1}),
    ],
)
def test_what_a_boat_may_pass_bears_nothing(
    tmp_path: Path, other: tuple[str, Any, dict[str, Any]]
) -> None:
    chart = read(tmp_path, ("LIGHTS", HERE, {}), other)
    assert [thing.cls for thing in chart.unknown] == ["LIGHTS"]


def test_a_line_of_equal_height_that_leaves_the_land_is_told(tmp_path: Path) -> None:
    land = ("LNDARE", AROUND, {})
    longer = shapely.LineString([(10.05, 54.05), (10.05, 54.07)])
    inside = shapely.LineString([(10.05, 54.05), (10.05, 54.055)])
    assert not read(tmp_path, land, ("LNDELV", inside, {})).unknown
    (alone,) = read(tmp_path, land, ("LNDELV", longer, {})).unknown
    assert alone.geometry.equals(longer)


def test_the_only_ones_alone_in_real_cells_stand_in_water(real_data: Path) -> None:
    """Of some 400 in a cell of Chesapeake Bay none; the test set S-164 shows a daymark in a depth
    area with nothing round it."""
    chesapeake = read_cell(real_data / "s57_noaa_us4md81m" / "US4MD81M.000")
    assert chesapeake.counts["LIGHTS"] + chesapeake.counts["DAYMAR"] > 300
    assert not [one for one in chesapeake.unknown if one.cls in MOUNTED]
    hazards = read_s101(real_data / "s101_s164_gb" / "10100AA_NAVHZ.000")
    (alone,) = [one for one in hazards.unknown if one.cls in MOUNTED]
    assert alone.cls == "DAYMAR"
    near = alone.geometry.buffer(6e-4)
    things = (*hazards.marks, *hazards.solids, *hazards.dangers, *hazards.spans)
    assert not [one for one in things if one.geometry.intersects(near)]
