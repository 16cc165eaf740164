"""findings.csv: one row a finding, for a spreadsheet.

A spreadsheet takes a cell that begins with one of a few signs for a formula, and runs it; such
text from a file gets an apostrophe in front (OWASP, "CSV Injection"). Numbers are left alone.
"""

from __future__ import annotations

import csv
import io

from routecheck.model.finding import Finding, Report
from routecheck.writers.wording.lengths import Lengths
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.records import finding_record
from routecheck.writers.wording.sums import sum_line

COLUMNS = (
    "row", "number", "severity", "check", "title", "leg", "along_nmi", "leg_along_nmi", "cross_m",
    "lon", "lat", "eta", "charted_depth_m", "height_of_tide_m", "available_m", "needed_m",
    "margin_m", "uncertainty_m", "sum", "explanation", "evidence", "object", "class", "source",
    "rests_on", "settle",
)  # fmt: skip
_STARTS_A_FORMULA = tuple("=+-@＝＋－＠|%")
_LONGEST_CELL = 2000


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula, on one line.

    >>> guarded("=1+1"), guarded("Rock")
    ("'=1+1", 'Rock')
    """
    shown = plain(text, longest=_LONGEST_CELL)
    return "'" + shown if shown.startswith(_STARTS_A_FORMULA) else shown


def _row(finding: Finding) -> dict[str, str | float | int]:
    record = finding_record(finding)
    record["row"] = "finding"
    record["sum"] = sum_line(finding.sums, Lengths(minus="-"))
    record["evidence"] = "; ".join(item.text for item in finding.evidence)
    record |= {key: value for key, value in record["sums"].items() if key in COLUMNS}
    made: dict[str, str | float | int] = {}
    for column in COLUMNS:
        value = record.get(column)
        if value is None:
            made[column] = ""
        else:
            made[column] = guarded(value) if isinstance(value, str) else value
    return made


def to_findings_csv(report: Report) -> str:
    """The findings as comma-separated values (RFC 4180). The first row is the verdict, with the
    caution as its explanation, so that no file of findings goes without."""
    text = io.StringIO()
    writer = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerow(
        {
            "row": "verdict",
            "title": str(report.verdict),
            "explanation": report.caution,
            "object": guarded(report.route.name),
        }
    )
    for finding in report.findings:
        writer.writerow(_row(finding))
    return text.getvalue()
