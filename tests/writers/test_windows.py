"""Departure windows on the terminal, as JSON, in a calendar and on a page."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

import jsonschema
import pytest

from routecheck.api import window
from routecheck.model.finding import CAUTION
from routecheck.model.route import Route
from routecheck.model.window import Windows
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.readers.settings import read_boat, read_tide
from routecheck.writers.windows_html import to_windows_html
from routecheck.writers.windows_ics import to_windows_ics
from routecheck.writers.windows_json import to_windows_json, windows_schema
from routecheck.writers.windows_table import to_windows_table

SAMPLES = Path(__file__).resolve().parents[2] / "sample_charts"
START = datetime(2027, 5, 19, tzinfo=UTC)
NASTY = 'Haven"; <script>alert(1)</script>\x1b[31m\r\nEND:VEVENT, \u202eback\\slash'


@cache
def scanned(hours: float = 48.0, name: str = "") -> Windows:
    folder = SAMPLES / "bar-harbour"
    (route,) = read_routes(folder / "into-the-haven.gpx")
    if name:
        route = renamed(route, name)
    return window(
        route,
        read_charts([folder]),
        read_boat(SAMPLES / "boat.toml"),
        start=START,
        end=START + timedelta(hours=hours),
        tide=read_tide(folder / "tide.toml"),
    )


def renamed(route: Route, name: str) -> Route:
    legs = [
        replace(leg, start=replace(leg.start, name=name), end=replace(leg.end, name=name))
        for leg in route.legs
    ]
    return replace(route, name=name, legs=tuple(legs))


def closed() -> Windows:
    """Nothing open: one hour at low water."""
    return window(
        read_routes(SAMPLES / "bar-harbour/into-the-haven.gpx")[0],
        read_charts([SAMPLES / "bar-harbour"]),
        read_boat(SAMPLES / "boat.toml"),
        start=START + timedelta(hours=5),
        end=START + timedelta(hours=6),
        tide=read_tide(SAMPLES / "bar-harbour/tide.toml"),
    )


def test_json_keeps_to_its_schema_and_is_the_same_each_time() -> None:
    text = to_windows_json(scanned())
    record = json.loads(text)
    jsonschema.Draft202012Validator(windows_schema()).validate(record)
    assert text == to_windows_json(scanned())
    assert len(record["departures"]) == 289
    assert len(record["windows"]) == len(scanned().windows) > 3
    jsonschema.Draft202012Validator(windows_schema()).validate(
        json.loads(to_windows_json(closed()))
    )


def test_states_in_json_are_those_of_the_windows() -> None:
    record = json.loads(to_windows_json(scanned()))
    for one in record["windows"]:
        inside = [d for d in record["departures"] if one["first"] <= d["depart"] <= one["last"]]
        assert {d["state"] for d in inside} <= {"open", "open with cautions"}
        assert one["best"] in {d["depart"] for d in inside}
        (best,) = [d for d in inside if d["depart"] == one["best"]]
        assert one["best_margin_m"] == min(best["margin_m"], best["air_m"])


def test_terminal_is_no_wider_than_asked_and_says_what_counts() -> None:
    for width in (40, 72, 100):
        text = to_windows_table(scanned(), width=width)
        assert max(map(len, text.splitlines())) <= width
    text = " ".join(to_windows_table(scanned(), width=100).split())
    assert "289 judged" in text
    assert "opens depth area charted at 0.6 m" in text
    assert "closes bridge Causeway Bridge overhead" in text
    assert "Between two departures at a step nothing was judged." in text
    assert CAUTION in text
    none = " ".join(to_windows_table(closed(), width=100).split())
    assert "No departure is open." in none
    assert "depth area charted at 0.6 m" in none


def test_the_clock_of_a_zone() -> None:
    west = timezone(timedelta(hours=-8))
    assert "2027-05-18 16:00 -08:00" in to_windows_table(scanned(), zone=west)
    assert "Wed 19 May" in to_windows_html(scanned(), zone=west)


def test_units() -> None:
    assert "needs 9.51 ft of water" in to_windows_table(scanned(), units="feet")
    for writer in (to_windows_table, to_windows_html, to_windows_ics):
        with pytest.raises(ValueError):
            writer(scanned(), units="furlongs")


def test_calendar_lines_and_events() -> None:
    """RFC 5545, 3.1: lines end with CRLF and have at most 75 octets."""
    text = to_windows_ics(scanned())
    assert text.endswith("END:VCALENDAR\r\n")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    assert "\n" not in text.replace("\r\n", "")
    assert text.count("BEGIN:VEVENT") == text.count("END:VEVENT") == len(scanned().windows)
    starts = re.findall(r"DTSTART:(\S+)", text)
    assert starts == [w.first.strftime("%Y%m%dT%H%M%SZ") for w in scanned().windows]
    assert len(set(re.findall(r"UID:(\S+)", text))) == len(starts)
    assert CAUTION.split(",")[0] in text.replace("\r\n ", "")
    assert to_windows_ics(closed()).count("VEVENT") == 0


def test_page_holds_no_script_and_fetches_nothing() -> None:
    page = to_windows_html(scanned())
    assert "<script" not in page
    assert re.findall(r'(?:src|href)="', page) == []
    assert page.count('class="band" d="') >= 5
    assert CAUTION.split(",")[0] in page
    assert len(page) < 120_000


def test_nothing_from_a_file_can_steer_screen_page_or_calendar() -> None:
    nasty = scanned(6.0, NASTY)
    table = to_windows_table(nasty)
    assert not set(table) & {"\x1b", "\r", "\u202e"}
    page = to_windows_html(nasty)
    assert "<script" not in page
    assert "alert(1)" in page
    calendar = to_windows_ics(nasty)
    assert re.findall(r"(?m)^END:VEVENT", calendar) == ["END:VEVENT"] * len(nasty.windows)
    assert "\u202e" not in calendar
    json.loads(to_windows_json(nasty))
