"""A secondary port's differences: one value, or several interpolated by clock or height."""

from __future__ import annotations

import re
from typing import Any

from routecheck.model.secondary import Differences, HeightDifference, TimeDifference
from routecheck.readers.strict import finite, shown
from routecheck.readers.tomlfile import Table
from routecheck.units import duration_s, length_m

KEYS = ("time_high", "time_low", "height_high", "height_low")
_MOST_S = 12 * 3_600.0
_MOST_M = 20.0
_MOST_ENTRIES = 24


def read_differences(table: Table) -> Differences:
    """The four differences; each one that is left out is none."""
    return Differences(
        time_high=table.read("time_high", _time) or TimeDifference(),
        time_low=table.read("time_low", _time) or TimeDifference(),
        height_high=table.read("height_high", _height) or HeightDifference(),
        height_low=table.read("height_low", _height) or HeightDifference(),
    )


def _entries(value: Any) -> list[dict[str, Any]]:
    """The parts of a list of ``{ at = …, add = … }``."""
    if not 1 <= len(value) <= _MOST_ENTRIES or not all(
        isinstance(part, dict) and set(part) == {"at", "add"} for part in value
    ):
        raise ValueError("a list of differences is made of { at = …, add = … }")
    return list(value)


def _time(value: Any) -> TimeDifference:
    if not isinstance(value, list):
        return TimeDifference(add_s=(_seconds(value),))
    pairs = sorted((_clock_s(part["at"]), _seconds(part["add"])) for part in _entries(value))
    clocks = [clock for clock, _ in pairs]
    if len(set(clocks)) != len(clocks):
        raise ValueError("a time of day stands twice")
    return TimeDifference(clock_s=tuple(clocks), add_s=tuple(add for _, add in pairs))


def _seconds(value: Any) -> float:
    seconds = duration_s(value, what="difference")
    if abs(seconds) > _MOST_S:
        raise ValueError(f"{shown(value)} is more than 12 hours")
    return seconds


def _clock_s(value: Any) -> float:
    """UTC seconds of the day from ``"06:00Z"`` or ``"06:00+01:00"``."""
    found = (
        re.fullmatch(r"([01][0-9]|2[0-3]):([0-5][0-9])(\S+)", value)
        if isinstance(value, str)
        else None
    )
    if found is None:
        raise ValueError(f'{shown(value)} is not a time of day with its zone, like "06:00Z"')
    of_day = 3600.0 * int(found.group(1)) + 60.0 * int(found.group(2))
    return (of_day - clock_offset_s(found.group(3))) % 86_400.0


def clock_offset_s(value: Any) -> float:
    """How far a zone's clock is ahead of UTC, from ``"Z"`` or ``"+01:00"``. Raises ValueError."""
    if value == "Z":
        return 0.0
    found = (
        re.fullmatch(r"([+-])(0[0-9]|1[0-4]):([0-5][0-9])", value)
        if isinstance(value, str)
        else None
    )
    if found is None:
        raise ValueError(f'{shown(value)} is no zone; write "Greenwich", "local" or like "+01:00"')
    seconds = 3600.0 * int(found.group(2)) + 60.0 * int(found.group(3))
    return -seconds if found.group(1) == "-" else seconds


def _height(value: Any) -> HeightDifference:
    """``"0.3 m"`` is added, ``0.95`` is a factor; a list is interpolated by the height."""
    if isinstance(value, list):
        pairs = sorted((_metres(part["at"]), _metres(part["add"])) for part in _entries(value))
        heights = [at for at, _ in pairs]
        if len(set(heights)) != len(heights):
            raise ValueError("a height stands twice")
        return HeightDifference(at_m=tuple(heights), add_m=tuple(add for _, add in pairs))
    if isinstance(value, dict):
        if not set(value) <= {"factor", "add"} or not value:
            raise ValueError("write { factor = 0.95, add = … }")
        add_m = _metres(value["add"]) if "add" in value else 0.0
        return HeightDifference(factor_share=_factor(value.get("factor", 1.0)), add_m=(add_m,))
    if isinstance(value, str):
        return HeightDifference(add_m=(_metres(value),))
    return HeightDifference(factor_share=_factor(value))


def _factor(value: Any) -> float:
    factor = finite(value)
    if not 0.0 < factor <= 10.0:
        raise ValueError(f"{factor:g} is no factor of heights")
    return factor


def _metres(value: Any) -> float:
    metres = length_m(value, what="difference")
    if abs(metres) > _MOST_M:
        raise ValueError(f"{shown(value)} is more than {_MOST_M:g} m")
    return metres
