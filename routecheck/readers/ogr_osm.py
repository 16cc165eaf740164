"""OpenStreetMap data (.osm.pbf, .osm), as GDAL reads it: what carries a seamark tag, no more.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

import os
from typing import Any

import numpy as np
import pyogrio
from pyogrio import raw

from routecheck.readers.ogr_tables import Blob, table_of

_LAYERS = ("points", "lines", "multilinestrings", "multipolygons", "other_relations")
_CONFIG = "osm.ini"
# Closed ways stay lines: whether one is an area depends on what it is of.
_HEAD = "closed_ways_are_polygons=\nattribute_name_laundering=no\n"
_EACH = "osm_id=yes\nosm_timestamp=yes\nattributes=\nall_tags=yes\n"
_WANTED = "all_tags LIKE '%\"seamark:%'"


def read_osm(request: dict[str, Any]) -> tuple[dict[str, Any], Blob]:
    """A table a layer with the tags as JSON. The head says which layers failed and why
    (``failed``) and when the newest object was changed (``newest``, "" where nothing says)."""
    path, blob = request["file"], Blob()
    with open(_CONFIG, "w", encoding="utf-8") as stream:  # noqa: PTH123
        stream.write(_HEAD + "".join(f"[{layer}]\n{_EACH}" for layer in _LAYERS))
    # The driver fills as much memory before it begins, for every layer.
    megabytes = 1 + min(20 * os.path.getsize(path) // 2**20, 1000)  # noqa: PTH202
    pyogrio.set_gdal_config_options(
        {"OSM_MAX_TMPFILE_SIZE": str(megabytes), "OSM_USE_CUSTOM_INDEXING": None}
    )
    tables, newest = [], ""
    failed: dict[str, str] = {}
    for number, layer in enumerate(_LAYERS):
        try:
            fields, wkb, columns = _read(path, layer)
        except Exception as error:
            if layer == "points":
                raise
            # What lies behind in the file needs the same nodes.
            failed = dict.fromkeys(_LAYERS[number:], f"{error}")
            break
        times = columns[fields.index("osm_timestamp")]
        if times.dtype.kind == "M":
            known = times[~np.isnat(times)]
            newest = max(newest, str(known.max())) if len(known) else newest
        kept = [i for i, field in enumerate(fields) if field != "osm_timestamp"]
        some = [columns[i] for i in kept]
        tables.append(table_of(layer, [fields[i] for i in kept], some, wkb, len(wkb), blob))
    return {"head": {"failed": failed, "newest": newest}, "tables": tables}, blob


def _read(path: str, layer: str) -> tuple[list[str], Any, list[Any]]:
    options = {"TAGS_FORMAT": "JSON", "CONFIG_FILE": _CONFIG}
    try:
        meta, _, wkb, columns = raw.read(path, layer=layer, where=_WANTED, **options)
    except Exception as error:
        if "OSM_USE_CUSTOM_INDEXING" not in str(error):
            raise
        # Nodes out of order: GDAL's other index of nodes takes them.
        pyogrio.set_gdal_config_options({"OSM_USE_CUSTOM_INDEXING": "NO"})
        meta, _, wkb, columns = raw.read(path, layer=layer, where=_WANTED, **options)
    return [str(field) for field in meta["fields"]], wkb, list(columns)
