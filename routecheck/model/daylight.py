"""Light at a stretch of the leg, for the checks that ask for it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, Codes, code_of
from routecheck.model.view import LegView
from routecheck.nav.sun import (
    CIVIL_DEG,
    RISE_SET_DEG,
    lowest_altitude_deg,
    next_crossing_s,
    sun_about,
)


def light_finding(
    check: str,
    view: LegView,
    passage: Passage,
    from_m: float,
    to_m: float,
    *,
    what: str,
    object_key: str,
) -> Iterator[Finding]:
    """A caution where it may be dark between two distances along, a note where it may be
    twilight, nothing by day or without an ETA. The light is the least at the leg's ends, or, of a
    stretch that is the leg's end alone, the light there."""
    window = passage.window_s(from_m, to_m)
    if window is None:
        return
    each = [
        (float(lowest_altitude_deg(*place, *window)), place)
        for place in _places(view, from_m, to_m)
    ]
    lowest, (lon, lat) = min(each)
    if lowest >= RISE_SET_DEG:
        return
    dark = lowest < CIVIL_DEG
    yield Finding(
        check=check,
        severity=Severity.CAUTION if dark else Severity.NOTE,
        title=f"{what} {'in the dark' if dark else 'in twilight'}",
        explanation=_says(lon, lat, window, lowest),
        leg=view.leg.number,
        object_key=object_key,
        along_m=to_m,
        along_to_m=to_m,
        lon_deg=lon,
        lat_deg=lat,
        sums={"sun_lowest_deg": round(lowest, 1)},
        settle="another departure; `window` finds one",
    )


def light_sweep(
    view: LegView, departures: LegDepartures, from_m: float, to_m: float, asked: bool
) -> Codes:
    """The severities of `light_finding` for many departures; nothing where it is not asked."""
    codes = np.full(departures.count, NOTHING, dtype=np.int8)
    windows = departures.windows_s(np.array([from_m]), np.array([to_m])) if asked else None
    if windows is not None:
        each = [
            lowest_altitude_deg(*place, windows[0][:, 0], windows[1][:, 0])
            for place in _places(view, from_m, to_m)
        ]
        lowest = np.minimum.reduce(each)
        codes[lowest < RISE_SET_DEG] = code_of(Severity.NOTE)
        codes[lowest < CIVIL_DEG] = code_of(Severity.CAUTION)
    return codes


def _places(view: LegView, from_m: float, to_m: float) -> list[tuple[float, float]]:
    """Where the light is asked for. At one instant it is dark to the one end of a long leg while
    day has come to the other; between them it is hardly darker than at the darker end."""
    ends = [view.leg.end] if from_m == to_m else [view.leg.start, view.leg.end]
    return [(end.lon_deg, end.lat_deg) for end in ends]


def _says(lon: float, lat: float, window: tuple[float, float], lowest_deg: float) -> str:
    about = sun_about(lon, lat, window[1])
    if about:
        return f"{about[0].upper()}{about[1:]} there."
    rise = next_crossing_s(lon, lat, window[1], RISE_SET_DEG)
    fall = next_crossing_s(lon, lat, window[0], RISE_SET_DEG, backwards=True)
    says = f"The sun stands as low as {-lowest_deg:.0f} degrees below the horizon then."
    for found, rising in ((fall, False), (rise, True)):
        if found is not None and found[1] is rising:
            says += f" Sun{'rise' if rising else 'set'} {_clock(found[0])}."
    return says


def _clock(time_s: float) -> str:
    return datetime.fromtimestamp(time_s, UTC).strftime("%Y-%m-%d %H:%MZ")
