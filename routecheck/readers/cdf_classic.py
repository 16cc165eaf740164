"""How long a classic NetCDF file must be: its library reads zeros where one is cut short.

NetCDF Users Guide, "The NetCDF classic format specification" (CDF-1), with 64-bit offsets (CDF-2)
and 64-bit data (CDF-5).
"""

from __future__ import annotations

import math
import struct
from pathlib import Path

_TYPE_BYTES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 4, 6: 8, 7: 1, 8: 2, 9: 4, 10: 8, 11: 8}
_DIMENSIONS, _VARIABLES, _ATTRIBUTES = 10, 11, 12
_MOST_HEAD = 1 << 24
_MOST_ITEMS = 100_000


class _Head:
    """The head of a file, read from its start. Raises ValueError where it makes no sense."""

    def __init__(self, data: bytes) -> None:
        self.data, self.at = data, 4
        self.wide = data[3] == 5
        self.far = data[3] in (2, 5)

    def number(self, wide: bool = False) -> int:
        size = 8 if wide else 4
        if self.at + size > len(self.data):
            raise ValueError("its head is cut short")
        (value,) = struct.unpack_from(">Q" if wide else ">I", self.data, self.at)
        self.at += size
        return int(value)

    def count(self) -> int:
        return self.number(self.wide)

    def skip(self, size: int) -> None:
        self.at += -(-size // 4) * 4
        if self.at > len(self.data):
            raise ValueError("its head is cut short")

    def items(self, tag: int) -> range:
        """As many as a list of this kind has."""
        found, count = self.number(), self.count()
        if found not in (0, tag) or count > _MOST_ITEMS or (found == 0 and count):
            raise ValueError("its head makes no sense")
        return range(count)

    def attributes(self) -> None:
        for _ in self.items(_ATTRIBUTES):
            self.skip(self.count())
            kind = self.number()
            self.skip(self.count() * _TYPE_BYTES.get(kind, 1))


def promised_bytes(path: Path) -> int | None:
    """The least size by its own head; None for another format. Raises ValueError, in words."""
    with path.open("rb") as stream:
        data = stream.read(_MOST_HEAD)
    if data[:3] != b"CDF" or data[3:4] not in (b"\1", b"\2", b"\5"):
        return None
    head = _Head(data)
    records = head.count()
    lengths = []
    for _ in head.items(_DIMENSIONS):
        head.skip(head.count())
        lengths.append(head.count())
    head.attributes()
    fixed, growing = [0], []
    for _ in head.items(_VARIABLES):
        head.skip(head.count())
        which = [head.count() for _ in range(min(head.count(), _MOST_ITEMS))]
        head.attributes()
        kind = head.number()
        head.count()  # the size that it states, which is cut at 32 bits
        begin = head.number(head.far)
        if kind not in _TYPE_BYTES or any(one >= len(lengths) for one in which):
            raise ValueError("its head makes no sense")
        sizes = [lengths[one] for one in which]
        if sizes and sizes[0] == 0:
            growing.append((begin, math.prod(sizes[1:]) * _TYPE_BYTES[kind]))
        else:
            fixed.append(begin + math.prod(sizes) * _TYPE_BYTES[kind])
    if growing and 0 < records < (1 << 32) - 1:
        one = sum(-(-size // 4) * 4 for _, size in growing)
        fixed += [begin + (records - 1) * one + size for begin, size in growing]
    return max(fixed)
