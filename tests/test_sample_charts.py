"""The invented islands: made again byte for byte, and of one piece."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
import shapely

MADE = ("*.toml", "charts/*", "routes/*", "bar-harbour/*")


@pytest.fixture(scope="module")
def sample(root: Path) -> Path:
    return root / "sample_charts"


@pytest.fixture(scope="module")
def chart(sample: Path) -> dict[str, list[dict[str, Any]]]:
    """Features by class, each with its shape."""
    whole = json.loads((sample / "charts/marenquil-chart.geojson").read_text())
    found: dict[str, list[dict[str, Any]]] = {}
    for feature in whole["features"]:
        shape = shapely.geometry.shape(feature["geometry"])
        found.setdefault(feature["properties"]["class"], []).append(
            {**feature["properties"], "shape": shape}
        )
    return found


def test_the_script_makes_the_same_bytes(sample: Path, tmp_path: Path) -> None:
    script = sample / "make_charts.py"
    subprocess.run([sys.executable, str(script), str(tmp_path)], check=True, capture_output=True)
    kept = {p.relative_to(sample) for pattern in MADE for p in sample.glob(pattern)}
    made = {p.relative_to(tmp_path) for pattern in MADE for p in tmp_path.glob(pattern)}
    assert kept == made
    different = [
        str(name)
        for name in sorted(kept)
        if (sample / name).read_bytes() != (tmp_path / name).read_bytes()
    ]
    assert different == []


def test_files_are_small(sample: Path) -> None:
    total = sum(path.stat().st_size for path in sample.rglob("*") if path.is_file())
    assert total < 2_000_000


def test_areas_fill_the_chart_without_overlap(chart: dict[str, list[dict[str, Any]]]) -> None:
    shapes = [f["shape"] for cls in ("DEPARE", "LNDARE", "UNSARE") for f in chart[cls]]
    assert all(shape.is_valid for shape in shapes)
    cover = chart["M_COVR"][0]["shape"]
    assert shapely.coverage_is_valid(shapes)
    assert sum(shape.area for shape in shapes) == pytest.approx(cover.area, rel=1e-9)


def test_raster_and_depth_areas_are_one_seabed(
    sample: Path, chart: dict[str, list[dict[str, Any]]]
) -> None:
    """Cell centres lie between the depths of their area, but for those on a smoothed contour."""
    with rasterio.open(sample / "charts/marenquil-depths.tif") as grid:
        depth = grid.read(1)
        valid = depth != grid.nodata
        columns, rows = np.meshgrid(np.arange(grid.width) + 0.5, np.arange(grid.height) + 0.5)
        lon, lat = grid.transform * (columns, rows)
    seen = np.zeros(depth.shape, dtype=bool)
    wrong = 0
    for area in chart["DEPARE"]:
        inside = shapely.contains_xy(area["shape"].buffer(-5e-5), lon, lat)
        seen |= inside
        assert valid[inside].all()
        # The raster is rounded to the shoal side by less than an eighth of a metre.
        ok = (depth >= area["DRVAL1"] - 0.125) & (depth <= area["DRVAL2"])
        wrong += int((inside & ~ok).sum())
    assert wrong == 0
    assert seen.mean() > 0.9
    for blank in (*chart["LNDARE"], *chart["UNSARE"]):
        assert not valid[shapely.contains_xy(blank["shape"].buffer(-5e-5), lon, lat)].any()


def test_soundings_lie_between_the_depths_of_their_area(
    chart: dict[str, list[dict[str, Any]]],
) -> None:
    areas = chart["DEPARE"]
    tree = shapely.STRtree([area["shape"] for area in areas])
    assert len(chart["SOUNDG"]) > 300
    for sounding in chart["SOUNDG"]:
        (at,) = tree.query(sounding["shape"], predicate="within")
        assert areas[at]["DRVAL1"] <= sounding["VALSOU"] <= areas[at]["DRVAL2"]


def test_geometries_are_those_of_geojson(sample: Path) -> None:
    """IETF RFC 7946, section 1.4: a ring alone is none of them."""
    text = (sample / "charts/marenquil-chart.geojson").read_text()
    assert set(re.findall(r'"type":"(\w+)"', text)) == {
        *("FeatureCollection", "Feature", "Point", "LineString", "Polygon")
    }


def test_marks_state_colours_and_no_hand(chart: dict[str, list[dict[str, Any]]]) -> None:
    marks = chart["BOYLAT"] + chart["BCNLAT"]
    assert len(marks) == 15
    for mark in marks:
        assert "CATLAM" not in mark
        # Odd numbers are green (S-57 COLOUR 4) and even ones red (3), from both seas inwards.
        odd = int(mark["OBJNAM"].split()[1]) % 2 == 1
        assert mark["COLOUR"] == ("4" if odd else "3")


def test_direction_of_buoyage_turns_round_half_way(
    chart: dict[str, list[dict[str, Any]]],
) -> None:
    west, east = sorted(chart["M_NSYS"], key=lambda zone: zone["shape"].bounds)
    assert (east["ORIENT"] - west["ORIENT"]) % 360 == 180
    assert west["shape"].bounds[2] == east["shape"].bounds[0]
    assert {west["MARSYS"], east["MARSYS"]} == {1}


def test_decimals_of_positions(sample: Path) -> None:
    text = (sample / "charts/marenquil-chart.geojson").read_text()
    decimals = {len(found) for found in re.findall(r"-1[1347]\d?\.(\d+)", text)}
    assert max(decimals) == 6
