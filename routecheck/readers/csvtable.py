"""CSV with a header, taken strictly: every column known, every line whole, errors by line."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterator
from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decoded, nearest, read_bytes

MOST_BYTES = 64 * 2**20
MOST_LINES = 2_000_000


class Row:
    """One line's cells by column."""

    def __init__(self, cells: dict[str, str], *, file: str, line: int) -> None:
        self.cells, self.file, self.line = cells, file, line

    def bad(self, wrong: str, *, do: str = "") -> BadInput:
        """What is wrong on this line."""
        return BadInput(file=self.file, where=f"line {self.line}", wrong=wrong, do=do)


def read_rows(path: Path, known: Collection[str], needed: Collection[str] = ()) -> Iterator[Row]:
    """The lines below the header; blank ones are passed over.

    Raises BadInput for a column that is not known or stands twice, one of `needed` that is
    missing, a line of another length, and for no line at all.
    """
    file = str(path)
    text = decoded(read_bytes(path, most_bytes=MOST_BYTES), file=file)
    lines = csv.reader(io.StringIO(text, newline=""), strict=True)
    columns: list[str] = []
    count = 0
    try:
        for cells in lines:
            if not any(cell.strip() for cell in cells):
                continue
            if not columns:
                columns = _header(cells, known, needed, file)
                continue
            row = Row(dict(zip(columns, cells, strict=False)), file=file, line=lines.line_num)
            if len(cells) != len(columns):
                raise row.bad(f"it has {len(cells)} values for {len(columns)} columns")
            count += 1
            if count > MOST_LINES:
                raise row.bad(f"there are more than {MOST_LINES} lines")
            yield row
    except csv.Error as error:
        where = f"line {lines.line_num}"
        raise BadInput(file=file, where=where, wrong=f"this is not CSV ({error})") from None
    if not count:
        raise BadInput(file=file, wrong="it has no line below its header")


def _header(
    cells: list[str], known: Collection[str], needed: Collection[str], file: str
) -> list[str]:
    columns = [cleaned(cell, longest=40).lower() for cell in cells]
    do = f"the columns are {', '.join(known)}"
    for column in columns:
        wrong = ""
        if column not in known:
            meant = nearest(column, known)
            wrong = f"{column!r} is not a column here" + (f" ({meant!r}?)" if meant else "")
        elif columns.count(column) > 1:
            wrong = f"{column!r} stands twice"
        if wrong:
            raise BadInput(file=file, where="first line", wrong=wrong, do=do)
    for column in needed:
        if column not in columns:
            raise BadInput(file=file, where="first line", wrong=f"no column {column!r}", do=do)
    return columns
