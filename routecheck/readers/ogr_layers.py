"""A vector file, layer by layer, as GDAL reads it.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable
from typing import Any

import pyogrio
from pyogrio import raw
from pyogrio.errors import DataLayerError, DataSourceError

from routecheck.readers.geojson_members import DO, Members, doubt_of, members_of
from routecheck.readers.gpkg_tables import Held, holds_only_rasters, may_place, tables_of
from routecheck.readers.ogr_tables import Blob, table_of

MOST_COLUMNS = 400
_BESIDE_SEAMARKS = ("name", "ref", "id", "@id", "osm_id", "@timestamp")
_GML = {"WRITE_GFS": "NO", "DOWNLOAD_SCHEMA": "NO"}
"""Nothing is written beside the user's file, and nothing fetched."""
MOST_LAYERS = 1000


def read_layers(request: dict[str, Any]) -> tuple[dict[str, Any], Blob]:
    """Every layer of the file ``file``, each with its CRS and the rows that it says it has; of a
    GeoPackage those that it truly has, and its tables that are no layer.

    Where GDAL reads a GeoJSON otherwise than it stands there, "head" says what is wrong and what
    to do, and there are no layers.
    """
    path, blob = request["file"], Blob()
    members = members_of(path)
    tables = []
    listed = tables_of(path)
    unlisted = listed or {}
    options = _GML if path.lower().endswith(".gml") else {}
    for name, kind in _layers(path, options):
        info = pyogrio.read_info(path, layer=name, force_feature_count=True, **options)
        wanted = _seamark_columns(info["fields"])
        if wanted is None and len(info["fields"]) > MOST_COLUMNS:
            raise ValueError(f"layer {name} has more than {MOST_COLUMNS} columns")
        meta, _, wkb, columns = raw.read(path, layer=name, columns=wanted, **options)
        rows = len(wkb) if wkb is not None else len(columns[0]) if columns else 0
        table = table_of(str(name), meta["fields"], columns, wkb, rows, blob)
        table["fields"] = [str(field) for field in meta["fields"]]
        table["crs"] = meta["crs"]
        table["spatial"] = kind is not None
        table["stated"] = int(info["features"])
        held = unlisted.pop(str(name).lower(), None)
        if held is not None:
            table["stated"] = held.rows
            own = str(info.get("geometry_name") or (*held.shapes, "")[0]).lower()
            table["further"] = [one for one in held.shapes if one != own] if kind else []
        if kind is None:
            by_names = listed is None and may_place(str(name), tuple(table["fields"]), [])
            table["may_place"] = held.may_place if held else by_names
        tables.append(table)
    tables += [_unread(held) for held in unlisted.values()]
    doubt = None if members is None else _doubt(members, tables)
    if doubt is not None:
        return {"tables": [], "head": doubt}, Blob()
    counted = (members and members.features) or _count_of_shapefile(path)
    if counted is not None and len(tables) == 1:
        tables[0]["stated"] = counted
    return {"tables": tables}, blob


def _unread(held: Held) -> dict[str, Any]:
    made = {"name": held.name, "rows": 0, "stated": held.rows, "columns": [], "spatial": False}
    return {**made, "fields": held.fields, "may_place": held.may_place}


def _doubt(members: Members, tables: list[dict[str, Any]]) -> dict[str, str] | None:
    if members.doubled:
        wrong = f"the name {members.doubled[:40]!r} stands twice in one object"
        return {"wrong": wrong, "do": "write it once"}
    doubts = [doubt_of(members, str(table["crs"] or "")) for table in tables]
    wrong = next((doubt for doubt in doubts if doubt), "")
    return {"wrong": wrong, "do": DO} if wrong else None


def _layers(path: str, options: dict[str, str]) -> Iterable[tuple[str, Any]]:
    """Name and kind of geometry of every layer, None for a layer without."""
    if not options:
        try:
            found = pyogrio.list_layers(path)
        except DataSourceError:
            if not holds_only_rasters(path):
                raise
            return
        for name, kind in found:
            yield str(name), kind
        return
    for number in range(MOST_LAYERS):  # the list of layers is got without any options
        try:
            info = pyogrio.read_info(path, layer=number, **options)
        except DataLayerError:
            return
        yield info["layer_name"], info["geometry_type"]
    raise ValueError(f"it has more than {MOST_LAYERS} layers")


def _seamark_columns(fields: Iterable[str]) -> list[str] | None:
    """Of a layer with a column for every key of OpenStreetMap that occurs in it, those that are
    read; None for any other layer: all."""
    names = [str(field) for field in fields]
    if "seamark:type" not in names or len(names) <= MOST_COLUMNS:
        return None
    kept = [name for name in names if name.startswith("seamark:") or name in _BESIDE_SEAMARKS]
    return kept[: 10 * MOST_COLUMNS]


def _count_of_shapefile(path: str) -> int | None:
    """How many records a Shapefile's table has: GDAL counts by the index, which may be cut."""
    stem, suffix = os.path.splitext(path)  # noqa: PTH122
    if suffix.lower() != ".shp":
        return None
    for table in (stem + ".dbf", stem + ".DBF"):
        with contextlib.suppress(OSError), open(table, "rb") as stream:  # noqa: PTH123
            return int.from_bytes(stream.read(8)[4:], "little")
    return None
