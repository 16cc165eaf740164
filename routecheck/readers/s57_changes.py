"""What an update of an S-57 cell changes and GDAL does not apply.

GDAL applies the attributes and pointers of objects, and the coordinates and pointers of nodes and
edges; of what is known of the position of a node or edge (ATTV) nothing.
Source: IHO S-57 edition 3.1, part 3, clauses 7.7.1.2 (ATTV) and 8.4 (updating).
"""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from routecheck.readers.charted import number_of
from routecheck.readers.iso8211 import FIELD_END, MODIFY, Form
from routecheck.readers.s57_records import CONTROL_OF, Changed

_POSACC, _QUAPOS = 401, 402
_UNIT_END = 0x1F
_DELETED = "\x7f"
Doubted = tuple[int, int, float, float]
"""RCNM and RCID of a node or edge, QUAPOS or 0, POSACC in metres or 0."""


@dataclass(frozen=True, kw_only=True)
class Changes:
    """Doubts of positions that an update states, and what of it cannot be applied, in words."""

    doubts: tuple[Doubted, ...] = ()
    flaws: tuple[str, ...] = ()


def changes_of(records: Sequence[Changed]) -> Changes:
    """Look through the records of an update."""
    doubts: list[Doubted] = []
    flaws: dict[str, None] = {}
    for record in records:
        if record.action != MODIFY:
            continue
        fields, forms = dict(record.fields), record.forms
        for tag, control in CONTROL_OF.items():
            if tag in fields and control not in fields:
                flaws[f"changes {tag} and does not say which part of it ({control})"] = None
        if "ATTV" not in fields:
            continue
        stated = _stated(fields["ATTV"], forms["ATTV"]) if "ATTV" in forms else None
        if stated is None or record.key is None:
            flaws["changes what is known of positions (ATTV) in a way that is not read"] = None
        else:
            doubts.append((*record.key, stated.get(_QUAPOS, 0.0), stated.get(_POSACC, 0.0)))
    return Changes(doubts=tuple(doubts), flaws=tuple(flaws))


def _stated(raw: bytes, form: Form) -> Mapping[int, float] | None:
    """QUAPOS and POSACC by their codes, None where they cannot be read. What is taken away is
    left out: it then stays as it was."""
    if form[1][:1] != (("b1", 2),):
        return None
    found: dict[int, float] = {}
    at = 0
    while at + 2 < len(raw) and raw[at] != FIELD_END:
        (code,) = struct.unpack_from("<H", raw, at)
        end = raw.find(_UNIT_END, at + 2)
        end = len(raw) if end < 0 else end
        text = raw[at + 2 : end].decode("latin-1").strip(" \x1e")
        at = end + 1
        if code in (_POSACC, _QUAPOS) and text not in ("", _DELETED):
            value = number_of(text)
            if value is None:
                return None
            found[code] = value
    return found
