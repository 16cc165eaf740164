"""Departure windows on the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, tzinfo

from routecheck.model.window import State, Window, Windows
from routecheck.units import METRES_PER_NMI
from routecheck.writers.wording.lengths import Lengths, Units, clock
from routecheck.writers.wording.names import plain, wrapped
from routecheck.writers.wording.windows import (
    BETWEEN,
    always_lines,
    always_words,
    bar_words,
    best_cautions,
    cautions_count,
    cautions_words,
    count_words,
    duration_words,
    edge_words,
    margin_words,
    span_words,
    window_words,
)

_NARROWEST = 40
_MOST_ALWAYS = 12


def to_windows_table(
    windows: Windows, *, units: str = Units.METRIC, width: int = 80, zone: tzinfo = UTC
) -> str:
    """The windows as text, no wider than `width` columns; `zone` is the clock that is shown.

    Nothing from a file can steer the screen. Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units), minus="-")
    columns = max(_NARROWEST, width)
    lines: list[str] = []
    for first, text in _texts(windows, lengths, zone):
        if not text:
            lines.append("")
            continue
        rest = " " * (len(first) or 2)
        lines += wrapped(plain(text, longest=4000), width=columns, first=first, rest=rest)
    return "\n".join(lines) + "\n"


def _texts(windows: Windows, lengths: Lengths, zone: tzinfo) -> Iterator[tuple[str, str]]:
    boat = windows.boat
    name = plain(windows.route.name) or "route without a name"
    legs = len(windows.route.legs)
    size = f"{legs} {'leg' if legs == 1 else 'legs'}, {windows.distance_m / METRES_PER_NMI:.2f} nmi"
    yield "", f"{name}: {size}, {duration_words(windows.duration_s)}"
    yield "", f"{plain(boat.name)}: needs {lengths.exact(boat.needed_m)} of water"
    yield "", f"D{span_words(windows, zone)[1:]}; {count_words(windows)}"
    yield "", ""
    if windows.always:
        yield "", always_words(windows)
        lines = always_lines(windows, lengths)
        for line in lines[:_MOST_ALWAYS]:
            yield "  ", line
        if len(lines) > _MOST_ALWAYS:
            yield "  ", f"and {len(lines) - _MOST_ALWAYS} more"
        yield "", ""
    if not windows.windows:
        blind = State.NOT_ASSESSED in windows.states
        why = "; some could not be assessed" if blind else ""
        yield "", f"No departure is open{why}."
        for bar in windows.closed:
            yield "  ", bar_words(bar, lengths)
    for number, window in enumerate(windows.windows, start=1):
        yield from _window(number, window, lengths, zone)
    yield "", ""
    if cautions_words(windows):
        yield "", f"{cautions_words(windows)}."
    yield "", BETWEEN
    yield "", windows.caution


def _window(
    number: int, window: Window, lengths: Lengths, zone: tzinfo
) -> Iterator[tuple[str, str]]:
    yield "", f"{number}. {window_words(window, zone)}"
    best = margin_words(window.best_margin_m, lengths)
    yield "   best     ", f"{clock(window.best, zone)}, least margin {best}"
    yield "   opens    ", edge_words(window.opens, lengths)
    yield "   closes   ", edge_words(window.closes, lengths)
    if window.with_cautions:
        yield "   judged   ", cautions_count(window)
    for caution in best_cautions(window, lengths):
        yield "   on best  ", caution
