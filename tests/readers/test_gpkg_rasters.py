"""A GeoPackage that holds grids and no layer of objects.

OGC 12-128r18, 1.1.3 (`gpkg_contents`: data_type "features", "tiles"), 2.1.5
(`gpkg_geometry_columns`); OGC 17-066r1 ("2d-gridded-coverage").
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from routecheck.model.chart import ChartSet
from routecheck.readers.folder import read_charts
from tests.readers.grid_kinds import KINDS


def charts(folder: Path, *statements: str) -> ChartSet:
    path = folder / "a.gpkg"
    KINDS["a.gpkg"](path)
    with closing(sqlite3.connect(path)) as database:
        for statement in statements:
            database.execute(statement)
        database.commit()
    return read_charts([folder])


def test_a_grid_alone_is_not_told_as_unread(tmp_path: Path) -> None:
    found = charts(tmp_path)
    assert len(found.grids) == 1 and not found.charts
    assert not found.unread


@pytest.mark.parametrize(
    "statements",
    [
        (
            "INSERT INTO gpkg_contents (table_name, identifier, data_type) "
            "VALUES ('rocks', 'rocks', 'features')",
        ),
        ("CREATE TABLE rocks (id INTEGER, geom POINT)", "INSERT INTO rocks VALUES (1, x'4750')"),
    ],
)
def test_what_else_is_promised_is_told(tmp_path: Path, statements: tuple[str, ...]) -> None:
    found = charts(tmp_path, *statements)
    assert len(found.grids) == 1
    (left,) = found.unread
    assert left.looks_like_chart


def test_one_that_is_cut_short_is_told(tmp_path: Path) -> None:
    """SQLite, "Database File Format", 1.3: the head states the number of pages."""
    charts(tmp_path)
    path = tmp_path / "a.gpkg"
    path.write_bytes(path.read_bytes()[:-1024])
    assert [one.looks_like_chart for one in read_charts([tmp_path]).unread] == [True]
