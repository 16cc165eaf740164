"""Damaged chart files through the whole house: `python -m tests.fuzz.charts --minutes 10 --seed 1`.

Real and written chart files, damaged in one of ten ways, stand in a folder beside a whole one; a
route across both is vetted. What must hold for each: the process lives, it ends within the time
limit, it raises nothing but BadInput, and the whole chart's shoal is still found. The damaged
file may say anything or be refused. Each worker is a process of its own; one that dies or hangs is
found, kept, and replaced. Prints a table and keeps it as build/fuzz/charts.json.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import multiprocessing
import os
import random
import shutil
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

LONGEST_S = 10.0
LARGEST_BYTES = 1_500_000
MOST_ALIKE = 5
"""Files of one format out of one folder."""
FOUND = Path("build/fuzz/charts-found")
DATA = Path(os.environ.get("ROUTECHECK_DATA", Path(__file__).parents[3] / "shared" / "data"))
_KINDS = (
    ".000", ".bag", ".h5", ".nc", ".tif", ".tiff", ".geojson", ".json", ".gml", ".fgb", ".gpkg",
    ".pbf", ".asc",
)  # fmt: skip


def files() -> list[Path]:
    """Every chart of the open data that is not too large, and the sample charts."""
    roots = (DATA, Path("sample_charts"), Path("build/fuzz/written"))
    found = [one for root in roots for one in sorted(root.rglob("*")) if one.is_file()]
    taken: Counter[tuple[Path, str]] = Counter()
    few: list[Path] = []
    for one in found:
        key = (one.parent, one.suffix.lower())
        if key[1] in _KINDS and 0 < one.stat().st_size <= LARGEST_BYTES and taken[key] < MOST_ALIKE:
            taken[key] += 1
            few.append(one)
    return few


def written() -> None:
    """Formats of which the open data holds no small file, written anew."""
    import geopandas
    import numpy as np
    import rasterio
    import shapely

    folder = Path("build/fuzz/written")
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    boxes = [shapely.box(10.0 + i / 10, 54.0, 10.1 + i / 10, 54.1) for i in range(40)]
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0] * 40}, geometry=boxes, crs=4326)
    for suffix, driver in ((".gml", "GML"), (".fgb", "FlatGeobuf"), (".gpkg", "GPKG")):
        path = folder / f"DEPARE{suffix}"
        frame.to_file(path, driver=driver, layer="DEPARE")
        (folder / f"{path.name}.toml").write_text('class = "DEPARE"', encoding="utf-8")
    side = 'quantity = "depth"\nunit = "m"\ndatum = "LAT"\nvertical_uncertainty = "0.5 m"\n'
    place = rasterio.transform.from_origin(10.0, 54.1, 0.001, 0.001)
    for suffix, driver in ((".tif", "GTiff"), (".asc", "AAIGrid")):
        path = folder / f"grid{suffix}"
        with rasterio.open(
            path, "w", driver=driver, width=60, height=60, count=1, dtype="float32",
            crs="EPSG:4326", transform=place, nodata=-9999.0,
        ) as out:  # fmt: skip
            out.write(np.full((60, 60), 15.0, dtype="float32"), 1)
        (folder / f"{path.name}.toml").write_text(side, encoding="utf-8")


WHOLE = (
    '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"class":"DEPARE",'
    '"DRVAL1":1.0,"DRVAL2":2.0},"geometry":{"type":"Polygon","coordinates":[[[0,0],[0.1,0],[0.1,0.1],'
    "[0,0.1],[0,0]]]}}]}"
)


def middle_of(path: Path) -> tuple[float, float]:
    """Somewhere in the middle of what the undamaged file covers."""
    from routecheck.readers.folder import read_charts

    try:
        charts = read_charts([path])
    except Exception:
        return 10.05, 54.05
    boxes = [grid.bounds_deg() for grid in charts.grids]
    for chart in charts.charts:
        boxes += [one.geometry.bounds for one in chart.depth_areas[:1]]
    if not boxes:
        return 10.05, 54.05
    west, south, east, north = boxes[0]
    return (west + east) / 2.0, (south + north) / 2.0


def route_of(points: Iterable[tuple[float, float]]) -> Any:
    """A route of (lon, lat), through a file as everybody's."""
    from routecheck.readers.route_file import read_routes

    line = {"type": "LineString", "coordinates": [list(point) for point in points]}
    with tempfile.NamedTemporaryFile("w", suffix=".geojson", dir="/dev/shm") as out:
        json.dump({"type": "Feature", "properties": {"name": "x"}, "geometry": line}, out)
        out.flush()
        return read_routes(Path(out.name))[0]


def worker(pipe: Connection, seed: int, middles: dict[Path, tuple[float, float]]) -> None:
    """Damages, vets and tells, until it is stopped."""
    from routecheck.api import vet
    from routecheck.model.boat import Boat
    from routecheck.model.errors import BadInput
    from routecheck.readers.folder import read_charts
    from tests.fuzz.mutate import mutated

    os.environ["ROUTECHECK_CACHE"] = tempfile.mkdtemp(prefix="cache-", dir="/dev/shm")
    rng = random.Random(seed)
    every = list(middles)
    folder = Path(tempfile.mkdtemp(prefix="damaged-", dir="/dev/shm"))
    boat = Boat(name="x", draught_m=2.0)
    while True:
        path = rng.choice(every)
        other = rng.choice([one for one in every if one.suffix == path.suffix])
        how, data = mutated(path.read_bytes(), other.read_bytes(), rng)
        for old in folder.iterdir():
            old.unlink()
        target = folder / path.name
        target.write_bytes(data)
        side = path.with_name(path.name + ".toml")
        if side.exists():
            shutil.copy(side, folder)
        whole = folder / "whole.geojson"
        whole.write_text(WHOLE, encoding="utf-8")
        lon, lat = middles[path]
        across = ((lon - 0.005, lat), (lon + 0.005, lat))
        pipe.send(("start", path.name, path.suffix.lower(), how, str(target)))
        try:
            charts = read_charts([folder])
            vet(route_of(across), charts, boat)
            report = vet(route_of(((0.02, 0.05), (0.08, 0.05))), charts, boat).report
            found = any(
                one.check == "too-little-water" and one.severity.value == "danger"
                for one in report.findings
            )
            said = any("whole" not in one.file for one in charts.unread)
            outcome = ("refused" if said else "read") if found else "SHOAL LOST"
            detail = ""
        except BadInput as error:
            outcome, detail = "SHOAL LOST", str(error)
        except Exception as error:
            outcome, detail = f"RAISED {type(error).__name__}", traceback.format_exc()
        pipe.send(("end", outcome, detail))
        pipe.recv()  # the file is kept first where something broke


def main() -> int:
    """0 where nothing broke, 1 else."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    args = parser.parse_args()
    written()
    shutil.rmtree(FOUND, ignore_errors=True)
    FOUND.mkdir(parents=True)
    tallies: dict[str, Counter[str]] = {}
    middles = {path: middle_of(path) for path in files()}
    print(f"{len(middles)} whole files to damage", flush=True)
    workers = [_Worker(args.seed * 1000 + i, middles) for i in range(args.processes)]
    end = time.monotonic() + args.minutes * 60.0
    broke: list[str] = []
    while time.monotonic() < end:
        for one in workers:
            said = one.said()
            if said is None:
                continue
            suffix, outcome, detail = said
            tallies.setdefault(suffix, Counter())[outcome] += 1
            if outcome not in ("read", "refused"):
                broke.append(outcome)
                stem = FOUND / f"{len(broke):04d}{suffix}"
                if Path(one.file).exists():
                    shutil.copy(one.file, stem)
                stem.with_name(stem.name + ".txt").write_text(f"{one.what}\n{outcome}\n{detail}")
            one.go_on()
    for one in workers:
        one.stop()
    total = 0
    for suffix, tally in sorted(tallies.items()):
        total += sum(tally.values())
        print(f"{suffix:9} {sum(tally.values()):>7}  {dict(tally)}")
    print(f"in all    {total:>7} executions, {len(broke)} broke something, seed {args.seed}")
    Path("build/fuzz/charts.json").write_text(json.dumps(tallies, indent=1))
    return int(bool(broke))


class _Worker:
    """One process, watched."""

    def __init__(self, seed: int, middles: dict[Path, tuple[float, float]]) -> None:
        self.seed, self._middles = seed, middles
        self.file = self.what = self.suffix = ""
        self._begun: float | None = None
        self._start()

    def _start(self) -> None:
        self._pipe, theirs = multiprocessing.Pipe()
        self._process = multiprocessing.get_context("spawn").Process(
            target=worker, args=(theirs, self.seed, self._middles), daemon=True
        )
        self._process.start()
        theirs.close()
        self._begun = None
        self.seed += 100_000

    def said(self) -> tuple[str, str, str] | None:
        """(suffix, outcome, detail) of an execution that has ended, None where none has."""
        try:
            if self._pipe.poll(0.02):
                word = self._pipe.recv()
                if word[0] == "start":
                    _, name, self.suffix, how, self.file = word
                    self.what = f"{name} {how}"
                    self._begun = time.monotonic()
                    return None
                took = time.monotonic() - (self._begun or time.monotonic())
                self._begun = None
                outcome = word[1] if took <= LONGEST_S else f"SLOW {took:.0f} s"
                return self.suffix, outcome, word[2]
        except EOFError:
            code = self._process.exitcode
            self.stop()
            self._start()
            return self.suffix, f"DIED {code}", ""
        if self._begun is not None and time.monotonic() - self._begun > 6 * LONGEST_S:
            self.stop()
            self._start()
            return self.suffix, "HUNG", ""
        return None

    def go_on(self) -> None:
        """The next one."""
        with contextlib.suppress(OSError):
            self._pipe.send("go")

    def stop(self) -> None:
        """Ends it."""
        self._process.kill()
        self._process.join()


if __name__ == "__main__":
    raise SystemExit(main())
