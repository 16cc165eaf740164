"""Ten bugs planted by hand, each in a scratch copy of the tree: which test catches which?

python -m tests.oracle.planted              all ten; prints a table
python -m tests.oracle.planted 3 8          some of them

Of each bug a few tests near its place are run, and a slice of the campaign. A bug that neither
catches makes the command end with 1; so does a patch that no longer fits the code.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
_MINUTES = 15
_SLICE = """
import json
from collections import Counter
from tests.oracle.campaign import KINDS, batch, from_files
from tests.oracle.worlds import world
counts, seed = Counter(), 800000
while counts["files"] < 40:
    seed += 1
    made = world(seed)
    gaps = any(None in row for grid in made["grids"] for row in grid["depth_m"])
    if gaps and not any(chart["kind"] == "cell" for chart in made["charts"]):
        counts["files"] += 1
        for one in from_files(made, Counter()):
            counts[one.kind] += 1
            counts["from files"] += 1
# Worlds in which a great circle leaves the rhumb line by its corridor's width, then any.
for first, many in [(900139, 1), (900209, 1), *((n, 10) for n in range(700000, 700400, 10))]:
    if any(counts[kind] for kind in KINDS):
        break
    counts.update(batch(first, many)["counts"])
print(json.dumps(counts))
"""


@dataclass(frozen=True, kw_only=True)
class Bug:
    """One patch: `old` stands in `file` exactly once, and becomes `new`."""

    name: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]


BUGS = (
    Bug(
        name="a cell edge skipped",
        file="routecheck/survey/cells.py",
        old="    grow = reach + slack\n",
        new="    grow = 0.9 * reach\n",
        tests=("tests/survey/test_cells.py", "tests/survey/test_shoalest.py"),
    ),
    Bug(
        name="a sign",
        file="routecheck/model/depth_sum.py",
        old="        return self.charted_depth_m + self.tide.height_m\n",
        new="        return self.charted_depth_m - self.tide.height_m\n",
        tests=("tests/model/test_depth_sum.py", "tests/checks/test_too_little_water.py"),
    ),
    Bug(
        name="a datum ignored",
        file="routecheck/model/tide.py",
        old="        return self.stations[station].levels_m.get(datum)\n",
        new="        return self.stations[station].levels_m.get(datum, 0.0)\n",
        tests=("tests/model/test_tide.py", "tests/checks/test_depth_findings.py"),
    ),
    Bug(
        name="a tide added twice",
        file="routecheck/model/depth_sum.py",
        old="        return self.charted_depth_m + self.tide.height_m\n",
        new="        return self.charted_depth_m + 2.0 * self.tide.height_m\n",
        tests=("tests/model/test_depth_sum.py", "tests/checks/test_too_little_water.py"),
    ),
    Bug(
        name="a side swapped south of the equator",
        file="routecheck/survey/passes.py",
        old='            side="starboard" if at.cross_m >= 0.0 else "port",\n',
        new='            side="starboard" if at.cross_m * place[1] >= 0.0 else "port",\n',
        tests=("tests/survey/test_passes.py", "tests/properties/test_marks.py"),
    ),
    Bug(
        name="a leg's last metre left out",
        file="routecheck/survey/plane.py",
        old="            self.to_m + self._lap_m(1),\n",
        new="            self.to_m + (-1.0 if self.last else self._lap_m(1)),\n",
        tests=("tests/survey/test_corridors.py", "tests/survey/test_meet_oracle.py"),
    ),
    Bug(
        name="the widest-at-bend corner cut",
        file="routecheck/survey/bends.py",
        old="        np.maximum(port_m[:-1], port_m[1:]),\n"
        "        np.maximum(starboard_m[:-1], starboard_m[1:]),\n",
        new="        np.minimum(port_m[:-1], port_m[1:]),\n"
        "        np.minimum(starboard_m[:-1], starboard_m[1:]),\n",
        tests=("tests/survey/test_bends.py",),
    ),
    Bug(
        name="nodata read as deep",
        file="routecheck/readers/gridvalues.py",
        # Behind both guards, the number's and the file's own mask: either alone still tells a hole.
        old="            depth[~valid] = 0.0\n",
        new="            depth[~valid] = 90.0\n            valid[:] = True\n",
        tests=("tests/readers/test_grid_values.py", "tests/readers/test_grids.py"),
    ),
    Bug(
        name="a mark at the leg's end missed",
        file="routecheck/survey/minima.py",
        old="    bend = high & follows & ~last\n",
        new="    bend = high & follows & last\n",
        tests=("tests/survey/test_passes.py", "tests/properties/test_marks.py"),
    ),
    Bug(
        name="a great-circle leg taken as a rhumb line",
        file="routecheck/survey/track.py",
        old="if leg.line is LegLine.GREAT_CIRCLE]\n",
        new="if leg.line is not leg.line]\n",
        tests=("tests/survey/test_corridors.py", "tests/survey/test_no_false_clear.py"),
    ),
)


def main(wanted: list[int]) -> int:
    """Print the table; 1 where a bug was not caught."""
    print("| bug | caught by tests | caught by the campaign |", "|---|---|---|", sep="\n")
    escaped = 0
    for number, bug in enumerate(BUGS, start=1):
        if wanted and number not in wanted:
            continue
        with tempfile.TemporaryDirectory() as folder:
            tests, slice_ = _planted(bug, Path(folder) / "tree")
        escaped += not tests and not slice_
        print(f"| {bug.name} | {tests or 'no'} | {slice_ or 'no'} |", flush=True)
    return int(escaped > 0)


def _planted(bug: Bug, tree: Path) -> tuple[str, str]:
    """(the tests that fail, what the campaign counts) with the bug in a copy of the tree."""
    for part in ("routecheck", "tests", "pyproject.toml", "sample_charts"):
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        tree.mkdir(exist_ok=True)
        copy(ROOT / part, tree / part)
    path = tree / bug.file
    text = path.read_text(encoding="utf-8")
    if text.count(bug.old) != 1:
        raise SystemExit(f"{bug.name}: the patch fits {bug.file} {text.count(bug.old)} times")
    path.write_text(text.replace(bug.old, bug.new), encoding="utf-8")
    failed: list[str] = []
    for test in bug.tests:
        run = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", test],
            cwd=tree,
            capture_output=True,
            text=True,
            check=False,
            timeout=60 * _MINUTES,
        )
        if run.returncode == 1:
            lines = [line for line in run.stdout.splitlines() if line.startswith("FAILED ")]
            failed += [line.split(" - ")[0].removeprefix("FAILED ") for line in lines]
        elif run.returncode:
            raise SystemExit(f"{test} did not run:\n{run.stdout}\n{run.stderr}")
    run = subprocess.run(
        [sys.executable, "-c", _SLICE],
        cwd=tree,
        capture_output=True,
        text=True,
        check=True,
        timeout=60 * _MINUTES,
    )
    counts = json.loads(run.stdout.splitlines()[-1])
    kinds = ("false clear", "missed object", "false danger", "crash", "from files")
    said = [f"{counts[kind]} × {kind}" for kind in kinds if counts.get(kind)]
    return "; ".join(f"`{one}`" for one in failed), ", ".join(said)


if __name__ == "__main__":
    raise SystemExit(main([int(one) for one in sys.argv[1:]]))
