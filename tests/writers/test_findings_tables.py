"""findings.geojson and findings.csv."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from routecheck.model.finding import CAUTION, Report
from routecheck.writers.findings_csv import COLUMNS, guarded, to_findings_csv
from routecheck.writers.findings_geojson import to_findings_geojson
from routecheck.writers.findings_json import to_findings_json
from tests.writers import reports

REPORTS = [reports.hazards, reports.empty, reports.hostile, reports.antimeridian]


def rows_of(report: Report) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(to_findings_csv(report), newline="")))


@pytest.mark.parametrize("make", REPORTS)
def test_features_are_the_findings_of_the_json(make: Callable[[], Report]) -> None:
    report = make()
    collection: dict[str, Any] = json.loads(to_findings_geojson(report))
    whole = json.loads(to_findings_json(report))
    assert collection["type"] == "FeatureCollection"
    assert collection["caution"] == CAUTION
    assert collection["verdict"] == whole["verdict"]
    assert len(collection["features"]) == len(whole["findings"])
    for feature, finding in zip(collection["features"], whole["findings"], strict=True):
        # RFC 7946, 3.1.1 and 3.1.2: longitude first, a Point's coordinates are one position.
        assert feature["geometry"]["type"] == "Point"
        assert feature["geometry"]["coordinates"] == [finding["lon"], finding["lat"]]
        assert feature["properties"]["number"] == finding["number"]
        for key, value in finding["sums"].items():
            assert feature["properties"][f"sum_{key}"] == value
        for value in feature["properties"].values():
            assert not isinstance(value, dict | list)


def test_csv_is_rfc_4180() -> None:
    # RFC 4180, 2.1: lines end in CRLF.
    text = to_findings_csv(reports.hostile())
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n")
    assert len(text.splitlines()) == 2 + len(reports.hostile().findings)


@pytest.mark.parametrize("make", REPORTS)
def test_csv_holds_verdict_caution_and_findings(make: Callable[[], Report]) -> None:
    report = make()
    verdict, *findings = rows_of(report)
    assert verdict["row"] == "verdict"
    assert verdict["title"] == report.verdict
    assert verdict["explanation"] == CAUTION
    whole = json.loads(to_findings_json(report))["findings"]
    assert len(findings) == len(whole)
    for row, finding in zip(findings, whole, strict=True):
        assert row["number"] == ("" if finding["number"] is None else str(finding["number"]))
        assert float(row["cross_m"]) == finding["cross_m"]
        assert float(row["along_nmi"]) == finding["along_nmi"]


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A1", " \t=1+1", "\r=1", "＝1", "|x", "%0A"],
)
def test_text_that_a_spreadsheet_would_run_is_guarded(text: str) -> None:
    # OWASP, CSV Injection: = + - @, tab and carriage return at the start of a cell.
    assert guarded(text).startswith("'")
    report = reports.hazards()
    bad = replace(report.findings[0], title=text, source=text, cls=text, settle=text)
    row = rows_of(replace(report, findings=(bad,)))[1]
    for column in ("title", "source", "class", "settle"):
        assert row[column].startswith("'")


def test_negative_numbers_stay_numbers() -> None:
    rows = rows_of(reports.hazards())
    assert float(rows[2]["cross_m"]) == -90.0
    assert float(rows[1]["margin_m"]) == -1.2


def test_columns_are_fixed() -> None:
    header = to_findings_csv(reports.empty()).splitlines()[0]
    assert header == ",".join(COLUMNS)


@pytest.mark.parametrize("make", REPORTS)
def test_same_report_same_bytes(make: Callable[[], Report]) -> None:
    first, second = to_findings_csv(make()), to_findings_csv(make())
    assert first.encode() == second.encode(), "bytes differ"
    first, second = to_findings_geojson(make()), to_findings_geojson(make())
    assert first.encode() == second.encode(), "bytes differ"
