"""The same bytes beside two sidecars are two charts: units and datum are the sidecar's.

The sidecar's keys: docs, "Sidecars"; that a file is told apart by its bytes: common practice.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import shapely

from routecheck.readers.folder import read_charts
from tests.readers.rasters import geotiff

FOOT_M = 0.3048
"""International foot: exact (1959 agreement)."""


def rock(folder: Path, unit: str) -> Path:
    folder.mkdir()
    row = {
        "type": "Feature",
        "properties": {"class": "UWTROC", "VALSOU": 5.0},
        "geometry": shapely.geometry.mapping(shapely.Point(10.0, 54.0)),
    }
    path = folder / "rock.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [row]}), encoding="utf-8")
    sidecar(path, unit)
    return path


def sidecar(path: Path, unit: str) -> None:
    text = f'datum = "LAT"\nunit = "{unit}"\n'
    path.with_name(path.name + ".toml").write_text(text, encoding="utf-8")


def depths(folder: Path) -> list[float | None]:
    read = read_charts([folder]).charts
    found = [danger.charted_depth_m for chart in read for danger in chart.dangers]
    return sorted(found, key=lambda depth: depth or 0.0)


def test_copies_with_sidecars_of_two_units_are_both_read(tmp_path: Path) -> None:
    rock(tmp_path / "a", "m")
    rock(tmp_path / "b", "ft")
    assert depths(tmp_path) == pytest.approx([5.0 * FOOT_M, 5.0])


def test_copies_with_the_same_sidecar_are_read_once(tmp_path: Path) -> None:
    rock(tmp_path / "a", "m")
    rock(tmp_path / "b", "m")
    assert depths(tmp_path) == [5.0]


def test_a_link_with_a_sidecar_of_its_own_is_read_too(tmp_path: Path) -> None:
    path = rock(tmp_path / "a", "m")
    link = tmp_path / "b.geojson"
    link.symlink_to(path)
    sidecar(link, "ft")
    assert depths(tmp_path) == pytest.approx([5.0 * FOOT_M, 5.0])


def test_a_grid_and_a_link_to_it_with_another_sidecar_are_both_read(tmp_path: Path) -> None:
    path = geotiff(tmp_path / "a.tif", np.full((4, 4), 5.0, dtype=np.float32), unit=None)
    link = tmp_path / "b.tif"
    link.symlink_to(path)
    for one, unit in ((path, "m"), (link, "ft")):
        sidecar(one, unit)
    assert len(read_charts([tmp_path]).grids) == 2
