"""Outputs onto the disk: whole or not at all, and earlier ones stay until the new ones are there.

Everything is first written into a folder beside the target and forced to the disk. Only then is
it moved into place, route by route; if one move fails, those already made are undone.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping
from pathlib import Path

LONGEST_SLUG = 60
OUTPUTS = frozenset(
    {
        "brief.html",
        "findings.csv",
        "findings.geojson",
        "findings.json",
        "hazards.gpx",
        "map.html",
    }
)
"""Names that `vet` writes: one that is left from an earlier run is replaced or removed, anything
else in a route's folder belongs to the user."""
WINDOW_OUTPUTS = frozenset({"windows.html", "windows.ics", "windows.json"})
"""The same for `window`."""
CHARTS_OUTPUTS = frozenset({"charts.html", "charts.json"})
"""The same for `charts`."""
_RESERVED = {"con", "prn", "aux", "nul", "conin$", "conout$", "clock$"} | {
    f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"
}


def slug(name: str) -> str:
    """A folder's name made from a route's name: letters, digits, ``_`` and ``-``, at most 60.

    Never empty, never a path, never a name that Windows keeps for a device.

    >>> slug("../../etc/passwd"), slug("  "), slug("NUL"), slug("Outer Sound, 2nd try")
    ('etc-passwd', 'route', 'route-NUL', 'Outer-Sound-2nd-try')
    """
    kept = "".join(
        c if c == "_" or (c.isalnum() and c.isprintable()) else "-"
        for c in unicodedata.normalize("NFKC", name)
    )
    made = "-".join(part for part in kept.split("-") if part)[:LONGEST_SLUG].rstrip("-")
    if not made.strip("_"):
        return "route"
    return f"route-{made}" if made.lower() in _RESERVED else made


def slugs(names: Iterable[str]) -> tuple[str, ...]:
    """A folder's name for each route, in order; a clash gets ``-2``, ``-3`` …

    Names that differ only in case clash, since many file systems do not tell them apart.
    """
    taken: set[str] = set()
    made = []
    for name in names:
        first = slug(name)
        one, count = first, 1
        while one.casefold() in taken:
            count += 1
            ending = f"-{count}"
            one = first[: LONGEST_SLUG - len(ending)].rstrip("-") + ending
        taken.add(one.casefold())
        made.append(one)
    return tuple(made)


def write_outputs(
    out: Path,
    folders: Mapping[str, Mapping[str, str]],
    *,
    ours: frozenset[str] = OUTPUTS,
) -> tuple[Path, ...]:
    """Write ``out/<folder>/<file>`` for all folders, or leave everything as it was.

    `folders` maps a folder's name (a slug) to the text of each file. Files there that are not of
    `ours` are left alone. Returns the folders. Raises OSError, with nothing changed, where the
    disk refuses; ValueError for a name that is not a plain file name.
    """
    for folder, files in folders.items():
        for name in (folder, *files):
            if name in ("", ".", "..") or Path(name).name != name or "\\" in name:
                raise ValueError(f"{name!r} is not a plain file name")
    out_was_there = out.is_dir()
    out.mkdir(parents=True, exist_ok=True)
    undo: list[tuple[Path, Path | None]] = []
    staging = Path(tempfile.mkdtemp(prefix=".new-", dir=out))
    try:
        for folder, files in folders.items():
            for name, text in files.items():
                _write(staging / "new" / folder / name, text)
        for folder, files in folders.items():
            _place(staging, out, folder, set(files), ours, undo)
        _sync(out)
    except BaseException:
        for target, old in reversed(undo):
            if old is not None:
                old.replace(target)
            elif target.is_dir():
                target.rmdir()
            else:
                target.unlink(missing_ok=True)
        raise
    finally:
        shutil.rmtree(staging, ignore_errors=True)
        if not out_was_there and not any(out.iterdir()):
            out.rmdir()
    return tuple(out / folder for folder in folders)


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _place(
    staging: Path,
    out: Path,
    folder: str,
    names: set[str],
    ours: frozenset[str],
    undo: list[tuple[Path, Path | None]],
) -> None:
    """Move one route's files into its folder; each move is noted in `undo` once it is made."""
    there = out / folder
    if not there.is_dir():
        there.mkdir()
        undo.append((there, None))
    kept = staging / "old" / folder
    kept.mkdir(parents=True, exist_ok=True)
    for name in sorted(ours | names):
        target = there / name
        if target.is_file():
            target.replace(kept / name)
            undo.append((target, kept / name))
        if name in names:
            (staging / "new" / folder / name).replace(target)
            if not (undo and undo[-1][0] == target):
                undo.append((target, None))
    _sync(there)


def _sync(folder: Path) -> None:
    # So that the moves themselves survive a power cut; not every system lets a folder be opened.
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
