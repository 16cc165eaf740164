"""Hidden folders, which are not read: whether charts may be in them."""

from __future__ import annotations

import os
from pathlib import Path

from routecheck.model.chart import Unread
from routecheck.readers.sniff import CHART_SUFFIXES, may_be_chart

_MOST_HIDDEN = 5_000


def unread_hidden(folder: Path) -> Unread:
    """A hidden folder, which is not read: whether charts may be in it."""
    seen, found = 0, 0
    closed: list[OSError] = []
    tools = _of_tools(folder)
    for above, _, names in os.walk(folder, onerror=closed.append):
        seen += len(names)
        if seen > _MOST_HIDDEN:
            break
        for name in names:
            file = Path(above, name)
            found += file.is_file() and (
                file.suffix.lower() in CHART_SUFFIXES if tools else may_be_chart(file)
            )
    why = "hidden folders are not looked into"
    if found:
        why += f"; {found} files in it may be charts: name it, or take off the dot, to have it read"
    elif seen > _MOST_HIDDEN:
        why += f"; of its more than {_MOST_HIDDEN} files some may be charts"
    elif closed:
        why += "; a part of it cannot be read"
    looks = bool(found or closed or seen > _MOST_HIDDEN) and not tools
    return Unread(file=str(folder), why=why, looks_like_chart=looks)


def _of_tools(folder: Path) -> bool:
    return folder.name in (".git", ".hg", ".svn", ".venv", ".cache")
