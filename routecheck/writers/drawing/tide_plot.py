"""The tide over the passage as inline SVG, with the boat's places drawn on it."""

from __future__ import annotations

from datetime import datetime, timedelta
from html import escape

import numpy as np

from routecheck.model.clockrow import ClockRow
from routecheck.model.finding import Report
from routecheck.model.heights import covered
from routecheck.model.tide import TideStation
from routecheck.model.tide_curve import Floats
from routecheck.nav.sun import CIVIL_DEG, sun_altitude_deg
from routecheck.writers.wording.lengths import Lengths

_WIDTH, _HEIGHT, _LEFT, _RIGHT, _TOP, _FOOT = 760, 210, 44, 10, 18, 34
_INK, _VIOLET = "#17141c", "#5c3a86"
_DASHES = ("", "6 3", "2 3")
_LONGEST = timedelta(days=6)
_ROOM = timedelta(hours=1.5)
_POINTS = 400


def to_tide_plot(report: Report, lengths: Lengths) -> str:
    """The picture; "" without a clock, or without a tide that changes."""
    rows = [row for row in report.clock if row.kind == "waypoint"]
    tide = report.tide
    if not rows or tide is None or not tide.varies:
        return ""
    first, last = rows[0].eta - rows[0].off - _ROOM, rows[-1].eta + rows[-1].off + _ROOM
    if last - first > _LONGEST:
        return ""
    named = dict.fromkeys(row.station for row in rows)
    stations = [s for s in tide.stations if s.name in named][: len(_DASHES)]
    times = np.linspace(first.timestamp(), last.timestamp(), _POINTS)
    curves = [_curve(station, times) for station in stations]
    shown = np.concatenate([heights[known] for heights, known in curves])
    if not len(shown):
        return ""
    frame = _Frame(first, last, float(shown.min()), float(shown.max()), lengths)
    return "".join(
        [
            f'<svg class="tide" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" '
            f'xmlns="http://www.w3.org/2000/svg" aria-label="Height of tide over the passage">',
            *_night(rows, times, frame),
            *frame.axes(report),
            *(
                part
                for number, (heights, known) in enumerate(curves)
                for part in _line(times, heights, known, frame, number)
            ),
            *_names(stations, frame),
            *_boat(report, rows, frame),
            "</svg>",
        ]
    )


def _curve(station: TideStation, times: Floats) -> tuple[Floats, np.ndarray]:
    source = station.source
    known = covered(source.spans_s, times, times)
    heights = np.zeros(len(times))
    if known.any():
        heights[known] = source.height_m(times[known])
    return heights, known


class _Frame:
    def __init__(
        self, first: datetime, last: datetime, low_m: float, high_m: float, lengths: Lengths
    ) -> None:
        self.first, self.last, self.lengths = first, last, lengths
        room = max(0.1 * (high_m - low_m), 0.1)
        self.low_m, self.high_m = min(0.0, low_m) - room, high_m + room

    def x(self, time: datetime | float) -> float:
        at = time.timestamp() if isinstance(time, datetime) else time
        share = (at - self.first.timestamp()) / (self.last - self.first).total_seconds()
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * share

    def y(self, height_m: float) -> float:
        share = (self.high_m - height_m) / (self.high_m - self.low_m)
        return _TOP + (_HEIGHT - _TOP - _FOOT) * share

    def axes(self, report: Report) -> list[str]:
        """Heights at the side, hours along the foot on the clock that is shown."""
        made = []
        span = self.lengths.of(self.high_m - self.low_m)
        step = next(s for s in (0.2, 0.5, 1, 2, 5, 10, 20, 100) if span / s <= 6)
        unit_m = 1.0 / self.lengths.of(1.0)
        count = int(np.floor(self.low_m / unit_m / step))
        while count * step * unit_m <= self.high_m:
            y = self.y(count * step * unit_m)
            if y <= _HEIGHT - _FOOT:
                made.append(
                    f'<path d="M{_LEFT} {y:.1f}H{_WIDTH - _RIGHT}" stroke="{_INK}" '
                    f'stroke-width="{1.0 if count == 0 else 0.3}"/>'
                    f'<text x="{_LEFT - 5}" y="{y + 3.5:.1f}" font-size="10" '
                    f'text-anchor="end">{count * step:g}</text>'
                )
            count += 1
        made.append(
            f'<text x="4" y="{_TOP - 6}" font-size="10">{self.lengths.unit} above '
            f"{escape(report.tide.datum if report.tide else '')}</text>"
        )
        hours = next(
            h for h in (1, 2, 3, 6, 12, 24) if (self.last - self.first) / timedelta(hours=h) <= 14
        )
        tick = self.first.astimezone(self.lengths.zone).replace(
            hour=0, minute=0, second=0, microsecond=0
        )
        while tick <= self.last:
            if tick >= self.first:
                text = f"{tick:%d %b}" if tick.hour == 0 else f"{tick:%H:%M}"
                made.append(
                    f'<path d="M{self.x(tick):.1f} {_HEIGHT - _FOOT}v4" stroke="{_INK}"/>'
                    f'<text x="{self.x(tick):.1f}" y="{_HEIGHT - _FOOT + 15}" font-size="10" '
                    f'text-anchor="middle">{text}</text>'
                )
            tick += timedelta(hours=hours)
        zone = report.clock[0].eta.astimezone(self.lengths.zone).strftime("%z")
        words = "UTC" if zone == "+0000" else f"UTC{zone[:3]}:{zone[3:]}"
        made.append(
            f'<text x="{_WIDTH - _RIGHT}" y="{_HEIGHT - 4}" font-size="10" '
            f'text-anchor="end">{words}; waypoints by number</text>'
        )
        return made


def _night(rows: list[ClockRow], times: Floats, frame: _Frame) -> list[str]:
    """Ground where the sun stands below civil twilight at the nearest waypoint in time."""
    etas = np.array([row.eta.timestamp() for row in rows])
    nearest = np.abs(times[:, None] - etas).argmin(axis=1)
    lon = np.array([row.lon_deg for row in rows])[nearest]
    lat = np.array([row.lat_deg for row in rows])[nearest]
    dark = sun_altitude_deg(lon, lat, times) < CIVIL_DEG
    cuts = np.flatnonzero(np.diff(dark.astype(int))) + 1
    made = []
    for first, last in zip([0, *cuts.tolist()], [*cuts.tolist(), len(dark)], strict=True):
        if dark[first]:
            a, b = frame.x(float(times[first])), frame.x(float(times[last - 1]))
            made.append(
                f'<rect x="{a:.1f}" y="{_TOP}" width="{b - a:.1f}" '
                f'height="{_HEIGHT - _TOP - _FOOT}" fill="#e4e0ea"><title>dark</title></rect>'
            )
    return made


def _line(
    times: Floats, heights: Floats, known: np.ndarray, frame: _Frame, number: int
) -> list[str]:
    cuts = np.flatnonzero(np.diff(known.astype(int))) + 1
    made = []
    for first, last in zip([0, *cuts.tolist()], [*cuts.tolist(), len(known)], strict=True):
        if known[first] and last - first > 1:
            points = "L".join(
                f"{frame.x(float(t)):.1f} {frame.y(float(h)):.1f}"
                for t, h in zip(times[first:last], heights[first:last], strict=True)
            )
            dashes = f' stroke-dasharray="{_DASHES[number]}"' if _DASHES[number] else ""
            made.append(
                f'<path d="M{points}" fill="none" stroke="{_VIOLET}" stroke-width="1.6"{dashes}/>'
            )
    return made


def _names(stations: list[TideStation], frame: _Frame) -> list[str]:
    del frame
    made = []
    for number, station in enumerate(stations):
        x = _LEFT + 130 + 200 * number
        dashes = f' stroke-dasharray="{_DASHES[number]}"' if _DASHES[number] else ""
        made.append(
            f'<path d="M{x} {_TOP - 9}h22" stroke="{_VIOLET}" stroke-width="1.6"{dashes}/>'
            f'<text x="{x + 26}" y="{_TOP - 6}" font-size="10">{escape(station.name[:28])}</text>'
        )
    return made


def _boat(report: Report, rows: list[ClockRow], frame: _Frame) -> list[str]:
    """The boat at each waypoint: a dot at its ETA, a bar for how far off that may be."""
    numbers = {(w.name, w.lon_deg, w.lat_deg): n for n, w in enumerate(report.route.waypoints, 1)}
    made = []
    last = -1e9
    for row in rows:
        if row.height_m is None:
            continue
        x, y = frame.x(row.eta), frame.y(row.height_m)
        made.append(
            f'<path d="M{frame.x(row.eta - row.off):.1f} {y:.1f}H{frame.x(row.eta + row.off):.1f}" '
            f'stroke="{_INK}" stroke-width="0.9"/>'
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{_INK}"/>'
        )
        if x - last > 13.0:
            number = numbers.get((row.name, row.lon_deg, row.lat_deg), "")
            made.append(
                f'<text x="{x:.1f}" y="{y - 7:.1f}" font-size="10" font-weight="700" '
                f'text-anchor="middle">{number}</text>'
            )
            last = x
    return made
