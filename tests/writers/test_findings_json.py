"""findings.json: its schema, its bytes, its numbers."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import jsonschema
import pytest

from routecheck.model.finding import CAUTION, Report
from routecheck.units import METRES_PER_NMI
from routecheck.writers.findings_json import findings_schema, to_findings_json
from tests.writers import reports

REPORTS = [reports.hazards, reports.empty, reports.hostile, reports.antimeridian]


def refuse(constant: str) -> None:
    raise AssertionError(f"{constant} in the JSON")


def loaded(report: Report) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(to_findings_json(report), parse_constant=refuse)
    return read


def test_schema_is_sound_and_strict() -> None:
    schema = findings_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    for name, part in [("whole", schema), *schema["$defs"].items()]:
        assert part["additionalProperties"] is False, name
        assert sorted(part["required"]) == sorted(part["properties"]), name


@pytest.mark.parametrize("make", REPORTS)
def test_every_report_keeps_to_the_schema(make: Callable[[], Report]) -> None:
    jsonschema.Draft202012Validator(findings_schema()).validate(loaded(make()))


@pytest.mark.parametrize("path", [(), ("findings", 0), ("marks", 0), ("route",), ("legs", 0)])
def test_a_field_too_many_or_too_few_is_caught(path: tuple[str | int, ...]) -> None:
    validator = jsonschema.Draft202012Validator(findings_schema())
    whole: Any = loaded(reports.hazards())
    place = whole
    for step in path:
        place = place[step]
    place["surplus"] = 1
    assert not validator.is_valid(whole)
    del place["surplus"]
    assert validator.is_valid(whole)
    del place[next(iter(place))]
    assert not validator.is_valid(whole)


@pytest.mark.parametrize("make", REPORTS)
def test_same_report_same_bytes(make: Callable[[], Report]) -> None:
    first, second = to_findings_json(make()), to_findings_json(make())
    assert first.encode() == second.encode(), "bytes differ"


def test_order_of_sources_unread_and_assessed_has_no_meaning() -> None:
    report = reports.hazards()
    turned = replace(
        report,
        sources=report.sources[::-1],
        unread=report.unread[::-1],
        assessed=report.assessed[::-1],
    )
    assert to_findings_json(turned) == to_findings_json(report)


def test_distances_count_from_the_start_of_the_route() -> None:
    report = reports.hazards()
    for record, finding in zip(loaded(report)["findings"], report.findings, strict=True):
        assert record["along_nmi"] == round(finding.route_along_m / METRES_PER_NMI, 4)
        assert record["leg_along_nmi"] == round(finding.along_m / METRES_PER_NMI, 4)
    assert loaded(report)["findings"][1]["along_nmi"] > 1.5


def test_notes_come_last_without_a_number() -> None:
    numbers = [f["number"] for f in loaded(reports.hazards())["findings"]]
    assert numbers == [1, 2, 3, 4, 5, None]


def test_caution_verdict_and_sum() -> None:
    record = loaded(reports.hazards())
    assert record["caution"] == CAUTION
    assert record["verdict"] == "hazards"
    sums = record["findings"][0]["sums"]
    assert list(sums) == list(reports.depth_sums(1.8))
    assert sums["margin_m"] == -1.2


def test_longitudes_stay_on_the_globe() -> None:
    report = reports.antimeridian()
    beyond = replace(report.findings[0], lon_deg=180.02)
    record = loaded(replace(report, findings=(beyond,)))
    assert record["findings"][0]["lon"] == -179.98


def test_a_margin_just_below_zero_stays_below_zero() -> None:
    report = reports.hazards()
    close = replace(report.findings[0], sums={"margin_m": -0.0002})
    assert loaded(replace(report, findings=(close,)))["findings"][0]["sums"]["margin_m"] < 0.0


def test_not_a_number_is_refused() -> None:
    report = reports.hazards()
    bad = replace(report.findings[0], sums={"margin_m": math.inf})
    with pytest.raises(ValueError):
        to_findings_json(replace(report, findings=(bad,)))


def test_half_a_surrogate_pair_can_be_written() -> None:
    report = reports.hazards()
    bad = replace(report.findings[0], title="rock \udcff")
    to_findings_json(replace(report, findings=(bad,))).encode("utf-8")
