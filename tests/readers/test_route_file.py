"""A route is known by its content; its sidecar is applied; bad files end in one line."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.readers.route_file import read_routes

GPX = '<gpx><rte><rtept lat="1" lon="1"/><rtept lat="2" lon="1"/></rte></gpx>'
RTZ = (
    '<?xml version="1.0"?><!-- x --><route version="1.2"><routeInfo routeName="R"/><waypoints>'
    '<waypoint id="1"><position lat="1" lon="1"/></waypoint>'
    '<waypoint id="2"><position lat="2" lon="1"/></waypoint></waypoints></route>'
)
JSON = '\n {"type": "LineString", "coordinates": [[1, 1], [1, 2]]}'


@pytest.mark.parametrize("text", [GPX, RTZ, JSON])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("ending", [".gpx", ".txt", ""])
def test_the_content_says_the_format(tmp_path: Path, text: str, codec: str, ending: str) -> None:
    path = tmp_path / f"route{ending}"
    path.write_text(text, encoding=codec)
    (route,) = read_routes(path)
    assert [(w.lon_deg, w.lat_deg) for w in route.waypoints] == [(1.0, 1.0), (1.0, 2.0)]
    assert route.file == str(path)


def test_utf16(tmp_path: Path) -> None:
    path = tmp_path / "route.gpx"
    path.write_bytes(f'<?xml version="1.0" encoding="UTF-16"?>{GPX}'.encode("utf-16"))
    assert len(read_routes(path)) == 1


def test_the_sidecar_is_applied(tmp_path: Path) -> None:
    path = tmp_path / "route.gpx"
    path.write_text(GPX, encoding="utf-8")
    sidecar = tmp_path / "route.gpx.toml"
    sidecar.write_text('[[leg]]\nlegs = "1"\nspeed = "4 kn"', encoding="utf-8")
    assert read_routes(path)[0].legs[0].speed_kn == 4.0
    text = '[[leg]]\nlegs = "1"\nturn_radius = "1 nmi"'
    sidecar.write_text(text, encoding="utf-8")
    short = GPX.replace("</rte>", '<rtept lat="2" lon="1.01"/></rte>')
    path.write_text(short, encoding="utf-8")
    assert "cannot be made" in read_routes(path)[0].remarks[-1]
    sidecar.unlink()
    sidecar.symlink_to(tmp_path / "gone")
    with pytest.raises(BadInput, match=r"route\.gpx\.toml: there is no such file"):
        read_routes(path)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "the file is empty"),
        (b"PK\x03\x04rest", "zip archive; unpack it"),
        (b"$GPRMC", "this is no route"),
        (b"<kml/>", "<kml> is no route's"),
        (b"<html", "cut short"),
        (GPX[:40].encode(), "cut short"),
        (JSON[:40].encode(), "not JSON"),
        (b"[1,2]", "this is no route"),
        (b'<!DOCTYPE gpx [<!ENTITY a "b">]>' + GPX.encode(), "document type"),
    ],
)
def test_refusals(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "route.gpx"
    path.write_bytes(data)
    with pytest.raises(BadInput) as caught:
        read_routes(path)
    assert said in str(caught.value)


def test_no_file(tmp_path: Path) -> None:
    for name in ("none.gpx", "a\0b"):
        with pytest.raises(BadInput, match="no such file"):
            read_routes(tmp_path / name)
    with pytest.raises(BadInput, match="not a plain file"):
        read_routes(tmp_path)
    with pytest.raises(BadInput, match="cannot be read"):
        read_routes(tmp_path / ("x" * 300))


@given(st.binary(max_size=300), st.sampled_from([b"", b"<", b"{", b"\xff\xfe<", b"<gpx>"]))
def test_no_bytes_raise_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, data: bytes, start: bytes
) -> None:
    path = tmp_path_factory.mktemp("route") / "r"
    path.write_bytes(start + data)
    with pytest.raises(BadInput):
        read_routes(path, tracks=True)


@pytest.mark.parametrize("length", range(1, len(GPX)))
def test_no_cut_is_taken_for_a_whole(tmp_path: Path, length: int) -> None:
    path = tmp_path / "r.gpx"
    path.write_text(GPX[:length], encoding="utf-8")
    with pytest.raises(BadInput):
        read_routes(path)


def test_every_real_route_reads(real_data: Path) -> None:
    files = sorted((real_data / "routes").iterdir())
    assert len(files) >= 8
    for path in files:
        (route,) = read_routes(path)
        assert route.name == path.stem
