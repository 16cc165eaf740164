"""Departure windows on the terminal, as JSON, in a calendar and on a page."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from routecheck.api import window
from routecheck.model.chart import Severity
from routecheck.model.finding import CAUTION
from routecheck.model.route import Route
from routecheck.model.window import Windows
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.readers.settings import read_boat, read_tide
from routecheck.writers.drawing.bands import Band
from routecheck.writers.drawing.window_plot import bands_of_picture
from routecheck.writers.windows_html import to_windows_html
from routecheck.writers.windows_ics import to_windows_ics
from routecheck.writers.windows_json import to_windows_json, windows_schema
from routecheck.writers.windows_table import to_windows_table
from routecheck.writers.wording.lengths import Lengths

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
    assert "A window begins and ends with a departure that was judged; between two" in text
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


def hazardous() -> Windows:
    """A route over shoals, with a constant tide: dangers whatever the departure."""
    return window(
        read_routes(SAMPLES / "routes/over-a-shoal.gpx")[0],
        read_charts([SAMPLES / "charts"]),
        read_boat(SAMPLES / "boat.toml"),
        start=START + timedelta(hours=14),
        end=START + timedelta(hours=15),
        tide=read_tide(SAMPLES / "tide.toml"),
    )


def test_a_danger_at_any_time_stands_before_every_window() -> None:
    """Found 2026-11-25: a route that `vet` calls hazards had "7 open" as its first line, and its
    calendar said "Departure open" without a word of the danger."""
    found = hazardous()
    assert len(found.windows) == 1
    assert found.always_worst is Severity.DANGER
    table = " ".join(to_windows_table(found, width=100).split())
    head = table.index("No departure is without danger: 5 dangers hold whatever the departure.")
    assert head < table.index("danger: depth area Anvil Patch") < table.index("1. 2027-05-19")
    assert "judged by the clock alone: 7 open" in table
    page = to_windows_html(found)
    assert page.index("No departure without danger") < page.index("<table")
    assert "When a departure is open" not in page
    calendar = to_windows_ics(found).replace("\r\n ", "")
    assert re.findall(r"(?m)^SUMMARY:(.*)\r$", calendar) == [
        "No departure without danger: Over a shoal"
    ]
    record = json.loads(to_windows_json(found))
    assert record["always_worst"] == "danger"
    jsonschema.Draft202012Validator(windows_schema()).validate(record)


def test_what_is_not_assessed_at_any_time_stands_before_every_window() -> None:
    found = scanned()
    blind = replace(hazardous().always[0], severity=Severity.NOT_ASSESSED)
    found = replace(found, always=(blind,), always_cautions=2)
    table = " ".join(to_windows_table(found, width=100).split())
    assert table.index("Whatever the departure, something was not assessed.") < table.index("1. 20")
    assert "2 cautions at any time" in table
    assert "windows, not all assessed" in to_windows_html(found)
    assert "Departure open\\, not all assessed" in to_windows_ics(found).replace("\r\n ", "")
    assert json.loads(to_windows_json(found))["always_worst"] == "not-assessed"
    assert json.loads(to_windows_json(scanned()))["always_worst"] is None


def events(text: str) -> list[dict[str, str]]:
    """The events of a calendar, read by the rules of RFC 5545: 3.1 (lines end with CRLF, have at
    most 75 octets, go on after a blank), 3.3.5 (times in UTC), 3.3.11 (escapes of text), 3.4 and
    3.6 (one calendar of one component or more), 3.6.1 (what an event must have, and once)."""
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "") and "\r" not in text.replace("\r\n", "")
    lines = text[:-2].split("\r\n")
    assert all(0 < len(line.encode()) <= 75 for line in lines)
    whole: list[str] = []
    for line in lines:
        if line[0] == " ":
            whole[-1] += line[1:]
        else:
            whole.append(line)
    assert all(re.fullmatch(r"[A-Z-]+:[^\x00-\x08\x0a-\x1f\x7f]*", line) for line in whole)
    assert whole[0] == "BEGIN:VCALENDAR" and whole[-1] == "END:VCALENDAR"
    body = "\n".join(whole[1:-1]).split("\nBEGIN:VEVENT\n")
    head = dict(line.split(":", 1) for line in body[0].splitlines())
    assert head["VERSION"] == "2.0" and head["PRODID"]
    found = []
    for part in body[1:]:
        inner, end, after = part.partition("\nEND:VEVENT")
        assert end and not after.strip()
        pairs = [line.split(":", 1) for line in inner.splitlines()]
        made = dict((name, value) for name, value in pairs)
        assert len(made) == len(pairs) and {"UID", "DTSTAMP", "DTSTART"} <= set(made)
        for key in ("DTSTAMP", "DTSTART", "DTEND"):
            assert key not in made or datetime.strptime(made[key], "%Y%m%dT%H%M%SZ")
        assert made.get("DTEND", "9") > made["DTSTART"]
        for key in ("SUMMARY", "DESCRIPTION"):
            assert re.fullmatch(r"([^\\;,]|\\[\\;,nN])*", made[key])
        found.append(made)
    assert found and len({one["UID"] for one in found}) == len(found)
    return found


def test_a_calendar_by_its_rules() -> None:
    made = events(to_windows_ics(scanned()))
    windows = scanned().windows
    assert [one["DTSTART"] for one in made] == [f"{w.first:%Y%m%dT%H%M%SZ}" for w in windows]
    assert [one["DTEND"] for one in made] == [f"{w.last:%Y%m%dT%H%M%SZ}" for w in windows]
    assert all(CAUTION.split(",")[0] in one["DESCRIPTION"] for one in made)
    assert all("between two of them nothing was" in one["DESCRIPTION"] for one in made)
    (none,) = events(to_windows_ics(closed()))
    assert none["SUMMARY"] == "No departure open: Into the haven"
    assert "depth area charted at 0.6 m" in none["DESCRIPTION"]


def test_a_calendar_never_goes_beyond_what_was_judged() -> None:
    """Found 2026-11-25: the event of a single departure ran on for a step, into the closed one."""
    (first, *_) = scanned().windows
    alone = replace(scanned(), windows=(replace(first, last=first.first),))
    (made,) = events(to_windows_ics(alone))
    assert "DTEND" not in made
    between = replace(
        first,
        first=START + timedelta(seconds=0.25),
        last=START + timedelta(seconds=61.75),
    )
    (made,) = events(to_windows_ics(replace(scanned(), windows=(between,))))
    assert (made["DTSTART"], made["DTEND"]) == ("20270519T000001Z", "20270519T000101Z")


def test_the_picture_shows_where_a_bridge_is_too_low() -> None:
    """What bars by air is dark at the bridge, 2.37 nmi along, at the same departures, and nowhere
    else; what bars by water is at the sill."""
    found = scanned()
    picture = found.picture
    assert picture is not None and found.air_m is not None
    ((along_m, name),) = picture.overhead
    assert (name, round(along_m / 1852.0, 2)) == ("Causeway Bridge", 2.37)
    bridge = (picture.from_m <= along_m) & (along_m <= picture.to_m)
    short = picture.margin_m < 0.0
    assert ((found.air_m < 0.0) == short[:, bridge].all(axis=1)).all()
    assert (found.air_m < 0.0).any()
    sill = (picture.from_m < 1.98 * 1852.0) & (picture.to_m > 1.75 * 1852.0)
    assert not short[:, ~sill & ~bridge].any()
    bands = bands_of_picture(picture, Lengths())
    assert (bands[short] <= Band.SHORT).all()
    # The mast strikes only where the clearance wanted is used up as well.
    assert not picture.touches[:, bridge].any()
    page = to_windows_html(found)
    assert "<title>Causeway Bridge</title>" in page
    assert "the keel touches, or the mast strikes" in page


def test_the_ticks_of_a_long_scan_do_not_overlap() -> None:
    few = scanned(6.0)
    days = [START + timedelta(days=n) for n in range(400)]
    states, rows = (few.states[0],) * 400, np.zeros((400, 240))
    assert few.picture is not None
    picture = replace(few.picture, margin_m=rows, doubtful=rows > 0.0, touches=rows > 0.0)
    long = replace(
        few, departs=tuple(days), states=states, windows=(), barred={}, picture=picture,
        step_s=86_400.0,
    )  # fmt: skip
    page = to_windows_html(long)
    ticks = [
        float(y) for y in re.findall(r'y="([0-9.]+)" font-size="11" text-anchor="end" f', page)
    ]
    assert len(ticks) > 10
    assert min(b - a for a, b in itertools.pairwise(ticks)) > 12.0


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
    assert len(events(calendar)) == len(nasty.windows)
    assert "\u202e" not in calendar
    json.loads(to_windows_json(nasty))
