"""The records of an ISO 8211 file, field by field, with every length held against the file's.

Structure: ISO/IEC 8211:1994, as IHO S-100 edition 5.0.0, part 10a, uses it.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Any

from routecheck.readers.iso8211 import FIELD_END, LEADER, Damaged, leader_at

_UNIT_END = b"\x1f"
LONGEST_TEXT = 20_000
"""Bytes of one subfield; texts are notes to the navigator."""

Fields = list[tuple[str, bytes]]
"""(tag, content without its end mark) of every field of a record, in order."""


def records(data: bytes) -> Iterator[Fields]:
    """Every record of a file, the first one (which describes the fields) included.

    Raises Damaged where a record is cut off or does not add up.
    """
    at, number, end = 0, 0, len(data)
    while at < end:
        number += 1
        leader = leader_at(data, at, number)
        if leader is None:
            return
        where = f"record {number} at byte {at}"
        size, base = int(leader[:5]), int(leader[12:17])
        wide, far, tag = leader[20] - 48, leader[21] - 48, leader[23] - 48
        if not (1 <= wide <= 9 and 1 <= far <= 9 and 1 <= tag <= 7 and base > LEADER):
            raise Damaged(f"{where} has a senseless directory")
        if at + max(size, base) > end:
            raise Damaged(f"{where} is cut off: the file ends inside it")
        places = _directory(data[at + LEADER : at + base], wide, far, tag, where)
        # The leader of a record of 100,000 bytes and more says 0.
        size = size or base + max((start + length for _, start, length in places), default=0)
        if size <= base or at + size > end:
            raise Damaged(f"{where} is cut off: the file ends inside it")
        yield [
            (name, _content(data, at + base + start, length, at + size, where))
            for name, start, length in places
        ]
        at += size


def _directory(
    entries: bytes, wide: int, far: int, tag: int, where: str
) -> list[tuple[str, int, int]]:
    """(tag, start within the field area, size) of a record's fields."""
    step = tag + wide + far
    if entries[-1] != FIELD_END or (len(entries) - 1) % step:
        raise Damaged(f"{where} has a broken directory")
    found = []
    for place in range(0, len(entries) - 1, step):
        length = entries[place + tag : place + tag + wide]
        start = entries[place + tag + wide : place + step]
        if not (length.isdigit() and start.isdigit()):
            raise Damaged(f"{where} has a broken directory")
        name = entries[place : place + tag].decode("latin-1")
        found.append((name, int(start), int(length)))
    return found


def _content(data: bytes, start: int, length: int, end: int, where: str) -> bytes:
    stop = start + length
    if length < 1 or stop > end or data[stop - 1] != FIELD_END:
        raise Damaged(f"{where} has a field that does not end where its directory says")
    return data[start : stop - 1]


def rows(content: bytes, form: struct.Struct, tag: str) -> list[tuple[Any, ...]]:
    """The rows of a field of numbers alone. Raises Damaged where it holds no whole rows."""
    if len(content) % form.size:
        raise Damaged(f"a field {tag} of {len(content)} bytes, which is no multiple of {form.size}")
    return list(form.iter_unpack(content))


def one(content: bytes, form: struct.Struct, tag: str) -> tuple[Any, ...]:
    """The first row of a field of numbers. Raises Damaged where it is too short."""
    if len(content) < form.size:
        raise Damaged(f"a field {tag} of {len(content)} bytes instead of {form.size}")
    return form.unpack_from(content)


def text(content: bytes, at: int) -> tuple[str, int]:
    """The text that begins at a byte, and where the next subfield begins. Raises Damaged where
    it has no end or is too long."""
    stop = content.find(_UNIT_END, at, at + LONGEST_TEXT)
    if stop < 0:
        raise Damaged(f"a text without an end, or of over {LONGEST_TEXT} bytes")
    return content[at:stop].decode("utf-8", "replace"), stop + 1
