"""What a check is, and how it is declared. A check is found by being in routecheck/checks."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.view import LegView

CheckFunction = Callable[[LegView, Passage], Iterable[Finding]]
Codes = NDArray[np.int8]
"""The worst severity for each departure: its place in `Severity`, or `NOTHING`."""
SweepFunction = Callable[[LegView, LegDepartures], Codes]
NOTHING = len(Severity)

SECTIONS = ("Rule", "Why", "Examples", "Settings", "Limits", "Sources")
"""Sections that every check's docstring has after its summary line, in this order."""

GROUPS = ("depth", "dangers", "marks", "overhead", "areas", "time", "coverage")
"""The lines beside the verdict."""


@dataclass(frozen=True, kw_only=True)
class Check:
    """One check. `needs` are the layers that it must have seen of the whole corridor.

    `sweep` gives the worst severity of `function` for many departures at once, for checks that
    hang on the clock at many places; others that do are asked departure by departure. `bars`:
    its cautions close a departure window. `clock`: without a departure it judges nothing.
    """

    name: str
    group: str
    needs: frozenset[Layer]
    gives: frozenset[Severity]
    function: CheckFunction
    bars: bool = False
    clock: bool = False
    sweep: SweepFunction | None = None

    @property
    def summary(self) -> str:
        """The fault in one line, as it stands in the report's legend."""
        return (self.function.__doc__ or "").strip().splitlines()[0]

    def sections(self) -> dict[str, str]:
        """The docstring's sections by name. A section starts with its name at the margin."""
        found: dict[str, list[str]] = {}
        current = ""
        for raw in (self.function.__doc__ or "").splitlines()[1:]:
            line = raw.strip()
            start = re.match(r"(\w+) {2,}(.*)", line)
            if start and start.group(1) in SECTIONS:
                current = start.group(1)
                found[current] = [start.group(2)]
            elif current and line:
                found[current].append(line)
        return {name: "\n".join(lines) for name, lines in found.items()}


REGISTRY: dict[str, Check] = {}
_ORDER = list(Severity)


def code_of(severity: Severity | None) -> int:
    """The code of a severity: 0 for the worst, `NOTHING` for none."""
    return NOTHING if severity is None else _ORDER.index(severity)


def check(
    *,
    name: str,
    group: str,
    needs: Iterable[Layer],
    gives: Iterable[Severity],
    bars: bool = False,
    clock: bool = False,
    sweep: SweepFunction | None = None,
) -> Callable[[CheckFunction], CheckFunction]:
    """Declare a check. Raises ValueError on a name used twice or an unknown group."""

    def declare(function: CheckFunction) -> CheckFunction:
        if name in REGISTRY:
            raise ValueError(f"two checks are called {name!r}")
        if group not in GROUPS:
            raise ValueError(f"check {name!r}: no group {group!r}")
        REGISTRY[name] = Check(
            name=name,
            group=group,
            needs=frozenset(needs),
            gives=frozenset(gives),
            function=function,
            bars=bars,
            clock=clock,
            sweep=sweep,
        )
        return function

    return declare
