"""Files among the charts that were taken for none: named, for one of them may be a chart."""

from __future__ import annotations

from collections.abc import Sequence

from routecheck.model.chart import Unread
from routecheck.writers.wording.names import plain

_NAMED = 4


def passed_over(unread: Sequence[Unread]) -> list[Unread]:
    """What was passed over as no chart, by name."""
    return sorted((u for u in unread if not u.looks_like_chart), key=lambda u: (u.file, u.why))


def passed_over_line(unread: Sequence[Unread]) -> str:
    """One line that names the first of them and the folder they share, "" where there is none.

    >>> passed_over_line([Unread(file="c/a.txt", why="a text", looks_like_chart=False)])
    '1 file in c was not read as a chart: a.txt'
    """
    files = [one.file.replace("\\", "/").rpartition("/") for one in passed_over(unread)]
    if not files:
        return ""
    shared = {folder for folder, _, _ in files}
    folder = plain(shared.pop().rpartition("/")[2], longest=40) if len(shared) == 1 else ""
    where = f" in {folder}" if folder else ""
    names = ", ".join(plain(name, longest=40) for _, _, name in files[:_NAMED])
    if len(files) == 1:
        return f"1 file{where} was not read as a chart: {names}"
    more = ", …" if len(files) > _NAMED else ""
    return f"{len(files)} files{where} were not read as charts: {names}{more}"
