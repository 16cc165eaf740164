"""Leaving far charts unread changes no finding."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from routecheck.api import settings_for, vet
from routecheck.model.boat import Boat, Margins
from routecheck.readers import folder_index
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.survey.neighbourhood import neighbourhood
from routecheck.writers.findings_json import to_findings_json

BOAT = Boat(name="test", draught_m=2.0, air_draught_m=17.0, margins=Margins())


def reports(route_file: Path, folder: Path) -> tuple[list[Any], int]:
    """The report with all charts read, and of two readings near the route; how many of the
    charts came without their objects."""
    (route,) = read_routes(route_file, tracks=False)
    near = neighbourhood([route], settings_for(BOAT))
    read = [read_charts([folder], near=boxes) for boxes in (None, near, near)]
    empty = sum(not chart.objects() for chart in read[2].charts)
    return [json.loads(to_findings_json(vet(route, c, BOAT).report)) for c in read], empty


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ROUTECHECK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(folder_index, "RACY_SECONDS", 0.0)


def test_the_sample_routes(root: Path) -> None:
    for route in sorted((root / "sample_charts" / "routes").glob("*.gpx")):
        (whole, first, second), _ = reports(route, root / "sample_charts" / "charts")
        assert first == second == whole


def test_a_real_folder_with_cells_far_away(real_data: Path, tmp_path: Path) -> None:
    folder = tmp_path / "charts"
    folder.mkdir()
    for name in ("s57_noaa_us4md81m", "s57_s64_gb"):
        for path in (real_data / name).rglob("*.0*"):
            (folder / path.name).symlink_to(path)
    (whole, first, second), empty = reports(real_data / "routes" / "A_choptank_safe.gpx", folder)
    assert first == second == whole
    assert empty >= 1
    assert os.listdir(tmp_path / "cache")  # noqa: PTH208
