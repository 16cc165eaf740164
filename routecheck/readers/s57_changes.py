"""What an update of an S-57 cell changes and GDAL does not apply.

GDAL applies the attributes and pointers of objects, and the coordinates and pointers of nodes and
edges; of what is known of the position of a node or edge (ATTV) nothing.
Source: IHO S-57 edition 3.1, part 3, clauses 7.7.1.2 (ATTV) and 8.4 (updating).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from routecheck.readers.charted import number_of
from routecheck.readers.iso8211 import (
    ACTIONS,
    FIELD_END,
    MODIFY,
    Form,
    code_of,
    directory_of,
    forms_of,
    records_of,
    values_of,
)

_POSACC, _QUAPOS = 401, 402
_UNIT_END = 0x1F
_DELETED = "\x7f"
_CONTROLS = {"SG2D": "SGCC", "SG3D": "SGCC", "VRPT": "VRPC", "FSPT": "FSPC"}
"""Fields of a change, and the one without which nobody knows what it changes."""

Doubted = tuple[int, int, float, float]
"""RCNM and RCID of a node or edge, QUAPOS or 0, POSACC in metres or 0."""


@dataclass(frozen=True, kw_only=True)
class Changes:
    """Doubts of positions that an update states, and what of it cannot be applied, in words."""

    doubts: tuple[Doubted, ...] = ()
    flaws: tuple[str, ...] = ()


def changes_of(data: bytes) -> Changes:
    """Look through an update whose structure `iso8211.read_head` found whole."""
    records = records_of(data)
    at, size = next(records)
    forms = forms_of(data[at : at + size])
    doubts: list[Doubted] = []
    flaws: dict[str, None] = {}
    for at, _ in records:
        fields = dict(_fields(data, at))
        kind = "VRID" if "VRID" in fields else "FRID"
        if kind not in fields or kind not in forms:
            continue
        head = values_of(fields[kind], forms[kind])
        if code_of(head.get("RUIN"), ACTIONS) != MODIFY:
            continue
        for tag, control in _CONTROLS.items():
            if tag in fields and control not in fields:
                flaws[f"changes {tag} and does not say which part of it ({control})"] = None
        if "ATTV" not in fields:
            continue
        stated = _stated(fields["ATTV"], forms["ATTV"]) if "ATTV" in forms else None
        name, number = head.get("RCNM"), head.get("RCID")
        if stated is None or not isinstance(name, int) or not isinstance(number, int):
            flaws["changes what is known of positions (ATTV) in a way that is not read"] = None
        else:
            doubts.append((name, number, stated.get(_QUAPOS, 0.0), stated.get(_POSACC, 0.0)))
    return Changes(doubts=tuple(doubts), flaws=tuple(flaws))


def _fields(data: bytes, at: int) -> Iterator[tuple[str, bytes]]:
    base = at + int(data[at + 12 : at + 17])
    for tag, start, size in directory_of(data, at):
        yield tag.decode("latin-1"), data[base + start : base + start + size]


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
