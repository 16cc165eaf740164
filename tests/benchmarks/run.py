"""Run all benchmarks and print a table: ``python -m tests.benchmarks.run [name …]``.

Each module of `BENCHES` has a function `rows()`. Times are ratios, taken in turns in one run,
the least of several; absolute ones stand beside them for the curious.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence

BENCHES = (
    "ocean_survey",
    "ocean_cold",
    "memory",
    "vet_process",
    "map_size",
    "folder",
    "departures",
    "marks",
)


def main(names: Sequence[str]) -> int:
    """0 where every goal is met, else 1."""
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        print(f"no benchmark called {', '.join(unknown)}; there are {', '.join(BENCHES)}")
        return 2
    missed = 0
    for name in names or BENCHES:
        module = importlib.import_module(f"tests.benchmarks.{name}")
        for row in module.rows():
            missed += not row.met
            print(f"{'met   ' if row.met else 'MISSED'}  {row.what}")
            print(f"        goal {row.goal}, measured {row.measured}", flush=True)
    print(f"{missed} goals missed" if missed else "all goals met")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
