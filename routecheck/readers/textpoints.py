"""Whether a text holds positions with a number each, as soundings are handed about."""

from __future__ import annotations

import re

_MOST_LINES = 60
_FEWEST_LINES = 2
_APART = re.compile(r"[\s,;|]+")
_EAST = re.compile(r"lon|long|longitude|x|east|easting", re.IGNORECASE)
_NORTH = re.compile(r"lat|latitude|y|north|northing", re.IGNORECASE)


def holds_positions(head: bytes) -> bool:
    """Whether a text that begins so is a list of positions with a value each.

    By its first line's names of columns, or by most lines' being three numbers or more of which
    two that stand together may be degrees, or metres in a plane.

    >>> holds_positions(b"10.05 54.05 3.2\\n10.06 54.05 3.4\\n")
    True
    >>> holds_positions(b"2019-01-01 00:00 132\\n2019-01-01 00:10 128\\n")
    False
    """
    lines = head.decode("utf-8-sig", "replace").splitlines()[:_MOST_LINES]
    kept = [line.strip() for line in lines if line.strip() and line.strip()[0] not in "#!%/*"]
    if len(kept) < _FEWEST_LINES:
        return False
    names = [name.strip("\"'").split("_")[0] for name in _APART.split(kept[0])]
    named = any(_EAST.fullmatch(n) for n in names) and any(_NORTH.fullmatch(n) for n in names)
    placed = [_is_placed(line) for line in kept]
    return (named and len(names) >= 3 and any(placed[1:])) or sum(placed) >= 0.8 * len(placed)


def _is_placed(line: str) -> bool:
    numbers: list[tuple[float, str]] = []
    for word in _APART.split(line.strip("\"' ,;")):
        try:
            numbers.append((float(word.strip("\"'")), word))
        except ValueError:
            numbers.append((float("nan"), ""))
    known = [value == value for value, _ in numbers]
    if sum(known) < 3:
        return False
    return any(_position(*numbers[i], *numbers[i + 1]) for i in range(min(len(numbers) - 1, 4)))


def _position(one: float, as_written: str, other: float, too: str) -> bool:
    if "." in as_written and "." in too:
        low, high = sorted((abs(one), abs(other)))
        if low <= 90.0 and high <= 360.0:
            return True
    return (1e4 <= abs(one) < 1e7 and 1e5 <= abs(other) < 1.1e7) or (
        1e5 <= abs(one) < 1.1e7 and 1e4 <= abs(other) < 1e7
    )
