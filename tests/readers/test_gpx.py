"""GPX: what is read, and what is refused with one line."""

from __future__ import annotations

from pathlib import Path
from xml.sax.saxutils import escape

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.model.route import LegLine, Route
from routecheck.readers.gpx import read_gpx
from routecheck.readers.waypoints import REPEATED

GPX11 = ' xmlns="http://www.topografix.com/GPX/1/1" version="1.1"'
GPX10 = ' xmlns="http://www.topografix.com/GPX/1/0" version="1.0"'
TWO = '<rtept lat="54.1" lon="10.2"/><rtept lat="54.2" lon="10.3"/>'


def gpx(inside: str, root: str = GPX11) -> str:
    return f'<?xml version="1.0" encoding="UTF-8"?>\n<gpx{root}>\n{inside}\n</gpx>\n'


def read(tmp_path: Path, text: str | bytes, *, tracks: bool = False) -> tuple[Route, ...]:
    path = tmp_path / "some route.gpx"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_gpx(path, tracks=tracks)


def refused(tmp_path: Path, text: str | bytes, *, tracks: bool = False) -> str:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text, tracks=tracks)
    line = str(caught.value)
    assert "\n" not in line and line.startswith(str(tmp_path / "some route.gpx"))
    return line


@pytest.mark.parametrize("root", [GPX11, GPX10, ""])
def test_both_versions_and_no_namespace(tmp_path: Path, root: str) -> None:
    inside = (
        "<metadata><name>not the route</name></metadata>"
        '<rte><name>Out</name><rtept lat="54.1" lon="10.2"><ele>0</ele><name>Pier</name></rtept>'
        '<rtept lat="+54.20" lon=" -1.5e1 "/></rte>'
    )
    (route,) = read(tmp_path, gpx(inside, root))
    assert route.name == "Out"
    assert [(w.name, w.lat_deg, w.lon_deg) for w in route.waypoints] == [
        ("Pier", 54.1, 10.2),
        ("WP 2", 54.2, -15.0),
    ]
    (leg,) = route.legs
    assert (leg.number, leg.line, leg.xtd_port_m, leg.speed_kn) == (1, LegLine.RHUMB, None, None)
    assert route.remarks == ()


def test_several_routes_are_named_apart(tmp_path: Path) -> None:
    routes = read(tmp_path, gpx(f"<rte>{TWO}</rte><rte><name>B</name>{TWO}</rte>"))
    assert [route.name for route in routes] == ["some route 1", "B"]


def test_tracks_only_where_asked_for(tmp_path: Path) -> None:
    points = TWO.replace("rtept", "trkpt")
    trk = f"<trk><name>Log</name><trkseg>{points}</trkseg><trkseg>{points}</trkseg></trk>"
    assert "--track" in refused(tmp_path, gpx(trk))
    first, second = read(tmp_path, gpx(trk), tracks=True)
    assert (first.name, second.name) == ("Log (segment 1)", "Log (segment 2)")
    assert "between them" in first.remarks[0]
    (route,) = read(tmp_path, gpx(f"<rte>{TWO}</rte>{trk}"))
    assert "--track" in route.remarks[0]
    assert len(read(tmp_path, gpx(f"<rte>{TWO}</rte>{trk}"), tracks=True)) == 3


def test_short_segments_are_left_out_and_said(tmp_path: Path) -> None:
    points = TWO.replace("rtept", "trkpt")
    trk = f'<trk><trkseg><trkpt lat="1" lon="1"/></trkseg><trkseg>{points}</trkseg></trk>'
    (track,) = read(tmp_path, gpx(trk), tracks=True)
    assert track.name == "some route"
    assert any("left out" in remark for remark in track.remarks)
    alone = '<trk><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>'
    assert "two points" in refused(tmp_path, gpx(alone), tracks=True)


def test_repeated_positions_are_dropped_with_a_remark(tmp_path: Path) -> None:
    inside = (
        '<rte><rtept lat="54" lon="180"><name>A</name></rtept>'
        '<rtept lat="54" lon="-180"><name>B</name></rtept>'
        '<rtept lat="54.0000000001" lon="180"/><rtept lat="54.1" lon="179"/></rte>'
    )
    (route,) = read(tmp_path, gpx(inside))
    assert [w.name for w in route.waypoints] == ["A", "WP 4"]
    assert len(route.remarks) == 2
    assert route.remarks[0].startswith(REPEATED) and "'B'" in route.remarks[0]


def test_names_keep_nothing_that_disturbs(tmp_path: Path) -> None:
    hostile = "<script>alert(1)</script>"
    inside = (
        f"<rte><name>{escape(hostile)}</name>"
        '<rtept lat="1" lon="1"><name>a\u202eb\u0085c\n d\u200b</name></rtept>'
        f'<rtept lat="2" lon="1"><name>{"x" * 5000}</name></rtept></rte>'
    )
    (route,) = read(tmp_path, gpx(inside))
    assert route.name == hostile
    assert route.waypoints[0].name == "abc d"
    assert len(route.waypoints[1].name) == 200


def test_extensions_are_said_to_be_unread(tmp_path: Path) -> None:
    inside = (
        '<rte><rtept lat="1" lon="1"><extensions><name>no</name><rpt lat="5" lon="5"/>'
        '</extensions></rtept><rtept lat="2" lon="1"/></rte>'
    )
    (route,) = read(tmp_path, gpx(inside))
    assert [w.name for w in route.waypoints] == ["WP 1", "WP 2"]
    assert "straight from waypoint to waypoint" in route.remarks[0]


@pytest.mark.parametrize(
    ("lat", "lon", "said"),
    [
        ("95", "1", "latitude 95"),
        ("NaN", "1", "'NaN' is not a number"),
        ("inf", "1", "'inf' is not a number"),
        ("1e400", "1", "too large"),
        ("54,1", "1", "decimal point"),
        ("1_0", "1", "not a number"),
        ("٥٤", "1", "not a number"),
        ("", "1", "blank"),
        ("0" * 100 + "1", "1", "101 characters"),
        ("1", "180.5", "longitude 180.5"),
        ("1", "0x10", "not a number"),
    ],
)
def test_a_bad_number_is_told_with_its_waypoint(
    tmp_path: Path, lat: str, lon: str, said: str
) -> None:
    inside = f'<rte>{TWO}\n<rtept lat="{lat}" lon="{lon}"><name>Far</name></rtept></rte>'
    line = refused(tmp_path, gpx(inside))
    assert said in line and "waypoint 3 ('Far'), line 4" in line


def test_refusals(tmp_path: Path) -> None:
    assert "no lat" in refused(tmp_path, gpx('<rte><rtept lon="1"/><rtept lon="2"/></rte>'))
    assert "one waypoint" in refused(tmp_path, gpx('<rte><rtept lat="1" lon="1"/></rte>'))
    assert "no waypoint" in refused(tmp_path, gpx("<rte/>"))
    same = '<rtept lat="1" lon="1"/>'
    assert "one position" in refused(tmp_path, gpx(f"<rte>{same}{same}</rte>"))
    assert "no route" in refused(tmp_path, gpx(""))
    assert "3 single waypoints" in refused(tmp_path, gpx('<wpt lat="1" lon="1"/>' * 3))
    polar = TWO.replace("54.2", "86")
    assert "beyond 85 degrees" in refused(tmp_path, gpx(f"<rte>{polar}</rte>"))
    half = '<rtept lat="1" lon="-170"/><rtept lat="2" lon="10"/>'
    assert "half-way round" in refused(tmp_path, gpx(f"<rte>{half}</rte>"))
    stray = f"<rte>{TWO}</rte><rtept lat='1' lon='1'/>"
    assert "outside its route" in refused(tmp_path, gpx(stray))
    assert "namespace" in refused(tmp_path, gpx(f"<rte>{TWO}</rte>", ' xmlns="urn:other"'))
    assert "<kml>" in refused(tmp_path, "<kml/>")


def test_a_waypoint_too_many(tmp_path: Path) -> None:
    points = "".join(f'<rtept lat="{n / 2000:.5f}" lon="1"/>' for n in range(100_001))
    assert "more than 100000" in refused(tmp_path, gpx(f"<rte>{points}</rte>"))


def test_a_leg_over_the_antimeridian_is_kept(tmp_path: Path) -> None:
    inside = '<rte><rtept lat="1" lon="179"/><rtept lat="1" lon="-179"/></rte>'
    (route,) = read(tmp_path, gpx(inside))
    assert [w.lon_deg for w in route.waypoints] == [179.0, -179.0]


NAMES = st.text("abc <>&\"'é日-", max_size=30)
DEGREES = st.integers(-84_000_000, 84_000_000).map(lambda n: n / 1e6)
POINTS = st.lists(
    st.tuples(DEGREES, DEGREES, NAMES), min_size=2, max_size=8, unique_by=lambda p: p[:2]
)


@given(name=NAMES, points=POINTS)
def test_what_is_written_is_read(
    tmp_path_factory: pytest.TempPathFactory, name: str, points: list[tuple[float, float, str]]
) -> None:
    inside = "".join(
        f'<rtept lat="{lat}" lon="{lon}"><name>{escape(n)}</name></rtept>' for lat, lon, n in points
    )
    path = tmp_path_factory.mktemp("gpx") / "r.gpx"
    path.write_text(gpx(f"<rte><name>{escape(name)}</name>{inside}</rte>"), encoding="utf-8")
    (route,) = read_gpx(path)
    assert route.remarks == ()
    assert route.name == (" ".join(name.split()) or "r")
    assert [(w.lat_deg, w.lon_deg, w.name) for w in route.waypoints] == [
        (lat, lon, " ".join(n.split()) or f"WP {i}") for i, (lat, lon, n) in enumerate(points, 1)
    ]
    assert [leg.number for leg in route.legs] == list(range(1, len(points)))
    assert all(a.end is b.start for a, b in zip(route.legs, route.legs[1:], strict=False))


@given(st.binary(max_size=400) | st.text(alphabet="<>/=\"' rtegpxlaon1&;![]\n").map(str.encode))
def test_no_bytes_raise_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    path = tmp_path_factory.mktemp("gpx") / "r.gpx"
    for whole in (data, gpx("").encode().replace(b"</gpx>", data)):
        path.write_bytes(whole)
        with pytest.raises(BadInput):
            read_gpx(path, tracks=True)


def test_the_real_routes(real_data: Path) -> None:
    """Counts of waypoints: README of the data, section "Routes"."""
    counts = {
        "A_choptank_inbound": 8,
        "A_choptank_safe": 10,
        "B1_s64_south_channel": 6,
        "B2_s64_harbour": 9,
        "C_treguier_inbound": 19,
        "D_elbe_fairway": 10,
        "E_lis_survey": 4,
        "F_oresund_gebco": 6,
    }
    files = sorted((real_data / "routes").glob("*.gpx"))
    assert [path.stem for path in files] == sorted(counts)
    for path in files:
        (route,) = read_gpx(path)
        assert (route.name, len(route.waypoints), route.remarks) == (
            path.stem,
            counts[path.stem],
            (),
        )
