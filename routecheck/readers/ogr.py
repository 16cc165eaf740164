"""GDAL's vector drivers from outside: asks a child process, and outlives whatever happens to it."""

from __future__ import annotations

import atexit
import os
import queue
from array import array
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import IO, Any

from routecheck.readers.readerprocess import ReaderProcess
from routecheck.readers.strict import cleaned

SECONDS = 8.0
"""What any file may take; a large one gets `BYTES_A_SECOND` on top."""
BYTES_A_SECOND = 1_000_000.0


@dataclass(frozen=True, kw_only=True)
class Request:
    """One file to read. `task` is "layers", or "cell" for S-57 with the attributes named, or ""
    for a place in the row that asks nothing."""

    task: str = ""
    file: Path = Path()
    numbers: tuple[str, ...] = ()
    texts: tuple[str, ...] = ()
    bare: tuple[str, ...] = ()
    """Classes of which only the number of objects is wanted."""
    doubts: tuple[tuple[int, int, float, float], ...] = ()
    """Of nodes and edges, beside those that the file states: RCNM, RCID, QUAPOS, POSACC."""
    size: int = 0
    """Bytes of the file; sets the time that it may take."""


@dataclass(frozen=True, kw_only=True)
class Table:
    """The objects of one class or layer, column by column; None for null."""

    name: str
    rows: int
    columns: Mapping[str, list[Any]]
    wkb: list[bytes | None] | None
    """None for a table without geometry."""
    bare: bool = False
    """Only counted, as was asked."""
    fields: tuple[str, ...] = ()
    """Names of all columns of a vector layer, also of those without a value."""
    crs: str = ""
    spatial: bool = True
    stated: int = -1
    """Rows that the file says there are, -1 where it says nothing."""
    may_place: bool = False
    """Without geometry, but its names or its first rows speak of places or charted objects."""
    further: tuple[str, ...] = ()
    """Columns with geometries beside the one that was read."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What came of a request. `error` says why nothing did; `said` are GDAL's warnings."""

    tables: tuple[Table, ...] = ()
    head: Mapping[str, Any] = field(default_factory=dict)
    said: tuple[str, ...] = ()
    error: str = ""


def warm_up() -> None:
    """Start a child now, so that it gets ready while the caller does something else."""
    if not _ready:
        _ready.append(_Child())


def read_all(requests: Iterable[Request]) -> Iterator[Answer]:
    """The answers, in order. Never raises for what a file does; that stands in `error`.

    Requests are taken one ahead, so that the child works on one while the caller makes the next
    or uses an answer.
    """
    child = _ready.pop() if _ready else None
    waiting: deque[Request] = deque()
    coming = iter(requests)
    try:
        while True:
            for request in islice(coming, 2 - len(waiting)):
                if request.task:
                    child = child or _Child()
                    child.ask(request)
                waiting.append(request)
            if not waiting:
                return
            request = waiting.popleft()
            if not request.task or child is None:
                yield Answer()
                continue
            answer = child.answer(_seconds(request))
            if child.over:
                child.close()
                child = _Child()
                for again in waiting:
                    if again.task:
                        child.ask(again)
            yield answer
    finally:
        if child is not None:
            child.close()


def _seconds(request: Request) -> float:
    return SECONDS + request.size / BYTES_A_SECOND


class _Child(ReaderProcess[Answer]):
    """One process that answers requests in the order in which they are asked."""

    script = "ogr_child.py"

    def __init__(self) -> None:
        self.over = False
        super().__init__()

    def settings(self) -> Mapping[str, str]:
        """GDAL's log is told all that its callers swallow."""
        return {
            "GDAL_PAM_ENABLED": "NO",
            "CPL_DEBUG": "S57,CPLError",
            "CPL_LOG": str(self.folder / "log"),
            "CPL_LOG_ERRORS": "ON",
        }

    def heard(self, said: dict[str, Any], stream: IO[bytes]) -> Answer | None:
        """The tables stand in the bytes that follow the line."""
        blob = stream.read(said["blob"])
        return None if len(blob) < said["blob"] else _answer(said, blob)

    def ask(self, request: Request) -> None:
        """Put a request in the child's queue."""
        self.send(
            {
                "task": request.task,
                "file": os.path.abspath(request.file),  # noqa: PTH100
                "numbers": request.numbers,
                "texts": request.texts,
                "bare": request.bare,
                "doubts": request.doubts,
                "seconds": _seconds(request),
            }
        )

    def answer(self, seconds: float) -> Answer:
        """The next answer; after an error of the process itself it is `over`."""
        try:
            answer = self._next(seconds)
        except queue.Empty:
            self.over = True
            return Answer(error=f"reading it took longer than {seconds:.0f} s and was given up")
        if answer is None:
            self.over = True
            return Answer(error=f"the reader broke down over it ({self.how_it_ended()})")
        return answer

    def _next(self, seconds: float) -> Answer | None:
        return self.next(seconds) if self.started() else None

    def close(self) -> None:
        """End the process and remove its folder."""
        self.over = True
        super().close()


def _answer(said: Mapping[str, Any], blob: bytes) -> Answer:
    return Answer(
        tables=tuple(_table(made, memoryview(blob)) for made in said.get("tables", ())),
        head=said.get("head", {}),
        said=tuple(said.get("said", ())),
        error=cleaned(said.get("error", "")),
    )


def _table(made: Mapping[str, Any], blob: memoryview) -> Table:
    def part(place: Sequence[int]) -> memoryview:
        return blob[place[0] : place[0] + place[1]]

    columns: dict[str, list[Any]] = {}
    for column in made["columns"]:
        if "numbers" in column:
            numbers = array("d", part(column["numbers"]).tobytes()).tolist()
            columns[column["name"]] = [one if one == one else None for one in numbers]
        else:
            columns[column["name"]] = column["values"]
    wkb: list[bytes | None] | None = None
    if "wkb" in made:
        whole, at = part(made["wkb"]), 0
        wkb = []
        for size in array("q", part(made["sizes"]).tobytes()):
            wkb.append(None if size < 0 else bytes(whole[at : at + size]))
            at += max(size, 0)
    return Table(
        name=made["name"],
        rows=made["rows"],
        columns=columns,
        wkb=wkb,
        bare=made.get("bare", False),
        fields=tuple(made.get("fields", ())),
        crs=made.get("crs") or "",
        spatial=made.get("spatial", True),
        stated=made.get("stated", -1),
        may_place=made.get("may_place", False),
        further=tuple(made.get("further", ())),
    )


_ready: list[_Child] = []


@atexit.register
def _close_ready() -> None:
    while _ready:
        _ready.pop().close()
