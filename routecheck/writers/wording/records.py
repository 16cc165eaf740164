"""A report as plain records: the shape of findings.json, rounded so that equal is equal.

Degrees to 7 decimals (a centimetre), metres to 3, nautical miles to 4 (19 cm).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from routecheck.model.boat import Boat
from routecheck.model.chart import Unread
from routecheck.model.clockrow import ClockRow
from routecheck.model.finding import (
    Assessed,
    Evidence,
    Finding,
    GroupVerdict,
    LegSummary,
    MarkRow,
    Report,
)
from routecheck.model.route import Route
from routecheck.model.source import Source
from routecheck.units import METRES_PER_NMI
from routecheck.writers.wording.names import encodable

Record = dict[str, Any]
SCHEMA = 1


def rounded(value: float | None, decimals: int) -> float | None:
    """Rounded, without a negative nought. A small negative number keeps its sign."""
    if value is None:
        return None
    near = round(float(value), decimals)
    if near == 0.0:
        return float(-(10.0**-decimals)) if value < -1e-9 else 0.0
    return near


def longitude(lon_deg: float) -> float:
    """Longitude in [-180, 180), 7 decimals."""
    wrapped = round((float(lon_deg) + 180.0) % 360.0 - 180.0, 7)
    return -180.0 if wrapped >= 180.0 else wrapped + 0.0


def latitude(lat_deg: float) -> float:
    """Latitude, 7 decimals."""
    return round(float(lat_deg), 7) + 0.0


def miles(distance_m: float) -> float:
    """Nautical miles, 4 decimals."""
    return round(distance_m / METRES_PER_NMI, 4) + 0.0


def moment(time: datetime | None) -> str | None:
    """ISO 8601 in UTC, to the second."""
    return None if time is None else time.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def sum_record(sums: Mapping[str, float | str]) -> Record:
    """The numbers of a sum, in the order in which they are added up."""
    made: Record = {}
    for key, value in sums.items():
        if isinstance(value, str):
            made[encodable(key)] = encodable(value)
        else:
            made[encodable(key)] = rounded(value, 3 if key.endswith("_m") else 6)
    return made


def evidence_record(evidence: Evidence) -> Record:
    """One piece of evidence."""
    at = evidence.lon_deg is not None and evidence.lat_deg is not None
    return {
        "object": encodable(evidence.key),
        "class": encodable(evidence.cls),
        "text": encodable(evidence.text),
        "severity": None if evidence.severity is None else str(evidence.severity),
        "charted_depth_m": rounded(evidence.charted_depth_m, 3),
        "lon": longitude(evidence.lon_deg or 0.0) if at else None,
        "lat": latitude(evidence.lat_deg or 0.0) if at else None,
        "leg_along_nmi": None if evidence.along_m is None else miles(evidence.along_m),
        "cross_m": rounded(evidence.cross_m, 3),
        "source": encodable(evidence.source),
    }


def finding_record(finding: Finding) -> Record:
    """One finding. `number` is null for a note."""
    return {
        "key": encodable(finding.key),
        "number": finding.number or None,
        "check": finding.check,
        "severity": str(finding.severity),
        "title": encodable(finding.title),
        "explanation": encodable(finding.explanation),
        "object": encodable(finding.object_key),
        "class": encodable(finding.cls),
        "leg": finding.leg,
        "along_nmi": miles(finding.route_along_m),
        "leg_along_nmi": miles(finding.along_m),
        "leg_along_to_nmi": None if finding.along_to_m is None else miles(finding.along_to_m),
        "cross_m": rounded(finding.cross_m, 3),
        "lon": longitude(finding.lon_deg),
        "lat": latitude(finding.lat_deg),
        "eta": moment(finding.eta),
        "sums": sum_record(finding.sums),
        "evidence": [evidence_record(e) for e in finding.evidence],
        "source": encodable(finding.source),
        "rests_on": encodable(finding.rests_on),
        "settle": encodable(finding.settle),
    }


def group_record(group: GroupVerdict) -> Record:
    """One of the lines beside the verdict."""
    return {"outcome": group.outcome, "count": group.count, "settle": encodable(group.settle)}


def source_record(source: Source) -> Record:
    """One chart file."""
    return {
        "id": encodable(source.id),
        "file": encodable(source.file),
        "sha256": source.sha256,
        "kind": str(source.kind),
        "format": encodable(source.format),
        "datum": encodable(source.datum),
        "datum_from": encodable(source.datum_from),
        "datum_below_msl_m": rounded(source.datum_below_msl_m, 3),
        "depth_unit": encodable(source.depth_unit),
        "resolution_m": rounded(source.resolution_m, 3),
        "scale": rounded(source.scale, 3),
        "quality": encodable(source.quality.name),
        "edition": encodable(source.edition),
        "updates": source.updates,
        "issued": encodable(source.issued),
        "surveyed": source.surveyed,
    }


def unread_record(unread: Unread) -> Record:
    """One file that was not read."""
    return {
        "file": encodable(unread.file),
        "why": encodable(unread.why),
        "looks_like_chart": unread.looks_like_chart,
    }


def leg_record(leg: LegSummary) -> Record:
    """One leg."""
    return {
        "number": leg.number,
        "from": encodable(leg.from_name),
        "to": encodable(leg.to_name),
        "line": str(leg.line),
        "course_true_deg": rounded(leg.course_deg, 3),
        "course_magnetic_deg": rounded(leg.course_magnetic_deg, 3),
        "distance_nmi": miles(leg.distance_m),
        "start_along_nmi": miles(leg.start_along_m),
        "corridor_port_m": rounded(leg.port_m, 3),
        "corridor_starboard_m": rounded(leg.starboard_m, 3),
        "speed_kn": rounded(leg.speed_kn, 3),
        "eta": moment(leg.eta),
        "shoalest_depth_m": rounded(leg.shoalest_depth_m, 3),
        "least_margin_m": rounded(leg.least_margin_m, 3),
        "shoalest_source": encodable(leg.shoalest_source),
    }


def mark_record(mark: MarkRow, number: int) -> Record:
    """One pass of a mark; `number` in the mark list, from 1."""
    return {
        "number": number,
        "key": encodable(mark.key),
        "kind": str(mark.kind),
        "name": encodable(mark.name),
        "colours": [encodable(colour) for colour in mark.colours],
        "lon": longitude(mark.lon_deg),
        "lat": latitude(mark.lat_deg),
        "leg": mark.leg,
        "along_nmi": miles(mark.route_along_m),
        "distance_m": rounded(mark.distance_m, 3),
        "side_passed": mark.side_passed,
        "side_required": mark.side_required,
        "outcome": str(mark.outcome),
        "judged_by": encodable(mark.judged_by),
        "rule": encodable(mark.rule),
        "sure": mark.sure,
        "top_mark": encodable(mark.top_mark),
        "light": encodable(mark.light),
        "eta": moment(mark.eta),
        "source": encodable(mark.source),
    }


def clock_record(row: ClockRow) -> Record:
    """One place of the passage's clock; heights are above the tide's datum."""
    return {
        "kind": row.kind,
        "name": encodable(row.name),
        "leg": row.leg,
        "along_nmi": miles(row.route_along_m),
        "lon": longitude(row.lon_deg),
        "lat": latitude(row.lat_deg),
        "eta": moment(row.eta),
        "off_s": rounded(row.off.total_seconds(), 0),
        "height_of_tide_m": rounded(row.height_m, 3),
        "lowest_height_m": rounded(row.lowest_m, 3),
        "highest_height_m": rounded(row.highest_m, 3),
        "station": encodable(row.station),
        "least_margin_m": rounded(row.margin_m, 3),
        "sun_altitude_deg": rounded(row.sun_altitude_deg, 1),
        "light": row.light,
    }


def assessed_record(cell: Assessed) -> Record:
    """One check on one leg."""
    return {
        "check": cell.check,
        "leg": cell.leg,
        "outcome": str(cell.outcome),
        "why": encodable(cell.why),
        "not_seen_m2": rounded(cell.not_seen_m2, 1),
    }


def route_record(route: Route, distance_m: float) -> Record:
    """The route as it was read."""
    return {
        "name": encodable(route.name),
        "file": encodable(route.file),
        "distance_nmi": miles(distance_m),
        "waypoints": [
            {
                "name": encodable(point.name),
                "lon": longitude(point.lon_deg),
                "lat": latitude(point.lat_deg),
                "turn_radius_m": rounded(point.turn_radius_m, 3),
            }
            for point in route.waypoints
        ],
        "remarks": [encodable(remark) for remark in route.remarks],
    }


def boat_record(boat: Boat) -> Record:
    """The boat with its margins."""
    margins = boat.margins
    return {
        "name": encodable(boat.name),
        "draught_m": rounded(boat.draught_m, 3),
        "air_draught_m": rounded(boat.air_draught_m, 3),
        "length_m": rounded(boat.length_m, 3),
        "beam_m": rounded(boat.beam_m, 3),
        "speed_kn": rounded(boat.speed_kn, 3),
        "needed_m": rounded(boat.needed_m, 3),
        "margins": {name: rounded(getattr(margins, name), 3) for name in sorted(margins.__slots__)},
    }


def report_record(report: Report) -> Record:
    """The whole report, in the shape of findings.json."""
    distance_m = sum(leg.distance_m for leg in report.legs)
    by_file = sorted(report.unread, key=lambda each: (each.file, each.why))
    by_leg = sorted(report.assessed, key=lambda cell: (cell.leg, cell.check))
    return {
        "schema": SCHEMA,
        "verdict": str(report.verdict),
        "caution": report.caution,
        "route": route_record(report.route, distance_m),
        "boat": boat_record(report.boat),
        "depart": moment(report.depart),
        "tide": encodable(report.tide_text),
        "assumptions": [encodable(text) for text in report.assumptions],
        "sources": [source_record(s) for s in sorted(report.sources, key=lambda s: s.id)],
        "unread": [unread_record(each) for each in by_file],
        "verdict_by": {group.group: group_record(group) for group in report.groups},
        "findings": [finding_record(finding) for finding in report.findings],
        "assessed": [assessed_record(cell) for cell in by_leg],
        "legs": [leg_record(leg) for leg in report.legs],
        "marks": [mark_record(mark, n) for n, mark in enumerate(report.marks, start=1)],
        "clock": [clock_record(row) for row in report.clock],
    }
