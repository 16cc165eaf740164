"""Departure windows in words, for the table, the page and the calendar."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, timedelta, tzinfo

from routecheck.model.chart import Severity
from routecheck.model.window import Bar, State, Window, Windows
from routecheck.writers.wording.lengths import Lengths, along, clock
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.places import SEVERITY_WORDS, place_of


def bar_words(bar: Bar, lengths: Lengths) -> str:
    """What bars a departure, and where: "sill charted at 0.5 m: 0.3 m short (leg 2, 1.20 nmi)"."""
    finding = bar.finding
    where = f"leg {finding.leg}, {along(finding.route_along_m)}"
    margin = "" if bar.margin_m is None else f", margin {margin_words(bar.margin_m, lengths)}"
    return f"{plain(lengths.prose(finding.title), longest=300)} ({where}{margin})"


def edge_words(bars: tuple[Bar, ...], lengths: Lengths) -> str:
    """What opens or closes a window; at the ends of the scan nothing is known of it."""
    if not bars:
        return "the end of the time that was scanned"
    return "; ".join(bar_words(bar, lengths) for bar in bars)


def margin_words(margin_m: float | None, lengths: Lengths) -> str:
    """A least margin, rounded against the boat."""
    if margin_m is None:
        return "not known"
    places = 2 if abs(lengths.of(margin_m)) < 0.1 else 1
    return lengths.floored(margin_m, sign=True, decimals=places)


def span_words(windows: Windows, zone: tzinfo = UTC) -> str:
    """What was scanned: from when to when, at what step."""
    first, last = windows.departs[0], windows.departs[-1]
    minutes = windows.step_s / 60.0
    every = f"{minutes:.0f} min" if minutes == int(minutes) else f"{windows.step_s:.0f} s"
    return f"departures from {clock(first, zone)} to {clock(last, zone)}, every {every}"


BETWEEN = (
    "A window begins and ends with a departure that was judged; between two of them nothing was."
)


def always_words(windows: Windows) -> str:
    """What the windows do not know of, since it hangs on no clock; "" where there is nothing."""
    count = sum(one.severity is windows.always_worst for one in windows.always)
    only = "The windows say only what the clock opens and closes."
    if windows.always_worst is Severity.DANGER:
        what = "a danger holds" if count == 1 else f"{count} dangers hold"
        return f"No departure is without danger: {what} whatever the departure. {only}"
    if windows.always_worst is Severity.NOT_ASSESSED:
        what = "something was" if count == 1 else f"{count} things were"
        return f"Whatever the departure, {what} not assessed. {only}"
    return ""


def cautions_words(windows: Windows) -> str:
    """How many cautions hold at any time, "" for none."""
    count = windows.always_cautions
    if not count:
        return ""
    return f"{count} caution{'s' if count > 1 else ''} at any time: `vet` tells"


def cautions_count(window: Window) -> str:
    """How many departures of a window have cautions, "" for none."""
    if not window.with_cautions:
        return ""
    best = "" if window.cautions else ", the best without"
    return f"{window.with_cautions} of {window.departures} with cautions{best}"


def best_cautions(window: Window, lengths: Lengths) -> list[str]:
    """The cautions on the best departure of a window, a line each."""
    return [plain(lengths.prose(text), longest=300) for text in window.cautions]


def always_lines(windows: Windows, lengths: Lengths) -> list[str]:
    """What holds whatever the departure, a line each."""
    return [
        f"{SEVERITY_WORDS[f.severity]}: {plain(lengths.prose(f.title), longest=300)} "
        f"({place_of(f, lengths)})"
        for f in windows.always
    ]


def count_words(windows: Windows) -> str:
    """How many departures came to what."""
    counts = Counter(windows.states)
    told = [f"{counts[state]} {state.value}" for state in reversed(State) if counts[state]]
    by = "" if windows.always_worst is None else " by the clock alone"
    return f"{len(windows.departs)} judged{by}: {', '.join(told)}"


def duration_words(duration_s: float | None) -> str:
    """Time under way."""
    if duration_s is None:
        return "time under way not known: no speed is given, or none can be made good"
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
