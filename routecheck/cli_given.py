"""What `vet` and `window` are both given: their common options, and what those files hold."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from routecheck.units import length_m

if TYPE_CHECKING:
    from routecheck.api import Progress
    from routecheck.model.boat import Boat
    from routecheck.model.chart import ChartSet
    from routecheck.model.passage import Tide
    from routecheck.model.route import Route

_ZONE_HELP = "The clock to show, like +02:00; the same before and after summer time begins."
Command = Callable[..., Any]


def _length(_ctx: click.Context, _param: click.Parameter, value: str | None) -> float | None:
    if value is None:
        return None
    try:
        metres = length_m(value, what="the length")
    except ValueError as error:
        raise click.BadParameter(str(error)) from error
    if not metres > 0.0:
        raise click.BadParameter(f"{value!r} is not above zero")
    return metres


def instant(_ctx: click.Context, _param: click.Parameter, value: str | None) -> datetime | None:
    """A time with a zone, as UTC."""
    if value is None:
        return None
    try:
        when = datetime.fromisoformat(value)
    except ValueError as error:
        raise click.BadParameter(
            f"{value!r} is not a time; write it like 2027-05-14T07:30Z"
        ) from error
    if when.tzinfo is None:
        raise click.BadParameter(f"{value!r} has no time zone; end it with Z for UTC")
    from routecheck.model.clock import refuse_departure

    try:
        refuse_departure(when)
    except ValueError as error:
        raise click.BadParameter(f"{value!r}: {error}") from error
    return when.astimezone(UTC)


def _zone(_ctx: click.Context, _param: click.Parameter, value: str) -> tzinfo:
    """The clock on which times are shown: ``Z`` or like ``+02:00``."""
    if value in ("Z", "UTC"):
        return UTC
    found = re.fullmatch(r"([+-])(0[0-9]|1[0-4]):([0-5][0-9])", value)
    if found is None:
        raise click.BadParameter(f"{value!r} is no zone; write Z, or like +02:00")
    ahead = timedelta(hours=int(found.group(2)), minutes=int(found.group(3)))
    return timezone(-ahead if found.group(1) == "-" else ahead)


_FIRST = (
    click.argument("route_files", metavar="ROUTE...", nargs=-1, required=True, type=Path),
    click.option(
        "--charts",
        "chart_paths",
        metavar="PATH",
        multiple=True,
        required=True,
        type=Path,
        help="A chart file or a folder of them; may be given several times.",
    ),
    click.option(
        "--boat", "boat_file", required=True, type=Path, help="The boat's settings (TOML)."
    ),
    click.option(
        "--tide", "tide_file", type=Path, help="Heights of tide (TOML); without it, none."
    ),
)
_LAST = (
    click.option(
        "--cross-track",
        metavar="LENGTH",
        callback=_length,
        help="Half-width of the corridor, such as 0.1nmi, where the route states none.",
    ),
    click.option(
        "--region", type=click.Choice(["A", "B"]), help="IALA region, if charts state none."
    ),
    click.option(
        "--buoyage",
        "zones_file",
        type=Path,
        help="Your own zones of the direction of buoyage (GeoJSON).",
    ),
    click.option("--track", "tracks", is_flag=True, help="Take a GPX file's tracks as routes."),
    click.option("--zone", default="Z", callback=_zone, help=_ZONE_HELP),
    click.option(
        "--units", type=click.Choice(["metric", "feet"]), default="metric", show_default=True
    ),
    click.option("--out", type=Path, help="Folder for the reports.  [default: outputs]"),
)


def given_first(command: Command) -> Command:
    """Routes, charts, boat and tide, before what a command asks for itself."""
    return _with(command, _FIRST)


def given_last(command: Command) -> Command:
    """Corridor, buoyage and output, after what a command asks for itself."""
    return _with(command, _LAST)


def _with(command: Command, options: Sequence[Callable[[Command], Command]]) -> Command:
    for option in reversed(options):
        command = option(command)
    return command


@dataclass(frozen=True, kw_only=True)
class Given:
    """What the files hold that a command was given."""

    routes: tuple[Route, ...]
    boat: Boat
    tide: Tide | None
    charts: ChartSet


def read_given(
    route_files: Sequence[Path],
    chart_paths: Sequence[Path],
    boat_file: Path,
    *,
    tide_file: Path | None,
    zones_file: Path | None,
    tracks: bool,
    cross_track_m: float | None,
    region: str,
    progress: Progress | None,
) -> Given:
    """Read it all, of the charts what lies near the routes. Raises BadInput."""
    from routecheck.readers.gridprocess import warm_up_for

    warm_up_for(chart_paths)
    from routecheck.readers.route_file import read_routes
    from routecheck.readers.settings import read_boat, read_tide
    from routecheck.readers.zones import read_zones

    routes = tuple(route for file in route_files for route in read_routes(file, tracks=tracks))
    boat = read_boat(boat_file)
    tide = read_tide(tide_file) if tide_file else None
    zones = read_zones(zones_file) if zones_file else ()
    from routecheck.api import settings_for
    from routecheck.readers.folder import read_charts
    from routecheck.survey.neighbourhood import neighbourhood

    settings = settings_for(boat, cross_track_m=cross_track_m, region=region)
    near = neighbourhood(routes, settings)
    charts = read_charts(chart_paths, zones=zones, progress=progress, near=near)
    return Given(routes=routes, boat=boat, tide=tide, charts=charts)
