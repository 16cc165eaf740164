"""A vector file, layer by layer, as GDAL reads it.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

from typing import Any

import pyogrio
from pyogrio import raw

from routecheck.readers.ogr_tables import Blob, table_of

MOST_COLUMNS = 400


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
    return {"tables": tables}, blob
