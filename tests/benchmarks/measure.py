"""What every benchmark gives back, and how time is taken."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of the table."""

    what: str
    goal: str
    measured: str
    met: bool


def seconds(work: Callable[[], object], times: int = 1) -> float:
    """The least of the processor's time that a call takes, without a collection of garbage.

    Not the clock on the wall: others may be using the machine.
    """
    was_on = gc.isenabled()
    gc.collect()
    gc.disable()
    least = float("inf")
    try:
        for _ in range(times):
            begin = time.process_time()
            work()
            least = min(least, time.process_time() - begin)
    finally:
        if was_on:
            gc.enable()
    return least


def interleaved(
    works: dict[str, Callable[[], object]], rounds: int, at_once: dict[str, int] | None = None
) -> dict[str, float]:
    """The least seconds of each, taken in turns, so that a busy machine is busy for all.

    `at_once` says how many times each is done in a round (else once): a short one more often, so
    that as much time is looked at as of a long one.
    """
    least = dict.fromkeys(works, float("inf"))
    for _ in range(rounds):
        for name, work in works.items():
            least[name] = min(least[name], seconds(work, (at_once or {}).get(name, 1)))
    return least
