"""The images that a TIFF file hangs below its pages (SubIFDs), which GDAL does not list.

Runs in the grids' own process. Everything in the file may be a lie: offsets go in rings, counts
are huge. What cannot be read is counted as one image that nobody has looked at.

Sources: TIFF 6.0, sections 2 (header, directories) and 8 (NewSubfileType); Adobe PageMaker 6.0
TIFF Technical Notes, "TIFF Trees" (SubIFDs, type IFD); libtiff's page "BigTIFF Design".
"""

from __future__ import annotations

import os
import struct
from pathlib import Path
from typing import BinaryIO

MOST = 10_000
"""No more directories than this are looked at."""
_MOST_ENTRIES = 65_535
_MOST_BYTES = 1 << 23
_NEW_SUBFILE_TYPE, _SUB_IFDS = 254, 330
_REDUCED_OR_MASK = 1 | 4
_OFFSETS = {3: "H", 4: "I", 13: "I", 16: "Q", 18: "Q"}
"""By type: SHORT, LONG, IFD, LONG8 and IFD8."""


def sub_images(path: Path) -> int:
    """How many images hang below a TIFF file's pages, without reduced ones and masks."""
    try:
        with path.open("rb") as stream:
            return _Walk(stream).count()
    except (OSError, struct.error):
        # GDAL has opened it: what is wrong with its head or its chain of pages is told there.
        return 0


class _Directory:
    """One image file directory: what hangs below it, and what comes after it."""

    def __init__(self) -> None:
        self.below: list[int] = []
        self.after = 0
        self.kinds: list[int] = []
        self.lost = 0
        """Lists of offsets that cannot be read."""

    @property
    def is_image(self) -> bool:
        return not (self.kinds and all(kind & _REDUCED_OR_MASK for kind in self.kinds))


class _Walk:
    def __init__(self, stream: BinaryIO) -> None:
        self.stream, self.left = stream, _MOST_BYTES
        self.size = stream.seek(0, os.SEEK_END)
        stream.seek(0)
        head = stream.read(16)
        self.order = "<" if head.startswith(b"II") else ">"
        (magic,) = struct.unpack(f"{self.order}H", head[2:4])
        self.number, self.counter = ("Q", "Q") if magic == 43 else ("I", "H")
        start = head[8:16] if magic == 43 else head[4:8]
        (self.first,) = struct.unpack(f"{self.order}{self.number}", start)

    def count(self) -> int:
        """Every directory is looked at once, those of the pages first."""
        seen, waiting, found = {0}, [], 0
        at = self.first
        while at not in seen and len(seen) <= MOST:
            seen.add(at)
            page = self._directory(at)
            if page is None:
                break
            found += page.lost
            waiting += page.below
            at = page.after
        while waiting and len(seen) <= MOST:
            at = waiting.pop()
            if at in seen:
                continue
            seen.add(at)
            one = self._directory(at)
            if one is None:
                found += 1
                continue
            found += one.is_image + one.lost
            waiting += [*one.below, one.after]
        return found + len(set(waiting) - seen)

    def _directory(self, at: int) -> _Directory | None:
        raw = self._read(at, struct.calcsize(f"={self.counter}"))
        if raw is None:
            return None
        (entries,) = struct.unpack(f"{self.order}{self.counter}", raw)
        width = struct.calcsize(f"={self.number}")
        size = entries * (4 + 2 * width)
        body = self._read(at + len(raw), size) if entries <= _MOST_ENTRIES else None
        if body is None:
            return None
        made = _Directory()
        after = self._read(at + len(raw) + size, width)
        made.after = self._numbers(after, self.number)[0] if after else 0
        for tag, kind, many, value in struct.iter_unpack(
            f"{self.order}HH{self.number}{width}s", body
        ):
            if tag == _NEW_SUBFILE_TYPE:
                made.kinds += self._values(kind, many, value) or [0]
            elif tag == _SUB_IFDS:
                below = self._values(kind, many, value)
                made.lost += below is None
                made.below += below or []
        return made

    def _values(self, kind: int, many: int, value: bytes) -> list[int] | None:
        """Whole numbers of an entry, None where they cannot be read."""
        form = _OFFSETS.get(kind)
        if form is None or many > MOST:
            return None
        size = many * struct.calcsize(f"={form}")
        if size > len(value):
            (at,) = self._numbers(value, self.number)
            held = self._read(at, size)
            return None if held is None else self._numbers(held, form)
        return self._numbers(value[:size], form)

    def _numbers(self, raw: bytes, form: str) -> list[int]:
        return [number for (number,) in struct.iter_unpack(f"{self.order}{form}", raw)]

    def _read(self, at: int, size: int) -> bytes | None:
        """Bytes of the file, None where it does not hold them or too many were asked for."""
        self.left -= size
        if self.left < 0 or at + size > self.size:
            return None
        self.stream.seek(at)
        return self.stream.read(size)
