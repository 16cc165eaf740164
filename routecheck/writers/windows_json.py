"""windows.json: departure windows for programs. The same input gives the same bytes."""

from __future__ import annotations

import json
from typing import Any

from routecheck.model.window import Bar, Window, Windows
from routecheck.writers.wording.names import encodable
from routecheck.writers.wording.records import (
    Record,
    boat_record,
    finding_record,
    latitude,
    longitude,
    miles,
    moment,
    rounded,
    route_record,
)

SCHEMA = 1


def to_windows_json(windows: Windows) -> str:
    """The windows as JSON, always in metres, nautical miles, degrees and UTC.

    Raises ValueError on a number that is not finite. `windows_schema` describes the shape.
    """
    record: Record = {
        "schema": SCHEMA,
        "caution": windows.caution,
        "route": route_record(windows.route, windows.distance_m),
        "boat": boat_record(windows.boat),
        "from": moment(windows.departs[0]),
        "to": moment(windows.departs[-1]),
        "step_s": rounded(windows.step_s, 3),
        "duration_s": rounded(windows.duration_s, 1),
        "assumptions": [encodable(text) for text in windows.assumptions],
        "windows": [_window(window) for window in windows.windows],
        "closed": [_bar(bar) for bar in windows.closed],
        "always_worst": None if windows.always_worst is None else windows.always_worst.value,
        "always_cautions": windows.always_cautions,
        "always": [finding_record(finding) for finding in windows.always],
        "departures": _departures(windows),
    }
    return json.dumps(record, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _departures(windows: Windows) -> list[Record]:
    made = []
    for index, depart in enumerate(windows.departs):
        margin, air = windows.margin_m, windows.air_m
        made.append(
            {
                "depart": moment(depart),
                "state": windows.states[index].value,
                "margin_m": None if margin is None else rounded(float(margin[index]), 3),
                "air_m": None if air is None else rounded(float(air[index]), 3),
            }
        )
    return made


def _window(window: Window) -> Record:
    return {
        "first": moment(window.first),
        "last": moment(window.last),
        "best": moment(window.best),
        "best_margin_m": rounded(window.best_margin_m, 3),
        "cautions": [encodable(text) for text in window.cautions],
        "opens": [_bar(bar) for bar in window.opens],
        "closes": [_bar(bar) for bar in window.closes],
    }


def _bar(bar: Bar) -> Record:
    finding = bar.finding
    return {
        "depart": moment(bar.depart),
        "check": finding.check,
        "severity": finding.severity.value,
        "title": encodable(finding.title),
        "leg": finding.leg,
        "along_nmi": miles(finding.route_along_m),
        "lon": longitude(finding.lon_deg),
        "lat": latitude(finding.lat_deg),
        "eta": moment(finding.eta),
        "margin_m": rounded(bar.margin_m, 3),
    }


def windows_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) that every windows.json keeps to."""
    from importlib.resources import files

    text = files("routecheck.writers").joinpath("windows.schema.json").read_text("utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
