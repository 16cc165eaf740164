"""Structured damage to a file's bytes, from a random generator."""

from __future__ import annotations

import random
import re

HOW = (
    "bits", "cut", "zeros", "ones", "again", "swapped", "numbers", "lengths", "gap", "other",
)  # fmt: skip
_DIGITS = re.compile(rb"\d+(?:\.\d+)?")
_HOSTILE = (b"0", b"-1", b"99999999999", b"nan", b"1e308", b"4294967295", b"-0.0", b"")


def mutated(data: bytes, other: bytes, rng: random.Random) -> tuple[str, bytes]:
    """(what was done, the damaged bytes). `other` is a second file, from which bytes are taken."""
    how = rng.choice(HOW)
    out = bytearray(data)
    size = len(out)
    at = _place(size, rng)
    span = min(size - at, 1 << rng.randrange(0, 12))
    if how == "bits":
        for _ in range(rng.choice((1, 1, 2, 8, 64))):
            out[_place(size, rng)] ^= 1 << rng.randrange(8)
    elif how == "cut":
        del out[rng.randrange(size) :]
    elif how == "zeros":
        out[at : at + span] = bytes(span)
    elif how == "ones":
        out[at : at + span] = b"\xff" * span
    elif how == "again":
        out[at:at] = out[at : at + span] * rng.choice((1, 2, 30))
    elif how == "swapped":
        to = _place(size, rng)
        out[to : to + span] = out[at : at + span]
    elif how == "numbers":
        places = [found.span() for found in _DIGITS.finditer(data[:200_000])]
        for start, end in sorted(rng.sample(places, min(len(places), 3)), reverse=True):
            out[start:end] = rng.choice(_HOSTILE)
    elif how == "lengths":
        width = rng.choice((2, 4, 8))
        value = rng.choice((0, 1, 0x7F, 1 << (8 * width - 1), (1 << 8 * width) - 1))
        out[at : at + width] = value.to_bytes(width, rng.choice(("little", "big")))
    elif how == "gap":
        del out[at : at + span]
    else:
        start = _place(len(other), rng)
        out[at : at + span] = other[start : start + span]
    return how, bytes(out)


def _place(size: int, rng: random.Random) -> int:
    """Somewhere, half the time in the first 4 kB, where the structure is told."""
    return rng.randrange(min(size, 4096) if rng.random() < 0.5 else size)
