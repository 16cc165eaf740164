"""Change the package in small ways, one at a time, and see whether a test notices.

python -m tests.mutants.run --minutes 10 --seed 1                 all parts, most dangerous first
python -m tests.mutants.run --minutes 10 --seed 1 nav depth       some of them, or single files
python -m tests.mutants.run --minutes 10 --seed 1 --survivors     those again that survived
python -m tests.mutants.run --survivors --tests-s 60              … with a minute of tests each
python -m tests.mutants.run --seed 1 --show                       what survived, and the table

Goes on where the last run of that seed stopped: build/mutants/seed-1.jsonl has a line a mutant. A
mutant counts for the text of its module: when that changes, its mutants are tried anew. Survivors
that change nothing that anyone could notice stand in argued/*.toml, each with the reason.
"""

from __future__ import annotations

import argparse
import ast
import hashlib
import json
import os
import random
import subprocess
import sys
import time
import tomllib
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.mutants import reach as reach_plugin
from tests.mutants import trial
from tests.mutants.operators import Mutant, mutants, mutated
from tests.mutants.reach import IMPORT, ROOT, STATE, TESTS, Reach, collect

PARTS = {
    "depth": ("model/depth_sum.py", "model/depth_items.py"),
    "nav": ("nav/*.py",),
    "checks": ("checks/*.py",),
    "survey": ("survey/*.py",),
}
_MOST_ONE_TEST_S = 8.0
"""By the clock of the run that collected what tests call. A slower test is left out."""


@dataclass(frozen=True, kw_only=True)
class Job:
    """One mutant of one module."""

    module: str
    digest: str
    mutant: Mutant

    @property
    def key(self) -> tuple[str, str, int]:
        return self.module, self.digest, self.mutant.number


def jobs(parts: list[str], seed: int) -> list[Job]:
    """All mutants of some parts or files, part by part, each part in an order of the seed's."""
    found = []
    for part in parts:
        of_part = []
        for pattern in PARTS.get(part, (part.removeprefix("routecheck/"),)):
            paths = sorted((ROOT / "routecheck").glob(pattern))
            if not paths:
                raise SystemExit(f"{part}: neither a part ({', '.join(PARTS)}) nor a file")
            for path in paths:
                text = path.read_text(encoding="utf-8")
                digest = hashlib.sha256(text.encode()).hexdigest()[:16]
                name = str(path.relative_to(ROOT))
                of_part += [Job(module=name, digest=digest, mutant=m) for m in mutants(text)]
        random.Random(f"{seed} {part}").shuffle(of_part)
        found += of_part
    return found


def known(seed: int) -> dict[tuple[str, str, int], dict[str, str]]:
    """What earlier runs of a seed found; the last word on each mutant."""
    path = STATE / f"seed-{seed}.jsonl"
    if not path.is_file():
        return {}
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return {(row["module"], row["digest"], row["number"]): row for row in rows}


class Worker:
    """A pytest plugin: every `of`-th job from the `first`, each in a child of this process."""

    def __init__(
        self, todo: list[Job], reach: Reach, seed: int, until: float, most_tests_s: float
    ) -> None:
        self.todo, self.reach, self.seed, self.until = todo, reach, seed, until
        self.most_tests_s = most_tests_s
        self._killers: dict[tuple[str, object], list[str]] = {}

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In place of the tests' own loop."""
        items = {item.nodeid: item for item in session.items}
        planter = trial.Planter()
        with (STATE / f"seed-{self.seed}.jsonl").open("a", buffering=1, encoding="utf-8") as out:
            self._no_change_survives()
            for number, job in enumerate(self.todo):
                if time.time() > self.until:
                    break
                scratch = STATE / "scratch" / f"{os.getpid()}-{number}"
                start = time.monotonic()
                found = self._tried(job, items, planter, scratch)
                row = {
                    "module": job.module,
                    "digest": job.digest,
                    "number": job.mutant.number,
                    "line": job.mutant.line,
                    "what": job.mutant.what,
                    "outcome": found.outcome,
                    "by": found.by,
                    "took_s": round(time.monotonic() - start, 2),
                }
                if found.by in items:
                    killers = self._killers.setdefault((job.module, job.mutant.function), [])
                    killers[:] = [found.by, *(test for test in killers if test != found.by)]
                out.write(json.dumps(row) + "\n")
        return True

    def _no_change_survives(self) -> None:
        """The apparatus itself kills nothing: a module unchanged is a mutant that survives."""
        path, test = ROOT / "routecheck/nav/angles.py", "tests/nav/test_angles.py"
        tree = ast.parse(path.read_text(encoding="utf-8"))
        scratch = STATE / "scratch" / str(os.getpid())
        found = trial.in_child(
            lambda: trial.afresh(str(path), tree, [test]), cpu_s=60.0, scratch=scratch
        )
        if found.outcome != trial.SURVIVED:
            raise SystemExit(f"a module without any change does not survive: {found}")

    def _tests(self, job: Job) -> list[str]:
        """What killed others of the function, the module's own file, the rest: fastest first."""
        function = job.mutant.function
        if function:
            tests = self.reach.of(f"{job.module}::{function[0]}")
        else:
            tests = self.reach.of_module(job.module)
        tests = [t for t in tests if self.reach.tests[t][0] < _MOST_ONE_TEST_S] or tests[:1]
        part, name = Path(job.module).parts[1:]
        own = f"tests/{part}/test_{Path(name).stem}"
        killers = self._killers.get((job.module, function), [])[:5]
        first = [*killers, *(t for t in tests if t.startswith(own) and t not in killers)]
        rest = [test for test in tests if test not in first]
        return self._within(first, 3.0 * self.most_tests_s) + self._within(rest, self.most_tests_s)

    def _within(self, tests: list[str], most_s: float) -> list[str]:
        """As many as fit into a time."""
        spent_s, found = 0.0, []
        for test in tests:
            spent_s += self.reach.tests[test][0]
            if spent_s > most_s and found:
                break
            found.append(test)
        return found

    def _tried(
        self, job: Job, items: dict[str, pytest.Item], planter: trial.Planter, scratch: Path
    ) -> trial.Outcome:
        path = ROOT / job.module
        tree = mutated(path.read_text(encoding="utf-8"), job.mutant.number)
        function = job.mutant.function
        tests = self._tests(job)
        imported = self.reach.tests[IMPORT][1]
        fresh = function is None or not tests or f"{job.module}::{function[0]}" in imported
        if not tests:
            tests = self.reach.of_module(job.module)[:50]
        if not tests:
            return trial.Outcome(outcome=trial.SURVIVED, by="no test calls this module")

        def run() -> str:
            os.environ["TMPDIR"] = str(scratch)
            scratch.mkdir(parents=True)
            if not fresh and function is not None and planter.plant(str(path), tree, function):
                chosen = [items[test] for test in tests if test in items]
                if not chosen:
                    raise trial.Broken("no test that calls it is there any more")
                chosen[0].config._tmp_path_factory._basetemp = scratch  # type: ignore[attr-defined]
                return trial.in_place(chosen)
            return trial.afresh(str(path), tree, tests)

        usual_s = sum(self.reach.tests[test][0] for test in tests)
        return trial.in_child(run, cpu_s=8.0 + 3.0 * usual_s, scratch=scratch)


def work(args: argparse.Namespace, todo: list[Job]) -> None:
    """One worker's share, with all tests collected."""
    reach = Reach()
    share = todo[args.worker :: args.processes]
    worker = Worker(share, reach, args.seed, args.until, args.tests_s)
    plugins: list[object] = [reach_plugin, worker]
    folders = [f"tests/{folder}" for folder in TESTS]
    code = pytest.main(["-q", "-p", "no:cacheprovider", *folders], plugins=plugins)
    if code not in (0, 5):
        raise SystemExit(f"the worker ended with {code}")


def argued() -> dict[tuple[str, str], int]:
    """Mutants that nobody could notice: how many of a module and a change are argued away.

    `what` is the change as the run prints it, or a list of such, all for the same reason; `times`
    how many survivors of that text in the module are meant (1).
    """
    found: dict[tuple[str, str], int] = {}
    for path in sorted(Path(__file__).with_name("argued").glob("*.toml")):
        for row in tomllib.loads(path.read_text(encoding="utf-8")).get("mutant", []):
            whats = [row["what"]] if isinstance(row["what"], str) else row["what"]
            if not row["why"].strip():
                raise SystemExit(f"{path}: {whats[0]}: no reason is given")
            for what in whats:
                key = (row["module"], what)
                found[key] = found.get(key, 0) + row.get("times", 1)
    return found


def show(all_jobs: list[Job], seed: int) -> int:
    """Print survivors and the table; how many survivors are neither killed nor argued away."""
    rows, reasons = known(seed), argued()
    table: dict[str, Counter[str]] = {}
    open_count = 0
    for job in all_jobs:
        counts = table.setdefault(job.module, Counter())
        counts["possible"] += 1
        row = rows.get(job.key)
        if row is None or row["outcome"] == trial.BROKEN:
            continue
        outcome = row["outcome"]
        reason = (job.module, job.mutant.what)
        if outcome == trial.SURVIVED and reasons.get(reason, 0) > 0:
            reasons[reason] -= 1
            outcome = "argued"
        if outcome == trial.SURVIVED:
            open_count += 1
            print(f"{job.module}:{job.mutant.line}: {job.mutant.what}  [{row['by']}]")
        counts["tried"] += 1
        counts[outcome] += 1
    print("\n| module | possible | tried | killed | of these by time | argued away | survived |")
    print("|---|---|---|---|---|---|---|")
    total: Counter[str] = Counter()
    for module, counts in [*sorted(table.items()), ("all", total)]:
        killed = counts[trial.KILLED] + counts[trial.TIMED_OUT]
        share = f" ({100.0 * killed / counts['tried']:.1f} %)" if counts["tried"] else ""
        print(
            f"| {module.removeprefix('routecheck/')} | {counts['possible']} | {counts['tried']} "
            f"| {killed}{share} | {counts[trial.TIMED_OUT]} | {counts['argued']} "
            f"| {counts[trial.SURVIVED]} |"
        )
        if module != "all":
            total.update(counts)
    return open_count


def main() -> int:
    """1 where survivors are left that nobody has argued away."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("parts", nargs="*", default=list(PARTS))
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--survivors", action="store_true")
    parser.add_argument("--tests-s", type=float, default=5.0, help="of tests for each mutant")
    parser.add_argument("--show", action="store_true")
    parser.add_argument("--worker", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--until", type=float, help=argparse.SUPPRESS)
    args = parser.parse_args()
    os.environ.update(HYPOTHESIS_PROFILE="ci", OMP_NUM_THREADS="1")
    os.chdir(ROOT)
    every = jobs(args.parts, args.seed)
    if args.show:
        return int(show(every, args.seed) > 0)
    rows = known(args.seed)
    if args.survivors:
        todo = [j for j in every if rows.get(j.key, {}).get("outcome") == trial.SURVIVED]
    else:
        todo = [job for job in every if job.key not in rows]
    if args.worker is not None:
        work(args, todo)
        return 0
    collect()
    print(f"seed {args.seed}: {len(todo)} of {len(every)} mutants to try", file=sys.stderr)
    until = args.until or time.time() + 60.0 * args.minutes
    command = [sys.executable, "-m", "tests.mutants.run", *sys.argv[1:], "--until", str(until)]
    command += ["--processes", str(args.processes)]
    workers = [
        subprocess.Popen([*command, "--worker", str(n)], stdout=subprocess.DEVNULL)
        for n in range(min(args.processes, max(1, len(todo))))
    ]
    failed = [worker.wait() for worker in workers]
    left = show(every, args.seed)
    return int(left > 0 or any(failed))


if __name__ == "__main__":
    raise SystemExit(main())
