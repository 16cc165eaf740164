"""Tables and rows of a GeoPackage that GDAL passes over.

OGC 12-128r18 (GeoPackage 1.3.1): `gpkg_contents` (1.1.3), `gpkg_geometry_columns` (2.1.5).
`gpkg_ogr_contents` is GDAL's own (its page "GPKG -- GeoPackage vector").
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.vector import NOTHING_PLACED, read_vector

geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")

ROCKS = [shapely.Point(10.05, 54.05), shapely.Point(10.06, 54.06)]
SQUARE = shapely.box(10.0, 54.0, 10.1, 54.1)


def read(folder: Path, *statements: str) -> Chart:
    """A chart of a depth area and two rocks, changed by SQL."""
    path = folder / "c.gpkg"
    for layer, shapes, column in (("DEPARE", [SQUARE], "DRVAL1"), ("UWTROC", ROCKS, "VALSOU")):
        values = {column: [1.0] * len(shapes)}
        frame = geopandas.GeoDataFrame(values, geometry=shapes, crs=4326)
        frame.to_file(path, layer=layer, driver="GPKG")
    with closing(sqlite3.connect(path)) as database:
        for statement in statements:
            database.execute(statement)
        database.commit()
    (chart,) = read_vector(path)
    return chart


def test_a_sound_file_has_nothing_to_tell(tmp_path: Path) -> None:
    chart = read(tmp_path)
    assert len(chart.dangers) == 2
    assert not chart.problems


@pytest.mark.parametrize("stored", [0, 1])
def test_rows_beyond_the_stored_number_are_told(tmp_path: Path, stored: int) -> None:
    change = f"UPDATE gpkg_ogr_contents SET feature_count = {stored} WHERE table_name = 'UWTROC'"
    (problem,) = read(tmp_path, change).problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert problem.bounds is None
    assert f"layer UWTROC: of the 2 rows that it says it has {stored} were read" in problem.text


def test_rows_of_a_view_are_counted_too(tmp_path: Path) -> None:
    view = "CREATE VIEW wrecks AS SELECT fid AS OGC_FID, geom, VALSOU FROM UWTROC"
    contents = (
        "INSERT INTO gpkg_contents (table_name, identifier, data_type, srs_id) "
        "VALUES ('wrecks', 'wrecks', 'features', 4326)"
    )
    shapes = "INSERT INTO gpkg_geometry_columns VALUES ('wrecks', 'geom', 'POINT', 4326, 0, 0)"
    count = "INSERT OR REPLACE INTO gpkg_ogr_contents VALUES ('wrecks', 1)"
    (problem,) = read(tmp_path, view, contents, shapes, count).problems
    assert "layer wrecks: of the 2 rows" in problem.text


PLACED = "lon REAL, lat REAL, z REAL"
FILLED = {
    "by names of columns": ("stones", PLACED, "10.05, 54.05, 1"),
    "by a class's name": ("SBDARE", "a REAL, b REAL", "10.05, 54.05"),
    "by a word for a class": ("rocks", "a REAL, b REAL", "10.05, 54.05"),
    "by words in a row": ("stones", "a TEXT, b REAL", "'POINT (10.05 54.05)', 1"),
    "by a type": ("stones", "a POINT, b REAL", "NULL, 1"),
    "by bytes": ("stones", "a TEXT, b REAL", "x'0101', 1"),
}


@pytest.mark.parametrize("registered", [True, False])
@pytest.mark.parametrize("how", FILLED)
def test_tables_that_are_no_layer_are_told(tmp_path: Path, how: str, registered: bool) -> None:
    name, columns, values = FILLED[how]
    made = [
        f"CREATE TABLE {name} (id INTEGER PRIMARY KEY, {columns})",
        f"INSERT INTO {name} VALUES (1, {values})",
    ]
    if registered:
        made.append(
            "INSERT INTO gpkg_contents (table_name, identifier, data_type) "
            f"VALUES ('{name}', '{name}', 'attributes')"
        )
    (problem,) = read(tmp_path, *made).problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert f"table {name}: its rows (1) are not on the map" in problem.text


@pytest.mark.parametrize("kind", ["POINT", "GEOMETRY", "BLOB", "MULTIPOLYGON", ""])
def test_a_second_column_of_geometry_is_told(tmp_path: Path, kind: str) -> None:
    """OGC 12-128r18, 2.1.5: a table has one registered column of geometry."""
    point = f"4750000100000000{shapely.Point(10.07, 54.07).wkb_hex}"
    chart = read(tmp_path, f"ALTER TABLE UWTROC ADD COLUMN place2 {kind} DEFAULT x'{point}'")
    assert len(chart.dangers) == 2
    # GDAL itself warns of a column of a type that it knows, and says nothing of bytes.
    told = [problem for problem in chart.problems if "its column place2" in problem.text]
    assert [problem.severity for problem in told] == [Severity.NOT_ASSESSED]
    assert "layer UWTROC: what its column place2 places was left unread" in told[0].text
    assert told[0].bounds is None


@pytest.mark.parametrize(
    ("kind", "value"), [("POINT", "NULL"), ("BLOB", "x'89504e47'"), ("TEXT", "'GP'")]
)
def test_a_column_without_geometries_is_not_told(tmp_path: Path, kind: str, value: str) -> None:
    column = f"ALTER TABLE UWTROC ADD COLUMN photo {kind} DEFAULT {value}"
    problems = read(tmp_path, column).problems
    assert not [one for one in problems if "unread" in one.text]


@pytest.mark.parametrize("table", ["gpkg_contents", "gpkg_geometry_columns"])
def test_a_layer_that_one_register_lacks_is_told(tmp_path: Path, table: str) -> None:
    chart = read(
        tmp_path,
        "PRAGMA foreign_keys = OFF",
        f"DELETE FROM {table} WHERE table_name = 'UWTROC'",
    )
    assert not chart.dangers
    (problem,) = chart.problems
    assert "table UWTROC: its rows (2) are not on the map" in problem.text


@pytest.mark.parametrize(
    ("table", "row"),
    [
        ("stones (id INTEGER PRIMARY KEY, lon REAL, lat REAL)", ""),
        ("codes (code INTEGER, words TEXT)", "1, 'sand'"),
        ("layer_styles (id INTEGER, f_geometry_column TEXT, qml BLOB)", "1, 'geom', x'00'"),
    ],
)
def test_tables_that_place_nothing_are_not_told(tmp_path: Path, table: str, row: str) -> None:
    filled = [f"INSERT INTO {table.split()[0]} VALUES ({row})"] if row else []
    assert not read(tmp_path, f"CREATE TABLE {table}", *filled).problems


def test_a_file_of_such_tables_alone_is_refused_for_them(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, "DELETE FROM gpkg_contents")
    assert NOTHING_PLACED in str(caught.value)
    assert "but tables that may hold some" in str(caught.value)
