"""Runs of numbered marks, and the sense that their numbers give a track.

Marks whose names differ only in the number and in words for the kind of mark form a run; they
are numbered from seaward, in the direction of buoyage (common practice; it is not part of
IALA R1001). At least three of a run, projected on the track in order: ascending means that the
track goes with the direction of buoyage. Even and odd numbers stand on either side and need not
keep step, so near neighbours in number are compared on their own side only.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from routecheck.model.objects import LATERAL_KINDS, Mark
from routecheck.model.passes import Ground, GroundKind, Sense

_NUMBER = re.compile(r"([a-z]{0,2})([0-9]{1,4})([a-z]{0,3})")
_NUMBER_WORDS = frozenset({"", "no", "nr", "n", "wr", "num"})
"""Before a number these are words for "number" or "wreck", not part of the run's name."""
_KIND_WORDS = frozenset(
    {"buoy", "buoys", "light", "lighted", "beacon", "daybeacon", "daymark", "mark", "marker"}
    | {"bell", "gong", "whistle", "horn", "wreck", "junction", "no", "nr"}
)
_ORDINALS = frozenset({"st", "nd", "rd", "th"})
_PLACE_WORDS = frozenset({"entrance", "channel", "approach"})
_LONGEST_NAME = 120

_OUT_OF_STEP = 4
"""Numbers of opposite parity are compared only when they are this far apart."""
_ABREAST = 0.5
"""Marks whose distance along is less than this share of their distance apart are abreast."""
LEAST = 3
"""How many of a run it takes."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Numbered:
    """What a name says: the run's stem, strict (with words such as "entrance") and loose."""

    strict: str
    loose: str
    number: int
    suffix: str

    @property
    def order(self) -> tuple[int, str]:
        """Sort key within the run: 78, 78A, 79."""
        return self.number, self.suffix

    @property
    def label(self) -> str:
        """As in the name: "78A"."""
        return f"{self.number}{self.suffix.upper()}"


def numbered(name: str) -> Numbered | None:
    """The number of a mark and the name of its run; None where the name holds no number.

    >>> numbered("Long Reach Entrance Lighted Buoy 10")
    Numbered(strict='long reach entrance', loose='long reach', number=10, suffix='')
    """
    words = re.split(r"[\s_.,;:()/#°º]+", name[:_LONGEST_NAME].lower())
    found: re.Match[str] | None = None
    rest: list[str] = []
    for word in words:
        match = _NUMBER.fullmatch(word)
        if match is None or match.group(3) in _ORDINALS:
            rest.append(word)
            continue
        if found is not None:
            rest.append(found.group(0))
        found = match
    if found is None:
        return None
    prefix = found.group(1)
    stem = [w for w in rest if w and w not in _KIND_WORDS]
    if prefix not in _NUMBER_WORDS:
        stem.append(prefix)
    return Numbered(
        strict=" ".join(stem),
        loose=" ".join(w for w in stem if w not in _PLACE_WORDS),
        number=int(found.group(2)),
        suffix=found.group(3),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Member:
    """A mark of a run, projected: `along_m` on some line, x and y in any plane of metres."""

    index: int
    numbered: Numbered
    along_m: float
    x_m: float
    y_m: float


class Runs:
    """The runs of a chart set."""

    def __init__(self, marks: Sequence[Mark]) -> None:
        """Read the names of all lateral marks."""
        self.numbered: dict[int, Numbered] = {}
        runs: dict[tuple[str, str], list[int]] = defaultdict(list)
        for index, mark in enumerate(marks):
            if mark.kind not in LATERAL_KINDS or not mark.name:
                continue
            read = numbered(mark.name)
            if read is not None:
                self.numbered[index] = read
                runs["loose", read.loose].append(index)
                runs["strict", read.strict].append(index)
        self._runs: Mapping[tuple[str, str], list[int]] = runs

    def name(self, index: int) -> str:
        """The run's common name, "" where the mark has no number or stands alone."""
        read = self.numbered.get(index)
        if read is None or len(self._runs["loose", read.loose]) < LEAST:
            return ""
        return read.loose or "(number alone)"

    def same(self, first: int, second: int) -> bool:
        """Whether two marks are of one run, or neither has a number."""
        one, two = self.numbered.get(first), self.numbered.get(second)
        if one is None or two is None:
            return one is two
        return one.loose == two.loose

    def members(self, index: int, words: str) -> list[int]:
        """The marks of the run of a mark; `words` "loose" or "strict"."""
        read = self.numbered[index]
        return self._runs[words, read.loose if words == "loose" else read.strict]


def sense_of(members: Sequence[Member], index: int) -> Sense | None:
    """Whether numbers ascend along the line; None where they do not say.

    Every two that can be compared must agree, the mark `index` among them.
    """
    order = [m.numbered.order for m in members]
    if len(members) < LEAST or len(set(order)) < len(order):
        return None  # too few, or one number twice: two runs of one name
    ascending = descending = own = 0
    for first, second in combinations(members, 2):
        step = second.numbered.number - first.numbered.number
        if abs(step) < _OUT_OF_STEP and step % 2:
            continue
        apart_m = ((second.x_m - first.x_m) ** 2 + (second.y_m - first.y_m) ** 2) ** 0.5
        on_m = second.along_m - first.along_m
        if abs(on_m) < _ABREAST * apart_m or on_m == 0.0:
            continue
        own += index in (first.index, second.index)
        if (on_m > 0.0) == (second.numbered.order > first.numbered.order):
            ascending += 1
        else:
            descending += 1
    if own == 0 or ascending + descending < LEAST - 1 or (ascending and descending):
        return None
    return Sense.WITH if ascending else Sense.AGAINST


def ground(members: Sequence[Member], sense: Sense, name: str) -> Ground:
    """The reason in words."""
    in_order = sorted(members, key=lambda m: m.numbered.order, reverse=sense is Sense.AGAINST)
    labels = ", ".join(m.numbered.label for m in in_order)
    word = "ascend" if sense is Sense.WITH else "descend"
    of = f" of the run {name!r}" if name else ""
    return Ground(
        kind=GroundKind.NUMBERS,
        sense=sense,
        text=f"the numbers {labels}{of} {word} along the track",
    )
