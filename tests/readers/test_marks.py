"""Hand-typed marks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.model.objects import Mark, MarkKind
from routecheck.readers.marks import read_marks

HEAD = "kind,name,colours,lon,lat\n"


def test_a_cardinal_mark_without_a_quadrant(tmp_path: Path) -> None:
    bare, coloured = read(tmp_path, HEAD + "cardinal,,,10,54\ncardinal,,black-yellow,10,55\n")
    assert bare.kind is coloured.kind is MarkKind.CARDINAL
    assert coloured.colours == ("black", "yellow")


def read(tmp_path: Path, data: str | bytes, **options: Any) -> tuple[Mark, ...]:
    path = tmp_path / "marks.csv"
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return read_marks(path, **options)


def test_marks_from_csv(tmp_path: Path) -> None:
    text = HEAD + (
        "lateral,No 1,red,10.5,54.25\r\n\r\n"
        'North,"Sand, outer",black-yellow,-10,54\n'
        "preferred-channel-to-port,<b>,green;red green,180,-54\n"
        "special,,,0,0\n"
    )
    first, second, third, fourth = read(tmp_path, b"\xef\xbb\xbf" + text.encode())
    assert (first.kind, first.name, first.colours) == (MarkKind.LATERAL, "No 1", ("red",))
    assert (first.lon_deg, first.lat_deg) == (10.5, 54.25)
    assert (first.key, first.source, first.cls) == ("marks.csv/mark/1", "marks.csv", "mark")
    assert (second.kind, second.name, second.colours) == (
        MarkKind.NORTH,
        "Sand, outer",
        ("black", "yellow"),
    )
    assert third.colours == ("green", "red", "green")
    assert (fourth.name, fourth.colours) == ("", ())


def test_columns_in_any_order_and_the_source_given(tmp_path: Path) -> None:
    (mark,) = read(tmp_path, "Lat,Lon,Kind\n54,10,safe-water\n", source="S")
    assert (mark.lat_deg, mark.key, mark.source) == (54.0, "S/mark/1", "S")


def test_marks_from_geojson(tmp_path: Path) -> None:
    point = {"type": "Point", "coordinates": [10, 54]}
    properties = {"kind": "port-hand", "colours": ["red"], "name": None, "fid": 3}
    feature = {"type": "Feature", "geometry": point, "properties": properties}
    (mark,) = read(tmp_path, json.dumps(feature))
    assert (mark.kind, mark.colours, mark.lon_deg) == (MarkKind.PORT_HAND, ("red",), 10.0)
    for wrong, said in (
        ({**feature, "properties": {"kind": "port-hand", "color": "red"}}, "mean 'colours'?"),
        ({**feature, "properties": {}}, "no kind"),
        ({**feature, "geometry": {"type": "LineString", "coordinates": []}}, "not a Point"),
        ({**feature, "properties": {"kind": "west", "colours": [1]}}, "not all text"),
    ):
        with pytest.raises(BadInput) as caught:
            read(tmp_path, json.dumps(wrong))
        assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HEAD, "holds no mark"),
        ("kind;name;colours;lon;lat\nwest;;;1;1", "parted by commas"),
        ("kind,color,lon,lat\nwest,,1,1", "'color' is no column"),
        ("kind,lon,lon,lat\nwest,1,1,1", "'lon' stands twice"),
        ("kind,lon\nwest,1", "no column 'lat'"),
        (HEAD + "west,,,1", "line 2: it has 4 values for 5 columns"),
        (HEAD + "west,a,,1,95", "line 2: latitude 95"),
        (HEAD + "\nwest,a,,1,NaN", "line 3: 'NaN' is not a number"),
        (HEAD + "west,a,,,1", "line 2: it is blank"),
        (HEAD + "port,a,red,1,1", "did you mean 'port-hand'?"),
        (HEAD + "buoy,a,red,1,1", "kinds are lateral"),
        (HEAD + "west,a,yelow,1,1", "did you mean 'yellow'?"),
        (HEAD + "lateral,a,,1,1", "needs colours"),
        (HEAD + ",a,red,1,1", "no kind"),
        (HEAD + 'west,"a,,1,1', "not CSV"),
        (b"kind,lon,lat\nwest,1,\xff", "line 2: this is not UTF-8"),
    ],
)
def test_refusals(tmp_path: Path, text: str | bytes, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text)
    assert said in str(caught.value)


@given(st.text(max_size=80) | st.text(alphabet=',"\nkindlonlat1;{}[]-', max_size=80))
def test_no_text_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    path = tmp_path_factory.mktemp("marks") / "m.csv"
    for whole in (text, HEAD + text, HEAD + "west,a,," + text):
        path.write_bytes(whole.encode("utf-8", "surrogatepass"))
        try:
            marks = read_marks(path)
        except BadInput:
            continue
        assert marks
