"""Two columns of a file for one thing: what counts where they do not say the same.

Of depths and clearances the lesser counts, of uncertainties the greater; lists are put together.
Anything else that is said in two ways counts as not stated, since either may be wrong. What differs
is told. Our own rules (common practice: of two depths for one place the shoaler is taken).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from routecheck.model.chart import Severity
from routecheck.readers.charted import DEEPEST_M, clean, number_of
from routecheck.readers.charted_marks import colours_of
from routecheck.readers.s57_classes import LISTS, NUMBERS

DEPTHS = frozenset({"DRVAL1", "DRVAL2", "VALDCO", "VALSOU", "DEPTH"})
CLEARANCES = frozenset({"VERCLR", "VERCCL", "VERCOP", "VERCSA", "HORCLR"})
_UNCERTAINTIES = frozenset({"SOUACC", "POSACC"})
_JOINED = LISTS - {"COLOUR", "COLPAT"}
_NAMES = frozenset(
    {"OBJNAM", "NOBJNM", "INFORM", "LNAM", "SIGGRP", "_LIGHT", "_TOP_MARK", "SORDAT"}
    | {"PRIM", "OBJL", "AGEN", "FIDN", "FIDS"}
)
"""By which nothing is judged: the first one counts."""
DOUBTS = "_DOUBTS"
"""Value of a row that holds its doubts, for whoever knows where the row lies."""


@dataclass(frozen=True, kw_only=True)
class Said:
    """What one column says of an attribute. `metres` False: nothing states its unit."""

    column: str
    value: Any
    metres: bool = True


@dataclass(frozen=True, kw_only=True)
class Doubt:
    """What is to be told of a row."""

    wrong: str
    severity: Severity
    attribute: str


def one_of(
    attribute: str, said: Sequence[Said], *, unit_m: float = 1.0
) -> tuple[Any, tuple[Doubt, ...]]:
    """What counts of all that is said of one attribute of a row, None for nothing, and what is to
    be told of it. `unit_m`: metres of one unit of depth, below zero where depths are heights.

    >>> one_of("VALSOU", [Said(column="VALSOU", value=5), Said(column="depth", value=2.0)])[0]
    2.0
    """
    if attribute in DEPTHS | CLEARANCES:
        return _measure(attribute, said, unit_m if attribute in DEPTHS else abs(unit_m))
    if len(said) < 2 or attribute in _NAMES:
        return (said[0].value if said else None), ()
    if attribute in _UNCERTAINTIES:
        return _measure(attribute, said, -1.0)
    if len({_plain(attribute, one.value) for one in said}) == 1:
        return said[0].value, ()
    if attribute in _JOINED:
        return ";".join(_text(one.value) for one in said), ()
    return None, (_differ(attribute, said, "counts as not stated", Severity.NOT_ASSESSED),)


def merged(
    first: Mapping[str, Any], second: Mapping[str, Any], names: tuple[str, str], *, unit_m: float
) -> dict[str, Any]:
    """Two readings of one object as one, by attribute; `names` say where each comes from."""
    doubts: tuple[Doubt, ...] = (*first.get(DOUBTS, ()), *second.get(DOUBTS, ()))
    found: dict[str, Any] = {}
    for attribute in dict.fromkeys((*first, *second)):
        if attribute == DOUBTS:
            continue
        said = [
            Said(column=f"{name} {attribute}", value=values[attribute])
            for name, values in zip(names, (first, second), strict=True)
            if attribute in values
        ]
        value, wrong = one_of(attribute, said, unit_m=unit_m)
        doubts += wrong
        if value is not None:
            found[attribute] = value
    return found | {DOUBTS: doubts} if doubts else found


def _measure(attribute: str, said: Sequence[Said], unit_m: float) -> tuple[Any, tuple[Doubt, ...]]:
    """The least one that can be read; one that cannot be is told, whatever the others say."""
    if len(said) == 1 and said[0].metres:
        return said[0].value, ()
    if not any(one.metres for one in said):
        wrong = f"nothing states the unit of {_list(said)}; it counts as not stated"
        doubt = Doubt(wrong=wrong, severity=Severity.NOT_ASSESSED, attribute=attribute)
        return None, (doubt,) if said else ()
    numbers = [(number, one) for one in said if (number := _number(one.value, unit_m)) is not None]
    if not numbers:
        return said[0].value, ()  # told by whoever reads it
    least, lead = min(numbers, key=lambda pair: unit_m * pair[0])
    if len(numbers) < len(said):
        end = f"one of them is no number; {_shown(lead.value)} counts, which may be wrong"
        return least, (_differ(attribute, said, end, Severity.NOT_ASSESSED),)
    if all(math.isclose(number, least, rel_tol=1e-6, abs_tol=1e-6) for number, _ in numbers):
        return least, ()
    word = "greater" if attribute in _UNCERTAINTIES else "lesser"
    word = "shoaler" if attribute in DEPTHS else word
    return least, (_differ(attribute, said, f"the {word} counts", Severity.CAUTION),)


def _number(value: Any, unit_m: float) -> float | None:
    number = number_of(value)
    return None if number is None or abs(number * unit_m) > DEEPEST_M else number


def _differ(attribute: str, said: Sequence[Said], end: str, severity: Severity) -> Doubt:
    return Doubt(
        wrong=f"its columns do not say the same, {_list(said)}: {end}",
        severity=severity,
        attribute=attribute,
    )


def _list(said: Sequence[Said]) -> str:
    return " and ".join(f"{clean(one.column)[:40]} {_shown(one.value)}" for one in said)


def _shown(value: Any) -> str:
    return clean(f"{value:g}" if isinstance(value, float) else _text(value))[:40]


def _text(value: Any) -> str:
    return ",".join(str(v) for v in value) if isinstance(value, list | tuple) else str(value)


def _plain(attribute: str, value: Any) -> Any:
    """What two spellings of the same have in common."""
    if attribute == "COLOUR":
        return colours_of(value) or _text(value).lower()
    number = number_of(value) if attribute in NUMBERS else None
    return number if number is not None else re.sub(r"\s+", " ", _text(value)).strip().lower()
