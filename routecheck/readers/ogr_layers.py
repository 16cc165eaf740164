"""A vector file, layer by layer, as GDAL reads it.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

import contextlib
import json
import os
from typing import Any

import pyogrio
from pyogrio import raw

from routecheck.readers.ogr_tables import Blob, table_of

MOST_COLUMNS = 400
MOST_COUNTED = 64 * 2**20
"""Bytes of a GeoJSON up to which its features are counted."""


def read_layers(request: dict[str, Any]) -> tuple[dict[str, Any], Blob]:
    """Every layer of the file ``file``, each with its CRS and the rows that it says it has."""
    path, blob = request["file"], Blob()
    tables = []
    for name, kind in pyogrio.list_layers(path):
        info = pyogrio.read_info(path, layer=name, force_feature_count=True)
        if len(info["fields"]) > MOST_COLUMNS:
            raise ValueError(f"layer {name} has more than {MOST_COLUMNS} columns")
        meta, _, wkb, columns = raw.read(path, layer=name)
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
