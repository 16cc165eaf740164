"""The tide's curve with the passage on it, and the clock in the brief."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

from routecheck.api import vet
from routecheck.model.finding import Report
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.readers.settings import read_boat, read_tide
from routecheck.writers.brief import to_brief
from routecheck.writers.drawing.tide_plot import to_tide_plot
from routecheck.writers.terminal import to_terminal
from routecheck.writers.wording.lengths import Lengths, Units

SAMPLES = Path(__file__).resolve().parents[2] / "sample_charts"
DEPART = datetime(2027, 5, 19, 14, 10, tzinfo=UTC)
WEST = timezone(timedelta(hours=-8))


@cache
def report(depart: datetime | None = DEPART) -> Report:
    folder = SAMPLES / "bar-harbour"
    (route,) = read_routes(folder / "into-the-haven.gpx")
    charts = read_charts([folder])
    tide = read_tide(folder / "tide.toml")
    return vet(route, charts, read_boat(SAMPLES / "boat.toml"), tide=tide, depart=depart).report


def test_a_dot_for_every_waypoint_on_the_curve() -> None:
    svg = to_tide_plot(report(), Lengths())
    assert svg.count("<circle") == 4
    assert "Ebbstone" in svg
    assert "m above LAT" in svg
    curve = re.search(r'd="M([\d. L]+)" fill="none"', svg)
    assert curve is not None
    points = [tuple(map(float, p.split())) for p in curve.group(1).split("L")]
    for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', svg):
        near = min(points, key=lambda p: abs(p[0] - float(x)))
        assert abs(near[1] - float(y)) < 1.0


def test_the_clock_that_is_shown() -> None:
    assert "14:00" in to_tide_plot(report(), Lengths())
    assert "UTC-08:00" in to_tide_plot(report(), Lengths(zone=WEST))
    assert "2027-05-19 06:10 -08:00" in to_terminal(report(), zone=WEST)
    page = to_brief(report(), zone=WEST)
    assert "2027-05-19 06:48 -08:00" in page
    assert "2027-05-19 14:48 UTC" in to_brief(report())


def test_brief_tells_places_tide_and_light() -> None:
    page = to_brief(report())
    for words in (
        "The passage's clock",
        "Causeway Bridge",
        "Ebbstone 2 and Ebbstone 1",
        "daylight, sun",
    ):
        assert words in page
    assert "The passage's clock" not in to_brief(report(None))


def test_no_picture_without_a_clock_or_a_tide_that_changes() -> None:
    assert to_tide_plot(report(None), Lengths()) == ""
    assert to_tide_plot(replace(report(), tide=None), Lengths()) == ""


def test_names_are_escaped() -> None:
    rows = tuple(replace(r, station="<b>&") for r in report().clock)
    tide = report().tide
    assert tide is not None
    nasty = replace(tide, stations=(replace(tide.stations[0], name="<b>&"),))
    svg = to_tide_plot(replace(report(), clock=rows, tide=nasty), Lengths(units=Units.FEET))
    assert "<b>" not in svg
    assert "&lt;b&gt;&amp;" in svg
    assert "ft above LAT" in svg
