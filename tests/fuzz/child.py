"""One target under atheris, in a process of its own: `python -m tests.fuzz.child TARGET …`.

The only failure that a reader may show is BadInput, on one line. Anything else is kept once for
each place in our code at which it arose, and the run goes on.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
import traceback
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["routecheck"]):
    from routecheck.model.errors import BadInput
    from tests.fuzz.targets import targets

SLOW_S = 5.0
_SHOWN = 120


def main() -> None:
    """Arguments: target, folder of what is found, then libFuzzer's own."""
    name, found = sys.argv[1], Path(sys.argv[2])
    target = targets()[name]
    found.mkdir(parents=True, exist_ok=True)
    folder = Path(tempfile.mkdtemp(prefix="fuzz-", dir="/dev/shm"))
    path = folder / target.file
    known: set[str] = set()

    def keep(what: str, data: bytes, text: str) -> None:
        if what not in known:
            known.add(what)
            stem = f"{len(known):02d}"
            (found / f"{stem}.bin").write_bytes(data)
            (found / f"{stem}.txt").write_text(f"{what}\n{text}", encoding="utf-8")

    def one(data: bytes) -> None:
        path.write_bytes(data)
        begin = time.monotonic()
        try:
            target.read(path)
        except BadInput as error:
            if "\n" in str(error) or not str(error).isprintable():
                keep("a message of several lines", data, repr(error))
        except Exception as error:
            if type(error).__name__ in target.allowed:
                return
            frames = [
                f for f in traceback.extract_tb(error.__traceback__) if "routecheck" in f.filename
            ]
            last = frames[-1]
            keep(
                f"{type(error).__name__} at {Path(last.filename).name}:{last.lineno}",
                data,
                traceback.format_exc(),
            )
        if time.monotonic() - begin > SLOW_S:
            keep("slow", data, f"{time.monotonic() - begin:.1f} s")

    # libFuzzer's fork-free loop never returns; what is left over goes with the process.
    gc.freeze()
    atheris.Setup([sys.argv[0], *sys.argv[3:]], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
