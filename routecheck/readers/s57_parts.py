"""Whether the coordinates and pointers that an update of an S-57 cell changes are there.

GDAL passes over a change beyond the last one without a word, and the cell stays as it was.
Source: IHO S-57 edition 3.1, part 3, clauses 7.6.7 and 7.7.1.3 to 7.7.1.5 (control fields: from
memory) and 8.4 (updating).
"""

from __future__ import annotations

import struct
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from functools import cached_property

from routecheck.readers.iso8211 import (
    ACTIONS,
    DELETE,
    FIELD_END,
    INSERT,
    MODIFY,
    Form,
    code_of,
    directory_of,
    forms_of,
    records_of,
    values_of,
)

_CONTROLS = {"SGCC": ("SG2D", "SG3D"), "VRPC": ("VRPT",), "FSPC": ("FSPT",)}
"""Fields that say which parts of a list an update changes, and the fields of that list."""
_LISTS = {field: control for control, fields in _CONTROLS.items() for field in fields}
_DOES = (INSERT, DELETE, MODIFY)
_KEY = (("b1", 1), ("b1", 4))

Key = tuple[int, int]
"""RCNM and RCID."""
Fields = list[tuple[str, bytes]]


class Parts:
    """How many parts the lists of a cell's records have, from update to update."""

    def __init__(self, base: bytes) -> None:
        self._base = base
        self._counts: dict[Key, dict[str, int]] = {}

    def flaws(self, update: bytes) -> tuple[str, ...]:
        """What an update (whose structure was found whole) changes beyond what is there, in
        words; counts on with what it changes."""
        flaws: dict[str, None] = {}
        forms = _forms(update)
        for fields in _records(update):
            head = dict(fields)
            kind = "VRID" if "VRID" in head else "FRID"
            if kind not in head or kind not in forms:
                continue
            said = values_of(head[kind], forms[kind])
            name, number = said.get("RCNM"), said.get("RCID")
            if not isinstance(name, int) or not isinstance(number, int):
                continue
            key, action = (name, number), code_of(said.get("RUIN"), ACTIONS)
            if action == INSERT:
                self._counts[key] = _counted(fields, forms)
            elif action == DELETE:
                self._counts[key] = {}
            for control in sorted(_CONTROLS.keys() & head.keys() & forms.keys()):
                if action != MODIFY:
                    continue
                counts = self._of(key)
                had = counts.get(control, 0)
                index, many, does = _change(head[control], forms[control])
                last = index if does == INSERT else index + many - 1
                if does not in _DOES or index < 1 or many < 1 or last > had + (does == INSERT):
                    flaws[f"changes part {index} of a list of {had} ({control})"] = None
                    continue
                counts[control] = had + {INSERT: many, DELETE: -many, MODIFY: 0}[does]
        return tuple(flaws)

    def _of(self, key: Key) -> dict[str, int]:
        """The counts of one record: what an update left, else what the base has."""
        if key not in self._counts:
            self._counts[key] = self._of_base(key)
        return self._counts[key]

    def _of_base(self, key: Key) -> dict[str, int]:
        if not (0 <= key[0] < 1 << 8 and 0 <= key[1] < 1 << 32):
            return {}
        forms, start = self._base_forms, struct.pack("<BI", *key)
        # The record's number, which ends there, stands before it.
        at = self._base.find(bytes([FIELD_END]) + start)
        while at >= 0:
            record = self._starts[bisect_right(self._starts, at) - 1]
            fields = _fields(self._base, record)
            tag, raw = fields[0] if fields else ("", b"")
            if tag in ("VRID", "FRID") and raw.startswith(start) and forms[tag][1][:2] == _KEY:
                return _counted(fields, forms)
            at = self._base.find(bytes([FIELD_END]) + start, at + 1)
        return {}

    @cached_property
    def _base_forms(self) -> dict[str, Form]:
        return _forms(self._base)

    @cached_property
    def _starts(self) -> list[int]:
        return [at for at, _ in records_of(self._base)]


def _change(raw: bytes, form: Form) -> tuple[int, int, int | None]:
    """(first part, how many, insert, delete or modify; None where it does not say)."""
    does, *numbers = values_of(raw, form).values()
    index, many = (one if isinstance(one, int) else 0 for one in [*numbers, 0, 0][:2])
    return index, many, code_of(does, ACTIONS)


def _counted(fields: Fields, forms: Mapping[str, Form]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for tag, raw in fields:
        if tag in _LISTS and tag in forms:
            wide = sum(width for _, width in forms[tag][1])
            if wide:
                counts[_LISTS[tag]] = counts.get(_LISTS[tag], 0) + len(raw) // wide
    return counts


def _forms(data: bytes) -> dict[str, Form]:
    at, size = next(records_of(data))
    return forms_of(data[at : at + size])


def _records(data: bytes) -> Iterator[Fields]:
    """The fields of each record but the first, which describes them."""
    records = records_of(data)
    next(records)
    for at, _ in records:
        yield _fields(data, at)


def _fields(data: bytes, at: int) -> Fields:
    """Of one record, without its number."""
    base = at + int(data[at + 12 : at + 17])
    fields = [
        (tag.decode("latin-1"), data[base + start : base + start + size])
        for tag, start, size in directory_of(data, at)
    ]
    return [one for one in fields if one[0] != "0001"]
