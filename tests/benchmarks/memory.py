"""Peak memory of whole processes, whatever the grid's size."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.measure import Row
from tests.benchmarks.ocean import ocean_grid

GOAL_MB = 400.0
ROOT = Path(__file__).resolve().parents[2]


def rows() -> Iterator[Row]:
    """Twenty ocean routes, then one of 10 nmi either side that touches some 10 million cells."""
    ocean_grid()
    child = [sys.executable, "-m", "tests.benchmarks.memory"]
    done = subprocess.run(child, cwd=ROOT, capture_output=True, text=True, check=True)
    peak_mb, cells, tiles = (float(word) for word in done.stdout.split())
    yield Row(
        what="peak memory of 20 ocean routes and one 20 nmi wide",
        goal=f"<= {GOAL_MB:g} MB",
        measured=f"{peak_mb:.0f} MB ({cells / 1e6:.1f} million cells, {tiles:.0f} tiles decoded)",
        met=peak_mb <= GOAL_MB,
    )


def _child() -> None:
    from routecheck.readers.blockcache import BLOCKS
    from routecheck.readers.grids import open_grid
    from routecheck.survey import gather
    from routecheck.survey.shoalest import shoalest
    from tests.benchmarks.ocean import legs_of, ocean_route

    cells = 0
    read = gather._cells

    def counted(*args):  # type: ignore[no-untyped-def]
        nonlocal cells
        depth, valid = read(*args)
        cells += len(depth)
        return depth, valid

    gather._cells = counted
    (grid,) = open_grid(ocean_grid())
    for number in range(20):
        shoalest(grid, legs_of(ocean_route(number), 1852.0))
    shoalest(grid, legs_of(ocean_route(99, legs=100, mean_leg_nmi=140.0), 18520.0))
    print(_peak_mb(), cells, BLOCKS.decoded)


def _peak_mb() -> float:
    """This process's own peak: ru_maxrss counts in that of the one which started it (Linux)."""
    status = Path("/proc/self/status")
    if status.exists():
        return int(status.read_text().split("VmHWM:")[1].split()[0]) / 1024.0
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


if __name__ == "__main__":
    _child()
