"""Runs GDAL's raster drivers and HDF5 in a process of its own. Started by `gridprocess`, never
imported.

Why a process: a stray environment variable must not change what is read, and a file that makes
GDAL or HDF5 crash, hang or eat all memory must cost no more than that file.

The first line in sets it up, and is answered when it is ready; then each line is one request
(JSON): "find" the layers of depths of a file, or "read" one window of one. Each answer is a line
of JSON whose "sizes" say how many raw bytes of numbers and of mask follow it.
"""

from __future__ import annotations

import json
import os
import sys
import types
from collections import OrderedDict
from collections.abc import Mapping
from pathlib import Path
from typing import Any

MOST_OPEN = 8
MOST_WRITTEN = 2**20


def main() -> None:
    """Serve requests until standard input ends."""
    setup: dict[str, Any] = json.loads(sys.stdin.buffer.readline())
    sys.path[:] = setup["path"]
    # What any library prints must not run into the answers.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    # Bare packages: what routecheck's own packages import on top is not needed here.
    here = os.path.dirname(os.path.abspath(__file__))  # noqa: PTH100, PTH120
    for name, place in (("routecheck", os.path.dirname(here)), ("routecheck.readers", here)):  # noqa: PTH120
        package = types.ModuleType(name)
        package.__path__ = [place]
        sys.modules[name] = package
    from routecheck.readers.childlimits import limit_memory, limit_time

    limit_memory(int(setup["memory"]), most_written_bytes=MOST_WRITTEN)
    for name in ("shapely", "pandas", "geopandas", "pyarrow"):
        sys.modules[name] = None  # type: ignore[assignment]
    import rasterio  # noqa: F401

    # All that the first question needs, so that it need not wait for it.
    import routecheck.readers.gridlayer  # noqa: F401

    server = _Server()
    answers.write(b'{"ready": true, "sizes": [0, 0]}\n')
    answers.flush()
    for line in sys.stdin.buffer:
        request: dict[str, Any] = json.loads(line)
        limit_time(float(request["seconds"]))
        answer, data, mask = server.answer(request)
        answer["sizes"] = [len(data), len(mask)]
        answers.write(json.dumps(answer).encode() + b"\n")
        answers.write(data)
        answers.write(mask)
        answers.flush()


class _Server:
    """Answers; keeps a few files open, the one used longest ago is closed first."""

    def __init__(self) -> None:
        self._open: OrderedDict[str, Any] = OrderedDict()

    def answer(self, request: Mapping[str, Any]) -> tuple[dict[str, Any], bytes, bytes]:
        """(answer, numbers, mask)."""
        from routecheck.model.errors import BadInput

        try:
            if request["task"] == "find":
                return self._find(request), b"", b""
            return self._read(request)
        except BadInput as bad:
            return {"bad": [bad.wrong, bad.where, bad.do]}, b"", b""
        except Exception as error:
            return {"error": f"{error}" or type(error).__name__}, b"", b""

    def _find(self, request: Mapping[str, Any]) -> dict[str, Any]:
        from routecheck.readers.gridfound import to_json
        from routecheck.readers.gridlayer import find_layers

        path, wanted = Path(request["file"]), str(request["wanted"])
        # The file may be another one by now than when it was opened last.
        for key in [key for key in self._open if json.dumps(str(path.resolve()))[1:-1] in key]:
            self._open.pop(key).close()
        return {"found": [to_json(one) for one in find_layers(path, wanted)]}

    def _read(self, request: Mapping[str, Any]) -> tuple[dict[str, Any], bytes, bytes]:
        from routecheck.readers.gridfound import Window, opening_from
        from routecheck.readers.gridlayer import reader_of
        from routecheck.readers.plain_gdal import plain_gdal

        opening = opening_from(request["opening"])
        window = Window(**request["window"])
        key = json.dumps([opening.name, opening.driver, opening.options])
        with plain_gdal() as said:
            reader = self._open.pop(key, None)
            if reader is None:
                reader = reader_of(opening)
                said.clear()  # told already when the grid was first opened
            try:
                data, mask = reader.read(opening.band, window, mask=bool(request["mask"]))
            except Exception:
                reader.close()
                raise
            self._open[key] = reader
            while len(self._open) > MOST_OPEN:
                self._open.popitem(last=False)[1].close()
            return {"said": list(said)}, data, mask


if __name__ == "__main__":
    main()
