"""findings.json: the whole report for programs. The same input gives the same bytes."""

from __future__ import annotations

import json
from typing import Any

from routecheck.model.finding import Report
from routecheck.writers.wording.records import report_record


def to_findings_json(report: Report) -> str:
    """The report as JSON, always in metres, nautical miles, degrees and UTC.

    Raises ValueError on a number that is not finite. `findings_schema` describes the shape.
    """
    return json.dumps(report_record(report), ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def findings_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) that every findings.json keeps to."""
    from importlib.resources import files

    text = files("routecheck.writers").joinpath("findings.schema.json").read_text("utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded
