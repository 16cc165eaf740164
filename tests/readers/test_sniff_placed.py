"""A table, JSON, XML or spreadsheet that may place something is told, whatever its dialect."""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.readers.folder import read_charts
from routecheck.readers.sniff import Kind, sniff
from tests.readers.test_folder import vector, why

MARKS = "kind;name;colours;lon;lat\nnorth;N;black-yellow;{};{}\n"
QUOTED = '"kind";"name";"colours";"lon";"lat"\n"north";"N";"black-yellow";"5,01";"50,001"\n'
COMMAS = "kind,name,colours,lon,lat\nnorth,N,black-yellow,5.01,50.001\n"
POINT = (
    '{"type": "FeatureCollection", "features": [{"type": "Feature", "properties": '
    '{"class": "UWTROC"}, "geometry": {"type": "Point", "coordinates": [5.01, 50]}}]}'
)
OTHER_JSON = (
    '{"geometryType": "geometryPoint", "spatialReference": {"wkid": 4326}, "features": '
    '[{"attributes": {"class": "UWTROC"}, "geometry": {"x": 5.01, "y": 50}}]}'
)
PLACED = [
    ("semicolons.csv", MARKS.format("5,01", "50,001"), "part them by commas"),
    ("points.csv", MARKS.format("5.01", "50.001"), "part them by commas"),
    ("quoted.csv", QUOTED, "part them by commas"),
    ("tabs.csv", MARKS.format("5.01", "50.001").replace(";", "\t"), "part them by commas"),
    ("marks.tsv", "kind\tname\tlon\tlat\nnorth\tN\t5.01\t50.001\n", "not read"),
    ("named.csv", "type,name,lng,latitude\nnorth,N,5.01,50.001\n", "not read"),
    ("words.csv", "Art,Name,Laenge,Breite\nnorth,N,5,50\n", "not read"),
    ("one.csv", "lon;lat;depth\n5,01;50,0;1,0\n", "not read"),
    ("more.csv", "lon;lat;depth\n5,0102;50,0103;1,05\n5,0103;50,0203;1,02\n", "not read"),
    ("classes.csv", "class,remark\nUWTROC,near the pier\n", "not read"),
    ("depths.csv", "station,mindepth\nA,few\n", "not read"),
    ("bare.csv", "A,5,50\n", "not read"),
    ("words.dat", "name;depth\nA;1\n", "not read"),
    ("commas.dat", "5,01 50,0 1,0\n5,011 50,0 1,0\n5,012 50,0 1,0\n", "soundings"),
    ("one.dat", "5.01 50.0 1.0\n", "soundings"),
    ("headed.txt", "Survey\nof a bay\nby boat\n" + "5.01 50.02 1.0\n" * 3, "soundings"),
    ("pairs.txt", "5.01 50.0\n5.02 50.0\n", "soundings"),
    ("wkt.csv", "what,how,WKT\nUWTROC,1,POINT (5.01 50.0)\n", "not read"),
    ("wkt.txt", "UWTROC POINT Z(5.01 50.0 1)\n", "not read"),
    ("minutes.csv", "name,where\nRock,50 00.0N 005 00.6E\n", "not read"),
    ("minutes.txt", "Rocks\n50\u00b0 00.0'N 005\u00b0 00.6'E\n", "not read"),
    ("letters.txt", "Rocks\nN50 00.0 E005 00.6\n", "not read"),
    ("other.json", OTHER_JSON, "JSON"),
    ("list.json", '[{"lat": 50.0, "lon": 5.01, "depth": 1.0}]', "JSON"),
    ("list.txt", '[{"lat": 50.0, "lon": 5.01, "depth": 1.0}]', "JSON"),
    ("pairs.json", '{"rocks": [[5.01, 50]]}', "JSON"),
    ("service.xml", "<wfs:FeatureCollection xmlns:wfs='http://www.opengis.net/wfs'/>", "XML"),
    ("rocks.xml", "<rocks><rock lat='50' lon='5.01'/></rocks>", "XML"),
    ("rocks.dat", "<rocks><rock><lat>50</lat></rock></rocks>", "XML"),
]


@pytest.mark.parametrize(("name", "text", "said"), PLACED, ids=[row[0] for row in PLACED])
def test_what_may_place_something_is_told(tmp_path: Path, name: str, text: str, said: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    vector(tmp_path / "good.geojson")
    told, looks = why(read_charts([tmp_path]))[name]
    assert looks
    assert said in told


@pytest.mark.parametrize("coding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
@pytest.mark.parametrize(
    ("name", "text"), [("marks.csv", COMMAS), ("a.json", POINT), ("a.txt", "5.1 50.2 1.0\n" * 3)]
)
def test_a_text_of_wide_letters_is_told(tmp_path: Path, name: str, text: str, coding: str) -> None:
    path = tmp_path / name
    path.write_bytes(text.encode(coding))
    assert sniff(path).looks_like_chart
    assert "save it as UTF-8" in sniff(path).why
    path.write_bytes("Ten sheets, three pencils\n".encode(coding))
    assert name == "a.json" or not sniff(path).looks_like_chart


@pytest.mark.parametrize("name", ["rocks.xlsx", "rocks.ods", "rocks.XLS"])
def test_a_spreadsheet_is_told(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"PK\x03\x04\x00\x00")
    assert sniff(tmp_path / name).looks_like_chart
    assert "spreadsheet" in sniff(tmp_path / name).why


def test_a_picture_with_a_place_is_told(tmp_path: Path) -> None:
    (tmp_path / "harbour.png").write_bytes(b"\x89PNG\r\n\x1a\n\0\0")
    assert not sniff(tmp_path / "harbour.png").looks_like_chart
    (tmp_path / "harbour.pgw").write_text("1\n", encoding="utf-8")
    assert sniff(tmp_path / "harbour.png").looks_like_chart


def test_numbers_that_are_no_text_are_told_whatever_they_are_called(tmp_path: Path) -> None:
    (tmp_path / "rocks.txt").write_bytes(b"\0\1\2\3" * 100)
    assert sniff(tmp_path / "rocks.txt").looks_like_chart


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("tides.csv", "time,height_m,kind\n2019-01-01T00:00Z,1.3,high\n"),
        ("constants.csv", "name,amplitude_m,phase_deg,speed_deg_per_h\nM2,1.2,134.2,28.9\n"),
        ("findings.csv", "row,number,severity,check,title,lon,lat\nverdict,,,,hazards,,\n"),
        ("findings.json", '{"schema": 1, "verdict": "hazards", "legs": [{"lat": 5.0}]}'),
        ("charts.json", '{"schema": 1, "caution": "", "sources": [{"lat": 5.0}]}'),
        ("crew.csv", "name,phone\nAnn,555\n"),
        ("about.json", '{"name": "charts", "version": 1}'),
        ("tide.toml", "[[levels]]\nposition = [5.0, 50.0]\n"),
        ("notes.xml", "<notes><a>Ten sheets</a></notes>"),
        ("route.xml", '<gpx><rte><rtept lat="5" lon="5"/></rte></gpx>'),
        ("LICENSE", "Anyone may copy this, at 1.0 or 2.0 times the price.\n"),
        ("README.txt", "Charts of the bay\nMade in 2019, version 1.2, 3 files.\n"),
    ],
)
def test_what_is_surely_no_chart_is_listed_only(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    sniffed = sniff(tmp_path / name)
    assert sniffed.kind is Kind.NONE
    assert not sniffed.looks_like_chart


@pytest.mark.parametrize(
    ("inside", "looks"),
    [
        ('<wpt lat="5" lon="5"><name>Rock awash</name></wpt>', True),
        ("<!--" + "x" * (2**20 - 10) + '--><wpt lat="5" lon="5"/>', True),
        ('<rte><rtept lat="5" lon="5"/></rte>', False),
    ],
)
def test_waypoints_of_a_gpx_file_may_mark_dangers(tmp_path: Path, inside: str, looks: bool) -> None:
    """GPX 1.1 schema: wpt is a place by itself, rtept and trkpt are of a route and a track."""
    path = tmp_path / "places.gpx"
    path.write_text(f'<gpx version="1.1">{inside}</gpx>', encoding="utf-8")
    assert sniff(path).looks_like_chart is looks


@pytest.mark.parametrize("coding", ["utf-8-sig", "utf-16", "utf-16-be"])
@pytest.mark.parametrize("name", ["wpt", "g:wpt"])
def test_waypoints_are_seen_in_any_coding_and_namespace(
    tmp_path: Path, coding: str, name: str
) -> None:
    path = tmp_path / "places.gpx"
    path.write_bytes(f'<gpx version="1.1"><{name} lat="5" lon="5"/></gpx>'.encode(coding))
    assert sniff(path).looks_like_chart
