"""Damaged vector files of every format: one clear line, the rest of the folder counts, no hang."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Severity
from routecheck.readers.folder import read_charts
from tests.readers.test_folder import vector, why

geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")
SECONDS = 10.0
"""No damaged file of a sample's size may hold up the run for longer."""


def broken(data: bytes, how: str) -> bytes:
    half = len(data) // 2
    return {
        "empty": b"",
        "cut": data[:half],
        "cut early": data[:20],
        "flipped": data[:half] + bytes([data[half] ^ 0x40]) + data[half + 1 :],
        "flipped head": bytes([data[0] ^ 0xFF]) + data[1:],
        "zeros": data[:half] + bytes(len(data) - half),
    }[how]


ENDINGS = {
    **{"GML": "gml", "FlatGeobuf": "fgb", "GPKG": "gpkg", "GeoJSON": "geojson"},
    "ESRI Shapefile": "shp",
}


@pytest.mark.parametrize("driver", list(ENDINGS))
@pytest.mark.parametrize("how", ["empty", "cut", "cut early", "flipped", "flipped head", "zeros"])
def test_damaged_files(tmp_path: Path, driver: str, how: str) -> None:
    path = tmp_path / f"a.{ENDINGS[driver]}"
    shapes = [shapely.box(10.0 + i / 10, 54.0, 10.1 + i / 10, 54.1) for i in range(40)]
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0] * 40}, geometry=shapes, crs=4326)
    frame.to_file(path, driver=driver, layer="DEPARE")
    path.write_bytes(broken(path.read_bytes(), how))
    (tmp_path / f"{path.name}.toml").write_text('class = "DEPARE"', encoding="utf-8")
    vector(tmp_path / "good.geojson")
    begin = time.monotonic()
    charts = read_charts([tmp_path])
    assert time.monotonic() - begin < SECONDS
    by_id = {chart.source.id: chart for chart in charts.charts}
    assert len(by_id["good.geojson"].depth_areas) == 1
    if path.name not in by_id:
        (unread,) = charts.unread
        assert unread.looks_like_chart
        assert unread.why
        assert "\n" not in unread.why
        return
    chart = by_id[path.name]
    stated = [area for area in chart.depth_areas if area.charted_depth_m is not None]
    told = any(one.severity is Severity.NOT_ASSESSED for one in chart.problems)
    # One flipped bit inside a number or a shape may leave a whole file of other content.
    assert told or (how == "flipped" and len(stated) >= 39)


def test_a_document_type_is_refused(tmp_path: Path) -> None:
    text = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>'
    (tmp_path / "a.gml").write_text(text, encoding="utf-8")
    vector(tmp_path / "good.geojson")
    (unread,) = read_charts([tmp_path]).unread
    assert "document type" in unread.why


def test_a_geopackage_with_a_damaged_name_in_its_schema_is_told(tmp_path: Path) -> None:
    """Found by fuzzing on 2026-11-29: what SQLite says of it is no UTF-8, and ended the run."""
    path = tmp_path / "DEPARE.gpkg"
    shape = shapely.box(10.0, 54.0, 10.1, 54.1)
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[shape], crs=4326)
    frame.to_file(path, layer="DEPARE")
    data = path.read_bytes()
    name = b"rtree_DEPARE_geom_node"
    assert name in data
    path.write_bytes(data.replace(name, name[:-1] + b"\xff", 1))
    vector(tmp_path / "good.geojson")
    charts = read_charts([tmp_path])
    assert [chart.source.id for chart in charts.charts] == ["good.geojson"]
    assert why(charts)["DEPARE.gpkg"][1]
