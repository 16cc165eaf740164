"""Whether the coordinates and pointers that an update of an S-57 cell changes are there.

GDAL passes over a change beyond the last one without a word, and the cell stays as it was.
Source: IHO S-57 edition 3.1, part 3, clauses 7.6.7 and 7.7.1.3 to 7.7.1.5 (control fields: from
memory) and 8.4 (updating).
"""

from __future__ import annotations

import struct
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from functools import cached_property

from routecheck.readers.iso8211 import (
    ACTIONS,
    DELETE,
    FIELD_END,
    INSERT,
    MODIFY,
    Form,
    code_of,
    fields_of,
    records_of,
    values_of,
)
from routecheck.readers.s57_records import CONTROL_OF, Changed, Fields, Key, forms_in

_CONTROLS = frozenset(CONTROL_OF.values())
_DOES = (INSERT, DELETE, MODIFY)
_KEY = (("b1", 1), ("b1", 4))
_NUMBER = "0001"
"""The field of a record's number, which stands first."""


class Parts:
    """How many parts the lists of a cell's records have, from update to update."""

    def __init__(self, base: bytes) -> None:
        self._base = base
        self._counts: dict[Key, dict[str, int]] = {}

    def flaws(self, records: Sequence[Changed]) -> tuple[str, ...]:
        """What an update changes beyond what is there, in words; counts on with what it changes."""
        flaws: dict[str, None] = {}
        for record in records:
            if record.key is None:
                continue
            if record.action == INSERT:
                self._counts[record.key] = _counted(record.fields, record.forms)
            elif record.action == DELETE:
                self._counts[record.key] = {}
            elif record.action == MODIFY:
                flaws |= dict.fromkeys(self._beyond(record.key, record))
        return tuple(flaws)

    def _beyond(self, key: Key, record: Changed) -> list[str]:
        """The same of one record that is modified."""
        flaws, fields = [], dict(record.fields)
        for control in sorted(_CONTROLS & fields.keys() & record.forms.keys()):
            counts = self._of(key)
            had = counts.get(control, 0)
            index, many, does = _change(fields[control], record.forms[control])
            last = index if does == INSERT else index + many - 1
            if does not in _DOES or index < 1 or many < 1 or last > had + (does == INSERT):
                flaws.append(f"changes part {index} of a list of {had} ({control})")
                continue
            counts[control] = had + {INSERT: many, DELETE: -many, MODIFY: 0}[does]
        return flaws

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
            fields = [one for one in fields_of(self._base, record) if one[0] != _NUMBER]
            tag, raw = fields[0] if fields else ("", b"")
            form = forms.get(tag) if tag in ("VRID", "FRID") else None
            if form is not None and raw.startswith(start) and form[1][:2] == _KEY:
                return _counted(fields, forms)
            at = self._base.find(bytes([FIELD_END]) + start, at + 1)
        return {}

    @cached_property
    def _base_forms(self) -> dict[str, Form]:
        return forms_in(self._base)

    @cached_property
    def _starts(self) -> list[int]:
        return [at for at, _ in records_of(self._base)]


def _change(raw: bytes, form: Form) -> tuple[int, int, int | None]:
    """(first part, how many, insert, delete or modify; None where it does not say)."""
    does, *numbers = [*values_of(raw, form).values(), None, None, None][:3]
    index, many = (one if isinstance(one, int) else 0 for one in numbers)
    return index, many, code_of(does, ACTIONS)


def _counted(fields: Fields, forms: Mapping[str, Form]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for tag, raw in fields:
        if tag in CONTROL_OF and tag in forms:
            wide = sum(width for _, width in forms[tag][1])
            if wide:
                control = CONTROL_OF[tag]
                counts[control] = counts.get(control, 0) + len(raw) // wide
    return counts
