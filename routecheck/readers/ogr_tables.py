"""Tables of GDAL layers as bytes that one process can hand to another.

Runs in the process that `ogr_child` makes: only the standard library, numpy and pyogrio.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np


class Blob:
    """Raw bytes that follow an answer."""

    def __init__(self) -> None:
        self.parts: list[bytes] = []
        self.size = 0

    def add(self, part: bytes) -> list[int]:
        """[start, size] of the part."""
        at = [self.size, len(part)]
        self.parts.append(part)
        self.size += len(part)
        return at


def _column(values: Any, name: str, blob: Blob) -> dict[str, Any] | None:
    """One column of an answer, None where every value is null."""
    kind = values.dtype.kind
    if kind in "iufb":
        numbers = values.astype(np.float64)
        if np.isnan(numbers).all():
            return None
        return {"name": name, "numbers": blob.add(numbers.tobytes())}
    if kind == "M":
        texts = [None if np.isnat(one) else str(one) for one in values]
    else:
        texts = [plain(one) for one in values]
    if all(one is None for one in texts):
        return None
    return {"name": name, "values": texts}


def plain(value: Any) -> Any:
    """A value as JSON has it; None for NaN, bytes and the like."""
    if value is None or isinstance(value, str | int | float | bool):
        return value if value == value else None
    if hasattr(value, "tolist"):
        return value.tolist()
    return None if isinstance(value, bytes) else str(value)


def table_of(
    name: str, fields: Iterable[str], columns: list[Any], wkb: Any, rows: int, blob: Blob
) -> dict[str, Any]:
    """One table: its columns, and its geometries (None where it has none) as WKB."""
    table: dict[str, Any] = {"name": name, "rows": rows}
    made = (_column(values, field, blob) for field, values in zip(fields, columns, strict=True))
    table["columns"] = [column for column in made if column is not None]
    if wkb is not None:
        sizes = np.array([-1 if one is None else len(one) for one in wkb], dtype=np.int64)
        table["sizes"] = blob.add(sizes.tobytes())
        table["wkb"] = blob.add(b"".join(one for one in wkb if one is not None))
    return table
