"""The sun low ahead, over water with dangers in it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView
from routecheck.nav.angles import wrap180_deg
from routecheck.nav.sun import sun_position

_LOW_DEG = 20.0
_AHEAD_DEG = 45.0
_SHOAL_TIMES = 3.0


@check(name="low-sun-ahead", group="time", needs=(), gives={Severity.NOTE}, clock=True)
def low_sun_ahead(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The sun stands low ahead while the leg meets dangers or shoal water.

    Rule      the sun, from the horizon up to 20 degrees, within 45 degrees of the course at any
              time on the leg, which meets a charted danger or water charted at less than three
              times the depth that the boat needs: note.
    Why       Against a low sun one sees neither reefs nor the colour of the water.
    Examples  in words: a low sun ahead over a reef is a note, behind it or over deep water nothing
    Settings  the boat's draught and margins, eta; the departure and speeds.
    Limits    Knows no clouds. Asked every few minutes. Without an ETA the legs count as not
              assessed.
    Sources   Common practice on coral coasts: the sun high and behind.
    """
    window = passage.window_s(0.0, view.length_m)
    if window is None or not _shoal(view, passage):
        return
    times = np.linspace(*window, 241)
    start = view.leg.start
    altitude, bearing = sun_position(start.lon_deg, start.lat_deg, times)
    off = np.minimum(
        np.abs(wrap180_deg(bearing - view.course_deg)),
        np.abs(wrap180_deg(bearing - view.end_course_deg)),
    )
    blinding = (altitude >= 0.0) & (altitude <= _LOW_DEG) & (off <= _AHEAD_DEG)
    if not blinding.any():
        return
    worst = int(np.flatnonzero(blinding)[np.argmin(off[blinding])])
    yield Finding(
        check="low-sun-ahead",
        severity=Severity.NOTE,
        title=f"low sun ahead: {float(altitude[worst]):.0f}° high, bearing "
        f"{float(bearing[worst]):.0f}°",
        explanation="Reefs and the colour of the water are hard to see against it.",
        leg=view.leg.number,
        object_key="sun",
        along_to_m=view.length_m,
        lon_deg=start.lon_deg,
        lat_deg=start.lat_deg,
        sums={
            "sun_altitude_deg": round(float(altitude[worst]), 1),
            "sun_bearing_deg": round(float(bearing[worst]), 1),
            "course_deg": view.course_deg,
        },
    )


def _shoal(view: LegView, passage: Passage) -> bool:
    limit_m = _SHOAL_TIMES * passage.boat.needed_m
    return (
        bool(view.dangers)
        or any(met.counts and met.charted_depth_m < limit_m for met in view.depths)
        or any(bool((g.charted_depth_m[g.counts] < limit_m).any()) for g in view.grids)
    )
