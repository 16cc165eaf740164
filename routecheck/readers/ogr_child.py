"""Runs GDAL's vector drivers in a process of its own. Started by `ogr`, never imported.

Why a process: a stray environment variable must not change what is read, GDAL's warnings must be
caught whole, and a file that makes GDAL crash or hang must cost no more than that file.

The first line in sets it up, and is answered when it is ready; then each line is one request
(JSON). Each answer out is a line of JSON whose "blob" says how many raw bytes follow it. Tables
go by class or layer: columns without a value are left out; numbers are 64-bit floats with NaN
for null; all else is JSON; geometries are WKB, their lengths as 64-bit integers (-1: none).
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import types
import warnings
from collections.abc import Iterator
from typing import Any

LONGEST_LOG = 200_000
MOST_WRITTEN = 64 * 2**20
"""GDAL's log is all that is ever written."""


def main() -> None:
    """Serve requests until standard input ends."""
    setup: dict[str, Any] = json.loads(sys.stdin.buffer.readline())
    sys.path[:] = setup["path"]
    # What any library prints must not run into the answers.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    # Half of pyogrio's start is what it could use and does not need here.
    for name in ("pandas", "geopandas", "pyarrow", "shapely"):
        sys.modules[name] = None  # type: ignore[assignment]
    # Bare packages: what routecheck's own packages import on top is not needed here either.
    here = os.path.dirname(os.path.abspath(__file__))  # noqa: PTH100, PTH120
    for name, place in (("routecheck", os.path.dirname(here)), ("routecheck.readers", here)):  # noqa: PTH120
        package = types.ModuleType(name)
        package.__path__ = [place]
        sys.modules[name] = package
    from routecheck.readers.childlimits import limit_memory, limit_time

    limit_memory(int(setup["memory"]), most_written_bytes=MOST_WRITTEN)
    import pyogrio.util

    pyogrio.util.vsi_path = str  # a path is a path, also with "!" or "zip:" in it
    from routecheck.readers.ogr_cell import read_cell
    from routecheck.readers.ogr_layers import read_layers
    from routecheck.readers.ogr_osm import read_osm
    from routecheck.readers.ogr_tables import Blob

    tasks = {"layers": read_layers, "cell": read_cell, "osm": read_osm}
    log = _Log(setup["log"])
    answers.write(b'{"ready": true, "blob": 0}\n')
    answers.flush()
    for line in sys.stdin.buffer:
        request: dict[str, Any] = json.loads(line)
        limit_time(float(request["seconds"]))
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always")
            try:
                answer, blob = tasks[request["task"]](request)
            except Exception as error:
                answer, blob = {"error": f"{error}" or type(error).__name__}, Blob()
        said = [str(one.message) for one in caught] + log.news()
        answer["said"] = list(dict.fromkeys(" ".join(text.split()) for text in said))
        answer["blob"] = blob.size
        answers.write(json.dumps(answer).encode() + b"\n")
        for part in blob.parts:
            answers.write(part)
        answers.flush()


class _Log:
    """What GDAL writes to its log: also errors that its callers swallow."""

    def __init__(self, path: str) -> None:
        self.path, self.at = path, 0

    def news(self) -> list[str]:
        """Messages since the last call that tell of something wrong."""
        with contextlib.suppress(OSError), open(self.path, "rb") as stream:  # noqa: PTH123
            stream.seek(self.at)
            data = stream.read(LONGEST_LOG)
            self.at = stream.seek(0, os.SEEK_END)
            return list(_messages(data.decode("utf-8", "replace")))
        return []


_TELLING = ("Skipping update", "other than one spatial linkage", "Not enough bytes", "Mismatched")
"""Of GDAL's debugging messages those that tell of data left out."""


def _messages(text: str) -> Iterator[str]:
    message = ""
    for line in [*text.split("\n"), "GDAL: "]:
        kind, _, said = line.partition(": ")
        if kind in ("CPLError", "S57", "GDAL", "VRT", "OGR"):
            if message:
                yield message
            wanted = kind == "CPLError" or (kind == "S57" and any(t in said for t in _TELLING))
            message = said if wanted else ""
        elif message:
            message += " " + line


if __name__ == "__main__":
    main()
