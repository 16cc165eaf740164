"""Text from strangers, made fit to be shown: no control character, nothing that turns text round.

A name may hold escape sequences that repaint a terminal, marks that reverse the direction of the
text after them, line breaks, or half of a surrogate pair that no file can hold.
"""

from __future__ import annotations

import json
import unicodedata

INSTEAD = "\N{REPLACEMENT CHARACTER}"
LONGEST_NAME = 120
_DROPPED = {"\u200b", "\u200c", "\u200d", "\u00ad", "\ufeff"}


def plain(text: str, *, longest: int = LONGEST_NAME) -> str:
    """One line of printable text; what cannot be printed stands as a replacement character.

    >>> plain("Rock\\x1b[31m\\nGate")
    'Rock�[31m Gate'
    """
    shown = []
    for character in text[: 4 * longest]:
        if character.isprintable():
            shown.append(character)
        elif character.isspace():
            shown.append(" ")
        elif character not in _DROPPED:
            shown.append(INSTEAD)
    line = "".join(shown).strip()
    return line if len(line) <= longest else line[: longest - 1] + "…"


_NAMES_FIRST = frozenset(
    {
        "chart-problem",
        "sources-disagree",
        "class-not-judged",
        "shut-at-that-time",
        "arrival-in-the-dark",
    }
)
"""Checks whose titles may begin with the name of a file or an object, which is shown as it is."""


def heading(text: str, check: str) -> str:
    """A finding's title as it stands above its text: with a capital, unless a name comes first.

    >>> heading("land off the track", "land-in-the-way"), heading("a.tif: x", "chart-problem")
    ('Land off the track', 'a.tif: x')
    """
    return text if check in _NAMES_FIRST else text[:1].upper() + text[1:]


def encodable(text: str) -> str:
    """The same text, but for halves of surrogate pairs, which UTF-8 cannot hold."""
    return text.encode("utf-8", "replace").decode("utf-8")


def columns(text: str) -> int:
    """Columns of a terminal that printable text takes up."""
    taken = 0
    for character in text:
        if unicodedata.combining(character):
            continue
        taken += 2 if unicodedata.east_asian_width(character) in "WF" else 1
    return taken


def _pieces(word: str, width: int) -> list[str]:
    pieces, piece = [], ""
    for character in word:
        if piece and columns(piece + character) > width:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]


def wrapped(text: str, *, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most `width` columns; the first begins with `first`, the others with `rest`.

    A word that is too long for a line is broken.
    """
    lines, line, empty = [], first, True
    for word in text.split():
        for piece in _pieces(word, max(1, width - max(columns(first), columns(rest)))):
            if not empty and columns(line) + 1 + columns(piece) > width:
                lines.append(line)
                line, empty = rest, True
            line += piece if empty else " " + piece
            empty = False
    lines.append(line)
    return [each.rstrip() for each in lines]


def cut(text: str, width: int) -> str:
    """The text in at most `width` columns, with an ellipsis where something is left out."""
    if columns(text) <= width:
        return text
    while text and columns(text) > width - 1:
        text = text[:-1]
    return text + "…"


def json_in_page(value: object) -> str:
    """JSON for a data block inside an HTML page: no name in it can end the block."""
    text = encodable(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))
    for character in "<>&\u2028\u2029":
        text = text.replace(character, f"\\u{ord(character):04x}")
    return text
