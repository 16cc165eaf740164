"""A reader in a process of its own, from outside: started, asked, listened to, and ended.

It gets an environment of our own making, so that no stray variable or settings file of a library
changes what is read, and no file makes it fetch anything from a network.
"""

from __future__ import annotations

import contextlib
import json
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import IO, Any, Generic, TypeVar

from routecheck.readers.strict import cleaned

START_SECONDS = 60.0
"""What the child may take to get ready, on a machine that is busy with something else."""
MOST_MEMORY = 4 * 2**30
_KEPT = (
    *("PATH", "SYSTEMROOT", "WINDIR", "TEMP", "TMP", "TMPDIR"),
    *("LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "DYLD_FALLBACK_LIBRARY_PATH"),
)
_NOWHERE = "http://127.0.0.1:9"

Answer = TypeVar("Answer")


class ReaderProcess(Generic[Answer]):
    """One child that answers requests in the order in which they are sent.

    A kind of reader says which script it runs (`script`, beside this file), what its folder is
    called, which variables it wants on top (`settings`), and how its answers are read (`heard`).
    """

    script: str
    prefix = "routecheck-"

    def settings(self) -> Mapping[str, str]:
        """Variables of the child's environment on top of those that every child gets."""
        raise NotImplementedError

    def heard(self, said: dict[str, Any], stream: IO[bytes]) -> Answer | None:
        """An answer from its line of JSON and what follows that in the stream. None, or an OSError,
        a ValueError or a KeyError, ends the talk."""
        raise NotImplementedError

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix=self.prefix))
        self._started = False
        self._answers: queue.Queue[Answer | None] = queue.Queue()
        with (self.folder / "errors").open("wb") as errors:
            self._process = subprocess.Popen(
                [
                    *(sys.executable, "-I", "-S", "-X", "utf8"),
                    str(Path(__file__).with_name(self.script)),
                ],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=errors,
                env={**_environment(self.folder), **self.settings()},
                cwd=self.folder,
            )
        self.send(
            {
                "path": [os.path.abspath(p) for p in sys.path if p],  # noqa: PTH100
                "memory": MOST_MEMORY,
                "log": str(self.folder / "log"),
            }
        )
        threading.Thread(target=self._listen, daemon=True).start()

    def send(self, message: Mapping[str, Any]) -> None:
        """Put a request in the child's queue."""
        stream = self._process.stdin
        if stream is not None:
            with contextlib.suppress(OSError):  # a dead child shows when its answer is fetched
                stream.write(json.dumps(message).encode() + b"\n")
                stream.flush()

    def started(self) -> bool:
        """Whether the child got ready; waits for that the first time. Raises queue.Empty where it
        takes longer than `START_SECONDS`."""
        if not self._started:
            self._started = True
            return self._answers.get(timeout=START_SECONDS) is not None
        return True

    def next(self, seconds: float) -> Answer | None:
        """The next answer, None where the child went down. Raises queue.Empty where it hangs."""
        return self._answers.get(timeout=seconds)

    def close(self) -> None:
        """End the process and remove its folder."""
        self._process.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        shutil.rmtree(self.folder, ignore_errors=True)

    def how_it_ended(self) -> str:
        """In words: what it said last, its signal, or its exit code."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            code = self._process.wait(timeout=1.0)
            with contextlib.suppress(OSError):
                last = (self.folder / "errors").read_bytes()[-2000:].decode("utf-8", "replace")
                lines = [text for text in last.splitlines() if text.strip()]
                if code > 0 and lines:
                    return cleaned(lines[-1])
            return f"signal {-code}" if code < 0 else f"exit code {code}"
        return "its answer could not be read"

    def _listen(self) -> None:
        stream = self._process.stdout
        try:
            while stream is not None and (line := stream.readline()):
                answer = self.heard(json.loads(line), stream)
                if answer is None:
                    break
                self._answers.put(answer)
        except (OSError, ValueError, KeyError):
            pass
        self._answers.put(None)


def _environment(folder: Path) -> dict[str, str]:
    kept = {name: os.environ[name] for name in _KEPT if name in os.environ}
    return kept | {
        "LC_ALL": "C",
        "HOME": str(folder),
        "USERPROFILE": str(folder),
        "OPENBLAS_NUM_THREADS": "1",
        "GDAL_CONFIG_FILE": os.devnull,
        "GDAL_DRIVER_PATH": "disable",
        "GDAL_HTTP_PROXY": _NOWHERE,
        "GDAL_HTTPS_PROXY": _NOWHERE,
        "PROJ_NETWORK": "OFF",
    }
