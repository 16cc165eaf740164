"""Bytes, numbers and names from files, taken strictly.

A number that could be read in two ways is refused, a name keeps nothing that could disturb a
terminal or a page, and a file is measured before it is read.
"""

from __future__ import annotations

import difflib
import math
import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from routecheck.model.errors import BadInput

LONGEST_NAME = 200
_LONGEST_NUMBER = 40
_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def read_bytes(path: Path, *, most_bytes: int) -> bytes:
    """A whole file. Raises BadInput where it is missing, no plain file, empty or too large."""
    file = str(path)
    try:
        if not path.exists():
            raise BadInput(file=file, wrong="there is no such file")
        if not path.is_file():
            raise BadInput(file=file, wrong="this is not a plain file")
        with path.open("rb") as stream:
            data = stream.read(most_bytes + 1)
    except (OSError, ValueError) as error:  # ValueError: a null character in the path
        reason = getattr(error, "strerror", None) or str(error)
        raise BadInput(file=file, wrong=f"it cannot be read ({reason})") from None
    if len(data) > most_bytes:
        raise BadInput(file=file, wrong=f"it is larger than {_size(most_bytes)}")
    if not data.strip(b"\0 \t\r\n\xef\xbb\xbf\xfe\xff"):
        raise BadInput(file=file, wrong="the file is empty")
    return data


def _size(count: int) -> str:
    return f"{count // 2**20} MB" if count >= 2**20 else f"{count // 2**10} kB"


def decoded(data: bytes, *, file: str) -> str:
    """UTF-8 text, a byte order mark dropped. Raises BadInput with the line of the bad byte."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadInput(
            file=file, where=f"line {line}", wrong="this is not UTF-8 text", do="save it as UTF-8"
        ) from None


def decimal(text: str) -> float:
    """A finite number from text such as ``-76.4``. Raises ValueError, in words, for all else.

    >>> decimal(" 54.10 ")
    54.1
    """
    stripped = text.strip(" \t\r\n")
    if len(stripped) > _LONGEST_NUMBER:
        raise ValueError(f"a number of {len(stripped)} characters")
    if not _DECIMAL.fullmatch(stripped):
        comma = "; write the decimal point as '.'" if re.search(r"\d,\d", stripped) else ""
        raise ValueError(f"{stripped!r} is not a number{comma}" if stripped else "it is blank")
    value = float(stripped)
    if not math.isfinite(value):
        raise ValueError(f"{stripped!r} is too large a number")
    return value


def finite(value: object) -> float:
    """A finite number from a parsed TOML or JSON value. Raises ValueError, in words."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{shown(value)} is not a number")
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("the number is too large") from None
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a finite number")
    return number


def longitude_deg(value: float) -> float:
    """The same number. Raises ValueError where it is no longitude."""
    if not -180.0 <= value <= 180.0:
        raise ValueError(f"longitude {value:g} is not between -180 and 180 degrees")
    return value


def latitude_deg(value: float) -> float:
    """The same number. Raises ValueError where it is no latitude."""
    if not -90.0 <= value <= 90.0:
        raise ValueError(f"latitude {value:g} is not between -90 and 90 degrees")
    return value


def cleaned(text: str, *, longest: int = LONGEST_NAME) -> str:
    """A name on one line: control and invisible characters dropped, cut to `longest`.

    >>> cleaned("  Red\\tbuoy\\x1b[31m ")
    'Red buoy[31m'
    """
    kept = []
    for character in text[: 8 * longest]:
        category = unicodedata.category(character)
        if category[0] == "Z" or character in "\t\r\n":
            kept.append(" ")
        elif category[0] != "C":  # control, format (such as text direction), surrogate, unassigned
            kept.append(character)
    return " ".join("".join(kept).split())[:longest].rstrip()


def shown(value: object) -> str:
    """A short form of a value for a message. Never raises."""
    if isinstance(value, dict | list | tuple):
        return "a table" if isinstance(value, dict) else "a list"
    try:
        text = repr(value)
    except ValueError:  # an integer of more digits than Python prints
        return "a huge number"
    return text if len(text) <= 60 else text[:57] + "…"


def nearest(word: str, known: Iterable[str], *, likeness: float = 0.6) -> str:
    """The known word that was probably meant, "" where none is as like as `likeness` (0 to 1)."""
    found = difflib.get_close_matches(word[:60].lower(), list(known), n=1, cutoff=likeness)
    return found[0] if found else ""
