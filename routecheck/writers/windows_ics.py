"""windows.ics: departure windows for a calendar (RFC 5545)."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from routecheck.model.chart import Severity
from routecheck.model.window import Window, Windows
from routecheck.writers.wording.lengths import Lengths, Units, clock
from routecheck.writers.wording.names import encodable, plain
from routecheck.writers.wording.windows import (
    BETWEEN,
    always_lines,
    always_words,
    bar_words,
    best_cautions,
    cautions_count,
    edge_words,
    margin_words,
)

_LONGEST_LINE = 75  # octets, RFC 5545, 3.1
_MOST_ALWAYS = 12


def to_windows_ics(windows: Windows, *, units: str = Units.METRIC) -> str:
    """One event a window, from its first to its last departure; times in UTC.

    Where no departure is open, or a danger holds whatever the departure, one event over the whole
    scan says so: a calendar must not name a departure that `vet` calls a hazard. The stamp is the
    first departure scanned and the event's id a digest of route and time, so that the same input
    gives the same bytes. Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units), minus="-")
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//routecheck//departure windows//EN",
        "CALSCALE:GREGORIAN",
    ]
    if windows.windows and windows.always_worst is not Severity.DANGER:
        for window in windows.windows:
            lines += _open(window, windows, lengths)
    else:
        lines += _none(windows, lengths)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _open(window: Window, windows: Windows, lengths: Lengths) -> Iterator[str]:
    says = [
        *filter(None, [always_words(windows)]),
        f"Best departure {clock(window.best)}, least margin "
        f"{margin_words(window.best_margin_m, lengths)}.",
        f"Opens: {edge_words(window.opens, lengths)}.",
        f"Closes: {edge_words(window.closes, lengths)}.",
        *(f"Departures: {text}." for text in filter(None, [cautions_count(window)])),
        *(f"Caution on the best: {text}." for text in best_cautions(window, lengths)),
        BETWEEN,
    ]
    what = "Departure open" if windows.always_worst is None else "Departure open, not all assessed"
    return _event(what, window.first, window.last, says, windows)


def _none(windows: Windows, lengths: Lengths) -> Iterator[str]:
    if windows.always_worst is Severity.DANGER:
        what = "No departure without danger"
        says = [always_words(windows), *always_lines(windows, lengths)[:_MOST_ALWAYS]]
    else:
        what = "No departure open"
        says = [f"{bar_words(bar, lengths)}." for bar in windows.closed]
    return _event(what, windows.departs[0], windows.departs[-1], says, windows)


def _event(
    what: str, first: datetime, last: datetime, says: list[str], windows: Windows
) -> Iterator[str]:
    name = plain(windows.route.name) or "route"
    digest = hashlib.sha256(
        encodable(f"{windows.route.file}\n{name}\n{_stamp(first)}").encode()
    ).hexdigest()[:24]
    yield "BEGIN:VEVENT"
    yield f"UID:{digest}@routecheck"
    yield f"DTSTAMP:{_stamp(windows.departs[0])}"
    # Whole seconds, inside what was judged.
    first = max(first, (first + timedelta(microseconds=999_999)).replace(microsecond=0))
    yield f"DTSTART:{_stamp(first)}"
    # One departure alone is an instant: an end there must be later, and may be left out (3.6.1).
    if last.replace(microsecond=0) > first:
        yield f"DTEND:{_stamp(last)}"
    yield f"SUMMARY:{_text(f'{what}: {name}')}"
    yield f"DESCRIPTION:{_text(chr(10).join([*says, windows.caution]))}"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _stamp(time: datetime) -> str:
    return time.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _text(text: str) -> str:
    """Text with what means something to a calendar escaped."""
    kept = encodable(text).replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return kept.replace("\n", "\\n")


def _folded(line: str) -> Iterator[str]:
    """The line in pieces of at most 75 octets, none cut inside a character."""
    piece, size = "", 0
    for character in line:
        octets = len(character.encode("utf-8"))
        if size + octets > _LONGEST_LINE:
            yield piece
            piece, size = " ", 1
        piece += character
        size += octets
    yield piece
