"""The fuzzing campaign: `python -m tests.fuzz.run --minutes 10 --seed 1 [TARGET …]`.

Each target gets an equal share of the time, in a child process with limits on memory and on the
time of one input. What is learnt (inputs that reach new code) stays under build/fuzz, so that a
second run goes on from there. Prints a table, and keeps it as build/fuzz/table.json.
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.fuzz.targets import Target, targets

ROOT = Path("build/fuzz")
MEMORY_MB = 1_500
LONGEST_S = 20
_WORDS = (
    "nan", "inf", "-inf", "1e308", "-1e-320", "1e400", "-0", "0x10", "1_000", "1,5", "180", "-180",
    "90.0000001", "-90", "181", "2027-02-30T00:00Z", "2027-05-14T24:00Z", "0000-01-01T00:00Z",
    "9999-12-31T23:59Z", "2028-02-29T00:00:60Z", "+14:00", "ft", "fm", "nmi", "kn", "%", "m", "km",
    "<!DOCTYPE", "<!ENTITY", "&amp;", "&#0;", "&#x202e;", "<![CDATA[", "]]>", "<?xml", "<rte>",
    "<rtept", "<trkpt", "<waypoint", "<leg", "<schedules>", "lat=", "lon=", "xmlns=", "null",
    "true", "[[", "]]", "[leg]", "[[leg]]", "[[station]]", "[margins]", "legs", "zone", "table",
    "series", "constant", "constituents", "phase_deg", "amplitude", "secondary_to", "time_high",
    "height_low", "draught", "under_keel", "datum", "quantity", "unit", "columns", "../x",
    "coordinates", "Polygon", "MultiPolygon", "LineString", "Point", "FeatureCollection", "Feature",
    "geometry", "properties", "kind", "colours", "port-hand", "region", "elements", "members",
)  # fmt: skip
DICTIONARY = "".join(f'"{word.replace(chr(34), "")}"\n' for word in _WORDS)


def fuzz(name: str, target: Target, *, seconds: int, seed: int) -> dict[str, object]:
    """One target for some seconds: executions, what was found, how the child ended."""
    corpus, found = ROOT / "corpus" / name, ROOT / "found" / name
    corpus.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(found, ignore_errors=True)
    found.mkdir(parents=True)
    for i, data in enumerate(target.seeds):
        (corpus / f"seed-{i}").write_bytes(data)
    words = ROOT / "words.dict"
    words.write_text(DICTIONARY, encoding="utf-8")
    log = ROOT / f"{name}.log"
    command = [
        sys.executable, "-m", "tests.fuzz.child", name, str(found), str(corpus),
        f"-max_total_time={seconds}", f"-seed={seed}", f"-rss_limit_mb={MEMORY_MB}",
        f"-timeout={LONGEST_S}", "-max_len=8192", "-print_final_stats=1",
        f"-artifact_prefix={found}/", f"-dict={words}",
    ]  # fmt: skip
    with log.open("wb") as out:
        ended = subprocess.run(command, stdout=out, stderr=out, check=False).returncode
    text = log.read_text("utf-8", "replace")
    count = re.search(r"stat::number_of_executed_units:\s*(\d+)", text)
    reports = [one.read_text("utf-8").splitlines()[0] for one in sorted(found.glob("*.txt"))]
    broke = [one.name for one in found.iterdir() if one.suffix not in (".bin", ".txt")]
    return {
        "target": name,
        "executions": int(count.group(1)) if count else 0,
        "found": reports + broke,
        "ended": ended,
    }


def main() -> int:
    """0 where nothing was found, 1 else."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("targets", nargs="*")
    args = parser.parse_args()
    every = targets()
    names = args.targets or list(every)
    seconds = max(5, round(args.minutes * 60.0 * args.processes / len(names)))
    print(f"seed {args.seed}, {seconds} s for each of {len(names)} targets", flush=True)
    ROOT.mkdir(parents=True, exist_ok=True)
    with ThreadPoolExecutor(args.processes) as pool:
        rows = list(pool.map(lambda n: fuzz(n, every[n], seconds=seconds, seed=args.seed), names))
    for row in rows:
        print(f"{row['target']:16} {row['executions']:>10} executions  {row['found'] or 'nothing'}")
    print(f"{'in all':16} {sum(int(str(r['executions'])) for r in rows):>10} executions")
    (ROOT / "table.json").write_text(json.dumps(rows, indent=1), encoding="utf-8")
    return int(any(row["found"] or row["ended"] for row in rows))


if __name__ == "__main__":
    raise SystemExit(main())
