"""Grids' files from outside: asks a child process, and outlives whatever happens to it.

The child gets an environment of our own making, so that no stray GDAL, PROJ or HDF5 variable or
settings file changes what is read, and no file makes it fetch anything from a network.
"""

from __future__ import annotations

import atexit
import contextlib
import json
import os
import queue
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from itertools import islice
from pathlib import Path
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.readers.gridfound import Found, Opening, Raw, Window, from_json
from routecheck.readers.strict import cleaned

SECONDS = 8.0
"""What opening a file or reading one window may take."""
START_SECONDS = 60.0
"""What the child may take to get ready, on a machine that is busy with something else."""
MOST_MEMORY = 4 * 2**30
_MOST_ANSWER = 2**30
_SUFFIXES = (".tif", ".tiff", ".nc", ".bag", ".asc", ".h5", ".vrt")
_MOST_NAMES = 1_000
_KEPT = (
    *("PATH", "SYSTEMROOT", "WINDIR", "TEMP", "TMP", "TMPDIR"),
    *("LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "DYLD_FALLBACK_LIBRARY_PATH"),
)


class GridFault(Exception):
    """A window that could not be read; `broke` where the process went down over it."""

    def __init__(self, text: str, *, broke: bool = False, hung: bool = False) -> None:
        self.broke, self.hung = broke or hung, hung
        super().__init__(text)


Answer = tuple[dict[str, Any], bytes, bytes]


class GridProcess:
    """The child, started when it is first needed and anew after each that went down."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._child: _Child | None = None
        self._process = os.getpid()

    def warm_up(self) -> None:
        """Start a child now, so that it gets ready while the caller does something else."""
        with self._lock:
            self._ready()

    def find(self, path: Path, wanted: str) -> tuple[Found, ...]:
        """The layers of depths of a file. Raises BadInput, also for a file that takes the child
        down."""
        absolute = os.path.abspath(path)  # noqa: PTH100
        try:
            answer, _, _ = self._ask({"task": "find", "file": absolute, "wanted": wanted})
            if "bad" in answer:
                wrong, where, do = (str(part) for part in answer["bad"])
                raise BadInput(file=str(path), wrong=wrong, where=where, do=do)
            return tuple(from_json(one) for one in answer["found"])
        except GridFault as fault:
            raise BadInput(file=str(path), wrong=f"it cannot be read as a grid ({fault})") from None
        except (KeyError, TypeError, ValueError) as error:
            wrong = f"it cannot be read as a grid ({cleaned(str(error), longest=200)})"
            raise BadInput(file=str(path), wrong=wrong) from None

    def read(self, opening: Opening, window: Window, *, mask: bool = False) -> Raw:
        """One window of one layer. Raises GridFault."""
        request = {"task": "read", "opening": asdict(opening), "window": asdict(window)}
        answer, data, masked = self._ask({**request, "mask": mask})
        return Raw(data=data, mask=masked, said=tuple(str(one) for one in answer.get("said", ())))

    def close(self) -> None:
        """End the child."""
        with self._lock:
            if self._child is not None and self._process == os.getpid():
                self._child.close()
            self._child = None

    def _ready(self) -> _Child:
        if self._process != os.getpid():
            # The parent's: to ask it would be to run into the parent's answers.
            self._child, self._process = None, os.getpid()
        if self._child is None:
            self._child = _Child()
        return self._child

    def _ask(self, request: Mapping[str, Any]) -> Answer:
        with self._lock:
            child = self._ready()
            try:
                answer = child.ask(request)
            except GridFault:
                child.close()
                self._child = None
                raise
            except BaseException:
                # Stopped half-way: what it still has to say would answer another question.
                child.close()
                self._child = None
                raise
        said = answer[0]
        if "error" in said:
            raise GridFault(cleaned(str(said["error"]), longest=200) or "no reason given")
        return answer


class _Child:
    """One process that answers requests one at a time."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="routecheck-grids-"))
        self._started = False
        self._answers: queue.Queue[Answer | None] = queue.Queue()
        with (self.folder / "errors").open("wb") as errors:
            self._process = subprocess.Popen(
                [
                    *(sys.executable, "-I", "-S", "-X", "utf8"),
                    str(Path(__file__).with_name("grid_child.py")),
                ],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=errors,
                env=_environment(self.folder),
                cwd=self.folder,
            )
        path = [os.path.abspath(p) for p in sys.path if p]  # noqa: PTH100
        self._send({"path": path, "memory": MOST_MEMORY})
        threading.Thread(target=self._listen, daemon=True).start()

    def ask(self, request: Mapping[str, Any]) -> Answer:
        """The answer to a request. Raises GridFault where the process hung or went down."""
        self._send({**request, "seconds": SECONDS})
        try:
            if not self._started:
                self._started = True
                if self._answers.get(timeout=START_SECONDS) is None:
                    raise GridFault(f"the reader did not start, {self._how_it_ended()}", broke=True)
            answer = self._answers.get(timeout=SECONDS)
        except queue.Empty:
            text = f"reading it took longer than {SECONDS:.0f} s and was given up"
            raise GridFault(text, hung=True) from None
        if answer is None:
            text = f"the reader broke down over it, {self._how_it_ended()}"
            raise GridFault(text, broke=True)
        return answer

    def close(self) -> None:
        """End the process and remove its folder."""
        self._process.kill()
        self._process.wait()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _send(self, message: Mapping[str, Any]) -> None:
        stream = self._process.stdin
        if stream is not None:
            with contextlib.suppress(OSError):  # a dead child shows when its answer is fetched
                stream.write(json.dumps(message).encode() + b"\n")
                stream.flush()

    def _listen(self) -> None:
        stream = self._process.stdout
        try:
            while stream is not None and (line := stream.readline()):
                said = json.loads(line)
                sizes = [int(size) for size in said["sizes"]]
                if not all(0 <= size <= _MOST_ANSWER for size in sizes):
                    break
                data, mask = (stream.read(size) if size else b"" for size in sizes)
                if [len(data), len(mask)] != sizes:
                    break
                self._answers.put((said, data, mask))
        except (OSError, ValueError, KeyError):
            pass
        self._answers.put(None)

    def _how_it_ended(self) -> str:
        with contextlib.suppress(subprocess.TimeoutExpired):
            code = self._process.wait(timeout=1.0)
            with contextlib.suppress(OSError):
                last = (self.folder / "errors").read_bytes()[-2000:].decode("utf-8", "replace")
                lines = [text for text in last.splitlines() if text.strip()]
                if code > 0 and lines:
                    return cleaned(lines[-1], longest=200)
            return f"signal {-code}" if code < 0 else f"exit code {code}"
        return "its answer could not be read"


def _environment(folder: Path) -> dict[str, str]:
    kept = {name: os.environ[name] for name in _KEPT if name in os.environ}
    nowhere = "http://127.0.0.1:9"
    return kept | {
        "LC_ALL": "C",
        "HOME": str(folder),
        "USERPROFILE": str(folder),
        "OPENBLAS_NUM_THREADS": "1",
        "GDAL_CONFIG_FILE": os.devnull,
        "GDAL_DRIVER_PATH": "disable",
        "GDAL_HTTP_PROXY": nowhere,
        "GDAL_HTTPS_PROXY": nowhere,
        "PROJ_NETWORK": "OFF",
        "HDF5_USE_FILE_LOCKING": "FALSE",
    }


def warm_up_for(paths: Iterable[Path]) -> None:
    """Start the child if there seem to be grids among the charts, judged by names alone: it gets
    ready while all else is being loaded."""
    for path in paths:
        with contextlib.suppress(OSError):
            names = [path.name]
            if path.is_dir():
                with os.scandir(path) as entries:
                    names = [entry.name for entry in islice(entries, _MOST_NAMES)]
            if any(name.lower().endswith(_SUFFIXES) for name in names):
                GRIDS.warm_up()
                return


GRIDS = GridProcess()
atexit.register(GRIDS.close)
