"""The map's findings, marks, legs and waypoints, in words and unwrapped positions."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC, tzinfo
from typing import Any

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, LegSummary, MarkRow, Report
from routecheck.model.picture import TrackLine, WaterPicture
from routecheck.writers.drawing.bands import LAND_FILL, LAND_INK, STYLES, band_words
from routecheck.writers.drawing.mark_symbols import mark_symbol, side_tag
from routecheck.writers.wording.lengths import Lengths, Units, along, bearing, position
from routecheck.writers.wording.marks import mark_words
from routecheck.writers.wording.names import heading, plain
from routecheck.writers.wording.places import SEVERITY_WORDS, place_of
from routecheck.writers.wording.sums import sum_rows

Record = dict[str, Any]
_WEIGHT = {Severity.DANGER: 0, Severity.CAUTION: 1, Severity.NOT_ASSESSED: 2, Severity.NOTE: 3}
_MOST_EVIDENCE = 8


class _Ground:
    """Longitudes as the picture has them: those that run on along the route."""

    def __init__(self, picture: WaterPicture) -> None:
        self.tracks = {track.leg: track for track in picture.tracks}
        west, _, east, _ = picture.bounds_deg
        self.middle_deg = (west + east) / 2.0

    def near(self, lon_deg: float, leg: int) -> float:
        track = self.tracks.get(leg)
        about = self.middle_deg if track is None else float(track.lon_deg.mean())
        return round(lon_deg + 360.0 * float(np.round((about - lon_deg) / 360.0)), 6)

    def on_track(self, leg: int, along_m: float) -> list[float] | None:
        track = self.tracks.get(leg)
        if track is None:
            return None
        lat = float(np.interp(along_m, track.along_m, track.lat_deg))
        return [round(lat, 6), round(float(np.interp(along_m, track.along_m, track.lon_deg)), 6)]


def finding_words(finding: Finding, lengths: Lengths) -> Record:
    """One finding as a popup and a list show it."""
    evidence = [
        plain(lengths.prose(item.text), longest=200) for item in finding.evidence[:_MOST_EVIDENCE]
    ]
    if len(finding.evidence) > _MOST_EVIDENCE:
        more = len(finding.evidence) - _MOST_EVIDENCE
        evidence.append(f"and {more} more, all in findings.json")
    return {
        "number": finding.number,
        "shape": str(finding.severity),
        "word": SEVERITY_WORDS[finding.severity],
        "title": heading(plain(lengths.prose(finding.title), longest=300), finding.check),
        "place": plain(place_of(finding, lengths)),
        "position": position(finding.lon_deg, finding.lat_deg),
        "sums": [
            {"key": r.key, "label": r.label, "text": r.text, "total": r.total}
            for r in sum_rows(finding.sums, lengths)
        ],
        "explanation": plain(lengths.prose(finding.explanation), longest=1500),
        "evidence": evidence,
        "eta": lengths.clock(finding.eta),
        "source": plain(finding.source),
        "rests_on": plain(lengths.prose(finding.rests_on), longest=400),
        "settle": plain(lengths.prose(finding.settle), longest=400),
    }


def _finding(finding: Finding, ground: _Ground, lengths: Lengths) -> Record:
    return finding_words(finding, lengths) | {
        "weight": _WEIGHT[finding.severity],
        "lat": round(finding.lat_deg, 6),
        "lon": ground.near(finding.lon_deg, finding.leg),
    }


def _mark(
    mark: MarkRow, starts_m: dict[int, float], ground: _Ground, lengths: Lengths, index: int
) -> Record:
    tag, style = side_tag(mark)
    along_m = mark.route_along_m - starts_m.get(mark.leg, 0.0)
    words = mark_words(mark, lengths)
    rows = [
        ["Kind", words.look],
        ["Required", words.required],
        ["Off the track", words.off],
        ["Place", f"{words.place}, {words.eta}" if words.eta else words.place],
        ["Rule", words.rule],
        ["Judged by", plain(mark.judged_by, longest=300)],
        ["Source", plain(mark.source)],
    ]
    return {
        "name": words.name,
        "words": f"{words.passed}, {words.outcome}",
        "tag": tag,
        "style": style,
        "svg": mark_symbol(str(mark.kind), mark.colours, f"m{index}"),
        "lat": round(mark.lat_deg, 6),
        "lon": ground.near(mark.lon_deg, mark.leg),
        "track": ground.on_track(mark.leg, along_m),
        "rows": [row for row in rows if row[1]],
    }


def _leg(leg: LegSummary, ground: _Ground) -> Record | None:
    middle = ground.on_track(leg.number, leg.distance_m / 2.0)
    if middle is None:
        return None
    label = f"{leg.number}  {bearing(leg.course_deg)}  {along(leg.distance_m)}"
    ends = (ground.on_track(leg.number, 0.0), ground.on_track(leg.number, leg.distance_m))
    return {"label": label, "lat": middle[0], "lon": middle[1], "from": ends[0], "to": ends[1]}


def _waypoints(report: Report, picture: WaterPicture) -> list[Record]:
    ends: list[tuple[float, float]] = []
    for track in picture.tracks:
        if not ends:
            ends.append((float(track.lat_deg[0]), float(track.lon_deg[0])))
        ends.append((float(track.lat_deg[-1]), float(track.lon_deg[-1])))
    return [
        {
            "name": plain(point.name, longest=60) or f"waypoint {index}",
            "lat": round(lat, 6),
            "lon": round(lon, 6),
        }
        for index, (point, (lat, lon)) in enumerate(
            zip(report.route.waypoints, ends, strict=False), start=1
        )
    ]


def map_data(report: Report, picture: WaterPicture, units: Units, zone: tzinfo = UTC) -> Record:
    """Everything that the map's script draws beside the water."""
    lengths = Lengths(units=units, zone=zone)
    ground = _Ground(picture)
    starts_m = {leg.number: leg.start_along_m for leg in report.legs}
    return {
        "findings": [_finding(f, ground, lengths) for f in report.findings if f.number],
        "marks": [
            _mark(mark, starts_m, ground, lengths, index) for index, mark in enumerate(report.marks)
        ],
        "waypoints": _waypoints(report, picture),
        "legs": [made for leg in report.legs if (made := _leg(leg, ground)) is not None],
        "styles": [
            {
                "fill": style.fill,
                "ink": style.ink,
                "hatch": asdict(style.hatch),
                "words": band_words(style.band, lengths)[0].capitalize(),
            }
            for style in STYLES
        ],
        "land": {"fill": LAND_FILL, "ink": LAND_INK},
        "needed_m": report.boat.needed_m,
        "per_metre": lengths.of(1.0),
        "unit": lengths.unit,
    }


def track_lines(tracks: tuple[TrackLine, ...]) -> list[list[list[float]]]:
    """[latitude, longitude] of every leg's line."""
    return [
        [
            [round(float(lat), 6), round(float(lon), 6)]
            for lat, lon in zip(track.lat_deg, track.lon_deg, strict=True)
        ]
        for track in tracks
    ]
