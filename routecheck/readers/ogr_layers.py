"""A vector file, layer by layer, as GDAL reads it.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterable
from typing import Any

import pyogrio
from pyogrio import raw
from pyogrio.errors import DataLayerError

from routecheck.readers.ogr_tables import Blob, table_of

MOST_COLUMNS = 400
_BESIDE_SEAMARKS = ("name", "ref", "id", "@id", "osm_id", "@timestamp")
_GML = {"WRITE_GFS": "NO", "DOWNLOAD_SCHEMA": "NO"}
"""Nothing is written beside the user's file, and nothing fetched."""
MOST_LAYERS = 1000
MOST_COUNTED = 64 * 2**20
"""Bytes of a GeoJSON up to which its features are counted."""


def read_layers(request: dict[str, Any]) -> tuple[dict[str, Any], Blob]:
    """Every layer of the file ``file``, each with its CRS and the rows that it says it has."""
    path, blob = request["file"], Blob()
    tables = []
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
        tables.append(table)
    counted = _count_of_geojson(path) or _count_of_shapefile(path)
    if counted is not None and len(tables) == 1:
        tables[0]["stated"] = counted
    return {"tables": tables}, blob


def _layers(path: str, options: dict[str, str]) -> Iterable[tuple[str, Any]]:
    """Name and kind of geometry of every layer, None for a layer without."""
    if not options:
        for name, kind in pyogrio.list_layers(path):
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


def _count_of_geojson(path: str) -> int | None:
    """How many features a GeoJSON has: GDAL passes over one whose "type" it does not know."""
    with open(path, "rb") as stream:  # noqa: PTH123
        head = stream.read(64).lstrip(b"\xef\xbb\xbf \t\r\n")
        if not head.startswith(b"{") or os.path.getsize(path) > MOST_COUNTED:  # noqa: PTH202
            return None
        stream.seek(0)
        try:
            whole = json.loads(stream.read().decode("utf-8-sig", "replace"), strict=False)
        except (ValueError, RecursionError):
            return None
    features = whole.get("features") if isinstance(whole, dict) else None
    return len(features) if isinstance(features, list) else None


def _count_of_shapefile(path: str) -> int | None:
    """How many records a Shapefile's table has: GDAL counts by the index, which may be cut."""
    stem, suffix = os.path.splitext(path)  # noqa: PTH122
    if suffix.lower() != ".shp":
        return None
    for table in (stem + ".dbf", stem + ".DBF"):
        with contextlib.suppress(OSError), open(table, "rb") as stream:  # noqa: PTH123
            return int.from_bytes(stream.read(8)[4:], "little")
    return None
