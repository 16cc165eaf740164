"""Real cells read a second time, by fiona: another binding with another GDAL inside."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.geometry import shape

from routecheck.readers.s57 import read_cell

fiona = pytest.importorskip("fiona", reason="fiona is not installed")

CELLS = ("s57_noaa_us4md81m/US4MD81M", "s57_s64_gb/GB4X0000", "s57_s64_gb/GB5X01SW")
ONE_SQUARE_METRE_DEG = 1e-10


@pytest.mark.parametrize("name", CELLS)
def test_depth_areas(real_data: Path, name: str) -> None:
    path = real_data / f"{name}.000"
    ours = {a.key.rpartition("/")[2]: a for a in read_cell(path).depth_areas if a.cls == "DEPARE"}
    with fiona.open(path, layer="DEPARE") as layer:
        theirs = {f["properties"]["LNAM"]: f for f in layer if f["properties"]["PRIM"] == 3}
    assert ours.keys() == theirs.keys()
    for key, area in ours.items():
        properties = theirs[key]["properties"]
        assert area.charted_depth_m == properties["DRVAL1"]
        assert area.deep_end_m == properties["DRVAL2"]
        other = shape(theirs[key]["geometry"])
        assert shapely.symmetric_difference(area.geometry, other).area < ONE_SQUARE_METRE_DEG


@pytest.mark.parametrize("name", CELLS)
def test_soundings(real_data: Path, name: str) -> None:
    path = real_data / f"{name}.000"
    ours = sorted(
        (s.geometry.x, s.geometry.y, s.charted_depth_m) for s in read_cell(path).soundings
    )
    options = {"SPLIT_MULTIPOINT": "ON", "ADD_SOUNDG_DEPTH": "ON"}
    with fiona.open(path, layer="SOUNDG", **options) as layer:
        theirs = sorted(
            (*f["geometry"]["coordinates"][:2], f["properties"]["DEPTH"]) for f in layer
        )
    assert np.array(ours) == pytest.approx(np.array(theirs))


@pytest.mark.parametrize("name", CELLS)
def test_marks(real_data: Path, name: str) -> None:
    path = real_data / f"{name}.000"
    ours = {m.key.rpartition("/")[2]: m for m in read_cell(path).marks if m.cls == "BOYLAT"}
    hands = {
        "1": "port-hand",
        "2": "starboard-hand",
        "3": "preferred-channel-to-starboard",
        "4": "preferred-channel-to-port",
        None: "lateral",
    }
    with fiona.open(path, layer="BOYLAT") as layer:
        for feature in layer:
            properties = feature["properties"]
            mark = ours.pop(properties["LNAM"])
            category = properties["CATLAM"]
            assert mark.kind == hands[None if category is None else str(category)]
            assert (mark.lon_deg, mark.lat_deg) == pytest.approx(feature["geometry"]["coordinates"])
            assert mark.name == (properties["OBJNAM"] or "")
    assert not ours
