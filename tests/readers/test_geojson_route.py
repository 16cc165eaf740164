"""Routes from GeoJSON (RFC 7946): longitude first."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.model.route import Route
from routecheck.readers.geojson_route import read_geojson_route

LINE = {"type": "LineString", "coordinates": [[10.0, 54.0], [10.5, 54.25, 3.0], [11.0, 54.0]]}


def read(tmp_path: Path, value: Any) -> tuple[Route, ...]:
    path = tmp_path / "leg.geojson"
    text = value if isinstance(value, str) else json.dumps(value)
    path.write_text(text, encoding="utf-8")
    return read_geojson_route(path)


def refused(tmp_path: Path, value: Any) -> str:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, value)
    return str(caught.value)


def feature(geometry: Any, **properties: Any) -> dict[str, Any]:
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def line(*positions: Any) -> dict[str, Any]:
    return {"type": "LineString", "coordinates": list(positions)}


def test_a_bare_line(tmp_path: Path) -> None:
    (route,) = read(tmp_path, LINE)
    assert route.name == "leg"
    assert [(w.name, w.lon_deg, w.lat_deg) for w in route.waypoints] == [
        ("WP 1", 10.0, 54.0),
        ("WP 2", 10.5, 54.25),
        ("WP 3", 11.0, 54.0),
    ]


def test_a_feature_with_names(tmp_path: Path) -> None:
    named = feature(LINE, name="Round the\nsand", names=["Quay", None, "<b>"])
    (route,) = read(tmp_path, named)
    assert route.name == "Round the sand"
    assert [w.name for w in route.waypoints] == ["Quay", "WP 2", "<b>"]


def test_many_lines_are_many_routes(tmp_path: Path) -> None:
    many = {"type": "MultiLineString", "coordinates": [LINE["coordinates"]] * 2}
    point = {"type": "Point", "coordinates": [0, 0]}
    collection = {
        "type": "FeatureCollection",
        "features": [
            feature(LINE, name="A"),
            feature(point),
            feature(many, names=[["a", "b", "c"], ["d", "e", "f"]]),
        ],
    }
    routes = read(tmp_path, collection)
    assert [route.name for route in routes] == ["A", "leg 2", "leg 3"]
    assert [w.name for w in routes[2].waypoints] == ["d", "e", "f"]
    assert "1 features" in routes[0].remarks[0]


def test_lines_in_a_collection_are_routes(tmp_path: Path) -> None:
    # RFC 7946, 3.1.8: a GeometryCollection holds geometries, collections as well.
    deeper = {"type": "GeometryCollection", "geometries": [line([10, 54], [11, 55])]}
    many = {"type": "MultiLineString", "coordinates": [[[1, 2], [3, 4]]]}
    point = {"type": "Point", "coordinates": [0, 0]}
    within = {"type": "GeometryCollection", "geometries": [point, deeper, LINE, many]}
    collection = {
        "type": "FeatureCollection",
        "features": [feature(LINE, name="A"), feature(within, name="B"), feature(None)],
    }
    routes = read(tmp_path, collection)
    assert [route.name for route in routes] == ["A", "B", "B", "B"]
    assert [len(route.waypoints) for route in routes] == [3, 3, 2, 2]
    assert "2 features" in routes[0].remarks[0]


def test_one_line_in_a_bare_collection_has_its_names(tmp_path: Path) -> None:
    within = {"type": "GeometryCollection", "geometries": [LINE]}
    (route,) = read(tmp_path, feature(within, name="B", names=["a", "b", "c"]))
    assert [w.name for w in route.waypoints] == ["a", "b", "c"]
    (route,) = read(tmp_path, within)
    assert len(route.waypoints) == 3


@pytest.mark.parametrize("within", [None, {}, [None], [{"type": "Curve"}], ["LineString"]])
def test_a_collection_of_what_is_no_geometry_is_refused(tmp_path: Path, within: Any) -> None:
    collection = {
        "type": "FeatureCollection",
        "features": [
            feature(LINE),
            feature({"type": "GeometryCollection", "geometries": within}),
        ],
    }
    assert "feature 2" in refused(tmp_path, collection)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (line([10, 54], [10, True]), "True is not a number"),
        (line([10, 54], [10, "54"]), "'54' is not a number"),
        (line([10, 54], [10, None]), "None is not a number"),
        (line([10, 54], [10]), "not a list [longitude, latitude]"),
        (line([10, 54], [10, 95]), "waypoint 2: latitude 95"),
        (line([10, 54], [200, 4]), "longitude 200"),
        (line([10, 54]), "one waypoint"),
        (line([10, 54], [10, 54]), "one position"),
        ({"type": "LineString"}, "not a list"),
        ({"type": "Point", "coordinates": [1, 2]}, "no LineString"),
        ({"type": "Circle"}, "not one of GeoJSON's"),
        (feature({"type": "Blob"}), "not one of GeoJSON's"),
        ({"type": "FeatureCollection", "features": {}}, "not a list"),
        ({"type": "FeatureCollection", "features": [3]}, "feature 1: it is no GeoJSON feature"),
        (feature(LINE, names=["a"]), "not a list of 3"),
        (feature(LINE, names=["a", "b", 3]), "waypoint 3: name 3 is not text"),
        (feature(LINE, name=["a"]), "name a list is not text"),
        ({**LINE, "crs": {"properties": {"name": "EPSG:25832"}}}, "'EPSG:25832' is not longitude"),
        ({**LINE, "crs": {"properties": {"name": "XEPSG:4326"}}}, "'XEPSG:4326' is not longitude"),
        ({**LINE, "crs": None}, "'null' is not longitude"),
        ("[1, 2]", "no GeoJSON object"),
        ('{"type": "LineString", "coordinates": [[1, NaN], [1, 2]]}', "NaN stands where"),
        ('{"type": "LineString", "coordinates": [[1, 1e999], [1, 2]]}', "too large"),
        (
            '{"type": "LineString", "coordinates": [[1, %s], [1, 2]]}' % ("9" * 5000),
            "5000 characters",
        ),
        ('{"type": "LineString", "type": "Point"}', "'type' stands twice"),
        ('{"type":\n"LineString",\n', "line 3"),
        ("[" * 100_000, "nested too deep"),
    ],
)
def test_refusals(tmp_path: Path, value: Any, said: str) -> None:
    assert said in refused(tmp_path, value)


def test_wgs84_by_its_names_is_taken(tmp_path: Path) -> None:
    for name in ("urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:EPSG::4326"):
        assert read(tmp_path, {**LINE, "crs": {"type": "name", "properties": {"name": name}}})


def test_a_file_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecheck.readers.jsonfile.MOST_BYTES", 2**20)
    assert "larger than 1 MB" in refused(tmp_path, json.dumps(LINE) + " " * 2**20)


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["type", "coordinates", "geometry", "properties", "features", "names"]),
            inner
            | st.sampled_from(["LineString", "Feature", "FeatureCollection", "MultiLineString"]),
            max_size=4,
        )
    ),
    max_leaves=20,
)


@given(JSON)
def test_no_json_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, value: Any
) -> None:
    path = tmp_path_factory.mktemp("json") / "r.geojson"
    for whole in (value, {"type": "LineString", "coordinates": value}, feature(value)):
        path.write_text(json.dumps(whole), encoding="utf-8")
        try:
            routes = read_geojson_route(path)
        except BadInput:
            continue
        assert all(len(route.waypoints) >= 2 for route in routes)
