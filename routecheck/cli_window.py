"""`routecheck window`: which departures hold, and what opens and closes them."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from routecheck.cli_porch import say
from routecheck.model.errors import BadInput
from routecheck.units import duration_s

if TYPE_CHECKING:
    from routecheck.model.window import Windows

OPEN, NONE_OPEN, NOT_ASSESSED = 0, 1, 3
_EPILOG = (
    "Exit codes: 0 some departure is open; 1 none is, or a danger holds whatever the departure; "
    "3 something could not be assessed; 2 bad usage or bad input."
)


ZONE_HELP = "The clock to show, like +02:00; the same before and after summer time begins."


@dataclass(frozen=True, kw_only=True)
class Porch:
    """What the command line's commands have in common."""

    instant: Callable[..., datetime | None]
    length: Callable[..., float | None]
    errors: Callable[[], AbstractContextManager[None]]
    progress: Callable[[], AbstractContextManager[Any]]


def _step(_ctx: click.Context, _param: click.Parameter, value: str) -> timedelta:
    try:
        seconds = duration_s(value, what="the step")
    except ValueError as error:
        raise click.BadParameter(str(error)) from error
    if not 1.0 <= seconds <= 30 * 86_400.0:
        raise click.BadParameter(f"{value!r} is not from a second to 30 days")
    return timedelta(seconds=seconds)


def zone_of(_ctx: click.Context, _param: click.Parameter, value: str) -> tzinfo:
    """The clock on which times are shown: ``Z`` or like ``+02:00``."""
    if value in ("Z", "UTC"):
        return UTC
    found = re.fullmatch(r"([+-])(0[0-9]|1[0-4]):([0-5][0-9])", value)
    if found is None:
        raise click.BadParameter(f"{value!r} is no zone; write Z, or like +02:00")
    ahead = timedelta(hours=int(found.group(2)), minutes=int(found.group(3)))
    return timezone(-ahead if found.group(1) == "-" else ahead)


def add_window(main: click.Group, porch: Porch) -> None:
    """Put the command on the command line."""

    @main.command(epilog=_EPILOG)
    @click.argument("route_files", metavar="ROUTE...", nargs=-1, required=True, type=Path)
    @click.option(
        "--charts",
        "chart_paths",
        metavar="PATH",
        multiple=True,
        required=True,
        type=Path,
        help="A chart file or a folder of them; may be given several times.",
    )
    @click.option(
        "--boat", "boat_file", required=True, type=Path, help="The boat's settings (TOML)."
    )
    @click.option(
        "--tide", "tide_file", type=Path, help="Heights of tide (TOML); without it, none."
    )
    @click.option(
        "--from",
        "start",
        metavar="TIME",
        required=True,
        callback=porch.instant,
        help="The first departure, such as 2027-05-14T06:00Z.",
    )
    @click.option(
        "--to",
        "end",
        metavar="TIME",
        required=True,
        callback=porch.instant,
        help="The last departure.",
    )
    @click.option(
        "--step",
        default="10 min",
        show_default=True,
        callback=_step,
        help="From one departure to the next; between two of them nothing is judged.",
    )
    @click.option(
        "--cross-track",
        metavar="LENGTH",
        callback=porch.length,
        help="Half-width of the corridor, such as 0.1nmi, where the route states none.",
    )
    @click.option(
        "--region", type=click.Choice(["A", "B"]), help="IALA region, if charts state none."
    )
    @click.option(
        "--buoyage",
        "zones_file",
        type=Path,
        help="Your own zones of the direction of buoyage (GeoJSON).",
    )
    @click.option("--track", "tracks", is_flag=True, help="Take a GPX file's tracks as routes.")
    @click.option("--zone", default="Z", callback=zone_of, help=ZONE_HELP)
    @click.option(
        "--units", type=click.Choice(["metric", "feet"]), default="metric", show_default=True
    )
    @click.option("--out", type=Path, help="Folder for the reports.  [default: outputs]")
    @click.option(
        "--json", "as_json", is_flag=True, help="Print windows.json; no files unless --out."
    )
    def window(**given: Any) -> None:
        """Find the departures of each ROUTE that hold: water, air, daylight, hours and rules.

        One survey, and a departure at every step from --from to --to is judged; windows.json,
        windows.ics and windows.html say what opens and closes them. What hangs on no clock, such
        as a shoal that no tide covers, is told first: no window knows of it.
        """
        with porch.errors():
            found = _windows(given, porch)
            folder = given["out"] if given["out"] is not None else None
            if folder is None and not given["as_json"]:
                folder = Path("outputs")
            written = _write(found, folder, given) if folder is not None else ()
            _print(found, written, given)
        sys.exit(_exit_code(found))


def _windows(given: dict[str, Any], porch: Porch) -> list[Windows]:
    from routecheck.api import departures
    from routecheck.readers.route_file import read_routes
    from routecheck.readers.settings import read_boat, read_tide
    from routecheck.readers.zones import read_zones

    try:
        departures(given["start"], given["end"], given["step"])
    except ValueError as error:
        raise BadInput(file="--from, --to, --step", wrong=str(error)) from None
    routes = [r for file in given["route_files"] for r in read_routes(file, tracks=given["tracks"])]
    boat = read_boat(given["boat_file"])
    tide = read_tide(given["tide_file"]) if given["tide_file"] else None
    zones = read_zones(given["zones_file"]) if given["zones_file"] else ()
    with porch.progress() as progress:
        from routecheck.api import settings_for
        from routecheck.api import window as scan_route
        from routecheck.readers.folder import read_charts
        from routecheck.survey.neighbourhood import neighbourhood

        settings = settings_for(
            boat, cross_track_m=given["cross_track"], region=given["region"] or ""
        )
        near = neighbourhood(routes, settings)
        charts = read_charts(given["chart_paths"], zones=zones, progress=progress, near=near)
        return [
            scan_route(
                route,
                charts,
                boat,
                start=given["start"],
                end=given["end"],
                step=given["step"],
                tide=tide,
                cross_track_m=given["cross_track"],
                region=given["region"] or "",
                progress=progress,
            )
            for route in routes
        ]


def _write(found: Sequence[Windows], folder: Path, given: dict[str, Any]) -> tuple[Path, ...]:
    from routecheck.writers.files import WINDOW_OUTPUTS, slugs, write_outputs
    from routecheck.writers.windows_html import to_windows_html
    from routecheck.writers.windows_ics import to_windows_ics
    from routecheck.writers.windows_json import to_windows_json

    units, zone = given["units"], given["zone"]
    names = slugs([one.route.name for one in found])
    return write_outputs(
        folder,
        {
            name: {
                "windows.html": to_windows_html(one, units=units, zone=zone),
                "windows.ics": to_windows_ics(one, units=units),
                "windows.json": to_windows_json(one),
            }
            for name, one in zip(names, found, strict=True)
        },
        ours=WINDOW_OUTPUTS,
    )


def _print(found: Sequence[Windows], written: Sequence[Path], given: dict[str, Any]) -> None:
    if given["as_json"]:
        from routecheck.writers.windows_json import to_windows_json

        texts = [to_windows_json(one).rstrip("\n") for one in found]
        say(texts[0] if len(texts) == 1 else "[\n" + ",\n".join(texts) + "\n]")
        return
    from routecheck.writers.windows_table import to_windows_table

    for index, one in enumerate(found):
        text = to_windows_table(one, units=given["units"], zone=given["zone"])
        say(text.rstrip("\n"))
        if written:
            say(f"Written: {written[index]}/windows.html, windows.ics, windows.json")
        if index + 1 < len(found):
            say()


def _exit_code(found: Sequence[Windows]) -> int:
    codes = [_code(one) for one in found]
    return next((code for code in (NONE_OPEN, NOT_ASSESSED) if code in codes), OPEN)


def _code(one: Windows) -> int:
    from routecheck.model.chart import Severity
    from routecheck.model.window import State

    if one.always_worst is Severity.DANGER:
        return NONE_OPEN
    if not one.windows:
        return NOT_ASSESSED if State.NOT_ASSESSED in one.states else NONE_OPEN
    return OPEN if one.always_worst is None else NOT_ASSESSED
