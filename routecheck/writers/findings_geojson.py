"""findings.geojson: one point a finding, for any program that shows GeoJSON (RFC 7946)."""

from __future__ import annotations

import json

from routecheck.model.finding import Finding, Report
from routecheck.writers.wording.lengths import Lengths
from routecheck.writers.wording.names import encodable
from routecheck.writers.wording.records import Record, finding_record
from routecheck.writers.wording.sums import sum_line


def _feature(finding: Finding) -> Record:
    record = finding_record(finding)
    lon, lat = record.pop("lon"), record.pop("lat")
    # Flat, since most programs show a property that is an object as a lump of text.
    sums, evidence = record.pop("sums"), record.pop("evidence")
    record["sum"] = encodable(sum_line(finding.sums, Lengths(minus="-")))
    record.update({f"sum_{key}": value for key, value in sums.items()})
    record["evidence"] = "; ".join(item["text"] for item in evidence)
    return {
        "type": "Feature",
        "id": record["key"],
        "geometry": {"type": "Point", "coordinates": [lon, lat]},
        "properties": record,
    }


def to_findings_geojson(report: Report) -> str:
    """The findings as a FeatureCollection; verdict and caution stand beside the features."""
    collection = {
        "type": "FeatureCollection",
        "name": encodable(report.route.name),
        "verdict": str(report.verdict),
        "caution": report.caution,
        "features": [_feature(finding) for finding in report.findings],
    }
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, indent=1) + "\n"
