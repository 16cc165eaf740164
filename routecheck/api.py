"""The package as a library: read with the readers, then `vet`.

routes = read_routes(Path("passage.gpx"))
charts = read_charts([Path("charts")])
vetted = vet(routes[0], charts, read_boat(Path("boat.toml")))
print(vetted.report.verdict)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from routecheck.judgement import judge
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet
from routecheck.model.clock import refuse_departure
from routecheck.model.finding import Report
from routecheck.model.passage import Tide
from routecheck.model.picture import WaterPicture
from routecheck.model.route import Route
from routecheck.model.window import Windows
from routecheck.model.window_picture import window_picture
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from routecheck.windows import scan, windows_of

MOST_DEPARTURES = 50_000
LONGEST_SPAN = timedelta(days=400)
"""From the first departure of a `window` to the last."""

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, kw_only=True)
class Vetted:
    """A report, and what the map needs beside it."""

    report: Report
    corridors: tuple[LegCorridor, ...]
    charts: ChartSet

    def picture(self) -> WaterPicture:
        """The water round the route, for the map."""
        from routecheck.survey.picture import picture

        return picture(self.charts, self.corridors, settings=settings_for(self.report.boat))


def settings_for(
    boat: Boat, *, cross_track_m: float | None = None, region: str = ""
) -> SurveySettings:
    """What the survey must know of the skipper's wishes; the draught is not among it."""
    margins = boat.margins
    return SurveySettings(
        cross_track_m=margins.cross_track_m if cross_track_m is None else cross_track_m,
        cross_track_from="boat" if cross_track_m is None else "--cross-track",
        floor_m=margins.position_m + (boat.beam_m or 0.0) / 2.0,
        floor_from="position uncertainty and half the beam"
        if boat.beam_m
        else "position uncertainty; no beam given",
        coarsest_grid_m=margins.coarsest_grid_m,
        smallest_scale=margins.smallest_scale,
        oldest_survey_year=margins.oldest_survey_year,
        mark_far_m=margins.mark_far_m,
        region=region,
    )


def vet(
    route: Route,
    charts: ChartSet,
    boat: Boat,
    *,
    tide: Tide | None = None,
    depart: datetime | None = None,
    cross_track_m: float | None = None,
    region: str = "",
    progress: Progress | None = None,
) -> Vetted:
    """Survey a route and judge it for a boat.

    `cross_track_m` outweighs the boat's own half-width, not the route's. `region` is "A", "B"
    or "". Raises ValueError for a departure without a time zone, or not from 1900 to 2199.
    """
    if depart is not None:
        refuse_departure(depart)
    boat = boat.on(route)
    legs, views = survey(
        route,
        charts,
        settings_for(boat, cross_track_m=cross_track_m, region=region),
        progress=progress,
    )
    report = judge(route, views, charts, boat, tide=tide, depart=depart)
    return Vetted(report=report, corridors=legs, charts=charts)


def window(
    route: Route,
    charts: ChartSet,
    boat: Boat,
    *,
    start: datetime,
    end: datetime,
    step: timedelta = timedelta(minutes=10),
    tide: Tide | None = None,
    cross_track_m: float | None = None,
    region: str = "",
    progress: Progress | None = None,
) -> Windows:
    """Survey a route once, and judge every departure from `start` to `end` at a step.

    The rest is as for `vet`. Raises ValueError for times without a zone or the wrong way round, a
    step that is not above zero, and more than `MOST_DEPARTURES` departures or `LONGEST_SPAN`.
    """
    departs = departures(start, end, step)
    boat = boat.on(route)
    _, views = survey(
        route,
        charts,
        settings_for(boat, cross_track_m=cross_track_m, region=region),
        progress=progress,
    )
    scanned = scan(views, boat, tide, departs)
    report = judge(route, views, charts, boat, tide=tide, depart=departs[0])
    made = windows_of(route, scanned, step_s=step.total_seconds(), assumptions=report.assumptions)
    picture = window_picture(scanned.clock, np.array([d.timestamp() for d in departs]))
    return replace(made, picture=picture)


def departures(start: datetime, end: datetime, step: timedelta) -> list[datetime]:
    """The departures from `start` to `end`, both included where the step meets the end."""
    refuse_departure(start)
    refuse_departure(end)
    if not step > timedelta(0):
        raise ValueError("the step is not above zero")
    if end < start:
        raise ValueError("the last departure is before the first")
    if end - start > LONGEST_SPAN:
        raise ValueError(f"the departures lie more than {LONGEST_SPAN.days} days apart")
    count = (end - start) // step + 1
    if count > MOST_DEPARTURES:
        raise ValueError(f"{count} departures are more than {MOST_DEPARTURES}; take a longer step")
    return [start + n * step for n in range(count)]
