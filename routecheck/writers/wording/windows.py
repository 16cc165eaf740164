"""Departure windows in words, for the table, the page and the calendar."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, timedelta, tzinfo

from routecheck.model.window import Bar, State, Window, Windows
from routecheck.writers.wording.lengths import Lengths, along, clock
from routecheck.writers.wording.names import plain


def bar_words(bar: Bar, lengths: Lengths) -> str:
    """What bars a departure, and where: "sill charted at 0.5 m: 0.3 m short (leg 2, 1.20 nmi)"."""
    finding = bar.finding
    where = f"leg {finding.leg}, {along(finding.route_along_m)}"
    margin = "" if bar.margin_m is None else f", margin {lengths.floored(bar.margin_m, sign=True)}"
    return f"{plain(finding.title, longest=300)} ({where}{margin})"


def edge_words(bars: tuple[Bar, ...], lengths: Lengths) -> str:
    """What opens or closes a window; at the ends of the scan nothing is known of it."""
    if not bars:
        return "the end of the time that was scanned"
    return "; ".join(bar_words(bar, lengths) for bar in bars)


def margin_words(margin_m: float | None, lengths: Lengths) -> str:
    """A least margin, rounded against the boat."""
    return "not known" if margin_m is None else lengths.floored(margin_m, sign=True)


def span_words(windows: Windows, zone: tzinfo = UTC) -> str:
    """What was scanned: from when to when, at what step."""
    first, last = windows.departs[0], windows.departs[-1]
    minutes = windows.step_s / 60.0
    every = f"{minutes:.0f} min" if minutes == int(minutes) else f"{windows.step_s:.0f} s"
    return f"departures from {clock(first, zone)} to {clock(last, zone)}, every {every}"


def count_words(windows: Windows) -> str:
    """How many departures came to what."""
    counts = Counter(windows.states)
    told = [f"{counts[state]} {state.value}" for state in reversed(State) if counts[state]]
    return f"{len(windows.departs)} judged: {', '.join(told)}"


def duration_words(duration_s: float | None) -> str:
    """Time under way."""
    if duration_s is None:
        return "time under way not known: a speed is missing"
    hours, minutes = divmod(round(duration_s / 60.0), 60)
    return f"{hours} h {minutes:02d} min under way"


def window_words(window: Window, zone: tzinfo = UTC) -> str:
    """One window in a line."""
    lasts = window.last - window.first
    if not lasts:
        return f"{clock(window.first, zone)} alone"
    return f"{clock(window.first, zone)} to {clock(window.last, zone)} ({_hours(lasts)})"


def _hours(span: timedelta) -> str:
    hours, minutes = divmod(round(span.total_seconds() / 60.0), 60)
    return f"{hours} h {minutes:02d} min"
