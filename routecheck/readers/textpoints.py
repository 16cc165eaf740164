"""Whether a text holds positions with a number each, as soundings are handed about."""

from __future__ import annotations

import re

_MOST_LINES = 60
_FEWEST_LINES = 2
_LONGEST_LINE = 500
_APART = re.compile(r"[\s,;|]+")
_WIDE_APART = re.compile(r"[\s;|]+")
"""Where commas are decimal."""
_CELLS = re.compile(r"[\t;,|]")
_NUMBER = re.compile(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d{1,3})?")
_EAST = re.compile(r"lon|lng|long|longitude|x|east|easting", re.IGNORECASE)
_NORTH = re.compile(r"lat|latitude|y|north|northing", re.IGNORECASE)
_ANGLE = r"\d[\d .,'′’\"″”-]{0,20}"
_ANGLES = re.compile(
    rf"\d\s?[°º]|{_ANGLE}[NS]\W{{0,4}}{_ANGLE}[EWO]\b|{_ANGLE}[EWO]\W{{0,4}}{_ANGLE}[NS]\b"
    rf"|\b[NS]\s?{_ANGLE}\W{{0,4}}[EWO]\s?\d|\b[EWO]\s?{_ANGLE}\W{{0,4}}[NS]\s?\d"
)
WKT = re.compile(
    r"\b(MULTI)?(POINT|LINESTRING|POLYGON)\s{0,4}(ZM?|M)?\s{0,4}\([\s(]{0,8}-?\d", re.IGNORECASE
)
"""A geometry in words (OGC 06-103r4, clause 7)."""


def holds_positions(head: bytes) -> bool:
    """Whether a text that begins so is a list of positions with a value each.

    By a geometry in words, by its first line's names of columns, or by most lines' being degrees
    and minutes or numbers of which two that stand together may be degrees, or metres in a plane;
    three lines of nothing but such numbers, one after another, are enough.

    >>> holds_positions(b"10.05 54.05 3.2\\n10.06 54.05 3.4\\n")
    True
    >>> holds_positions(b"10,05 54,05 3,2\\n10,06 54,05 3,4\\n")
    True
    >>> holds_positions(b"2019-01-01 00:00 132\\n2019-01-01 00:10 128\\n")
    False
    """
    text = head.decode("utf-8-sig", "replace")
    if WKT.search(text):
        return True
    lines = [line.strip()[:_LONGEST_LINE] for line in text.splitlines()]
    kept = [line for line in lines if line and line[0] not in "#!%/*"][:_MOST_LINES]
    bare = [_is_placed(line, bare=True) for line in kept]
    if any(all(bare[i : i + 3]) for i in range(len(bare) - 2)) or (bare and all(bare)):
        return True
    if len(kept) < _FEWEST_LINES:
        return False
    names = [name.strip("\"'").split("_")[0] for name in _APART.split(kept[0])]
    named = any(_EAST.fullmatch(n) for n in names) and any(_NORTH.fullmatch(n) for n in names)
    placed = [_is_placed(line) or holds_angles(line) for line in kept]
    if named and any(placed[1:]):
        return True
    below = placed if any(letter.isdigit() for letter in kept[0]) else placed[1:]
    return sum(below) >= 0.8 * len(below)


def holds_angles(text: str) -> bool:
    """Whether a text holds degrees and minutes, or a latitude and a longitude by their letters.

    >>> holds_angles("Rock,50 00.0N 005 00.6E"), holds_angles("Depart at 10.30")
    (True, False)
    """
    return bool(_ANGLES.search(text))


def cells_of(line: str) -> list[str]:
    """A line's cells, whatever parts them; decimal commas part them too."""
    return [cell.strip(" \"'#\ufeff") for cell in _CELLS.split(line)]


def is_number(cell: str) -> bool:
    """Whether a cell is a number, with a point or a comma."""
    return len(cell) < 40 and bool(_NUMBER.fullmatch(cell))


def _is_placed(line: str, *, bare: bool = False) -> bool:
    """Whether two numbers of a line may be a position; with `bare`, three and nothing else."""
    line = line.strip("\"' ,;")
    by_comma = _APART.split(line)
    ways = [by_comma]
    if "," in line:
        ways.append([word.replace(",", ".") for word in _WIDE_APART.split(line)])
    for words in ways:
        numbers: list[tuple[float, str]] = []
        for word in words:
            bared = word.strip("\"'")
            numbers.append((float(bared), bared) if is_number(bared) else (float("nan"), ""))
        known = sum(value == value for value, _ in numbers)
        if known < (3 if bare else 2) or (bare and known < len(numbers)):
            continue
        if any(_position(*numbers[i], *numbers[i + 1]) for i in range(min(len(numbers) - 1, 4))):
            return True
    return False


def _position(one: float, as_written: str, other: float, too: str) -> bool:
    if "." in as_written and "." in too:
        low, high = sorted((abs(one), abs(other)))
        if low <= 90.0 and high <= 360.0:
            return True
    return (1e4 <= abs(one) < 1e7 and 1e5 <= abs(other) < 1.1e7) or (
        1e5 <= abs(one) < 1.1e7 and 1e4 <= abs(other) < 1e7
    )
