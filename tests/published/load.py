"""Published values: each with its source, its inputs, what is expected, and how near.

An entry that lacks any of these fails the test that loads it. Values that we computed ourselves
do not belong here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True, kw_only=True)
class Published:
    """One published value; `tolerance` holds a number for each one that is `expected`."""

    name: str
    source: str
    inputs: Mapping[str, Any]
    expected: Mapping[str, Any]
    tolerance: Mapping[str, float]

    def check(self, **found: float) -> None:
        """Assert that everything expected was found, within its tolerance."""
        assert set(found) == set(self.expected), f"{self.name}: not the values that are published"
        for key, value in self.expected.items():
            off = abs(float(found[key]) - float(value))
            if key.endswith(("course_deg", "lon_deg")):
                off = min(off, abs(off - 360.0))
            limit = self.tolerance[key]
            assert off <= limit, f"{self.name} ({self.source}): {key} {found[key]} is not {value}"


def published(file: str, kind: str | None = None) -> list[Published]:
    """The entries of ``tests/published/<file>.toml``, of one kind where it is given.

    Raises ValueError for a file or kind without entries, and for an entry that is not whole.
    """
    return parsed((HERE / f"{file}.toml").read_text(encoding="utf-8"), kind)


def parsed(text: str, kind: str | None = None) -> list[Published]:
    """The entries of a TOML text; see `published`."""
    found = []
    for entry in tomllib.loads(text).get("value", []):
        name = entry.get("name", "an entry without a name")
        for key in ("name", "source", "kind", "inputs", "expected", "tolerance"):
            if not entry.get(key):
                raise ValueError(f"{name}: no {key}")
        if len(str(entry["source"]).strip()) < 12:
            raise ValueError(f"{name}: source {entry['source']!r} says too little")
        if set(entry["tolerance"]) != set(entry["expected"]):
            raise ValueError(f"{name}: not one tolerance for each expected value")
        if kind in (None, entry["kind"]):
            parts = ("name", "source", "inputs", "expected", "tolerance")
            found.append(Published(**{part: entry[part] for part in parts}))
    if not found:
        raise ValueError(f"no published value of kind {kind!r}")
    return found
