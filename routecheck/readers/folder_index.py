"""An index of a folder of charts, kept in the user's cache directory: what lies where.

It says of every chart file where its objects lie, so that a file far from the route need not be
read again. It holds nothing that the files do not: losing it costs time only. An entry counts only
while every file of the same name beside the chart (updates, sidecar, parts) is as it was, by size,
times and number. Written whole or not at all, so that processes may share it; what cannot be read
or does not add up is as good as not there.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from routecheck.model.chart import Chart, Problem, Severity
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.units import METRES_PER_NMI

Floats = NDArray[np.float64]
Print = list[list[str | int]]
"""Of each file: path, size, times of change, number."""

ROOM_M = 4.0 * METRES_PER_NMI
"""How far beyond the corridors objects may matter, the map's picture included (3 nmi)."""
MARKS_ROOM_M = 12.0 * METRES_PER_NMI
"""The same for marks, whose runs are followed along the track (10 nmi)."""
_WIDEST_BELT_M = 550.0
RACY_SECONDS = 2.0
"""A file changed so shortly before it was read may change again without its times showing it."""
_VERSION = 4
_METRES_PER_DEGREE = 60.0 * METRES_PER_NMI


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What the index holds of one file. `bounds` (west, south, east, north) None: nothing."""

    bounds: tuple[float, float, float, float] | None
    reach_m: float
    """How far from the corridor an object of it may lie and still concern it."""
    stub: Chart
    """The chart without its objects."""

    def away(self, near: Floats) -> bool:
        """Whether nothing of it can concern the boxes, (n, 4) in degrees, longitudes unwrapped."""
        if self.bounds is None:
            return True
        west, south, east, north = self.bounds
        room_lat = self.reach_m / _METRES_PER_DEGREE
        steepest = np.clip(np.abs(near[:, [1, 3]]).max(axis=1) + room_lat, 0.0, 89.0)
        room_lon = np.minimum(room_lat / np.cos(np.radians(steepest)), 180.0)
        apart = (near[:, 1] - room_lat > north) | (near[:, 3] + room_lat < south)
        if apart.all():
            return True
        left, right = near[:, 0] - room_lon, near[:, 2] + room_lon
        for turn in 360.0 * np.arange(-3, 4):
            apart_here = (left + turn > east) | (right + turn < west)
            if not (apart | apart_here).all():
                return False
        return True


def entry_of(chart: Chart) -> Entry:
    """The entry of a chart that was read whole."""
    everything = (
        *chart.objects(),
        *chart.quality_zones,
        *chart.buoyage_zones,
        *chart.datum_zones,
        *chart.coverage,
    )
    boxes: list[Sequence[float]] = [
        problem.bounds for problem in chart.problems if problem.bounds is not None
    ]
    if everything:
        held = np.empty(len(everything), dtype=object)
        held[:] = [thing.geometry for thing in everything]
        boxes.append(shapely.total_bounds(held).tolist())
    bounds = None
    if boxes:
        sides = np.array(boxes)
        low, high = sides.min(axis=0), sides.max(axis=0)
        bounds = (float(low[0]), float(low[1]), float(high[2]), float(high[3]))
    own = max((thing.position_uncertainty_m or 0.0 for thing in everything), default=0.0)
    fixed = (chart.source.quality.horizontal_m or 0.0) + 50.0
    belt_m = max(_WIDEST_BELT_M, own, fixed, chart.source.own_position_uncertainty_m)
    belt_m += chart.source.system_off_m
    room_m = MARKS_ROOM_M if chart.marks else ROOM_M
    # A chart that states no coverage cannot say where something of it was lost.
    lost = () if chart.coverage else tuple(p for p in chart.problems if p.bounds is None)
    stub = Chart(
        source=chart.source,
        counts=chart.counts,
        harmless=chart.harmless,
        proves_absence=chart.proves_absence,
        problems=lost,
    )
    return Entry(bounds=bounds, reach_m=belt_m + room_m, stub=stub)


def cache_folder() -> Path:
    """The user's cache directory for our indexes; ROUTECHECK_CACHE names another."""
    own = os.environ.get("ROUTECHECK_CACHE")
    if own:
        return Path(own)
    if sys.platform == "win32" and os.environ.get("LOCALAPPDATA"):
        return Path(os.environ["LOCALAPPDATA"]) / "routecheck" / "cache"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "routecheck"
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "routecheck"


class FolderIndex:
    """The index of one folder that the user named."""

    def __init__(self, folder: Path) -> None:
        name = hashlib.sha256(os.path.realpath(folder).encode("utf-8", "surrogateescape"))
        self._file: Path | None = None
        with contextlib.suppress(RuntimeError, OSError):  # no home directory
            self._file = cache_folder() / f"charts-{name.hexdigest()[:32]}.json"
        self._held: dict[str, Any] = _read(self._file) if self._file is not None else {}
        self._used: dict[str, Any] = {}
        self._changed = False
        self._listed: dict[Path, dict[str, Print]] = {}

    def print_of(self, path: Path) -> Print:
        """What tells whether a chart file, or any file that is read with it, has changed."""
        places = [path.parent]
        if path.parent.name == "0":  # updates of an exchange set
            with contextlib.suppress(OSError):
                beside = path.parent.parent.iterdir()
                places += sorted(p for p in beside if p.name.isdigit() and p != path.parent)
        stem = _stem(path.name)
        return [one for place in places for one in self._list(place).get(stem, [])]

    def _list(self, place: Path) -> dict[str, Print]:
        if place not in self._listed:
            found = self._listed[place] = {}
            with contextlib.suppress(OSError), os.scandir(place) as entries:
                for entry in sorted(entries, key=lambda one: one.name):
                    with contextlib.suppress(OSError):
                        line = [str(place / entry.name), *_facts(entry.stat())]
                        found.setdefault(_stem(entry.name), []).append(line)
        return self._listed[place]

    def fresh(self, path: Path) -> Entry | None:
        """The entry of a file, None where there is none or the file has changed since."""
        key = os.path.realpath(path)
        held = self._held.get(key)
        try:
            if held is None or held["print"] != self.print_of(path):
                return None
            entry = _entry(held)
        except (KeyError, TypeError, ValueError, AttributeError):
            return None
        self._used[key] = held
        return entry

    def put(self, path: Path, before: Print, entry: Entry) -> None:
        """Keep an entry; `before` is the file's print from before it was read."""
        try:
            now = [[line[0], *_facts(os.stat(line[0]))] for line in before]  # noqa: PTH116
        except OSError:
            return
        if before != now:
            return
        newest = max((int(n) for line in before for n in line[2:4]), default=0)
        if time.time() - newest / 1e9 < RACY_SECONDS:
            return
        self._used[os.path.realpath(path)] = {"print": before, **_record(entry)}
        self._changed = True

    def save(self) -> None:
        """Write it, where something is new in it. A disk that is full or closed is no matter."""
        if not self._changed or self._file is None:
            return
        body = json.dumps(self._held | self._used, separators=(",", ":"))
        head = json.dumps({"version": _VERSION, "sha256": _digest(body)})
        with contextlib.suppress(OSError, ValueError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self._file.parent, prefix="charts-")
            try:
                with os.fdopen(handle, "w", encoding="utf-8") as stream:
                    stream.write(f"{head}\n{body}")
                os.replace(name, self._file)  # noqa: PTH105
            except OSError:
                with contextlib.suppress(OSError):
                    os.unlink(name)  # noqa: PTH108


def _facts(said: os.stat_result) -> list[str | int]:
    return [said.st_size, said.st_mtime_ns, said.st_ctime_ns, said.st_ino]


def _stem(name: str) -> str:
    return name.lower().lstrip(".").partition(".")[0]


def _digest(body: str) -> str:
    return hashlib.sha256(body.encode()).hexdigest()


def _read(file: Path) -> dict[str, Any]:
    try:
        head, _, body = file.read_text(encoding="utf-8").partition("\n")
        said = json.loads(head)
        if said != {"version": _VERSION, "sha256": _digest(body)}:
            return {}
        held = json.loads(body)
    except (OSError, ValueError, RecursionError):
        return {}
    return held if isinstance(held, dict) else {}


def _record(entry: Entry) -> dict[str, Any]:
    stub = entry.stub
    return {
        "bounds": entry.bounds,
        "reach_m": entry.reach_m,
        "source": asdict(stub.source),
        "counts": stub.counts,
        "harmless": stub.harmless,
        "proves_absence": stub.proves_absence,
        "lost": [[p.text, p.severity.value] for p in stub.problems],
    }


def _entry(held: Mapping[str, Any]) -> Entry:
    facts = dict(held["source"])
    facts["quality"] = Quality(**facts["quality"])
    facts["kind"] = SourceKind(facts["kind"])
    source = Source(**facts)
    bounds: Sequence[float] | None = held["bounds"]
    sides = None
    if bounds is not None:
        west, south, east, north = (float(side) for side in bounds)
        sides = (west, south, east, north)
    return Entry(
        bounds=sides,
        reach_m=float(held["reach_m"]),
        stub=Chart(
            source=source,
            counts=held["counts"],
            harmless=held["harmless"],
            proves_absence=held["proves_absence"],
            problems=tuple(
                Problem(source=source.id, text=text, severity=Severity(severity))
                for text, severity in held["lost"]
            ),
        ),
    )
