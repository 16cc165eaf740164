"""The command line: `routecheck vet`, `window`, `charts`, `checks`, `demo`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecheck import __version__
from routecheck.cli_given import given_first, given_last, instant, read_given
from routecheck.cli_porch import Door, one_line_errors, progress_bar, refuse, say
from routecheck.cli_window import window
from routecheck.model.errors import BadInput

if TYPE_CHECKING:
    from routecheck.api import Vetted
    from routecheck.model.chart import ChartSet

NOTHING_FOUND, HAZARDS, INCOMPLETE = 0, 1, 3
_EXIT_EPILOG = (
    "Exit codes: 0 no hazard found, or cautions only; 1 hazards; 3 something could not be "
    "assessed; 2 bad usage or bad input."
)


@click.group(
    cls=Door, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 90}
)
@click.version_option(__version__, prog_name="routecheck")
def main() -> None:
    """Vets a boat's route against open charts, and says what it could not judge.

    A planning aid only: no substitute for official, up-to-date charts and notices to
    mariners, local rules or a licensed person's judgement.
    """


@main.command(epilog=_EXIT_EPILOG)
@given_first
@click.option(
    "--depart", metavar="TIME", callback=instant, help="Departure, such as 2027-05-14T07:30Z."
)
@given_last
@click.option("--json", "as_json", is_flag=True, help="Print findings.json; no files unless --out.")
@click.option(
    "--explain",
    "mark",
    metavar="MARK",
    help="Print the whole reasoning about a mark instead: its name, key or number in the list.",
)
def vet(
    route_files: tuple[Path, ...],
    chart_paths: tuple[Path, ...],
    boat_file: Path,
    tide_file: Path | None,
    depart: datetime | None,
    cross_track: float | None,
    region: str | None,
    zones_file: Path | None,
    tracks: bool,
    zone: tzinfo,
    units: str,
    out: Path | None,
    as_json: bool,
    mark: str | None,
) -> None:
    """Vet each ROUTE (GPX, RTZ or GeoJSON) and write a map, a brief and the findings."""
    if mark is not None and as_json:
        raise click.UsageError("--explain prints text; leave out --json")
    with one_line_errors():
        vetted = _vet_files(
            route_files,
            chart_paths,
            boat_file,
            tide_file=tide_file,
            zones_file=zones_file,
            tracks=tracks,
            depart=depart,
            cross_track_m=cross_track,
            region=region or "",
        )
        told = _explained(vetted, mark, units) if mark is not None else ""
        quiet = as_json or mark is not None
        folder = out if out is not None else (None if quiet else Path("outputs"))
        written = _write(vetted, folder, units, zone) if folder is not None else ()
        if mark is not None:
            say(told.rstrip("\n"))
        else:
            _print(vetted, written, units, as_json, zone)
    sys.exit(_exit_code(vetted))


def _explained(vetted: list[Vetted], mark: str, units: str) -> str:
    from routecheck.writers.explanation import explanations, no_such_mark

    reports = [one.report for one in vetted]
    told = explanations(reports, mark, units=units)
    if not told:
        refuse(no_such_mark(reports, mark))
    return told


def _vet_files(
    route_files: Sequence[Path],
    chart_paths: Sequence[Path],
    boat_file: Path,
    *,
    tide_file: Path | None = None,
    zones_file: Path | None = None,
    tracks: bool = False,
    depart: datetime | None = None,
    cross_track_m: float | None = None,
    region: str = "",
) -> list[Vetted]:
    with progress_bar() as progress:
        given = read_given(
            route_files,
            chart_paths,
            boat_file,
            tide_file=tide_file,
            zones_file=zones_file,
            tracks=tracks,
            cross_track_m=cross_track_m,
            region=region,
            progress=progress,
        )
        from routecheck.api import vet as vet_route

        return [
            vet_route(
                route,
                given.charts,
                given.boat,
                tide=given.tide,
                depart=depart,
                cross_track_m=cross_track_m,
                region=region,
                progress=progress,
            )
            for route in given.routes
        ]


def _exit_code(vetted: list[Vetted]) -> int:
    verdicts = {one.report.verdict.value for one in vetted}
    if "hazards" in verdicts:
        return HAZARDS
    return INCOMPLETE if "incomplete" in verdicts else NOTHING_FOUND


def _write(vetted: list[Vetted], folder: Path, units: str, zone: tzinfo = UTC) -> tuple[Path, ...]:
    from routecheck.writers.brief import to_brief
    from routecheck.writers.files import slugs, write_outputs
    from routecheck.writers.findings_csv import to_findings_csv
    from routecheck.writers.findings_geojson import to_findings_geojson
    from routecheck.writers.findings_json import to_findings_json
    from routecheck.writers.map_html import to_map

    names = slugs([one.report.route.name for one in vetted])
    return write_outputs(
        folder,
        {
            name: {
                "map.html": to_map(one.report, one.picture(), units=units, zone=zone),
                "brief.html": to_brief(one.report, units=units, zone=zone),
                "findings.json": to_findings_json(one.report),
                "findings.geojson": to_findings_geojson(one.report),
                "findings.csv": to_findings_csv(one.report),
            }
            for name, one in zip(names, vetted, strict=True)
        },
    )


def _print(
    vetted: list[Vetted],
    written: Sequence[Path],
    units: str,
    as_json: bool,
    zone: tzinfo = UTC,
) -> None:
    if as_json:
        from routecheck.writers.findings_json import to_findings_json

        texts = [to_findings_json(one.report).rstrip("\n") for one in vetted]
        say(texts[0] if len(texts) == 1 else "[\n" + ",\n".join(texts) + "\n]")
        return
    from routecheck.writers.terminal import to_terminal

    colour = sys.stdout.isatty()
    for index, one in enumerate(vetted):
        text = to_terminal(one.report, units=units, colour=colour, zone=zone)
        say(text.rstrip("\n"))
        if written:
            say(f"Written: {written[index]}/map.html, brief.html, findings.*")
        if index + 1 < len(vetted):
            say()


@main.command(epilog="Exit codes: 0; 3 if anything was left unread; 2 bad usage or bad input.")
@click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=Path)
@click.option("--json", "as_json", is_flag=True, help="Print the same as JSON.")
@click.option(
    "--map", "with_map", is_flag=True, help="Write a map of what is charted, and how well."
)
@click.option("--out", type=Path, default=Path("outputs"), show_default=True, help="For the map.")
def charts(paths: tuple[Path, ...], as_json: bool, with_map: bool, out: Path) -> None:
    """List what charts cover: format, datum, scale or cell, quality, age, what was not read."""
    with one_line_errors(), progress_bar() as progress:
        from routecheck.readers.folder import read_charts
        from routecheck.writers.charts_table import to_charts_json, to_charts_table

        found = read_charts(paths, progress=progress)
        text = to_charts_json(found) if as_json else to_charts_table(found)
        written = _chart_map(paths, found, out) if with_map else None
    say(text.rstrip("\n"))
    if written is not None:
        say(f"Written: {written}/charts.html", err=as_json)
    sys.exit(INCOMPLETE if _left_unread(found) else NOTHING_FOUND)


def _chart_map(paths: Sequence[Path], found: ChartSet, out: Path) -> Path:
    from routecheck.survey.coverage import coverage
    from routecheck.writers.coverage_html import to_coverage_html
    from routecheck.writers.files import CHARTS_OUTPUTS, write_outputs

    title = ", ".join(path.resolve().name for path in paths[:3]) + (" …" if paths[3:] else "")
    page = to_coverage_html(found, coverage(found), title=title)
    (written,) = write_outputs(out, {"charts": {"charts.html": page}}, ours=CHARTS_OUTPUTS)
    return written


def _left_unread(found: ChartSet) -> bool:
    return any(one.looks_like_chart for one in found.unread)


@main.command()
@click.argument("name", metavar="[ID]", required=False)
@click.option("--markdown", is_flag=True, help="The whole catalogue as Markdown.")
def checks(name: str | None, markdown: bool) -> None:
    """The catalogue of checks, or the page of one."""
    from routecheck.checks import all_checks
    from routecheck.writers.catalogue import to_catalogue, to_check_list, to_check_page

    every = {check.name: check for check in all_checks()}
    if markdown:
        text = to_catalogue(every.values())
    elif name is None:
        text = to_check_list(every.values())
    elif name in every:
        text = to_check_page(every[name])
    else:
        refuse(f"there is no check {name!r}; `routecheck checks` lists them")
    say(text.rstrip("\n"))


@main.command()
@click.option("--out", type=Path, default=Path("outputs"), show_default=True)
@click.option("--units", type=click.Choice(["metric", "feet"]), default="metric", show_default=True)
def demo(out: Path, units: str) -> None:
    """Vet the sample routes against the sample charts, an invented archipelago."""
    with one_line_errors():
        samples = _samples()
        routes = sorted((samples / "routes").glob("*.gpx")) + sorted(
            (samples / "routes").glob("*.rtz")
        )
        vetted = _vet_files(
            routes,
            [samples / "charts"],
            samples / "boat.toml",
            tide_file=samples / "tide.toml",
        )
        written = _write(vetted, out, units)
        _print(vetted, written, units, as_json=False)


def _samples() -> Path:
    """The sample charts, beside the package in a checkout or in the folder that we are in."""
    for parent in (Path.cwd(), Path(__file__).resolve().parent.parent):
        if (parent / "sample_charts" / "boat.toml").is_file():
            return parent / "sample_charts"
    raise BadInput(
        file="sample_charts",
        wrong="there is no such folder here",
        do="run the demo in a checkout of routecheck",
    )


main.add_command(window)

if __name__ == "__main__":
    main()
