"""Vector files: GeoPackage, GeoJSON, Shapefile and FlatGeobuf, written by other libraries."""

from __future__ import annotations

import json
import math
import sqlite3
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.model.objects import MarkKind
from routecheck.model.source import SourceKind
from routecheck.readers.vector import COMPANIONS, read_vector

geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")
fiona = pytest.importorskip("fiona", reason="fiona is not installed")

SQUARE = shapely.box(10.0, 54.0, 10.1, 54.1)
POINT = shapely.Point(10.05, 54.05)
WRITERS = {"chart.gpkg": "GPKG", "chart.geojson": "GeoJSON", "chart.shp": "ESRI Shapefile"}
WRITERS |= {"chart.fgb": "FlatGeobuf", "chart.gml": "GML"}
ONE_MILLIMETRE_DEG = 1e-8


def features(*rows: dict[str, Any]) -> dict[str, Any]:
    """A GeoJSON of features; the geometry stands under "geometry", the rest are properties."""
    made = []
    for row in rows:
        shape = row.pop("geometry")
        geometry = shape if isinstance(shape, dict) else shapely.geometry.mapping(shape)
        made.append({"type": "Feature", "properties": row, "geometry": geometry})
    return {"type": "FeatureCollection", "features": made}


def read(folder: Path, *rows: dict[str, Any], sidecar: str = "", name: str = "c.geojson") -> Chart:
    path = folder / name
    path.write_text(json.dumps(features(*rows)), encoding="utf-8")
    if sidecar:
        (folder / f"{name}.toml").write_text(sidecar, encoding="utf-8")
    (chart,) = read_vector(path)
    return chart


def refused(folder: Path, *rows: dict[str, Any], sidecar: str = "") -> str:
    with pytest.raises(BadInput) as caught:
        read(folder, *rows, sidecar=sidecar)
    assert "\n" not in str(caught.value)
    return str(caught.value)


@pytest.mark.parametrize("name", WRITERS)
def test_depth_areas_from_every_format(tmp_path: Path, name: str) -> None:
    frame = geopandas.GeoDataFrame(
        {"DRVAL1": [5.0, None, -1.5], "DRVAL2": [10.0, None, 0.0], "OBJNAM": ["Bank", None, ""]},
        geometry=[SQUARE, shapely.box(11, 54, 11.1, 54.1), shapely.box(12, 54, 12.1, 54.1)],
        crs=4326,
    )
    path = tmp_path / name
    options = {"layer": "DEPARE"} if name.endswith("gpkg") else {}
    frame.to_file(path, driver=WRITERS[name], **options)
    (tmp_path / f"{name}.toml").write_text('datum = "LAT"\nclass = "DEPARE"', encoding="utf-8")
    (chart,) = read_vector(path)
    found = sorted(chart.depth_areas, key=lambda area: area.geometry.bounds)
    assert [area.charted_depth_m for area in found] == [5.0, None, -1.5]
    assert [area.deep_end_m for area in found] == [10.0, None, 0.0]
    assert found[0].name == "Bank"
    assert found[0].geometry.equals(SQUARE)
    assert (chart.source.kind, chart.source.datum) == (SourceKind.VECTOR, "LAT")
    assert chart.counts == {"DEPARE": 3}
    assert chart.problems == ()
    # Nothing is written beside the user's file.
    assert {p.suffix for p in tmp_path.iterdir()} <= {path.suffix, ".toml", ".xsd", *COMPANIONS}


@pytest.mark.parametrize("crs", [32632, 3857, 3035])
def test_other_reference_systems_come_to_longitude_and_latitude(tmp_path: Path, crs: int) -> None:
    path = tmp_path / "chart.gpkg"
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[SQUARE], crs=4326).to_crs(crs)
    frame.to_file(path, layer="DEPARE")
    (area,) = read_vector(path)[0].depth_areas
    for corner in shapely.get_coordinates(SQUARE):
        assert shapely.distance(area.geometry, shapely.Point(corner)) < ONE_MILLIMETRE_DEG


def test_a_long_straight_side_on_a_projection_is_followed(tmp_path: Path) -> None:
    """40 km along a UTM grid line is 60 m off the straight line in longitude and latitude."""
    line = shapely.LineString([(480_000, 7_000_000), (520_000, 7_000_000)])
    frame = geopandas.GeoDataFrame({"VALDCO": [5.0]}, geometry=[line], crs=32632)
    path = tmp_path / "contours.gpkg"
    frame.to_file(path, layer="contours")
    (contour,) = read_vector(path)[0].contours
    middle = geopandas.GeoSeries([shapely.Point(500_000, 7_000_000)], crs=32632).to_crs(4326)[0]
    assert shapely.distance(contour.geometry, middle) < ONE_MILLIMETRE_DEG


@pytest.mark.filterwarnings("ignore:'crs' was not provided")
def test_without_a_reference_system_nothing_is_read(tmp_path: Path) -> None:
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[SQUARE])
    frame.to_file(tmp_path / "chart.gpkg", layer="DEPARE")
    with pytest.raises(BadInput, match=r"layer DEPARE: it states no coordinate reference system"):
        read_vector(tmp_path / "chart.gpkg")


def test_a_shapefile_without_its_prj_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "DEPARE.shp"
    schema = {"geometry": "Polygon", "properties": {"DRVAL1": "float"}}
    with fiona.open(path, "w", driver="ESRI Shapefile", schema=schema, crs="EPSG:4326") as layer:
        layer.write({"geometry": shapely.geometry.mapping(SQUARE), "properties": {"DRVAL1": 2.0}})
    assert read_vector(path)[0].depth_areas[0].charted_depth_m == 2.0
    path.with_suffix(".prj").unlink()
    with pytest.raises(BadInput, match="no coordinate reference system"):
        read_vector(path)


def test_all_classes_of_one_file_with_a_class_column(tmp_path: Path) -> None:
    line = shapely.LineString([(10.0, 54.0), (10.1, 54.1)])
    chart = read(
        tmp_path,
        {"class": "DEPARE", "DRVAL1": 5, "geometry": SQUARE},
        {"class": "DEPCNT", "VALDCO": 5, "geometry": line},
        {"class": "SOUNDG", "VALSOU": 7.1, "geometry": POINT},
        {"class": "LNDARE", "geometry": SQUARE},
        {"class": "UWTROC", "WATLEV": 5, "geometry": POINT},
        {"class": "BOYLAT", "COLOUR": "3", "CATLAM": "1", "geometry": POINT},
        {"class": "BCNLAT", "COLOUR": [4], "geometry": POINT},
        {"class": "M_QUAL", "CATZOC": 3, "geometry": SQUARE},
        {"class": "M_NSYS", "ORIENT": 90, "MARSYS": 1, "geometry": SQUARE},
        {"class": "BRIDGE", "VERCLR": 12.5, "geometry": line},
        {"class": "SBDARE", "geometry": SQUARE},
        {"class": "XYZABC", "geometry": SQUARE},
    )
    assert chart.soundings[0].charted_depth_m == 7.1
    assert [m.kind for m in chart.marks] == [MarkKind.PORT_HAND, MarkKind.LATERAL]
    assert [m.colours for m in chart.marks] == [("red",), ("green",)]
    assert chart.buoyage_zones[0].direction_of_buoyage_deg == 90.0
    assert chart.spans[0].vertical_clearance_m == 12.5
    assert chart.harmless == {"SBDARE": 1}
    assert [thing.cls for thing in chart.unknown] == ["XYZABC"]
    assert len(chart.counts) == 12


@pytest.mark.parametrize(
    ("layer", "where"),
    [
        ("Depth areas", "depth_areas"),
        ("depare", "depth_areas"),
        ("land", "solids"),
        ("wrecks", "dangers"),
        ("unsurveyed_areas", "unsurveyed"),
        ("quality", "quality_zones"),
    ],
)
def test_the_name_of_a_layer_tells_its_class(tmp_path: Path, layer: str, where: str) -> None:
    path = tmp_path / "chart.gpkg"
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[SQUARE], crs=4326)
    frame.to_file(path, layer=layer)
    assert len(getattr(read_vector(path)[0], where)) == 1


def test_soundings_with_their_depth_in_z(tmp_path: Path) -> None:
    path = tmp_path / "soundings.gpkg"
    places = [shapely.Point(10.05, 54.05, 4.5), shapely.Point(10.06, 54.05)]
    geopandas.GeoDataFrame(geometry=places, crs=4326).to_crs(32632).to_file(path, layer="SOUNDG")
    (chart,) = read_vector(path)
    assert [s.charted_depth_m for s in chart.soundings] == [4.5]
    assert "without a depth" in chart.problems[0].text


def test_marks_in_our_own_words(tmp_path: Path) -> None:
    chart = read(
        tmp_path,
        {"kind": "port-hand", "name": "Two", "colours": "red", "geometry": POINT},
        {"kind": "north", "name": "Shoal", "colours": "black-yellow", "geometry": POINT},
        {"kind": "nonsense", "name": "?", "geometry": POINT},
    )
    kinds = [m.kind for m in chart.marks]
    assert kinds == [MarkKind.PORT_HAND, MarkKind.NORTH, MarkKind.UNKNOWN]
    assert [m.name for m in chart.marks] == ["Two", "Shoal", "?"]
    assert chart.marks[1].colours == ("black", "yellow")
    assert not chart.unknown


def test_zones_in_our_own_words(tmp_path: Path) -> None:
    chart = read(tmp_path, {"direction_of_buoyage_deg": 75, "region": "B", "geometry": SQUARE})
    (zone,) = chart.buoyage_zones
    assert (zone.region, zone.direction_of_buoyage_deg, zone.from_user) == ("B", 75.0, False)


def test_columns_unit_and_sign_from_the_sidecar(tmp_path: Path) -> None:
    # Feet: 0.3048 m, NIST SP 811 (2008), Appendix B.8
    rows = {"top": -30, "foot": -60, "geometry": SQUARE}
    sidecar = (
        'class = "DEPARE"\nunit = "ft"\nquantity = "elevation"\ndatum = "MSL"\n'
        'datum_below_msl = "0 m"\nvertical_uncertainty = "1 m"\n'
        'columns = { depth = "top", depth_max = "foot" }'
    )
    chart = read(tmp_path, rows, sidecar=sidecar)
    (area,) = chart.depth_areas
    assert area.charted_depth_m == pytest.approx(9.144)
    assert area.deep_end_m == pytest.approx(18.288)
    assert chart.source.quality.vertical_m == 1.0
    assert chart.problems == ()


def test_a_chart_in_fathoms_has_its_heights_in_feet(tmp_path: Path) -> None:
    """Common practice, and the lower of the two: found on 2026-11-25 as 73 m of air for 12 m."""
    bridge = {"class": "BRIDGE", "VERCLR": 40, "geometry": SQUARE}
    chart = read(tmp_path, bridge, sidecar='unit = "fm"\ndatum = "LAT"')
    assert chart.spans[0].vertical_clearance_m == pytest.approx(40 * 0.3048)


def test_heights_named_the_wrong_way_round_still_give_the_shoaler_end(tmp_path: Path) -> None:
    sidecar = 'class = "DEPARE"\nunit = "m"\nquantity = "elevation"'
    chart = read(tmp_path, {"DRVAL1": -20, "DRVAL2": -5, "geometry": SQUARE}, sidecar=sidecar)
    assert chart.depth_areas[0].charted_depth_m == 5.0


def test_layers_of_one_file_by_the_sidecar(tmp_path: Path) -> None:
    path = tmp_path / "chart.gpkg"
    frame = geopandas.GeoDataFrame({"z": [3.0]}, geometry=[SQUARE], crs=4326)
    frame.to_file(path, layer="bottom")
    frame.to_file(path, layer="streets")
    sidecar = '[layers.bottom]\nclass = "DEPARE"\ncolumns = { depth = "z" }\n'
    (tmp_path / "chart.gpkg.toml").write_text('unit = "m"\n' + sidecar, encoding="utf-8")
    (chart,) = read_vector(path)
    assert chart.depth_areas[0].charted_depth_m == 3.0
    assert [thing.cls for thing in chart.unknown] == ["layer streets"]
    why = "an object of layer streets, of which nothing says what it is, is not judged by any check"
    assert chart.unknown[0].why == why


@pytest.mark.parametrize(
    ("row", "sidecar", "words"),
    [
        ({"geometry": SQUARE}, "", "nothing says which charted objects these are"),
        ({"class": "DEPARE", "geometry": SQUARE}, "", "its DEPARE have no column DRVAL1"),
        ({"class": "DEPARE", "depth": 3, "geometry": SQUARE}, "", "nothing states the unit"),
        (
            {"class": "DEPARE", "DRVAL1": 3, "geometry": SQUARE},
            'columns = { depth = "zz" }',
            "it has no column 'zz'",
        ),
        ({"class": "DEPARE", "DRVAL1": 3, "geometry": None}, "", "no object with a place"),
    ],
)
def test_what_cannot_be_used_is_refused(
    tmp_path: Path, row: dict[str, Any], sidecar: str, words: str
) -> None:
    if row["geometry"] is None:
        path = tmp_path / "c.geojson"
        path.write_text('{"type": "FeatureCollection", "features": []}', encoding="utf-8")
        with pytest.raises(BadInput, match=words):
            read_vector(path)
        return
    assert words in refused(tmp_path, row, sidecar=sidecar)


@pytest.mark.parametrize(
    "text", ["", "{", '{"type": "FeatureCollection", "features": [{"type": "Fea', "\0\0\0\0"]
)
def test_broken_files_are_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "c.geojson"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=r"c\.geojson: "):
        read_vector(path)


@pytest.mark.parametrize("name", WRITERS)
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_cut_file_is_refused_or_what_is_missing_is_told(
    tmp_path: Path, name: str, share: float
) -> None:
    path = tmp_path / name
    many = [shapely.box(10 + n / 100, 54, 10.01 + n / 100, 54.1) for n in range(300)]
    frame = geopandas.GeoDataFrame(
        {"class": ["DEPARE"] * 300, "DRVAL1": 5.0}, geometry=many, crs=4326
    )
    frame.to_file(path, driver=WRITERS[name])
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    try:
        (chart,) = read_vector(path)
    except BadInput as error:
        assert "\n" not in str(error)
    else:
        lost = 300 - len(chart.depth_areas)
        assert not lost or any(p.severity is Severity.NOT_ASSESSED for p in chart.problems)


def test_a_feature_of_another_type_is_not_lost_in_silence(tmp_path: Path) -> None:
    rows = features(*({"class": "LNDARE", "geometry": SQUARE} for _ in range(3)))
    rows["features"][1]["type"] = "feature"
    path = tmp_path / "c.geojson"
    path.write_text(json.dumps(rows), encoding="utf-8")
    (chart,) = read_vector(path)
    assert len(chart.solids) == 2
    (problem,) = chart.problems
    assert "of the 3 rows" in problem.text
    assert problem.severity is Severity.NOT_ASSESSED


def test_a_shapefile_with_a_short_index_is_told(tmp_path: Path) -> None:
    path = tmp_path / "c.shp"
    many = [shapely.box(10 + n / 100, 54, 10.01 + n / 100, 54.1) for n in range(9)]
    frame = geopandas.GeoDataFrame({"class": ["LNDARE"] * 9}, geometry=many, crs=4326)
    frame.to_file(path)
    index = path.with_suffix(".shx")
    data = index.read_bytes()
    # the length of the file, in 16-bit words, at byte 24: ESRI Shapefile description (1998), p. 4
    index.write_bytes(data[:24] + (50 + 4 * 6).to_bytes(4, "big") + data[28:])
    (chart,) = read_vector(path)
    assert len(chart.solids) == 6
    assert any("of the 9 rows" in problem.text for problem in chart.problems)


def test_a_broken_ring_does_not_lose_its_layer(tmp_path: Path) -> None:
    tie = {"type": "Polygon", "coordinates": [[[10, 54], [11, 55], [11, 54], [10, 55], [10, 54]]]}
    chart = read(
        tmp_path,
        {"class": "DEPARE", "DRVAL1": 1, "OBJNAM": "Tie", "geometry": tie},
        {"class": "DEPARE", "DRVAL1": 9, "geometry": shapely.box(12, 54, 13, 55)},
    )
    assert [area.charted_depth_m for area in chart.depth_areas] == [1.0, 9.0]
    assert chart.depth_areas[0].geometry.area == pytest.approx(0.5)
    (problem,) = chart.problems
    assert "DEPARE 1" in problem.text
    assert problem.bounds is not None


def test_numbers_that_are_none(tmp_path: Path) -> None:
    text = json.dumps(features({"class": "DEPARE", "DRVAL1": 5, "geometry": SQUARE}))
    for odd in ("NaN", "1e999", '"deep"', "true"):
        path = tmp_path / "c.geojson"
        path.write_text(text.replace('"DRVAL1": 5', f'"DRVAL1": {odd}'), encoding="utf-8")
        try:
            (chart,) = read_vector(path)
        except BadInput:
            continue
        (area,) = chart.depth_areas
        assert area.charted_depth_m is None or math.isfinite(area.charted_depth_m)
        assert area.charted_depth_m in (None, 1.0) or odd == "1e999"


def test_a_strange_path_is_only_a_path(tmp_path: Path) -> None:
    folder = tmp_path / "a & <b> 'c' \"d\" zip!"
    folder.mkdir()
    chart = read(folder, {"class": "LNDARE", "geometry": SQUARE}, name="x&y !é.geojson")
    assert len(chart.solids) == 1


def test_reading_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "chart.gpkg"
    geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[SQUARE], crs=4326).to_file(
        path, layer="DEPARE"
    )
    with sqlite3.connect(path) as database:
        database.execute("PRAGMA journal_mode=DELETE")
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    read_vector(path)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before


def test_ten_thousand_areas(tmp_path: Path) -> None:
    path = tmp_path / "chart.gpkg"
    many = [shapely.Point(n / 1000, 54).buffer(0.0004) for n in range(10_000)]
    frame = geopandas.GeoDataFrame({"DRVAL1": range(10_000)}, geometry=many, crs=4326)
    frame.to_file(path, layer="DEPARE")
    (chart,) = read_vector(path)
    assert len({area.key for area in chart.depth_areas}) == 10_000


EMPTY = [
    {"type": "Point", "coordinates": []},
    {"type": "Polygon", "coordinates": []},
    {"type": "LineString", "coordinates": [[10.0, 54.0], []]},
    {"type": "MultiPoint", "coordinates": [[]]},
    None,
]


@pytest.mark.parametrize("empty", EMPTY)
def test_an_object_without_a_place_is_told_once_in_our_own_words(
    tmp_path: Path, empty: dict[str, Any] | None
) -> None:
    text = json.dumps(features({"class": "WRECKS", "VALSOU": 3.0, "geometry": POINT}))
    whole = json.dumps(shapely.geometry.mapping(POINT))
    assert whole in text
    path = tmp_path / "c.geojson"
    path.write_text(text.replace(whole, json.dumps(empty)), encoding="utf-8")
    (chart,) = read_vector(path)
    (problem,) = chart.problems
    assert problem.text == "WRECKS 1: it has no place and was left out"
    assert problem.severity is Severity.NOT_ASSESSED
