"""A thousand departures of a 100-leg ocean route against one survey of it.

The scan is everything that `window` does after the survey, but for the picture: every check on
every leg for every departure, least margins, the windows and what opens and closes them. The tide
is harmonic, of 37 constituents, its curve made anew each time.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from routecheck.api import settings_for
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet
from routecheck.model.heights import HarmonicHeights
from routecheck.model.tide import Tide, TideStation
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic
from routecheck.readers.grids import open_grid
from routecheck.survey.survey import survey
from routecheck.windows import scan, windows_of
from tests.benchmarks.measure import Row, interleaved
from tests.benchmarks.ocean import ocean_grid, ocean_route
from tests.published.load import published

DEPARTURES = 1_000
GOAL = 1.0
ROUTES = (0, 1)
BOAT = Boat(name="b", draught_m=1.9, air_draught_m=16.0, speed_kn=5.5)
START = datetime(2027, 5, 14, tzinfo=UTC)


def tide() -> Tide:
    """NOAA's constants of Eastport."""
    (value,) = published("eastport", "high and low waters")
    harmonics = tuple(
        Harmonic(constituent=constituent(name), amplitude_m=amplitude, phase_deg=lag)
        for name, (amplitude, lag) in value.inputs["constants"].items()
    )
    heights = HarmonicHeights(mean_level_m=3.0, harmonics=harmonics)
    station = TideStation(name="Eastport", heights=heights)
    return Tide(datum="chart datum", uncertainty_m=0.1, stations=(station,))


def rows() -> Iterator[Row]:
    """One row."""
    (grid,) = open_grid(ocean_grid())
    charts = ChartSet(grids=(grid,))
    departs = [START + timedelta(minutes=10 * n) for n in range(DEPARTURES)]
    shares, surveys, scans = [], [], []
    for number in ROUTES:
        route = ocean_route(number)
        _, views = survey(route, charts, settings_for(BOAT))

        def one_survey(route: object = route) -> None:
            survey(route, charts, settings_for(BOAT))  # type: ignore[arg-type]

        def all_departures(views: object = views, route: object = route) -> None:
            scanned = scan(views, BOAT, tide(), departs)  # type: ignore[arg-type]
            windows_of(route, scanned, step_s=600.0)  # type: ignore[arg-type]

        took = interleaved({"survey": one_survey, "scan": all_departures}, rounds=5)
        shares.append(took["scan"] / took["survey"])
        surveys.append(took["survey"])
        scans.append(took["scan"])
    yield Row(
        what=f"{DEPARTURES} departures of 100 legs, as a share of one survey",
        goal=f"<= {GOAL:g}",
        measured=f"{min(shares):.2f}–{max(shares):.2f} "
        f"({1e3 * max(scans):.0f} ms to {1e3 * max(surveys):.0f} ms)",
        met=max(shares) <= GOAL,
    )
