"""Heights of tide and constants from CSV: tables of high and low waters, series, constituents."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.model.heights import SeriesHeights, TableHeights
from routecheck.model.tide_curve import MOST_DAYS, Floats
from routecheck.readers.csvtable import Row, read_rows
from routecheck.readers.strict import decimal, shown
from routecheck.units import METRES_PER_FOOT

_HEIGHTS = {"height_m": 1.0, "height_ft": METRES_PER_FOOT, "height_cm": 0.01}
_AMPLITUDES = {"amplitude_m": 1.0, "amplitude_ft": METRES_PER_FOOT, "amplitude_cm": 0.01}
_KINDS = {"h": 1, "hw": 1, "high": 1, "l": -1, "lw": -1, "low": -1}

MOST_HEIGHT_M = 20.0
MOST_RANGE_M = 17.5
"""The largest range of tide on earth is about 16 m (Minas Basin; common knowledge)."""
_SHORTEST_S, _LONGEST_S = 3_600.0, 18 * 3_600.0
_SEMIDIURNAL_S = 10 * 3_600.0
"""With two tides a day, high and low water hardly ever lie further apart (common practice)."""
_HOW = "give a series of heights where the tide stands or has two high waters"


def read_time_s(text: str) -> float:
    """A Unix time from ISO 8601 with a zone. Raises ValueError, in words."""
    stripped = text.strip()
    if len(stripped) > 40:
        raise ValueError(f"a time of {len(stripped)} characters")
    try:
        when = datetime.fromisoformat(stripped)
    except ValueError:
        raise ValueError(f"{shown(stripped)} is not a time like 2027-05-14T07:30Z") from None
    if when.tzinfo is None:
        raise ValueError(f"{shown(stripped)} has no time zone; end it with Z for UTC, or +01:00")
    if not 1900 <= when.year <= 2200:
        raise ValueError(f"{shown(stripped)} is not between the years 1900 and 2200")
    return when.astimezone(UTC).timestamp()


def refuse_by_the_look(height_m: Floats, *, file: str, where: str = "") -> None:
    """Raise BadInput for heights that no tide reaches: they are in another unit than stated."""
    low, high = float(height_m.min()), float(height_m.max())
    wrong = ""
    if max(abs(low), abs(high)) > MOST_HEIGHT_M:
        wrong = f"heights from {low:.1f} to {high:.1f} m are not those of a tide"
    elif high - low > MOST_RANGE_M:
        wrong = f"a range of {high - low:.1f} m is more than any tide's"
    if wrong:
        raise BadInput(
            file=file, where=where, wrong=wrong, do="look at the unit: feet or centimetres?"
        )


def read_table(path: Path) -> TableHeights:
    """High and low waters: ``time, height_m`` (or ``height_ft``), and ``kind`` (high or low).

    Raises BadInput, with the line, for times without a zone or out of order, two high waters in a
    row, a high or low water that is missing, waters ten hours apart that are not called high or
    low, and for heights in the wrong unit by the look of them.
    """
    rows, event_s, event_m = _times_and_heights(path, ("kind",))
    if len(rows) < 2:
        raise BadInput(file=str(path), wrong="it has fewer than two high or low waters")
    refuse_by_the_look(event_m, file=str(path))
    rises = np.sign(np.diff(event_m))
    called = all(row.cells.get("kind", "").strip() for row in rows)
    for i in range(1, len(rows)):
        gap_s = event_s[i] - event_s[i - 1]
        if rises[i - 1] == 0.0:
            raise rows[i].bad("it is as high as the one before", do=_HOW)
        if i > 1 and rises[i - 1] == rises[i - 2]:
            what = "high" if rises[i - 1] > 0.0 else "low"
            raise rows[i].bad(
                f"the height goes on {'rising' if what == 'high' else 'falling'}: two {what} waters"
                " in a row, or one between is missing",
                do=_HOW,
            )
        if gap_s < _SHORTEST_S:
            raise rows[i].bad(f"it is only {gap_s / 60.0:.0f} minutes after the last one", do=_HOW)
        if gap_s > _LONGEST_S:
            raise rows[i].bad(
                f"it is {gap_s / 3600.0:.0f} hours after the last one: a high or low water between "
                "is missing"
            )
        if gap_s > _SEMIDIURNAL_S and not called:
            # High waters alone rise and fall too: their lower ones must not pass for low waters.
            raise rows[i].bad(
                f"it is {gap_s / 3600.0:.1f} hours after the last one: one between may be missing",
                do="give high and low waters; if they are all there, call each high or low in a "
                "column 'kind'",
            )
    _agree_with_kinds(rows, event_m)
    return TableHeights(event_s=event_s, event_m=event_m)


def _agree_with_kinds(rows: Sequence[Row], event_m: Floats) -> None:
    for i, row in enumerate(rows):
        text = row.cells.get("kind", "").strip().lower()
        if not text:
            continue
        kind = _KINDS.get(text)
        if kind is None:
            raise row.bad(f"{shown(text)} is neither high nor low", do="write high or low")
        beside = event_m[i - 1] if i else event_m[1]
        if (event_m[i] > beside) != (kind > 0):
            raise row.bad(f"called {text}, but the next one {'before' if i else 'after'} says not")


def read_series(path: Path) -> SeriesHeights:
    """Heights at any times that rise: ``time, height_m`` (or ``height_ft``, ``height_cm``).

    Raises BadInput as `read_table` does.
    """
    rows, time_s, sample_m = _times_and_heights(path, ())
    return series_of(time_s, sample_m, file=str(path), count=len(rows))


def series_of(time_s: Floats, sample_m: Floats, *, file: str, count: int) -> SeriesHeights:
    """A series from arrays whose times rise; BadInput where it is none of a tide."""
    if count < 3:
        raise BadInput(file=file, wrong="it has fewer than three heights")
    refuse_by_the_look(sample_m, file=file)
    if time_s[-1] - time_s[0] > MOST_DAYS * 86_400.0:
        raise BadInput(file=file, wrong=f"it runs over more than {MOST_DAYS} days")
    return SeriesHeights(time_s=time_s, sample_m=sample_m)


def _times_and_heights(path: Path, more: tuple[str, ...]) -> tuple[list[Row], Floats, Floats]:
    rows: list[Row] = []
    times: list[float] = []
    heights: list[float] = []
    column, scale = "", 1.0
    for row in read_rows(path, ("time", *_HEIGHTS, *more), ("time",)):
        if not column:
            found = [name for name in _HEIGHTS if name in row.cells]
            if len(found) != 1:
                wrong = "it has no column of heights" if not found else "it has two of heights"
                raise BadInput(
                    file=str(path), where="first line", wrong=wrong, do="name it height_m"
                )
            column, scale = found[0], _HEIGHTS[found[0]]
        try:
            when, height = read_time_s(row.cells["time"]), decimal(row.cells[column])
        except ValueError as error:
            raise row.bad(str(error)) from None
        if times and when <= times[-1]:
            again = "the same as" if when == times[-1] else "before"
            raise row.bad(f"its time is {again} the one above", do="put the times in order")
        rows.append(row)
        times.append(when)
        heights.append(height * scale)
    return rows, np.array(times), np.array(heights)


def read_constants(path: Path) -> list[tuple[int, str, float, float, float | None]]:
    """(line, name, amplitude in metres, phase in degrees, speed in degrees an hour or None).

    Columns ``name, amplitude_m`` (or ``amplitude_ft``, ``amplitude_cm``), ``phase_deg`` and, to be
    checked against the name, ``speed_deg_per_h``. Raises BadInput with the line.
    """
    found = []
    known = ("name", *_AMPLITUDES, "phase_deg", "speed_deg_per_h")
    for row in read_rows(path, known, ("name", "phase_deg")):
        columns = [name for name in _AMPLITUDES if name in row.cells]
        if len(columns) != 1:
            raise BadInput(
                file=str(path),
                where="first line",
                wrong="it needs one column of amplitudes",
                do="name it amplitude_m",
            )
        speed = row.cells.get("speed_deg_per_h", "").strip()
        try:
            found.append(
                (
                    row.line,
                    row.cells["name"].strip(),
                    decimal(row.cells[columns[0]]) * _AMPLITUDES[columns[0]],
                    decimal(row.cells["phase_deg"]),
                    decimal(speed) if speed else None,
                )
            )
        except ValueError as error:
            raise row.bad(str(error)) from None
    return found
