"""A folder of 1,000 chart files with a million depth areas and two million soundings.

The folder's index is made by the first `vet`. The second is held against the same route and only
the files that it crosses. Whole processes. The files are made once and kept in the system's folder
for temporary files (about 370 MB), or where ROUTECHECK_BENCH says.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import shapely

from tests.benchmarks.measure import Row

FILES, AREAS, SOUNDINGS, LEGS = 1000, 1000, 2000, 30
ACROSS = 40
SIDE_DEG = 0.5
WEST_DEG, SOUTH_DEG = -40.0, 20.0
MOST_TIMES, MOST_MB, ROUNDS = 3.0, 600.0, 3
BOAT = 'name = "bench"\ndraught = "2.0 m"\n[margins]\nunder_keel = "1.0 m"\ncross_track = "100 m"\n'
ROOT = Path(__file__).resolve().parents[2]


def corner(number: int) -> tuple[float, float]:
    """South-west corner of a file's water, degrees."""
    row, column = divmod(number, ACROSS)
    return WEST_DEG + SIDE_DEG * column, SOUTH_DEG + SIDE_DEG * row


def make_folder(folder: Path, files: int = FILES) -> None:
    """The chart files: a net of depth areas, two soundings in each."""
    from pyogrio import raw

    rng = np.random.default_rng(7)
    columns, rows = 40, AREAS // 40
    step_x, step_y = SIDE_DEG / columns, SIDE_DEG / rows
    x, y = np.meshgrid(np.arange(columns) * step_x, np.arange(rows) * step_y)
    classes = np.array(["DEPARE"] * AREAS + ["SOUNDG"] * SOUNDINGS, dtype=object)
    for number in range(files):
        west, south = corner(number)
        left, low = west + x.ravel(), south + y.ravel()
        boxes = shapely.box(left, low, left + step_x, low + step_y)
        spots = rng.random((SOUNDINGS, 2)) * (SIDE_DEG, SIDE_DEG) + (west, south)
        shapes = np.concatenate([boxes, shapely.points(spots)])
        depths = rng.uniform(10.0, 40.0, AREAS + SOUNDINGS).round(1)
        sounding = classes == "SOUNDG"
        raw.write(
            folder / f"chart{number:04d}.fgb",
            geometry=shapely.to_wkb(shapes),
            field_data=[
                classes,
                np.where(sounding, np.nan, depths),
                np.where(sounding, depths, np.nan),
            ],
            fields=["class", "DRVAL1", "VALSOU"],
            geometry_type="Unknown",
            crs="EPSG:4326",
            driver="FlatGeobuf",
            SPATIAL_INDEX="NO",
        )
        (folder / f"chart{number:04d}.fgb.toml").write_text('datum = "LAT"\n', encoding="utf-8")


def kept_folder(files: int) -> Path:
    """The folder, made where it is not there whole from an earlier run."""
    given = os.environ.get("ROUTECHECK_BENCH")
    kept = Path(given) if given else Path(tempfile.gettempdir()) / f"routecheck-bench-{files}"
    if not (kept / f"chart{files - 1:04d}.fgb.toml").is_file():
        with tempfile.TemporaryDirectory(dir=kept.parent) as making:
            made = Path(making) / "whole"
            made.mkdir()
            make_folder(made, files)
            shutil.rmtree(kept, ignore_errors=True)
            made.replace(kept)
    return kept


def make_route(path: Path) -> shapely.LineString:
    """A track of 30 legs that wanders over the folder's first rows."""
    along = np.linspace(0.3, 8.3, LEGS + 1)
    line = np.column_stack([WEST_DEG + along, SOUTH_DEG + 1.3 + 0.6 * np.sin(1.7 * along)])
    geometry = {"type": "LineString", "coordinates": line.round(6).tolist()}
    feature = {"type": "Feature", "properties": {"name": "bench"}, "geometry": geometry}
    path.write_text(json.dumps(feature), encoding="utf-8")
    return shapely.LineString(line)


def crossed(line: shapely.LineString, files: int = FILES) -> list[int]:
    """Numbers of the files whose water the track crosses."""
    found = []
    for number in range(files):
        west, south = corner(number)
        if line.intersects(shapely.box(west, south, west + SIDE_DEG, south + SIDE_DEG)):
            found.append(number)
    return found


def run(route: Path, charts: Path, boat: Path, cache: Path) -> tuple[float, float]:
    """(processor seconds, peak MB) of one `vet --json`; its children's seconds counted too."""
    words = [sys.executable, "-m", "routecheck.cli", "vet", str(route), "--charts", str(charts)]
    environment = os.environ | {"ROUTECHECK_CACHE": str(cache)}
    with tempfile.TemporaryFile() as printed:
        process = subprocess.Popen(
            [*words, "--boat", str(boat), "--json"], cwd=ROOT, env=environment, stdout=printed
        )
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        printed.seek(0)
        if printed.read(1) != b"{":
            raise RuntimeError(f"vet ended with {process.returncode} and printed no report")
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0


def rows(files: int = FILES) -> Iterator[Row]:
    """Time of the second run against that of the crossed files alone, and memory."""
    with tempfile.TemporaryDirectory() as held:
        place = Path(held)
        whole = kept_folder(files)
        time.sleep(3.0)  # what changed a moment ago is not kept in an index
        line = make_route(place / "route.geojson")
        only = place / "only"
        only.mkdir()
        for number in crossed(line, files):
            for name in (f"chart{number:04d}.fgb", f"chart{number:04d}.fgb.toml"):
                (only / name).symlink_to(whole / name)
        boat, cache = place / "boat.toml", place / "cache"
        boat.write_text(BOAT, encoding="utf-8")
        first_s, first_mb = run(place / "route.geojson", whole, boat, cache)
        run(place / "route.geojson", only, boat, cache)
        second_s = only_s = float("inf")
        most_mb = first_mb
        for _ in range(ROUNDS):
            seconds, megabytes = run(place / "route.geojson", whole, boat, cache)
            second_s, most_mb = min(second_s, seconds), max(most_mb, megabytes)
            only_s = min(only_s, run(place / "route.geojson", only, boat, cache)[0])
        count = len(list(only.iterdir())) // 2
    yield Row(
        what=f"second vet of {LEGS} legs against {files} files, {count} of them crossed",
        goal=f"<= {MOST_TIMES} times the crossed files alone",
        measured=f"{second_s / only_s:.2f} times ({second_s:.2f} s, {only_s:.2f} s; "
        f"the first, which makes the index, {first_s:.0f} s)",
        met=second_s <= MOST_TIMES * only_s,
    )
    yield Row(
        what="most memory of these, the first run included",
        goal=f"< {MOST_MB:.0f} MB",
        measured=f"{most_mb:.0f} MB",
        met=most_mb < MOST_MB,
    )


if __name__ == "__main__":
    for row in rows(int(sys.argv[1]) if len(sys.argv) > 1 else FILES):
        print(row)
