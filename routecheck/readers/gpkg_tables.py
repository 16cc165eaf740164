"""What SQLite itself says of a GeoPackage: every table, and how many rows it truly has.

GDAL believes the number of rows that is stored (`gpkg_ogr_contents`), reads no more than that,
and lists no table that is not registered as a layer.

Runs in the process that `ogr_child` makes, which bounds its time: only the standard library.
"""

from __future__ import annotations

import re
import sqlite3
import warnings
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from routecheck.readers.placedtext import table_may_place

_MAGIC = b"SQLite format 3\0"
_MOST_TABLES = 2_000
_MOST_STEPS = 50_000_000
_SAMPLE = 20
_MOST_CHECKED = 64 * 2**20
_LONGEST = 200
_OTHERS = {"layer_styles", "qgis_projects", "ogr_empty_table", "spatial_ref_sys"}
"""Tables of programs that write GeoPackages; none of them holds objects."""
_RTREE = re.compile(r"create\s+virtual\s+table\s.*\busing\s+rtree\b", re.IGNORECASE | re.DOTALL)
_SHAPE_TYPE = re.compile(
    r"(multi)?(point|linestring|polygon|curve|surface)|(compound|multi)curve|curvepolygon|geom|"
    r"circularstring|polyhedral|tin$|triangle",
    re.IGNORECASE,
)
"""OGC 12-128r18, annex G, tables 42 and 43."""
_PLAIN_TYPE = re.compile(
    r"(tiny|small|medium|big)?int|bool|n?(var)?char|text|clob|real|floa|doub|num|dec|date|time|json",
    re.IGNORECASE,
)


@dataclass(frozen=True, kw_only=True)
class Held:
    """A table: its columns, and whether they or its first rows may place something."""

    name: str
    rows: int
    fields: tuple[str, ...]
    may_place: bool
    shapes: tuple[str, ...] = ()
    """Columns that hold geometries, in lower case: one of them is the layer's."""


def tables_of(path: str) -> dict[str, Held] | None:
    """The tables that hold objects or may, by name in lower case; None for a file that is no
    GeoPackage. What cannot be counted is warned of."""
    with open(path, "rb") as stream:  # noqa: PTH123
        if stream.read(len(_MAGIC)) != _MAGIC:
            return None
    found: dict[str, Held] = {}
    try:
        with closing(sqlite3.connect(f"{Path(path).as_uri()}?mode=ro", uri=True)) as database:
            database.set_progress_handler(lambda: 1, _MOST_STEPS)
            for name in _names(database):
                held = _held(database, name)
                if held is not None and held.rows:
                    found[name.lower()] = held
    except (sqlite3.Error, UnicodeDecodeError):  # it may quote damaged text in what it says
        warnings.warn("the tables of the GeoPackage cannot all be counted", stacklevel=1)
    return found


def holds_only_rasters(path: str) -> bool:
    """Whether a GeoPackage's own registers list coverages or pictures and nothing else: GDAL
    opens none such for its layers. False for one that cannot be read soundly."""
    kinds = "SELECT DISTINCT data_type FROM gpkg_contents"
    shapes = "SELECT count(*) FROM sqlite_master WHERE lower(name) = 'gpkg_geometry_columns'"
    rows = "SELECT count(*) FROM gpkg_geometry_columns"
    try:
        with closing(sqlite3.connect(f"{Path(path).as_uri()}?mode=ro", uri=True)) as database:
            database.set_progress_handler(lambda: 1, _MOST_STEPS)
            size = Path(path).stat().st_size
            if size < _promised_bytes(path):
                return False
            if size <= _MOST_CHECKED and database.execute("PRAGMA quick_check(1)").fetchone() != (
                "ok",
            ):
                return False
            found = {str(kind) for (kind,) in database.execute(kinds)}
            layers = database.execute(shapes).fetchone()[0] and database.execute(rows).fetchone()[0]
    except (sqlite3.Error, UnicodeDecodeError):
        return False
    return bool(found) and found <= {"2d-gridded-coverage", "tiles"} and not layers


def _promised_bytes(path: str) -> int:
    """The size that a file's own head states (SQLite, "Database File Format", 1.3: page size at
    byte 16, number of pages at byte 28)."""
    with open(path, "rb") as stream:  # noqa: PTH123
        head = stream.read(32)
    page = int.from_bytes(head[16:18], "big")
    return (65536 if page == 1 else page) * int.from_bytes(head[28:32], "big")


def _names(database: sqlite3.Connection) -> list[str]:
    query = (
        "SELECT name, sql FROM sqlite_master WHERE type = 'table' OR type = 'view' AND "
        "lower(name) IN (SELECT lower(table_name) FROM gpkg_contents) LIMIT ?"
    )  # other views show what stands in tables
    made = [(str(name), str(sql or "")) for name, sql in database.execute(query, (_MOST_TABLES,))]
    if len(made) == _MOST_TABLES:
        warnings.warn(f"it has {_MOST_TABLES} tables or more", stacklevel=1)
    left = {name for name, sql in made if _RTREE.match(sql)}
    left |= {f"{name}_{part}" for name in left for part in ("node", "parent", "rowid")}
    query = "SELECT table_name FROM gpkg_contents WHERE data_type = '2d-gridded-coverage'"
    left |= {str(name) for (name,) in database.execute(query)}  # read as grids
    return [
        name
        for name, _ in made
        if name not in left
        and name.lower() not in _OTHERS
        and not name.lower().startswith(("gpkg_", "sqlite_"))
    ]


def _held(database: sqlite3.Connection, name: str) -> Held | None:
    quoted = '"' + name.replace('"', '""') + '"'
    try:
        (rows,) = database.execute(f"SELECT count(*) FROM {quoted}").fetchone()
        types = database.execute(f"PRAGMA table_xinfo({quoted})").fetchall()
        query = f"SELECT * FROM {quoted} LIMIT {_SAMPLE}"
        sample = database.execute(query).fetchall()
        columns = [(str(one[1]), str(one[2])) for one in types]
        held = tuple(c.lower() for c, kind in columns if _holds_shapes(database, quoted, c, kind))
    except (sqlite3.Error, UnicodeDecodeError):
        warnings.warn(f"the rows of table {name[:40]!r} cannot be counted", stacklevel=1)
        return None
    fields = tuple(str(one[1]) for one in types)
    shapes = any(not _PLAIN_TYPE.match(str(one[2])) for one in types)
    shapes = shapes or any(isinstance(cell, bytes) for row in sample for cell in row)
    lines = [[str(cell)[:_LONGEST] for cell in row] for row in sample]
    return Held(
        name=name,
        rows=int(rows),
        fields=fields,
        may_place=shapes or may_place(name, fields, lines),
        shapes=held,
    )


def _holds_shapes(database: sqlite3.Connection, table: str, column: str, kind: str) -> bool:
    """Whether a column holds geometries: anything in one of such a type, or bytes that begin as
    those of a GeoPackage do (OGC 12-128r18, clause 2.1.3)."""
    if _PLAIN_TYPE.match(kind):
        return False
    value = '"' + column.replace('"', '""') + '"'
    shaped = f"{value} IS NOT NULL"
    if not _SHAPE_TYPE.match(kind):
        shaped = f"typeof({value}) = 'blob' AND substr({value}, 1, 2) = x'4750'"
    return database.execute(f"SELECT 1 FROM {table} WHERE {shaped} LIMIT 1").fetchone() is not None


def may_place(name: str, fields: tuple[str, ...], lines: list[list[str]]) -> bool:
    """Whether a table's name, its columns' names or its first rows speak of places, depths or
    charted objects."""
    if any(table_may_place(word, numbers=False) for word in (name, *fields)):
        return True
    text = "\n".join(";".join(" ".join(cell.split()) for cell in line) for line in lines)
    return table_may_place(f"name\n{text}", numbers=False)
