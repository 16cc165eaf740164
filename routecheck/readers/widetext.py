"""Texts of two or four bytes a letter, as some programs export tables."""

from __future__ import annotations

import codecs

_BOMS = (
    # UTF-32's mark begins with UTF-16's.
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


def as_utf8(head: bytes) -> bytes | None:
    """The text as UTF-8 where it is UTF-16 or UTF-32, None where it is neither.

    Without a byte order mark by the nulls of its Latin letters and digits.

    >>> as_utf8("lon;lat".encode("utf-16")), as_utf8(b"lon;lat")
    (b'lon;lat', None)
    """
    for mark, name in _BOMS:
        if head.startswith(mark):
            return _decoded(head[len(mark) :], name)
    if b"\0" not in head[:1024]:
        return None
    for name in ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"):
        made = _decoded(head, name)
        if made is not None and sum(byte < 128 for byte in made) > 0.8 * len(made):
            return made
    return None


def _decoded(head: bytes, name: str) -> bytes | None:
    width = 4 if "32" in name else 2
    text = head[: len(head) // width * width].decode(name, "replace")
    # What was cut off in the middle of a letter may be one bad letter.
    if text.count("\ufffd") > 1 or any(ord(c) < 32 and c not in "\t\r\n\f" for c in text):
        return None
    return text.replace("\ufffd", "").encode("utf-8", "replace")
