"""Grids cut short, with bits turned, or empty: one clear line, the rest used, the hole told."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Grid
from routecheck.model.errors import BadInput
from routecheck.model.finding import Report
from routecheck.readers import gridprocess, readerprocess
from routecheck.readers.folder import read_charts
from routecheck.readers.gridprocess import GRIDS
from routecheck.readers.grids import open_grid
from tests.readers.grid_kinds import DEPTH, KINDS
from tests.readers.rasters import geotiff
from tests.readers.test_grids import depths, opened
from tests.survey.charts import route

BOAT = Boat(name="b", draught_m=1.0, speed_kn=5.0, margins=Margins(cross_track_m=100.0))
LONGEST_S = 10.0


def judged(charts: ChartSet) -> Report:
    on = route([(10.02, 53.04), (10.1, 53.05)])
    return vet(on, charts, BOAT).report


def whole(folder: Path) -> Path:
    """A sound grid elsewhere, so that the folder has something to use."""
    from rasterio.transform import from_origin

    deep = np.full((4, 4), -30.0, dtype="float32")
    path = geotiff(folder / "sound.tif", deep, transform=from_origin(20.0, 53.0, 0.001, 0.001))
    path.with_name("sound.tif.toml").write_text('datum = "LAT"\n')
    return path


@pytest.mark.parametrize("name", KINDS)
@pytest.mark.parametrize("share", [0.0, 0.05, 0.5, 0.99])
def test_a_grid_cut_short_is_told_and_the_rest_is_used(
    tmp_path: Path, name: str, share: float
) -> None:
    path = tmp_path / name
    KINDS[name](path)
    before = np.nanmin(depths(opened(path)))
    data = path.read_bytes()
    path.write_bytes(data[: int(share * len(data))])
    whole(tmp_path)
    begin = time.monotonic()
    charts = read_charts([tmp_path])
    report = judged(charts)
    assert time.monotonic() - begin < LONGEST_S
    assert "sound.tif" in [grid.source.id for grid in charts.grids]
    lost = [one for one in charts.unread if Path(one.file).name == name]
    holes = [one for one in report.findings if one.severity == "not-assessed"]
    assert holes and report.verdict in ("incomplete", "hazards")
    if lost:
        assert lost[0].looks_like_chart and "\n" not in lost[0].why and len(lost[0].why) > 10
        assert any(name in one.title for one in holes)
    else:
        # Cut in its tail, it may still be read: then with its true depths or with holes.
        (grid,) = [one for one in charts.grids if one.source.id == name]
        found = depths(grid)
        assert not np.isfinite(found).any() or np.nanmin(found) >= before
        assert share == 0.99 or not np.isfinite(found).all()
    assert share > 0.0 or lost


@pytest.mark.parametrize("name", KINDS)
def test_turned_bits_never_take_the_run_down(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    KINDS[name](path)
    data = path.read_bytes()
    rng = np.random.default_rng(sum(map(ord, name)))
    for turn in range(24):
        damaged = bytearray(data)
        # The head, where a format keeps its counts and offsets, is hit as often as all the rest.
        among = min(len(damaged), 4096) if turn % 2 else len(damaged)
        for place in rng.integers(0, among, size=4).tolist():
            damaged[place] ^= 1 << int(rng.integers(0, 8))
        path.write_bytes(bytes(damaged))
        begin = time.monotonic()
        try:
            grids: tuple[Grid, ...] = open_grid(path)
        except BadInput as refused:
            assert "\n" not in str(refused) and name in str(refused)
            grids = ()
        for grid in grids:
            found = depths(grid)
            assert found.size <= 4 * DEPTH.size or not np.isfinite(found).all()
        assert time.monotonic() - begin < LONGEST_S


def child_pid() -> int:
    GRIDS.warm_up()
    child = GRIDS._child
    assert child is not None
    return child._process.pid


def test_a_reader_that_breaks_down_costs_one_part_and_no_more(tmp_path: Path) -> None:
    rng = np.random.default_rng(1)
    values = rng.uniform(-90.0, -10.0, (1024, 512)).astype("float32")
    path = geotiff(tmp_path / "a.tif", values, tiled=True, blockxsize=512, blockysize=512)
    grid = opened(path)
    from routecheck.readers.blockcache import BLOCKS

    BLOCKS.clear()
    os.kill(child_pid(), signal.SIGKILL)
    depth, valid = grid.block(0, 0)
    assert not valid.any() and not depth.any()
    assert "this part cannot be read (the reader broke down" in grid.problems[-1].text
    assert grid.problems[-1].severity == "not-assessed"
    depth, valid = grid.block(1, 0)
    assert valid.all() and np.array_equal(depth, -values[512:])


@pytest.mark.skipif(sys.platform == "win32", reason="no way to stop a process there")
def test_a_file_that_hangs_is_given_up_and_not_asked_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    values = np.full((1024, 512), -20.0, dtype="float32")
    path = geotiff(tmp_path / "a.tif", values, tiled=True, blockxsize=512, blockysize=512)
    grid = opened(path)
    from routecheck.readers.blockcache import BLOCKS

    BLOCKS.clear()
    monkeypatch.setattr(gridprocess, "SECONDS", 0.5)
    os.kill(child_pid(), signal.SIGSTOP)
    begin = time.monotonic()
    assert not grid.block(0, 0)[1].any() and not grid.block(1, 0)[1].any()
    assert time.monotonic() - begin < 5.0
    assert "took longer" in grid.problems[-2].text and "given up" in grid.problems[-1].text
    # Another file is read all the same.
    assert opened(geotiff(tmp_path / "b.tif", values)).block(0, 0)[1].all()


def test_a_reader_that_breaks_down_at_opening_is_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = geotiff(tmp_path / "a.tif", np.full((4, 4), -20.0, dtype="float32"))
    monkeypatch.setattr(readerprocess, "MOST_MEMORY", 1 << 20)
    GRIDS.close()
    with pytest.raises(BadInput, match="the reader did not start") as told:
        open_grid(path)
    assert "\n" not in str(told.value)
    monkeypatch.undo()
    assert opened(path).block(0, 0)[1].all()


def test_a_file_that_changed_is_read_anew(tmp_path: Path) -> None:
    """HDF5 gives a file that is open still its old contents."""
    path = tmp_path / "a.h5"
    KINDS["a.h5"](path)
    assert np.isfinite(depths(opened(path))).all()
    path.write_bytes(path.read_bytes()[:3000])
    with pytest.raises(BadInput):
        open_grid(path)


def test_a_bag_whose_metadata_are_no_utf8_is_told_and_the_rest_is_used(
    tmp_path: Path, real_data: Path
) -> None:
    """What damaging real files found: the run ended with an error of Python's."""
    data = (real_data / "raster_bag_hyo2qc/tiny_sr.bag").read_bytes()
    at = data.index(b"CharacterString>", data.index(b"<gmd:abstract")) + len("CharacterString>")
    (tmp_path / "odd.bag").write_bytes(data[:at] + b"\xff\xfe" + data[at + 2 :])
    whole(tmp_path)
    charts = read_charts([tmp_path])
    assert [grid.source.id for grid in charts.grids] == ["sound.tif"]
    (lost,) = charts.unread
    assert Path(lost.file).name == "odd.bag" and lost.looks_like_chart and "\n" not in lost.why
