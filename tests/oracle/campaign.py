"""The campaign: random worlds through the package and the oracle, counted.

python -m tests.oracle.campaign --minutes 10 --seed 1      run on, from where the state file stands
python -m tests.oracle.campaign --replay 12345             both sides' reasoning on one world
python -m tests.oracle.campaign --table                    the counts so far, as a table

Worlds are numbered: world n of a campaign has seed SEED * 10,000,000 + n. Two processes take them
in batches; finished batches stand in the state file, so that a run can be stopped and taken up.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from pathlib import Path
from typing import Any

from tests.oracle.compare import WORDS, Difference, compared
from tests.oracle.files_side import read, told
from tests.oracle.judge import Oracle
from tests.oracle.package_side import ask
from tests.oracle.worlds import world

BATCH = 50
STRIDE = 10_000_000
KINDS = ("false clear", "missed object", "false danger", "crash")


def batch(first_seed: int, count: int) -> dict[str, Any]:
    """What came of some worlds, plain enough for the state file."""
    counts: Counter[str] = Counter()
    failed: list[dict[str, Any]] = []
    for seed in range(first_seed, first_seed + count):
        try:
            found = _of_world(seed, counts)
        except Exception:
            failed.append({"seed": seed, "kind": "crash", "text": traceback.format_exc(limit=-3)})
            counts["crash"] += 1
            continue
        for one in found:
            counts[one.kind] += 1
            counts[f"{one.kind} / {one.what}"] += 1
        for kind in dict.fromkeys(one.kind for one in found):
            first = next(one for one in found if one.kind == kind)
            failed.append({"seed": seed, "kind": kind, "text": first.text})
    return {"counts": dict(counts), "failed": failed}


def _of_world(seed: int, counts: Counter[str]) -> list[Difference]:
    """The differences over one world; every hundredth is read from files as well."""
    made = world(seed)
    counts["worlds"] += 1
    oracle, answers = Oracle(made), ask(made)
    claims = [oracle.claims(clock) for clock in made["clocks"]]
    for answer, mine in zip(answers, claims, strict=True):
        counts["scenarios"] += 1
        counts[f"verdict: {answer.report.verdict.value}"] += 1
        for group, rank in [(c[1], c[2]) for c in {(c.legs, c.group, c.rank, c.key) for c in mine}]:
            counts[f"the oracle's claims / {group}: {WORDS[rank]}"] += 1
        counts["dangers of the package that the oracle looked at"] += len(answer.dangers)
    found = compared(oracle, answers, claims)
    if seed % 100 == 0:
        found += from_files(made, counts)
    return found


def from_files(made: dict[str, Any], counts: Counter[str]) -> list[Difference]:
    """The differences over a world that is written to files and read with the readers."""
    heard = told(made)
    if heard is None:
        return []
    with tempfile.TemporaryDirectory() as folder:
        charts = read(heard, Path(folder))
        oracle, answers = Oracle(heard), ask(heard, charts)
    counts["worlds read from files"] += 1
    counts["scenarios read from files"] += len(answers)
    claims = [oracle.claims(clock) for clock in heard["clocks"]]
    return compared(oracle, answers, claims, by_object=False)


class State:
    """The state file of one campaign: batches done, counts, failures."""

    def __init__(self, path: Path, seed: int) -> None:
        self.path, self.seed = path, seed
        held = json.loads(path.read_text()) if path.exists() else {}
        if held and held["seed"] != seed:
            raise SystemExit(f"{path} is of seed {held['seed']}; name another with --state")
        self.done: set[int] = set(held.get("done", []))
        self.counts: Counter[str] = Counter(held.get("counts", {}))
        self.failed: list[dict[str, Any]] = held.get("failed", [])

    def add(self, number: int, result: dict[str, Any]) -> None:
        """Take in one batch and write the file, whole or not at all."""
        self.done.add(number)
        self.counts.update(result["counts"])
        self.failed += result["failed"]
        self.path.parent.mkdir(parents=True, exist_ok=True)
        held = {
            "seed": self.seed,
            "done": sorted(self.done),
            "counts": dict(sorted(self.counts.items())),
            "failed": self.failed,
        }
        fresh = self.path.with_suffix(".new")
        fresh.write_text(json.dumps(held, indent=1))
        fresh.replace(self.path)


def run(state: State, minutes: float, processes: int) -> None:
    """Work off batches until the time is up."""
    until = time.monotonic() + 60.0 * minutes
    number = 0
    waiting: dict[Future[dict[str, Any]], int] = {}
    with ProcessPoolExecutor(processes) as pool:
        while time.monotonic() < until or waiting:
            while time.monotonic() < until and len(waiting) < processes:
                while number in state.done:
                    number += 1
                first = state.seed * STRIDE + number * BATCH
                waiting[pool.submit(batch, first, BATCH)] = number
                number += 1
            ended, _ = wait(waiting, return_when=FIRST_COMPLETED)
            for one in ended:
                result = one.result()
                state.add(waiting.pop(one), result)
                for failure in result["failed"]:
                    print(f"seed {failure['seed']}: {failure['kind']}: {failure['text']}")
                sys.stdout.flush()


def table(state: State) -> str:
    """The counts as a Markdown table."""
    lines = ["| what | count |", "|---|---|"]
    first = ("worlds", "scenarios", *KINDS)
    lines += [f"| {name} | {state.counts.get(name, 0):,} |" for name in first]
    for name, count in sorted(state.counts.items()):
        if name not in first:
            lines.append(f"| {name} | {count:,} |")
    return "\n".join(lines)


def replay(seed: int) -> str:
    """Both sides' reasoning on one world."""
    made = world(seed)
    oracle, answers = Oracle(made), ask(made)
    lines = [f"world {seed}", "", *_world_in_words(made)]
    claims = [oracle.claims(clock) for clock in made["clocks"]]
    found = compared(oracle, answers, claims)
    clocks = sorted({one.clock for one in found}) or [0]
    for number in clocks:
        clock, answer = made["clocks"][number], answers[number]
        lines += ["", f"clock {number}: {clock}", f"tide: {made['tides'][clock['tide']]}"]
        lines += ["", "the oracle:"]
        lines += sorted(
            f"  legs {[n + 1 for n in sorted(c.legs)]} {c.group}: {WORDS[c.rank]} of "
            f"{c.key or 'a place'}: {c.text}"
            for c in claims[number]
        )
        lines += ["", f"the package ({answer.report.verdict.value}):"]
        lines += [
            f"  leg {f.leg} {f.check}: {f.severity.value} of {f.object_key}: {f.title}. "
            f"{f.explanation} [{', '.join(e.key for e in f.evidence)}]"
            for f in answer.report.findings
        ]
        lines += [
            f"  mark {m.key} leg {m.leg} {m.distance_m:.1f} m, to {m.side_passed}, wanted "
            f"{m.side_required or '-'}: {m.outcome.value}, {m.judged_by}"
            for m in answer.report.marks
        ]
        lines += ["", "they differ:", *_lines(one for one in found if one.clock == number)]
    return "\n".join(lines)


def _lines(found: Iterable[Difference]) -> list[str]:
    return [f"  {one.kind}: {one.text}" for one in found] or ["  nowhere"]


def _world_in_words(made: dict[str, Any]) -> list[str]:
    lines = [f"route {made['route']}", f"margins {made['margins']}, region {made['region']!r}"]
    for chart in made["charts"]:
        lines.append(f"chart {chart['id']}:")
        lines += [f"  {key}: {value}" for key, value in chart.items()]
    for grid in made["grids"]:
        lines.append(f"grid { ({k: v for k, v in grid.items() if k != 'depth_m'}) }")
        lines += [f"  {row}" for row in grid["depth_m"]]
    return [*lines, f"zones {made['zones']}"]


def main(arguments: list[str] | None = None) -> int:
    """The command: 1 where a false clear, a missed object or a crash was found."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--state", type=Path, default=None)
    parser.add_argument("--replay", type=int, default=None)
    parser.add_argument("--table", action="store_true")
    given = parser.parse_args(arguments)
    if given.replay is not None:
        print(replay(given.replay))
        return 0
    state = State(given.state or Path(f"build/campaign/{given.seed}.json"), given.seed)
    if not given.table:
        print(f"campaign of seed {given.seed}, worlds from {given.seed * STRIDE}")
        run(state, given.minutes, given.processes)
    print(table(state))
    return int(any(state.counts.get(kind) for kind in KINDS))


if __name__ == "__main__":
    raise SystemExit(main())
