"""A machine that is against us: no network, full disks, odd files, clocks that are wrong."""

from __future__ import annotations

import json
import os
import resource
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

from routecheck.model.finding import Verdict
from routecheck.readers.folder import read_charts
from tests.readers.test_folder import vector

SAMPLES = Path(__file__).parents[2] / "sample_charts"
ROUTE = SAMPLES / "routes" / "over-a-shoal.gpx"
ASK = [
    "--charts", str(SAMPLES / "charts"), "--boat", str(SAMPLES / "boat.toml"),
    "--tide", str(SAMPLES / "tide.toml"),
]  # fmt: skip


def run(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "routecheck.cli", *arguments],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        **more,  # type: ignore[call-overload]
    )


_GUARD = """
import os, sys
def _watch(event, arguments):
    # urllib3, which folium imports, binds ("::1", 0) to learn whether there is IPv6: no traffic.
    probe = event == "socket.bind" and arguments[1] == ("::1", 0)
    watched = ("socket.connect", "socket.getaddrinfo", "socket.bind", "socket.sendto")
    if event in watched and not probe:
        with open(os.environ["TOLD"], "a") as out:
            out.write(f"{event} {arguments!r}\\n")
sys.addaudithook(_watch)
"""


def test_no_socket_is_opened_by_any_command(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(_GUARD, encoding="utf-8")
    told = tmp_path / "told"
    environment = os.environ | {
        "PYTHONPATH": f"{tmp_path}{os.pathsep}{Path.cwd()}",
        "TOLD": str(told),
    }
    probe = [sys.executable, "-c", "import socket; socket.getaddrinfo('127.0.0.1', 9)"]
    subprocess.run(probe, env=environment, check=True)
    assert "getaddrinfo" in told.read_text(encoding="utf-8")  # the guard sees
    told.unlink()
    out = str(tmp_path / "out")
    moment = ["--from", "2027-05-14T07:30Z", "--to", "2027-05-14T08:00Z"]
    commands = (
        ["vet", str(ROUTE), *ASK, "--out", out],
        ["window", str(ROUTE), *ASK, *moment, "--out", out],
        ["charts", str(SAMPLES / "charts")],
        ["checks"],
        ["demo", "--out", out],
    )
    for command in commands:
        ended = run(*command, env=environment, cwd=tmp_path)
        assert ended.returncode in (0, 1, 3), ended.stderr
    assert not told.exists(), told.read_text(encoding="utf-8")


@pytest.fixture
def server() -> Iterator[tuple[str, list[str]]]:
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_error(404)

        do_HEAD = do_GET

        def log_message(self, *_: object) -> None:
            return

    running = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    threading.Thread(target=running.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{running.server_port}", asked
    running.shutdown()


def test_no_chart_file_makes_the_reader_fetch(
    tmp_path: Path, server: tuple[str, list[str]]
) -> None:
    """GDAL alone would fetch for several of these."""
    url, asked = server
    vector(tmp_path / "good.geojson")
    inside = f'<SourceFilename relativeToVRT="0">/vsicurl/{url}/a.tif</SourceFilename>'
    band = f'<VRTRasterBand dataType="Float32" band="1"><SimpleSource>{inside}</SimpleSource>'
    files = {
        "a.vrt": f'<VRTDataset rasterXSize="9" rasterYSize="9">{band}</VRTRasterBand></VRTDataset>',
        "b.tif": f'<GDAL_WMS><Service name="WMS"><ServerUrl>{url}/b?</ServerUrl></Service>'
        "<DataWindow><SizeX>9</SizeX><SizeY>9</SizeY></DataWindow></GDAL_WMS>",
        "c.geojson": json.dumps(
            {
                "type": "FeatureCollection",
                "crs": {"type": "link", "properties": {"href": f"{url}/c", "type": "proj4"}},
                "features": [],
            }
        ),
        "d.gml": f'<FeatureCollection xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" '
        f'xsi:schemaLocation="x {url}/d.xsd"><featureMember/></FeatureCollection>',
        "e.vrt": f'<OGRVRTDataSource><OGRVRTLayer name="DEPARE"><SrcDataSource>/vsicurl/{url}/e'
        "</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>",
        "f.json": f"{url}/f.json",
        "g.nc": f"{url}/g.nc",
        "h.xml": f"<WFS><URL>{url}/h</URL></WFS>",
        "i.geojson": json.dumps({"type": "Topology", "href": f"{url}/i", "objects": {}}),
        "j.osm": f'<osm version="0.6" generator="{url}/j"><note>{url}/k</note></osm>',
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    charts = read_charts([tmp_path])
    assert [chart.source.id for chart in charts.charts if chart.depth_areas] == ["good.geojson"]
    assert asked == []
    socket.create_connection(("127.0.0.1", int(url.rsplit(":", 1)[1]))).close()  # it is up


def test_a_route_named_as_a_path_writes_where_it_should(tmp_path: Path) -> None:
    text = ROUTE.read_text(encoding="utf-8")
    name = text[text.index("<rte>") :].split("<name>")[1].split("</name>")[0]
    for bad in ("../../x", "/etc/x", "..", "a/b\\\\c", "C:\\\\x", "x\u0000"[:1] + "/.."):
        folder = tmp_path / str(abs(hash(bad)))
        (folder / "in").mkdir(parents=True)
        route = folder / "in" / "route.gpx"
        route.write_text(text.replace(f"<name>{name}</name>", f"<name>{bad}</name>"), "utf-8")
        ended = run("vet", str(route), *ASK, "--out", str(folder / "in" / "out"))
        assert ended.returncode == 1, ended.stderr
        new = {p.relative_to(folder).parts[:2] for p in folder.rglob("*") if p.is_file()}
        assert new == {("in", "route.gpx"), ("in", "out")}
        assert all(len(p.relative_to(folder).parts) == 4 for p in folder.rglob("*.html"))


def test_a_disk_that_fills_up_leaves_nothing_half_written(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run("vet", str(ROUTE), *ASK, "--out", str(out)).returncode == 1
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}

    def little() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (30_000, 30_000))

    ended = run("vet", str(ROUTE), *ASK, "--out", str(out), preexec_fn=little)
    assert ended.returncode == 2, ended.stderr
    assert len(ended.stderr.strip().splitlines()) == 1
    assert "Traceback" not in ended.stderr
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before
    other = tmp_path / "other"
    assert run("vet", str(ROUTE), *ASK, "--out", str(other), preexec_fn=little).returncode == 2
    assert not [path for path in tmp_path.rglob("*") if path.is_file() and path not in before]


def test_files_that_are_none(tmp_path: Path) -> None:
    """Pipes, devices, links in a circle, folders with the names of charts: told or passed by."""
    vector(tmp_path / "good.geojson")
    os.mkfifo(tmp_path / "pipe.tif")
    (tmp_path / "zero.000").symlink_to("/dev/zero")
    (tmp_path / "random.nc").symlink_to("/dev/urandom")
    (tmp_path / "circle.bag").symlink_to(tmp_path / "circle.bag")
    (tmp_path / "gone.h5").symlink_to(tmp_path / "nowhere.h5")
    (tmp_path / "up").symlink_to(tmp_path)
    (tmp_path / "folder.000").mkdir()
    ended = run("charts", str(tmp_path), "--json")
    assert ended.returncode == 3, ended.stderr
    assert "Traceback" not in ended.stderr
    unread = {Path(one["file"]).name for one in json.loads(ended.stdout)["unread"]}
    assert {"pipe.tif", "zero.000", "random.nc", "circle.bag", "gone.h5"} <= unread


def test_a_file_that_may_not_be_read_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    vector(tmp_path / "good.geojson")
    vector(tmp_path / "locked.geojson")
    opener = Path.open

    def refused(self: Path, *arguments: object, **more: object) -> object:
        if self.name == "locked.geojson":
            raise PermissionError(13, "Permission denied")
        return opener(self, *arguments, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refused)
    charts = read_charts([tmp_path])
    assert [Path(one.file).name for one in charts.unread] == ["locked.geojson"]
    assert "ermission" in charts.unread[0].why


@pytest.mark.parametrize("how", ["gone", "cut", "empty"])
def test_a_folder_that_changes_while_it_is_read(tmp_path: Path, how: str) -> None:
    names = [f"{letter}.geojson" for letter in "abcd"]
    for name in names:
        vector(tmp_path / name)
    done = False

    def meddle(_done: int, _total: int, _what: str) -> None:
        nonlocal done
        if not done:
            done = True
            for name in names[1:]:
                path = tmp_path / name
                if how == "gone":
                    path.unlink()
                else:
                    path.write_bytes(b"" if how == "empty" else path.read_bytes()[:50])

    charts = read_charts([tmp_path], progress=meddle)
    read = {chart.source.id for chart in charts.charts if chart.depth_areas}
    unread = {Path(one.file).name for one in charts.unread}
    assert read | unread == set(names)
    assert not read & unread


@pytest.mark.parametrize("when_s", [0, 4_102_444_800])
def test_clocks_that_are_wrong(tmp_path: Path, when_s: int) -> None:
    """Files dated 1970 or 2100 give the very same report."""
    import shutil

    usual = run("vet", str(ROUTE), *ASK, "--json").stdout
    assert usual
    charts = tmp_path / "charts"
    shutil.copytree(SAMPLES / "charts", charts)
    for path in charts.iterdir():
        os.utime(path, (when_s, when_s))
    cache = os.environ | {"ROUTECHECK_CACHE": str(tmp_path / "cache")}
    ask = ["--charts", str(charts), *ASK[2:]]
    for _ in range(2):  # the second time through the index
        said = run("vet", str(ROUTE), *ask, "--json", env=cache).stdout
        assert said.replace(str(charts), str(SAMPLES / "charts")) == usual


def test_sizes_that_are_declared_and_not_there(tmp_path: Path) -> None:
    """A grid of 10 GB in a file of a few bytes; one that unpacks to 3.6 GB in one block."""
    vector(tmp_path / "good.geojson")
    side = 'quantity = "depth"\nunit = "m"\ndatum = "LAT"\n'
    place = from_origin(10.0, 55.0, 1e-5, 1e-5)
    shape = {"driver": "GTiff", "count": 1, "crs": "EPSG:4326", "transform": place}
    with rasterio.open(
        tmp_path / "hollow.tif", "w", width=50_000, height=50_000, dtype="float32",
        SPARSE_OK=True, BIGTIFF="YES", **shape,
    ):  # fmt: skip
        pass
    with rasterio.open(
        tmp_path / "bomb.tif", "w", width=30_000, height=30_000, dtype="float32",
        compress="deflate", blockysize=30_000, SPARSE_OK=True, BIGTIFF="YES", **shape,
    ) as out:  # fmt: skip
        out.write(np.ones((1, 1, 1), np.float32), window=((0, 1), (0, 1)))
    for name in ("hollow", "bomb"):
        (tmp_path / f"{name}.tif.toml").write_text(side, encoding="utf-8")
    assert (tmp_path / "hollow.tif").stat().st_size < 1_000_000
    route = tmp_path / "route.geojson"
    line = {"type": "LineString", "coordinates": [[10.001, 54.999], [10.01, 54.99]]}
    route.write_text(json.dumps({"type": "Feature", "properties": {}, "geometry": line}), "utf-8")

    def little() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))

    ended = run(
        "vet", str(route), "--charts", str(tmp_path), *ASK[2:4], "--json", preexec_fn=little
    )
    assert ended.returncode in (1, 3), ended.stderr
    assert json.loads(ended.stdout)["verdict"] != Verdict.NO_HAZARD_FOUND.value


def test_libraries_do_not_talk_over_our_one_line(tmp_path: Path) -> None:
    """HDF5 prints its own trace of a damaged file unless it is told not to."""
    import h5py

    vector(tmp_path / "good.geojson")
    whole = tmp_path / "whole.h5"
    with h5py.File(whole, "w") as out:
        out.create_dataset("BathymetryCoverage/x", data=np.zeros((50, 50)), chunks=(10, 10))
    data = bytearray(whole.read_bytes())
    whole.unlink()
    for i in range(200, len(data), 97):
        data[i] ^= 0xFF
    for name in ("a.h5", "b.bag", "c.nc"):
        (tmp_path / name).write_bytes(data)
    ended = run("charts", str(tmp_path))
    assert ended.returncode == 3
    assert "HDF5-DIAG" not in ended.stderr + ended.stdout
    assert not ended.stderr.strip()
