"""Grids' files from outside: asks a child process, and outlives whatever happens to it."""

from __future__ import annotations

import atexit
import contextlib
import os
import queue
import threading
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from itertools import islice
from pathlib import Path
from typing import IO, Any

from routecheck.model.errors import BadInput
from routecheck.readers.gridfound import Found, Opening, Raw, Window, from_json
from routecheck.readers.readerprocess import ReaderProcess
from routecheck.readers.strict import cleaned

SECONDS = 8.0
"""What opening a file or reading one window may take."""
_MOST_ANSWER = 2**30
_SUFFIXES = (".tif", ".tiff", ".nc", ".bag", ".asc", ".h5", ".vrt")
_MOST_NAMES = 1_000


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
            except BaseException:
                # Gone, or stopped half-way: what it still has to say would answer another question.
                child.close()
                self._child = None
                raise
        said = answer[0]
        if "error" in said:
            raise GridFault(cleaned(str(said["error"]), longest=200) or "no reason given")
        return answer


class _Child(ReaderProcess[Answer]):
    """One process that answers requests one at a time."""

    script = "grid_child.py"
    prefix = "routecheck-grids-"

    def settings(self) -> Mapping[str, str]:
        """A chart on a medium that cannot be written to is read as well."""
        return {"HDF5_USE_FILE_LOCKING": "FALSE"}

    def heard(self, said: dict[str, Any], stream: IO[bytes]) -> Answer | None:
        """Numbers and mask are the bytes that follow the line."""
        sizes = [int(size) for size in said["sizes"]]
        if not all(0 <= size <= _MOST_ANSWER for size in sizes):
            return None
        data, mask = (stream.read(size) if size else b"" for size in sizes)
        return (said, data, mask) if [len(data), len(mask)] == sizes else None

    def ask(self, request: Mapping[str, Any]) -> Answer:
        """The answer to a request. Raises GridFault where the process hung or went down."""
        self.send({**request, "seconds": SECONDS})
        try:
            if not self.started():
                raise GridFault(f"the reader did not start, {self.how_it_ended()}", broke=True)
            answer = self.next(SECONDS)
        except queue.Empty:
            text = f"reading it took longer than {SECONDS:.0f} s and was given up"
            raise GridFault(text, hung=True) from None
        if answer is None:
            text = f"the reader broke down over it, {self.how_it_ended()}"
            raise GridFault(text, broke=True)
        return answer


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
