"""The member "crs" of a GeoJSON chart, and names that stand twice in one object.

RFC 7946, The GeoJSON Format (2016), section 4, has WGS 84 and no such member; The GeoJSON Format
Specification (2008), section 3, has it in any object, and null for "no system can be assumed"
(from memory).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from pyproj import Transformer

from routecheck.model.errors import BadInput
from routecheck.readers import geojson_members
from routecheck.readers.geojson_members import doubt_of, means_wgs84, members_of
from routecheck.readers.vector import read_vector
from tests.readers.test_vector import POINT, features


def named(name: Any) -> dict[str, Any]:
    return {"type": "name", "properties": {"name": name}}


def rock(**members: Any) -> dict[str, Any]:
    return features({"class": "UWTROC", "VALSOU": 1, "geometry": POINT}) | members


def place(folder: Path, text: str) -> tuple[float, float]:
    path = folder / "c.geojson"
    path.write_text(text, encoding="utf-8")
    (chart,) = read_vector(path)
    (danger,) = chart.dangers
    return danger.geometry.x, danger.geometry.y


def refused(folder: Path, text: str) -> str:
    with pytest.raises(BadInput) as caught:
        place(folder, text)
    return str(caught.value)


LINK = {"type": "link", "properties": {"href": "crs.wkt", "type": "ogcwkt"}}
UNKNOWN = [named("ED50"), named("urn:foo"), named("EPSG:99999"), named("NOTEPSG:4326x"), LINK, {}]


@pytest.mark.parametrize("crs", [*UNKNOWN, "EPSG:4230", 4230, named(None), named({}), []])
def test_an_unknown_system_is_not_taken_for_wgs84(tmp_path: Path, crs: Any) -> None:
    said = refused(tmp_path, json.dumps(rock(crs=crs)))
    assert "is not understood; reproject it to WGS 84, or name" in said


@pytest.mark.parametrize("key", ["crs", "CRS", "\\u0063rs"])
def test_null_means_that_none_can_be_assumed(tmp_path: Path, key: str) -> None:
    text = json.dumps(rock(crs=None)).replace('"crs"', f'"{key}"')
    assert "its member crs is null" in refused(tmp_path, text)


def test_in_three_dimensions_too(tmp_path: Path) -> None:
    shape = {"type": "Point", "coordinates": [10.05, 54.05, 1.0]}
    whole = features({"class": "UWTROC", "VALSOU": 1, "geometry": shape})
    assert "'ED50' is not understood" in refused(
        tmp_path, json.dumps(whole | {"crs": named("ED50")})
    )
    assert place(tmp_path, json.dumps(whole | {"crs": named("EPSG:4326")})) == (POINT.x, POINT.y)


def test_a_system_in_a_shape_or_a_feature_alone(tmp_path: Path) -> None:
    for crs in (named("EPSG:4230"), None):
        inner = rock()
        inner["features"][0]["geometry"] |= {"crs": crs}
        assert refused(tmp_path, json.dumps(inner))
        inner = rock()
        inner["features"][0] |= {"crs": crs}
        assert refused(tmp_path, json.dumps(inner))
    both = rock(crs=named("EPSG:4230"))
    both["features"][0] |= {"crs": named("EPSG:4326")}
    assert "several coordinate systems" in refused(tmp_path, json.dumps(both))


def test_lines_of_features_each_with_a_system(tmp_path: Path) -> None:
    line = json.dumps(rock()["features"][0] | {"crs": named("EPSG:4230")})
    assert "'EPSG:4230' is not understood" in refused(tmp_path, f"{line}\n{line}\n")


@pytest.mark.parametrize(
    "name",
    [
        *("urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:OGC::CRS84", "OGC:CRS84", "EPSG:4326"),
        *("urn:ogc:def:crs:EPSG::4326", "http://www.opengis.net/def/crs/OGC/1.3/CRS84"),
    ],
)
def test_wgs84_by_its_usual_names(tmp_path: Path, name: str) -> None:
    assert place(tmp_path, json.dumps(rock(crs=named(name)))) == (POINT.x, POINT.y)


def test_a_known_system_is_brought_to_wgs84(tmp_path: Path) -> None:
    move = Transformer.from_crs(4230, 4326, always_xy=True)
    wanted = move.transform(POINT.x, POINT.y)
    for crs in (named("EPSG:4230"), {"type": "EPSG", "properties": {"code": 4230}}):
        assert place(tmp_path, json.dumps(rock(crs=crs))) == pytest.approx(wanted, abs=1e-9)


def test_a_property_of_that_name_is_none(tmp_path: Path) -> None:
    whole = features({"class": "UWTROC", "VALSOU": 1, "crs": "ED50", "geometry": POINT})
    assert place(tmp_path, json.dumps(whole)) == (POINT.x, POINT.y)


def test_in_a_file_too_large_to_be_read_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It may stand at the end, and across two of the blocks that are read."""
    monkeypatch.setattr(geojson_members, "MOST_PARSED", 10)
    monkeypatch.setattr(geojson_members, "_BLOCK", 7)
    monkeypatch.setattr(geojson_members, "_LONGEST_VALUE", 90)
    for space in range(8):
        path = tmp_path / "c.geojson"
        text = json.dumps(rock(note='of "crs": {"', crs=named("ED50"))).replace(
            '"crs": {"ty', '"crs"' + " " * space + ':{"ty'
        )
        path.write_text(text, encoding="utf-8")
        members = members_of(str(path))
        assert members is not None
        assert members.stated == (named("ED50"),)
        assert "'ED50' is not understood" in doubt_of(members, "EPSG:4326")
    path.write_text(json.dumps(rock(crs=named("x" * 200))), encoding="utf-8")
    members = members_of(str(path))
    assert members is not None
    assert doubt_of(members, "EPSG:4326")
    path.write_text(json.dumps(rock(note="crs")), encoding="utf-8")
    members = members_of(str(path))
    assert members is not None
    assert doubt_of(members, "EPSG:4326") == ""


@pytest.mark.parametrize("before", [" " * 100, "\n" * 3000, "loadGeoJSON(", "jsonp(", "\ufeff"])
def test_whatever_stands_before_it(tmp_path: Path, before: str) -> None:
    """GDAL takes a call of a function round a GeoJSON, too."""
    text = before + json.dumps(rock(crs=named("ED50"))) + ")" * before.endswith("(")
    assert "'ED50' is not understood" in refused(tmp_path, text)


def test_names_that_only_end_like_wgs84_are_others() -> None:
    assert not means_wgs84(named("FOOEPSG:4326"))
    assert not means_wgs84(named("NAD27CRS84"))
    assert not means_wgs84(None)


def test_a_name_twice_in_one_object(tmp_path: Path) -> None:
    text = json.dumps(rock())
    twice = text.replace('"VALSOU": 1', '"VALSOU": 1, "VALSOU": 20')
    assert "the name 'VALSOU' stands twice in one object" in refused(tmp_path, twice)
    same = text.replace('"VALSOU": 1', '"VALSOU": 1, "VALSOU": 1')
    assert place(tmp_path, same) == (POINT.x, POINT.y)
