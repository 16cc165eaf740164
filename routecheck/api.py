"""The package as a library: read with the readers, then `vet`.

routes = read_routes(Path("passage.gpx"))
charts = read_charts([Path("charts")])
vetted = vet(routes[0], charts, read_boat(Path("boat.toml")))
print(vetted.report.verdict)
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from routecheck.judgement import judge
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet
from routecheck.model.finding import Report
from routecheck.model.passage import Tide
from routecheck.model.picture import WaterPicture
from routecheck.model.route import Route
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey

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

        return picture(self.charts, self.corridors)


def settings_for(
    boat: Boat, *, cross_track_m: float | None = None, region: str = ""
) -> SurveySettings:
    """What the survey must know of the skipper's wishes; the draught is not among it."""
    margins = boat.margins
    return SurveySettings(
        cross_track_m=margins.cross_track_m if cross_track_m is None else cross_track_m,
        cross_track_from="boat" if cross_track_m is None else "--cross-track",
        floor_m=margins.position_m + (boat.beam_m or 0.0) / 2.0,
        coarsest_grid_m=margins.coarsest_grid_m,
        smallest_scale=margins.smallest_scale,
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
    or "". Raises ValueError for a departure without a time zone.
    """
    legs, views = survey(
        route,
        charts,
        settings_for(boat, cross_track_m=cross_track_m, region=region),
        progress=progress,
    )
    report = judge(route, views, charts, boat, tide=tide, depart=depart)
    return Vetted(report=report, corridors=legs, charts=charts)
