"""OpenStreetMap's seamark tags: what they become, from each format, and what they never do."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.errors import BadInput
from routecheck.model.objects import DangerKind, MarkKind
from routecheck.readers.folder import read_charts
from routecheck.readers.seamark_tags import NO_SEAMARK, WHY, charted, others
from routecheck.readers.vector import read_vector
from tests.osm_writer import write_overpass, write_pbf
from tests.readers.test_folder import vector

PORT = {
    "seamark:type": "buoy_lateral",
    "seamark:buoy_lateral:category": "port",
    "seamark:buoy_lateral:colour": "red",
    "seamark:buoy_lateral:system": "iala-a",
    "seamark:name": "P 4",
}
ROCK = {"seamark:type": "rock", "seamark:rock:water_level": "awash"}
BRIDGE = {
    "seamark:type": "bridge",
    "seamark:bridge:category": "swing",
    "seamark:bridge:clearance_height_closed": "3.5",
}
WRECK = {"seamark:type": "wreck", "seamark:wreck:category": "dangerous", "seamark:wreck:depth": "7"}
SECONDS = 10.0


def one(path: Path) -> Chart:
    (chart,) = read_charts([path]).charts
    return chart


def check_the_four(chart: Chart) -> None:
    (mark,) = chart.marks
    assert (mark.kind, mark.colours, mark.region) == (MarkKind.PORT_HAND, ("red",), "A")
    assert (mark.name, mark.floating) == ("P 4", True)
    assert (mark.lon_deg, mark.lat_deg) == (pytest.approx(10.01), pytest.approx(54.01))
    rock, wreck = sorted(chart.dangers, key=lambda danger: danger.kind.value)
    assert (rock.kind, rock.charted_depth_m, rock.uncovers) == (DangerKind.ROCK, None, True)
    assert (wreck.charted_depth_m, wreck.unreliable) == (7.0, True)
    (span,) = chart.spans
    assert (span.vertical_clearance_closed_m, span.opens) == (3.5, True)
    assert span.clearance_datum == chart.source.datum == "unknown"
    assert not chart.proves_absence
    assert not chart.source.quality.known


def test_the_same_four_from_pbf_overpass_and_geojson(tmp_path: Path) -> None:
    nodes = [
        (1, 10.01, 54.01, PORT),
        (2, 10.02, 54.02, ROCK),
        (3, 10.03, 54.03, WRECK),
        (4, 10.04, 54.04, {}),
        (5, 10.05, 54.04, {}),
    ]
    pbf = one(write_pbf(tmp_path / "a.osm.pbf", nodes, [(7, (4, 5), BRIDGE)]))
    elements = [
        {"type": "node", "id": i, "lon": lon, "lat": lat, **({"tags": tags} if tags else {})}
        for i, lon, lat, tags in nodes
    ]
    way = {"type": "way", "id": 7, "nodes": [4, 5], "tags": BRIDGE}
    overpass = one(write_overpass(tmp_path / "b.json", *elements, way))
    features = [
        {
            "type": "Feature",
            "properties": tags,
            "geometry": {"type": "Point", "coordinates": [lon, lat]},
        }
        for _, lon, lat, tags in nodes
        if tags
    ]
    line = {"type": "LineString", "coordinates": [[10.04, 54.04], [10.05, 54.04]]}
    features.append({"type": "Feature", "properties": BRIDGE, "geometry": line})
    path = tmp_path / "c.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    for chart in (pbf, overpass, one(path)):
        check_the_four(chart)
        assert chart.spans[0].geometry.equals(shapely.LineString(line["coordinates"]))
    assert pbf.source.format == overpass.source.format == "OpenStreetMap"
    assert overpass.source.issued == "2024-05-06"
    assert pbf.marks[0].key == "a.osm.pbf/BOYLAT/node 1"


@pytest.mark.parametrize(
    ("category", "system"),
    [("waterway_right", "iala-a"), ("channel_left", ""), ("port", "cevni"), ("starboard", "other")],
)
def test_what_names_a_river_bank_is_no_hand(category: str, system: str) -> None:
    """Banks are named looking downstream (OpenStreetMap wiki, Seamarks/CEVNI Lateral Marks)."""
    tags = {"seamark:type": "buoy_lateral", "seamark:buoy_lateral:category": category}
    tags["seamark:buoy_lateral:system"] = system
    cls, values = charted(tags)
    assert cls == "seamark:buoy_lateral"
    assert category in values[WHY] or system in values[WHY]


def test_a_bank_mark_is_a_mark_of_unknown_kind(tmp_path: Path) -> None:
    tags = PORT | {"seamark:buoy_lateral:category": "waterway_right"}
    chart = one(write_pbf(tmp_path / "a.pbf", [(1, 10.0, 54.0, tags)]))
    (mark,) = chart.marks
    assert (mark.kind, chart.unknown) == (MarkKind.UNKNOWN, ())
    assert "waterway_right" in mark.kind_doubt


@pytest.mark.parametrize(
    ("tags", "cls", "values"),
    [
        ({"seamark:type": "light_minor"}, "LNDMRK", {}),
        ({"seamark:type": "seagrass"}, "WEDKLP", {"CATWED": 3}),
        ({"seamark:light:colour": "red"}, NO_SEAMARK, {}),
        (
            {"seamark:type": "rock", "seamark:rock:depth": "6 ft 6 in"},
            "UWTROC",
            {"VALSOU": pytest.approx(1.9812), "QUASOU": "4"},
        ),
        (
            {
                "seamark:type": "cable_submarine",
                "seamark:cable_submarine:restriction": "no_entry;no_anchoring",
            },
            "CBLSUB",
            {"RESTRN": "7,1"},
        ),
    ],
)
def test_single_tags(tags: dict[str, str], cls: str, values: dict[str, object]) -> None:
    assert charted(tags) == (cls, values)


@pytest.mark.parametrize(
    "tags",
    [
        {"seamark:type": "something_new"},
        {"seamark:type": "rock;wreck"},
        {"seamark:rock:water_level": "covers"},
        {"seamark:type": "restricted_area"},
        {"seamark:type": "buoy_cardinal", "seamark:buoy_cardinal:system": "other"},
        {"seamark:type": "anchorage", "seamark:anchorage:restriction": "whatever"},
    ],
)
def test_what_is_not_understood_is_never_silent(tags: dict[str, str]) -> None:
    cls, values = charted(tags)
    assert cls.startswith("seamark:")
    assert values[WHY]


@pytest.mark.parametrize("kind", ["buoy_cardinal", "beacon_cardinal"])
@pytest.mark.parametrize("category", [None, "", "north-east", "6"])
def test_a_cardinal_mark_without_a_quadrant_keeps_its_look(
    tmp_path: Path, kind: str, category: str | None
) -> None:
    tags = {
        "seamark:type": kind,
        f"seamark:{kind}:colour": "black;yellow",
        "seamark:topmark:shape": "2 cones up",
    }
    if category is not None:
        tags[f"seamark:{kind}:category"] = category
    node = {"type": "node", "id": 7, "lon": 10.5, "lat": 54.1, "tags": tags}
    chart = one(write_overpass(tmp_path / "a.json", node))
    (mark,) = chart.marks
    assert (mark.kind, mark.colours) == (MarkKind.CARDINAL, ("black", "yellow"))
    assert mark.top_mark == "two cones, points up" and not chart.unknown


def test_a_depth_that_is_none_is_reported(tmp_path: Path) -> None:
    tags = WRECK | {"seamark:wreck:depth": "about 5"}
    chart = one(write_pbf(tmp_path / "a.pbf", [(1, 10.0, 54.0, tags)]))
    assert chart.dangers[0].charted_depth_m is None
    assert "about 5" in chart.problems[0].text


def test_a_closed_way_is_the_area_inside(tmp_path: Path) -> None:
    corners = [(1, 10.0, 54.0, {}), (2, 10.1, 54.0, {}), (3, 10.1, 54.1, {})]
    tags = {"seamark:type": "obstruction"}
    chart = one(write_pbf(tmp_path / "a.pbf", corners, [(9, (1, 2, 3, 1), tags)]))
    assert chart.dangers[0].geometry.contains(shapely.Point(10.07, 54.03))


def test_overpass_shapes_that_are_not_there(tmp_path: Path) -> None:
    tags = {"seamark:type": "wreck"}
    chart = one(
        write_overpass(
            tmp_path / "a.json",
            {"type": "way", "id": 1, "center": {"lon": 10.0, "lat": 54.0}, "tags": tags},
            {"type": "relation", "id": 2, "tags": tags},
            {"type": "node", "id": 3, "lon": 10, "lat": 54, "tags": ROCK},
            remark="runtime error: Query timed out",
        )
    )
    assert "only the centre is given" in chart.unknown[0].why
    told = " ".join(problem.text for problem in chart.problems)
    assert "Query timed out" in told
    assert "relation 2" in told


def test_overpass_members_of_a_relation_that_are_placed_elsewhere(tmp_path: Path) -> None:
    """ "out body" leaves places to the nodes themselves: the wiki, Overpass QL (from memory)."""
    node = {"type": "node", "id": 7, "lon": 10.0, "lat": 54.0}
    by_node = {"type": "relation", "id": 1, "members": [{"type": "node", "ref": 7}], "tags": ROCK}
    chart = one(write_overpass(tmp_path / "a.json", node, by_node))
    assert [d.geometry.wkt for d in chart.dangers] == ["POINT (10 54)"]
    for lost in ({"type": "node", "ref": 8}, {"type": "relation", "ref": 3}):
        held = [{"type": "node", "ref": 7}, lost]
        part = {"type": "relation", "id": 2, "members": held, "tags": ROCK}
        chart = one(write_overpass(tmp_path / "b.json", node, part))
        assert not chart.dangers
        assert "relation 2" in " ".join(problem.text for problem in chart.problems)


@pytest.mark.parametrize(
    ("more", "part"),
    [
        ({"seamark:rock:water_level": "awash"}, "dangers"),
        ({"seamark:restricted_area:restriction": "no_entry"}, "areas"),
        ({"seamark:bridge:clearance_height": "4"}, "spans"),
        ({"seamark:restricted_area:category": "whatever"}, "unknown"),
    ],
)
def test_what_an_element_says_that_it_is_beside_its_type(
    tmp_path: Path, more: dict[str, str], part: str
) -> None:
    node = {"type": "node", "id": 7, "lon": 10.0, "lat": 54.0}
    chart = one(write_overpass(tmp_path / "a.json", {**node, "tags": {**HARBOUR, **more}}))
    assert len(getattr(chart, part)) == 1
    # A light or top mark of a mark is none of them.
    mark = {"seamark:type": "buoy_lateral", "seamark:light:colour": "red",
            "seamark:topmark:shape": "cone", "seamark:buoy_lateral:category": "port"}  # fmt: skip
    assert others(mark) == []


HARBOUR = {"seamark:type": "harbour", "seamark:name": "Haven"}


@pytest.mark.parametrize("kind", ["gate", "lock_basin"])
def test_clearances_of_gates_and_locks(kind: str) -> None:
    tags = {"seamark:type": kind, f"seamark:{kind}:clearance_width": "2.5",
            f"seamark:{kind}:clearance_height": "3"}  # fmt: skip
    _, values = charted(tags)
    assert (values["HORCLR"], values["VERCLR"]) == (2.5, 3.0)


def test_a_water_level_that_is_no_word_of_the_tags_is_kept_for_the_reader() -> None:
    tags = {"seamark:type": "rock", "seamark:rock:water_level": "covers_and_uncovers"}
    assert charted(tags) == ("UWTROC", {"WATLEV": "covers_and_uncovers"})


def test_a_sidecar_may_state_the_datum(tmp_path: Path) -> None:
    path = write_pbf(tmp_path / "a.pbf", [(1, 10.0, 54.0, WRECK)])
    (tmp_path / "a.pbf.toml").write_text('datum = "LAT"', encoding="utf-8")
    assert one(path).source.datum == "LAT"


def test_tags_in_one_column_of_another_format(tmp_path: Path) -> None:
    """As GDAL writes OpenStreetMap into a GeoPackage: the rest of the tags in one column."""
    geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")
    tags = ",".join(f'"{key}"=>"{value}"' for key, value in PORT.items())
    frame = geopandas.GeoDataFrame(
        {"other_tags": [tags, '"highway"=>"path"']},
        geometry=[shapely.Point(10.0, 54.0), shapely.Point(10.1, 54.0)],
        crs=4326,
    )
    frame.to_file(tmp_path / "osm.gpkg", layer="points")
    (chart,) = read_vector(tmp_path / "osm.gpkg")
    assert [mark.kind for mark in chart.marks] == [MarkKind.PORT_HAND]
    assert chart.harmless == {NO_SEAMARK: 1}
    assert not chart.proves_absence


def test_no_seamark_at_all(tmp_path: Path) -> None:
    path = write_pbf(tmp_path / "a.pbf", [(1, 10.0, 54.0, {"highway": "crossing"})])
    with pytest.raises(BadInput, match="nothing in it carries a seamark tag"):
        read_charts([path])
    vector(tmp_path / "b.geojson")
    (unread,) = read_charts([tmp_path]).unread
    assert not unread.looks_like_chart


def broken(data: bytes) -> dict[str, bytes]:
    half = len(data) // 2
    return {
        "empty": b"",
        "cut": data[:half],
        "cut early": data[:20],
        "flipped": data[:half] + bytes([data[half] ^ 0xFF]) + data[half + 1 :],
        "flipped head": bytes([data[0] ^ 0xFF]) + data[1:],
        "zeros": data[:half] + bytes(len(data) - half),
    }


@pytest.mark.parametrize("name", ["a.osm.pbf", "a.json", "a.geojson"])
@pytest.mark.parametrize("how", ["empty", "cut", "cut early", "flipped", "flipped head", "zeros"])
def test_damaged_files(tmp_path: Path, name: str, how: str) -> None:
    """The rest of the folder counts, and what is damaged is listed or reports its own hole."""
    path = tmp_path / name
    nodes = [(i, 10.0 + i / 100, 54.0, PORT) for i in range(1, 60)]
    whole = [{"type": "node", "id": i, "lon": x, "lat": y, "tags": t} for i, x, y, t in nodes]
    if name.endswith("pbf"):
        write_pbf(path, nodes)
    elif name.endswith("json") and "geo" not in name:
        write_overpass(path, *whole)
    else:
        rows = [
            {
                "type": "Feature",
                "properties": t,
                "geometry": {"type": "Point", "coordinates": [x, y]},
            }
            for _, x, y, t in nodes
        ]
        path.write_text(json.dumps({"type": "FeatureCollection", "features": rows}))
    path.write_bytes(broken(path.read_bytes())[how])
    vector(tmp_path / "good.geojson")
    begin = time.monotonic()
    charts = read_charts([tmp_path])
    assert time.monotonic() - begin < SECONDS
    by_id = {chart.source.id: chart for chart in charts.charts}
    assert len(by_id["good.geojson"].depth_areas) == 1
    if name not in by_id:
        (unread,) = charts.unread
        assert unread.looks_like_chart
        assert unread.why
        assert "\n" not in unread.why
    else:
        # One flipped bit inside a name or number may leave a whole file of other content.
        chart = by_id[name]
        assert how.startswith("flipped")
        assert len(chart.marks) + len(chart.unknown) >= 58 or chart.problems


def test_real_overpass_data(real_data: Path) -> None:
    path = real_data / "osm_lights_overpass" / "data.json"
    chart = one(path)
    held = json.loads(path.read_text(encoding="utf-8"))["elements"]
    types = [element.get("tags", {}).get("seamark:type", "") for element in held]
    assert chart.counts["BOYLAT"] == types.count("buoy_lateral") == 76
    assert chart.counts["BCNLAT"] == types.count("beacon_lateral") == 50
    assert chart.source.issued == "2017-08-31"
    assert chart.depth_areas == ()


def besides(kind: str, tags: list[dict[str, str]]) -> int:
    typed = [t for t in tags if t.get("seamark:type", "") not in ("", kind)]
    return sum(any(key.startswith(f"seamark:{kind}:") for key in t) for t in typed)


def test_the_real_world_extract(real_data: Path) -> None:
    """Counted by GDAL's own reading of the tags. Its nodes come twice, so no way can be built."""
    raw = pytest.importorskip("pyogrio.raw", reason="pyogrio is not installed")
    path = real_data / "osm_seamarks_world" / "seamarks.pbf"
    meta, _, _, columns = raw.read(path, layer="points", TAGS_FORMAT="JSON")
    tags = [json.loads(t) for t in columns[list(meta["fields"]).index("other_tags")] if t]
    types = [one_of.get("seamark:type", "") for one_of in tags]
    chart = one(path)
    # Some say something of a rock or wreck that are something else by their type.
    assert (types.count("rock"), types.count("wreck")) == (24913, 3285)
    assert (besides("rock", tags), besides("wreck", tags)) == (13, 1)
    assert chart.counts["UWTROC"] == 24913 + 13
    assert chart.counts["WRECKS"] == 3285 + 1
    lateral = chart.counts["BOYLAT"] + chart.counts["seamark:buoy_lateral"]
    assert types.count("buoy_lateral") == 13427
    # Lights that carry a lateral buoy's category, and no lateral beacon's, are that buoy.
    lit = sum(
        one_of.get("seamark:type", "").startswith("light_")
        and one_of.get("seamark:buoy_lateral:category") in ("port", "starboard")
        and "seamark:beacon_lateral:category" not in one_of
        for one_of in tags
    )
    assert lateral == 13427 + lit and lit == 5
    assert any("ways and relations could not be read" in p.text for p in chart.problems)
