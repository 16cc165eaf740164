"""JSON from strangers: bounded, no number that is not finite, no key twice."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decoded, read_bytes

MOST_BYTES = 16 * 2**20
_LONGEST_NUMBER = 40


def read_json(path: Path) -> dict[str, Any]:
    """A JSON file whose whole is an object. Raises BadInput, with the line where it is known."""
    file = str(path)
    text = decoded(read_bytes(path, most_bytes=MOST_BYTES), file=file)
    try:
        value = json.loads(
            text,
            parse_float=_float,
            parse_int=_int,
            parse_constant=_constant,
            object_pairs_hook=_object,
        )
    except json.JSONDecodeError as error:
        raise BadInput(
            file=file, where=f"line {error.lineno}", wrong=f"this is not JSON ({error.msg})"
        ) from None
    except RecursionError:
        raise BadInput(file=file, wrong="its lists are nested too deep") from None
    except ValueError as error:
        raise BadInput(file=file, wrong=str(error)) from None
    if not isinstance(value, dict):
        raise BadInput(file=file, wrong="this is JSON, but no GeoJSON object")
    return value


def _float(text: str) -> float:
    if len(text) > _LONGEST_NUMBER:
        raise ValueError(f"it has a number of {len(text)} characters")
    value = float(text)
    if value in (float("inf"), float("-inf")):
        raise ValueError(f"the number {text} is too large")
    return value


def _int(text: str) -> int:
    if len(text) > _LONGEST_NUMBER:
        raise ValueError(f"it has a number of {len(text)} characters")
    return int(text)


def _constant(text: str) -> float:
    raise ValueError(f"{text} stands where a number is wanted")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise ValueError(f"the key {cleaned(key, longest=40)!r} stands twice in one object")
            seen.add(key)
    return made
