"""`routecheck window`: which departures hold, and what opens and closes them."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from routecheck.cli_given import given_first, given_last, instant, read_given
from routecheck.cli_porch import one_line_errors, progress_bar, say
from routecheck.model.errors import BadInput
from routecheck.units import duration_s

if TYPE_CHECKING:
    from routecheck.model.window import Windows

OPEN, NONE_OPEN, NOT_ASSESSED = 0, 1, 3
_EPILOG = (
    "Exit codes: 0 some departure is open; 1 none is, or a danger holds whatever the departure; "
    "3 something could not be assessed; 2 bad usage or bad input."
)


def _step(_ctx: click.Context, _param: click.Parameter, value: str) -> timedelta:
    try:
        seconds = duration_s(value, what="the step")
    except ValueError as error:
        raise click.BadParameter(str(error)) from error
    if not 1.0 <= seconds <= 30 * 86_400.0:
        raise click.BadParameter(f"{value!r} is not from a second to 30 days")
    return timedelta(seconds=seconds)


@click.command(epilog=_EPILOG)
@given_first
@click.option(
    "--from",
    "start",
    metavar="TIME",
    required=True,
    callback=instant,
    help="The first departure, such as 2027-05-14T06:00Z.",
)
@click.option(
    "--to",
    "end",
    metavar="TIME",
    required=True,
    callback=instant,
    help="The last departure.",
)
@click.option(
    "--step",
    default="10 min",
    show_default=True,
    callback=_step,
    help="From one departure to the next; between two of them nothing is judged.",
)
@given_last
@click.option("--json", "as_json", is_flag=True, help="Print windows.json; no files unless --out.")
def window(**given: Any) -> None:
    """Find the departures of each ROUTE that hold: water, air, daylight, hours and rules.

    One survey, and a departure at every step from --from to --to is judged; windows.json,
    windows.ics and windows.html say what opens and closes them. What hangs on no clock, such
    as a shoal that no tide covers, is told first: no window knows of it.
    """
    with one_line_errors():
        found = _windows(given)
        folder = given["out"]
        if folder is None and not given["as_json"]:
            folder = Path("outputs")
        written = _write(found, folder, given) if folder is not None else ()
        _print(found, written, given)
    sys.exit(_exit_code(found))


def _windows(given: dict[str, Any]) -> list[Windows]:
    from routecheck.api import departures

    try:
        departures(given["start"], given["end"], given["step"])
    except ValueError as error:
        raise BadInput(file="--from, --to, --step", wrong=str(error)) from None
    region = given["region"] or ""
    with progress_bar() as progress:
        read = read_given(
            given["route_files"],
            given["chart_paths"],
            given["boat_file"],
            tide_file=given["tide_file"],
            zones_file=given["zones_file"],
            tracks=given["tracks"],
            cross_track_m=given["cross_track"],
            region=region,
            progress=progress,
        )
        from routecheck.api import window as scan_route

        return [
            scan_route(
                route,
                read.charts,
                read.boat,
                start=given["start"],
                end=given["end"],
                step=given["step"],
                tide=read.tide,
                cross_track_m=given["cross_track"],
                region=region,
                progress=progress,
            )
            for route in read.routes
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
