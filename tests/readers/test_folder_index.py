"""The index of a folder: far charts are not opened, and nothing that changed is missed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.readers import folder_index
from routecheck.readers.folder import read_charts
from routecheck.readers.folder_index import Entry, entry_of
from routecheck.readers.ogr import Request
from routecheck.readers.vector import VectorJob
from tests.readers.test_folder import cell, why
from tests.survey.charts import depth_area, source

NEAR = np.array([[10.0, 54.0, 10.1, 54.1]])
FAR_DEG = 1.0


@pytest.fixture
def opened(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Iterator[list[str]]:
    """An empty cache of its own; names of the vector files that were opened."""
    monkeypatch.setenv("ROUTECHECK_CACHE", str(tmp_path_factory.mktemp("cache")))
    monkeypatch.setattr(folder_index, "RACY_SECONDS", 0.0)
    names: list[str] = []
    request = VectorJob.request

    def noted(job: VectorJob) -> Request:
        names.append(job.path.name)
        return request(job)

    monkeypatch.setattr(VectorJob, "request", noted)
    yield names


def chart_at(path: Path, east_deg: float, depth: float = 5.0) -> Path:
    west = 10.0 + east_deg
    geometry = shapely.geometry.mapping(shapely.box(west, 54.0, west + 0.1, 54.1))
    properties = {"class": "DEPARE", "DRVAL1": depth}
    row = {"type": "Feature", "properties": properties, "geometry": geometry}
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [row]}), encoding="utf-8")
    return path


def areas(charts: ChartSet) -> dict[str, int]:
    return {chart.source.id: len(chart.depth_areas) for chart in charts.charts}


def test_a_far_chart_is_opened_once(tmp_path: Path, opened: list[str]) -> None:
    chart_at(tmp_path / "here.geojson", 0.0)
    far = chart_at(tmp_path / "there.geojson", FAR_DEG, 7.0)
    (tmp_path / "there.geojson.toml").write_text('datum = "LAT"', encoding="utf-8")
    first = read_charts([tmp_path], near=NEAR)
    assert opened == ["here.geojson", "there.geojson"]
    second = read_charts([tmp_path], near=NEAR)
    assert opened[2:] == ["here.geojson"]
    for charts in (first, second):
        assert areas(charts) == {"here.geojson": 1, "there.geojson": 0}
    kept = second.charts[1]
    assert (kept.source.datum, kept.counts) == ("LAT", {"DEPARE": 1})
    assert kept == first.charts[1]
    # Named by the user himself, or with all wanted, it is read.
    assert areas(read_charts([tmp_path, far], near=NEAR))["there.geojson"] == 1
    assert areas(read_charts([far], near=NEAR)) == {"there.geojson": 1}
    assert areas(read_charts([tmp_path])) == {"here.geojson": 1, "there.geojson": 1}


@pytest.mark.parametrize("how", ["moved here", "sidecar", "same size and time", "removed"])
def test_what_changed_is_read_again(tmp_path: Path, opened: list[str], how: str) -> None:
    chart_at(tmp_path / "here.geojson", 0.0)
    far = chart_at(tmp_path / "there.geojson", FAR_DEG, 7.0)
    read_charts([tmp_path], near=NEAR)
    opened.clear()
    if how == "sidecar":
        (tmp_path / "there.geojson.toml").write_text('datum = "LAT"', encoding="utf-8")
    elif how == "removed":
        far.unlink()
    elif how == "moved here":
        chart_at(far, 0.0, 7.0)
    else:
        before = far.stat()
        text = far.read_text(encoding="utf-8").replace("11.", "10.")
        far.write_text(text, encoding="utf-8")
        os.utime(far, ns=(before.st_atime_ns, before.st_mtime_ns))
        assert far.stat().st_size == before.st_size
    charts = read_charts([tmp_path], near=NEAR)
    assert opened == ["here.geojson"] + ["there.geojson"] * (how != "removed")
    moved = how in ("moved here", "same size and time")
    assert areas(charts).get("there.geojson", 0) == int(moved)


def test_an_update_that_comes_in_is_noticed(tmp_path: Path, opened: list[str]) -> None:
    cell(tmp_path)
    away = NEAR + np.array([[30.0, 0.0, 30.0, 0.0]])
    for _ in range(2):
        (chart,) = read_charts([tmp_path], near=away).charts
        assert (chart.source.updates, chart.depth_areas) == (0, ())
    cell(tmp_path, update=1)
    assert read_charts([tmp_path], near=away).charts[0].source.updates == 1


@pytest.mark.parametrize("how", ["cut", "another bound", "another version", "no folder"])
def test_a_spoilt_index_is_as_good_as_none(
    tmp_path: Path, opened: list[str], how: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    chart_at(tmp_path / "here.geojson", 0.0)
    chart_at(tmp_path / "there.geojson", FAR_DEG)
    whole = read_charts([tmp_path], near=NEAR)
    opened.clear()
    (index,) = folder_index.cache_folder().iterdir()
    text = index.read_text(encoding="utf-8")
    if how == "cut":
        index.write_text(text[: len(text) // 2], encoding="utf-8")
    elif how == "another bound":
        index.write_text(text.replace("[10.0,", "[70.0,"), encoding="utf-8")
    elif how == "another version":
        monkeypatch.setattr(folder_index, "_VERSION", 99)
    else:
        blocked = tmp_path / "file"
        blocked.write_text("x", encoding="utf-8")
        monkeypatch.setenv("ROUTECHECK_CACHE", str(blocked / "cache"))
    again = read_charts([tmp_path], near=NEAR)
    assert opened == ["here.geojson", "there.geojson"]
    assert areas(again) == areas(whole)


def test_what_changed_a_moment_ago_is_not_kept(
    tmp_path: Path, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder_index, "RACY_SECONDS", 3600.0)
    chart_at(tmp_path / "there.geojson", FAR_DEG)
    for _ in range(2):
        read_charts([tmp_path], near=NEAR)
    assert opened == ["there.geojson"] * 2


def test_a_broken_far_file_is_told_every_time(tmp_path: Path, opened: list[str]) -> None:
    chart_at(tmp_path / "here.geojson", 0.0)
    (tmp_path / "broken.geojson").write_text("{", encoding="utf-8")
    for _ in range(2):
        assert "broken.geojson" in why(read_charts([tmp_path], near=NEAR))


def test_two_processes_share_it(tmp_path: Path, opened: list[str]) -> None:
    for number in range(6):
        chart_at(tmp_path / f"{number}.geojson", number * FAR_DEG)
    code = (
        "import sys, numpy; from pathlib import Path; from routecheck.readers import folder_index;"
        "from routecheck.readers.folder import read_charts; folder_index.RACY_SECONDS = 0.0;"
        "near = numpy.array([[10.0, 54.0, 10.1, 54.1]]);"
        "charts = [read_charts([Path(sys.argv[1])], near=near) for _ in range(5)];"
        "print([sum(len(c.depth_areas) for c in one.charts) for one in charts])"
    )
    words = [sys.executable, "-c", code, str(tmp_path)]
    both = [subprocess.Popen(words, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    assert [one.communicate(timeout=120)[0].strip() for one in both] == ["[1, 1, 1, 1, 1]"] * 2
    read_charts([tmp_path], near=NEAR)
    assert opened == ["0.geojson"]
    assert len(list(folder_index.cache_folder().iterdir())) == 1


def entry(bounds: tuple[float, float, float, float] | None, reach_m: float = 0.0) -> Entry:
    return Entry(bounds=bounds, reach_m=reach_m, stub=Chart(source=source()))


@pytest.mark.parametrize(
    ("bounds", "near", "away"),
    [
        ((10.2, 54.0, 10.3, 54.1), (10.0, 54.0, 10.1, 54.1), True),
        ((10.1, 54.1, 10.3, 54.2), (10.0, 54.0, 10.1, 54.1), False),
        ((-180.0, 0.0, -179.0, 1.0), (179.0, 0.0, 180.5, 1.0), False),
        ((-180.0, 0.0, -179.0, 1.0), (538.5, 0.0, 540.5, 1.0), False),
        ((-170.0, 0.0, -169.0, 1.0), (179.0, 0.0, 180.5, 1.0), True),
        ((-180.0, 89.5, 180.0, 90.0), (0.0, 88.0, 1.0, 89.6), False),
        (None, (0.0, 0.0, 1.0, 1.0), True),
    ],
)
def test_away(
    bounds: tuple[float, float, float, float] | None,
    near: tuple[float, float, float, float],
    away: bool,
) -> None:
    assert entry(bounds).away(np.array([near])) is away


def test_the_reach_is_never_less_than_a_position_is_uncertain() -> None:
    area = depth_area("a", shapely.box(10.0, 54.0, 10.1, 54.1), 5.0)
    object.__setattr__(area, "position_uncertainty_m", 30_000.0)
    made = entry_of(Chart(source=source(), depth_areas=(area,)))
    assert made.reach_m >= 30_000.0
    # 0.45 degrees of latitude are 27 nautical miles, 50 km.
    assert made.away(np.array([[10.0, 54.6, 10.1, 54.7]]))
    assert not made.away(np.array([[10.0, 54.38, 10.1, 54.4]]))
