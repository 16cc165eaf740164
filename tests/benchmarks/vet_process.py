"""`vet --json` of a real route through a real cell, as a process, and beside a bare interpreter."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.measure import Row

GOAL_S = 2.0
ROOT = Path(__file__).resolve().parents[2]
DATA = Path(os.environ.get("ROUTECHECK_DATA", ROOT.parent / "shared" / "data"))
BOAT = 'name = "bench"\ndraught = "2.0 m"\n[margins]\nunder_keel = "1.0 m"\ncross_track = "100 m"\n'
_YARDSTICK = "import numpy, shapely, pyproj"


def _least_s(words: list[str], rounds: int = 7) -> float:
    least = float("inf")
    for _ in range(rounds):
        begin = time.perf_counter()
        subprocess.run(words, cwd=ROOT, capture_output=True, check=False)
        least = min(least, time.perf_counter() - begin)
    return least


def rows() -> Iterator[Row]:
    """The whole process; skipped, with a row that says so, where the real data is missing."""
    route = DATA / "routes" / "A_choptank_safe.gpx"
    cell = DATA / "s57_noaa_us4md81m" / "US4MD81M.000"
    if not cell.is_file():
        yield Row(what="vet --json as a process", goal="-", measured="no real data here", met=True)
        return
    with tempfile.TemporaryDirectory() as folder:
        boat = Path(folder) / "boat.toml"
        boat.write_text(BOAT, encoding="utf-8")
        words = [sys.executable, "-m", "routecheck.cli", "vet", str(route)]
        words += ["--charts", str(cell), "--boat", str(boat), "--json"]
        ours_s = _least_s(words)
    bare_s = _least_s([sys.executable, "-c", _YARDSTICK])
    yield Row(
        what="vet --json of a route of 9 legs through a cell of 7,340 objects, whole process",
        goal=f"<= {GOAL_S} s",
        measured=f"{ours_s:.2f} s, {ours_s / bare_s:.1f} times `{_YARDSTICK}` ({bare_s:.2f} s)",
        met=ours_s <= GOAL_S,
    )
