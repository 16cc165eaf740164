"""What hangs on the clock alone: the dark, and what is shut.

The sun's place: the series of J. W. Spencer, Fourier series representation of the position of the
sun (1971), from memory, within half a degree in any year of this century. Civil twilight ends with
the sun's centre 6 degrees below the horizon (The Astronomical Almanac, glossary).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np

from tests.oracle.corridor import Corridor
from tests.oracle.plane import Floats
from tests.oracle.sums import CAUTION, NOT_ASSESSED
from tests.oracle.tides import minutes

_DARK_DEG = -6.5
"""Civil twilight and the half degree."""
_HAIR_S = 30.0
_MOST_MINUTES = 200
Window = tuple[float, float] | None
WindowAt = Callable[[dict[str, Any], int, float], Window]
Found = tuple[frozenset[int], int, str, str]


def sun_altitude_deg(lon: float, lat: float, time_s: Floats) -> Floats:
    """The height of the sun's centre over the horizon, without refraction."""
    year = datetime.fromtimestamp(float(np.min(time_s)), UTC).year
    since = np.asarray(time_s) - datetime(year, 1, 1, tzinfo=UTC).timestamp()
    g = 2.0 * np.pi * since / 86_400.0 / 365.0
    declination = 0.006918 - 0.399912 * np.cos(g) + 0.070257 * np.sin(g)
    declination += -0.006758 * np.cos(2 * g) + 0.000907 * np.sin(2 * g)
    declination += -0.002697 * np.cos(3 * g) + 0.00148 * np.sin(3 * g)
    equation_min = 0.000075 + 0.001868 * np.cos(g) - 0.032077 * np.sin(g)
    equation_min += -0.014615 * np.cos(2 * g) - 0.040849 * np.sin(2 * g)
    equation_min *= 229.18
    hours = np.asarray(time_s) % 86_400.0 / 3600.0 + lon / 15.0 + equation_min / 60.0
    angle = np.radians(15.0 * (hours - 12.0))
    up = np.sin(np.radians(lat)) * np.sin(declination)
    up += np.cos(np.radians(lat)) * np.cos(declination) * np.cos(angle)
    return np.asarray(np.degrees(np.arcsin(up)))


def shut(opening: dict[str, Any], time_s: float) -> bool:
    """Whether a place is shut at a time: outside its hours of every day on which it opens."""
    local = time_s + opening["ahead_s"]
    today = local // 86_400.0 * 86_400.0
    for midnight in (today - 86_400.0, today):
        day = datetime.fromtimestamp(midnight, UTC).weekday()
        end = opening["end_s"] + (86_400.0 if opening["end_s"] <= opening["start_s"] else 0.0)
        if day in opening["weekdays"] and midnight + opening["start_s"] <= local <= midnight + end:
            return False
    return True


def clock_claims(
    world: dict[str, Any], corridor: Corridor, clock: dict[str, Any], window: WindowAt
) -> list[Found]:
    """What must be said of light and openings: (legs, rank, key, why)."""
    made: list[Found] = []
    last = len(corridor.legs) - 1
    for n, facts in enumerate(world["route"]["legs"]):
        leg, own = corridor.legs[n], frozenset({n})
        start, end = window(clock, n, 0.0), window(clock, n, leg.length_m)
        places = [leg.places[0], leg.places[-1]]
        if facts["daylight_only"]:
            made += _light(own, "daylight", start, end, places, must_know=True)
        if n == last:
            known = clock["depart_s"] is not None
            made += _light(own, "arrival", end, end, places[1:], must_know=known)
        for number, opening in enumerate(facts["openings"], start=1):
            key, first, then = f"opening/{number}", start, end
            if opening["along_m"] is not None:
                first = then = window(clock, n, min(opening["along_m"], leg.length_m))
            if first is None or then is None:
                made.append((own, NOT_ASSESSED, key, "hours, and no time"))
                continue
            moments = _moments(first[0] + _HAIR_S, then[1] - _HAIR_S)
            bad = [t for t in moments if all(shut(opening, t + d) for d in (-_HAIR_S, 0, _HAIR_S))]
            if bad:
                made.append((own, CAUTION, key, f"shut at {bad[0]:.0f}"))
    return made


def _light(
    own: frozenset[int], key: str, start: Window, end: Window, places: Any, *, must_know: bool
) -> list[Found]:
    if start is None or end is None:
        return [(own, NOT_ASSESSED, key, "no time of passing is known")] if must_know else []
    moments = _moments(start[0], end[1])
    lowest = min(float(sun_altitude_deg(*place, moments).min()) for place in places)
    return [(own, CAUTION, key, f"the sun at {lowest:.1f} degrees")] if lowest < _DARK_DEG else []


def _moments(from_s: float, to_s: float) -> Floats:
    """Every minute, or so many that they are few."""
    if to_s <= from_s:
        return np.array([(from_s + to_s) / 2.0])
    return minutes(from_s, to_s)[:: max(1, int((to_s - from_s) / 60.0 / _MOST_MINUTES))]
