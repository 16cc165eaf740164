"""The records of an S-57 file and of its updates, field by field.

Source: IHO S-57 edition 3.1, part 3, clauses 7.6 and 7.7 (records) and 8.4 (updating).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from routecheck.readers.iso8211 import (
    ACTIONS,
    Form,
    code_of,
    fields_of,
    forms_of,
    records_of,
    values_of,
)

CONTROL_OF = {"SG2D": "SGCC", "SG3D": "SGCC", "VRPT": "VRPC", "FSPT": "FSPC"}
"""Fields that hold a list, and the one that says which part of it an update changes."""

Key = tuple[int, int]
"""RCNM and RCID."""
Fields = list[tuple[str, bytes]]


@dataclass(frozen=True, kw_only=True)
class Changed:
    """One record of an update: of an object, a node or an edge."""

    key: Key | None
    """None where it cannot be read."""
    action: int | None
    """Insert, delete or modify; None where it does not say."""
    fields: Fields
    forms: Mapping[str, Form]


def changed_records(update: bytes) -> list[Changed]:
    """Those of an update whose structure `iso8211.read_head` found whole."""
    return list(_changed(update))


def _changed(update: bytes) -> Iterator[Changed]:
    forms = forms_in(update)
    records = records_of(update)
    next(records)  # it describes the others
    for at, _ in records:
        fields = fields_of(update, at)
        head = dict(fields)
        kind = "VRID" if "VRID" in head else "FRID"
        if kind not in head or kind not in forms:
            continue
        said = values_of(head[kind], forms[kind])
        name, number = said.get("RCNM"), said.get("RCID")
        key = (name, number) if isinstance(name, int) and isinstance(number, int) else None
        action = code_of(said.get("RUIN"), ACTIONS)
        yield Changed(key=key, action=action, fields=fields, forms=forms)


def forms_in(data: bytes) -> dict[str, Form]:
    """Names and formats of every field's subfields."""
    at, size = next(records_of(data))
    return forms_of(data[at : at + size])
