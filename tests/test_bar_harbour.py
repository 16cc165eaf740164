"""The bar harbour of the sample charts: windows against brute force, minute by minute.

The brute force knows the harbour from its own drawing: rectangles along a track due east, a
bridge, the tide as a plain sum of cosines. It shares no code with curves, sweeps and windows.
"""

from __future__ import annotations

import itertools
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pyproj
import pytest

from routecheck.api import departures, window
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet
from routecheck.model.route import Route
from routecheck.model.tide import Tide
from routecheck.model.window import State, Windows
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic, heights_m
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.readers.settings import read_boat, read_tide

ONE_MINUTE = timedelta(minutes=1)
START = datetime(2027, 5, 19, tzinfo=UTC)
END = START + timedelta(days=2)

# sample_charts/bar_harbour.py: longitudes of the edges, and what is charted between them.
LON0, KM = -116.7, 108.06
LAT = -14.2
DEPTHS = ((-0.6, -0.2, 3.2), (-0.2, 0.15, 0.6), (0.15, 1.6, 3.4), (1.6, 2.0, 3.6))
BRIDGE_KM, CLEARANCE_M, MHWS_M = 0.9, 17.4, 3.72
WAYPOINTS_KM, SPEEDS_KN = (-3.5, -1.0, 0.4, 2.0), (5.5, 4.0, 4.0)
CONSTANTS = (
    ("M2", 1.25, 40.0),
    ("S2", 0.42, 75.0),
    ("N2", 0.26, 20.0),
    ("K1", 0.09, 10.0),
    ("O1", 0.07, 300.0),
    ("M4", 0.08, 120.0),
)
MEAN_M, NEEDED_M, AIR_M, ETA_S = 2.05, 2.9, 17.5, 1_800.0


@pytest.fixture(scope="module")
def harbour(root: Path) -> tuple[Route, ChartSet, Boat, Tide]:
    folder = root / "sample_charts"
    (route,) = read_routes(folder / "bar-harbour/into-the-haven.gpx")
    return (
        route,
        read_charts([folder / "bar-harbour"]),
        read_boat(folder / "boat.toml"),
        read_tide(folder / "bar-harbour/tide.toml"),
    )


@pytest.fixture(scope="module")
def found(harbour: tuple[Route, ChartSet, Boat, Tide]) -> Windows:
    route, charts, boat, tide = harbour
    return window(route, charts, boat, start=START, end=END, step=ONE_MINUTE, tide=tide)


def east_m(x_km: float) -> float:
    """Metres from the first waypoint, along the parallel."""
    parallel = pyproj.Geod(ellps="WGS84")
    radius_m = parallel.a / np.sqrt(1.0 - parallel.es * np.sin(np.radians(LAT)) ** 2)
    degrees = round(LON0 + x_km / KM, 6) - round(LON0 + WAYPOINTS_KM[0] / KM, 6)
    return float(np.radians(degrees) * radius_m * np.cos(np.radians(LAT)))


def after_s(x_km: float) -> float:
    """Seconds from the departure to a place."""
    total = 0.0
    for (a, b), speed in zip(itertools.pairwise(WAYPOINTS_KM), SPEEDS_KN, strict=True):
        reached = min(max(x_km, a), b)
        total += (east_m(reached) - east_m(a)) / (speed * 1852.0 / 3600.0)
    return total


def tide_m(time_s: np.ndarray) -> np.ndarray:
    parts = [
        Harmonic(constituent=constituent(n), amplitude_m=a, phase_deg=g) for n, a, g in CONSTANTS
    ]
    return MEAN_M + heights_m(parts, time_s)


def brute_force() -> list[bool]:
    """For every minute whether water and air bar it, asking the tide every minute (and at both
    ends) of the time in which the boat may be there."""
    barred = []
    # The tide of the whole time once, every five seconds, to look up.
    first_s = START.timestamp() - 7_200.0
    grid_s = np.arange(first_s, END.timestamp() + 14_400.0, 5.0)
    grid_m = tide_m(grid_s)
    stretches = []
    for west, east, depth_m in DEPTHS:
        # A leg's end cuts a stretch: its speed changes there.
        ends = [west, *(w for w in WAYPOINTS_KM[1:-1] if west < w < east), east]
        stretches += [(a, b, depth_m) for a, b in itertools.pairwise(ends)]
    for number in range(int((END - START) / ONE_MINUTE) + 1):
        start_s = START.timestamp() + 60.0 * number
        shut = False
        for west, east, depth_m in stretches:
            a = start_s + after_s(west) - ETA_S
            b = start_s + after_s(east) + ETA_S
            low = grid_m[int((a - first_s) // 5) : int((b - first_s) // 5) + 2].min()
            shut |= depth_m + low < NEEDED_M
        at = start_s + after_s(BRIDGE_KM)
        span = slice(int((at - ETA_S - first_s) // 5), int((at + ETA_S - first_s) // 5) + 2)
        shut |= CLEARANCE_M + MHWS_M - grid_m[span].max() < AIR_M
        barred.append(bool(shut))
    return barred


def test_windows_are_those_of_brute_force(found: Windows) -> None:
    """Water and air, at one-minute steps over two days about spring tides."""
    ours = np.zeros(len(found.departs), dtype=bool)
    for word in ("water", "air"):
        ours |= found.barred[word]
    theirs = np.array(brute_force())
    assert len(theirs) == len(ours) == 2881
    assert len(np.flatnonzero(np.diff(theirs.astype(int)))) >= 8
    assert (ours == theirs).all()


def test_the_sill_opens_round_high_water_only(found: Windows) -> None:
    water = found.barred["water"]
    assert 0.3 < water.mean() < 0.8
    highs = [
        i
        for i in range(1, len(water) - 1)
        if tide_m(np.array([found.departs[i].timestamp() + after_s(0.0)]))[0] > 3.6
    ]
    assert highs
    assert not water[highs].any()


def test_the_bridge_shuts_the_top_of_spring_tides(found: Windows) -> None:
    assert 0.02 < found.barred["air"].mean() < 0.4
    titles = {bar.finding.check for w in found.windows for bar in (*w.opens, *w.closes)}
    assert {"too-little-water", "span-overhead"} <= titles


def test_best_departures_have_the_largest_margin(found: Windows) -> None:
    assert found.margin_m is not None and found.air_m is not None
    least = np.minimum(found.margin_m, found.air_m)
    for one in found.windows:
        inside = [i for i, d in enumerate(found.departs) if one.first <= d <= one.last]
        best = found.departs.index(one.best)
        rank = [(list(State).index(found.states[i]), least[i]) for i in inside]
        assert (list(State).index(found.states[best]), least[best]) == max(rank)
        assert one.best_margin_m == least[best]
        assert {found.states[i] for i in inside} <= {State.OPEN, State.CAUTION}


def test_departures_at_a_step() -> None:
    got = departures(START, START + timedelta(minutes=25), timedelta(minutes=10))
    assert [d.minute for d in got] == [0, 10, 20]
    for start, end, step in (
        (START, START - ONE_MINUTE, ONE_MINUTE),
        (START, END, timedelta(0)),
        (START.replace(tzinfo=None), END, ONE_MINUTE),
        (START, END, timedelta(milliseconds=1)),
    ):
        with pytest.raises(ValueError):
            departures(start, end, step)
