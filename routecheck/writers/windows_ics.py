"""windows.ics: departure windows for a calendar (RFC 5545)."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from routecheck.model.window import Window, Windows
from routecheck.writers.wording.lengths import Lengths, Units, clock
from routecheck.writers.wording.names import encodable, plain
from routecheck.writers.wording.windows import edge_words, margin_words

_LONGEST_LINE = 75  # octets, RFC 5545, 3.1


def to_windows_ics(windows: Windows, *, units: str = Units.METRIC) -> str:
    """One event a window, from its first to its last departure; times in UTC.

    The stamp is the first departure scanned and the event's id a digest of route and time, so that
    the same input gives the same bytes. Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units), minus="-")
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//routecheck//departure windows//EN",
        "CALSCALE:GREGORIAN",
    ]
    for window in windows.windows:
        lines += _event(window, windows, lengths)
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _event(window: Window, windows: Windows, lengths: Lengths) -> Iterator[str]:
    name = plain(windows.route.name) or "route"
    digest = hashlib.sha256(
        encodable(f"{windows.route.file}\n{name}\n{_stamp(window.first)}").encode()
    ).hexdigest()[:24]
    says = [
        f"Best departure {clock(window.best)}, least margin "
        f"{margin_words(window.best_margin_m, lengths)}.",
        f"Opens: {edge_words(window.opens, lengths)}.",
        f"Closes: {edge_words(window.closes, lengths)}.",
        *(f"Caution: {plain(text, longest=300)}." for text in window.cautions),
        windows.caution,
    ]
    yield "BEGIN:VEVENT"
    yield f"UID:{digest}@routecheck"
    yield f"DTSTAMP:{_stamp(windows.departs[0])}"
    yield f"DTSTART:{_stamp(window.first)}"
    # A window of one departure is drawn as long as the step.
    yield f"DTEND:{_stamp(max(window.last, window.first + timedelta(seconds=windows.step_s)))}"
    yield f"SUMMARY:{_text(f'Departure open: {name}')}"
    yield f"DESCRIPTION:{_text(chr(10).join(says))}"
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
