"""Departure time against distance along the track, coloured by margin, as inline SVG."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo
from html import escape

import numpy as np
from numpy.typing import NDArray

from routecheck.model.window import State, WindowPicture, Windows
from routecheck.units import METRES_PER_NMI
from routecheck.writers.drawing.bands import Band, steps_m
from routecheck.writers.drawing.profile import patterns
from routecheck.writers.wording.lengths import Lengths, zone_words

_WIDTH, _LEFT, _RIGHT, _TOP, _FOOT = 900, 92, 14, 74, 40
_STRIP, _THIN = 12, 13
_INK = "#17141c"
_MOST_HEIGHT, _LEAST_ROW = 960.0, 0.1
"""As tall as fits a printed page."""
_ROW = 5.0


def to_window_plot(windows: Windows, lengths: Lengths, zone: tzinfo = UTC) -> str:
    """The picture; "" without one. Later departures stand lower; the strip at the left says what
    each comes to."""
    picture = windows.picture
    if picture is None or not len(windows.departs):
        return ""
    rows = len(windows.departs)
    row = min(_ROW, max(_LEAST_ROW, _MOST_HEIGHT / rows))
    height = _TOP + rows * row + _FOOT
    bands = bands_of_picture(picture, lengths)
    length_m = float(picture.to_m[-1])
    left = _LEFT + _STRIP + 8 + _THIN * len(windows.barred)
    columns = _WIDTH - left - _RIGHT

    def x(along_m: float) -> float:
        return left + columns * along_m / length_m

    parts = [
        f'<svg class="plot" viewBox="0 0 {_WIDTH} {height:.0f}" role="img" '
        f'xmlns="http://www.w3.org/2000/svg" aria-label="Margin of water and air by time of '
        f'departure and distance along the route">',
        patterns(),
        *_cells(bands, picture, x, row),
        *_gaps(picture, x),
        *_strip(windows, row),
        *_reasons(windows, row),
        *_times(windows, row, zone),
        *_distances(picture, windows, x, row * rows),
        *_spans(picture, x),
        "</svg>",
    ]
    return "".join(parts)


def bands_of_picture(picture: WindowPicture, lengths: Lengths) -> NDArray[np.uint8]:
    """The band of each (departure, bin), by the same steps as the map's."""
    slim_m, fair_m = steps_m(lengths.units)
    margin = picture.margin_m
    bands = np.full(margin.shape, Band.AMPLE, dtype=np.uint8)
    bands[margin < fair_m] = Band.FAIR
    bands[margin < slim_m] = Band.SLIM
    bands[picture.doubtful] = Band.EXACT
    # What hangs too low does so over water of unknown depth, too.
    bands[:, ~picture.known] = Band.UNKNOWN
    bands[margin < 0.0] = Band.SHORT
    bands[picture.touches] = Band.TOUCHES
    return bands


def _cells(bands: NDArray[np.uint8], picture: WindowPicture, x: object, row: float) -> list[str]:
    """One path a band, of the rectangles of its runs; rows alike are one rectangle."""
    assert callable(x)
    edges = [x(float(m)) for m in (*picture.from_m, picture.to_m[-1])]
    paths: dict[int, list[str]] = {}
    changes = 1 + np.flatnonzero((bands[1:] != bands[:-1]).any(axis=1))
    starts = [0, *changes.tolist()]
    for start, stop in zip(starts, [*changes.tolist(), len(bands)], strict=True):
        line = bands[start]
        cuts = np.flatnonzero(np.diff(line)) + 1
        y, tall = _TOP + start * row, (stop - start) * row
        for first, last in zip([0, *cuts.tolist()], [*cuts.tolist(), len(line)], strict=True):
            wide = edges[last] - edges[first]
            paths.setdefault(int(line[first]), []).append(
                f"M{edges[first]:.1f} {y:.2f}h{wide:.1f}v{tall:.2f}h-{wide:.1f}z"
            )
    return [
        f'<path class="band" d="{"".join(runs)}" fill="url(#band{band})"/>'
        for band, runs in sorted(paths.items(), reverse=True)
    ]


def _gaps(picture: WindowPicture, x: object) -> list[str]:
    """A dashed line over what no chart covers, whatever the time."""
    assert callable(x)
    cuts = np.flatnonzero(np.diff(picture.gap.astype(int))) + 1
    marks = []
    for first, last in zip([0, *cuts.tolist()], [*cuts.tolist(), len(picture.gap)], strict=True):
        if picture.gap[first]:
            a, b = x(float(picture.from_m[first])), x(float(picture.to_m[last - 1]))
            marks.append(
                f'<path d="M{a:.1f} {_TOP - 5}H{b:.1f}" stroke="{_INK}" stroke-width="3" '
                f'stroke-dasharray="4 3"><title>part of the corridor is not covered</title></path>'
            )
    return marks


_STRIPS = {
    State.CLOSED: f'fill="{_INK}"',
    State.NOT_ASSESSED: 'fill="url(#band0)" stroke="#8d877c" stroke-width="0.5"',
    State.CAUTION: f'fill="#fff" stroke="{_INK}" stroke-width="0.8" stroke-dasharray="2 2"',
    State.OPEN: f'fill="#fff" stroke="{_INK}" stroke-width="0.8"',
}


def _strip(windows: Windows, row: float) -> list[str]:
    states = windows.states
    made, first = [], 0
    for index in range(1, len(states) + 1):
        if index == len(states) or states[index] is not states[first]:
            y, tall = _TOP + first * row, (index - first) * row
            made.append(
                f'<rect x="{_LEFT}" y="{y:.1f}" width="{_STRIP}" height="{tall:.1f}" '
                f"{_STRIPS[states[first]]}><title>{escape(states[first].value)}</title></rect>"
            )
            first = index
    return made


def _reasons(windows: Windows, row: float) -> list[str]:
    """A thin strip each for water, air, light and hours: dark where that bars the departure."""
    made = []
    for number, (word, barred) in enumerate(windows.barred.items()):
        x = _LEFT + _STRIP + 5 + _THIN * number
        middle = x + _THIN / 2 - 1
        made.append(
            f'<text x="{middle:.1f}" y="{_TOP - 14}" font-size="11" text-anchor="start" '
            f'transform="rotate(-55 {middle:.1f} {_TOP - 14})" fill="{_INK}">{escape(word)}</text>'
        )
        cuts = np.flatnonzero(np.diff(barred.astype(int))) + 1
        ends = zip([0, *cuts.tolist()], [*cuts.tolist(), len(barred)], strict=True)
        for first, last in ends:
            if barred[first]:
                made.append(
                    f'<rect x="{x}" y="{_TOP + first * row:.1f}" width="{_THIN - 4}" '
                    f'height="{(last - first) * row:.1f}" fill="{_INK}" fill-opacity="0.62">'
                    f"<title>barred by {escape(word)}</title></rect>"
                )
    return made


_TICK_HOURS = (1, 2, 3, 6, 12, *(24 * days for days in (1, 2, 7, 14, 28, 56, 10_000)))


def _times(windows: Windows, row: float, zone: tzinfo) -> list[str]:
    """Hours down the side, days in bold, the best departure of each window as a mark."""
    departs = windows.departs
    span = departs[-1] - departs[0]
    pixels = row * len(departs)
    hours = next(h for h in _TICK_HOURS if span / timedelta(hours=h) * 16.0 <= pixels)
    made = [
        f'<text x="{_LEFT - 7}" y="{_TOP - 14}" font-size="11" text-anchor="end" '
        f'fill="{_INK}">{zone_words(zone, departs[0])}</text>'
    ]

    def y(time: datetime) -> float:
        step = timedelta(seconds=windows.step_s)
        return _TOP + (time - departs[0]) / step * row

    local = departs[0].astimezone(zone)
    tick = local.replace(hour=0, minute=0, second=0, microsecond=0)
    while tick <= departs[-1]:
        if tick >= departs[0]:
            day = tick.hour == 0
            text = f"{tick:%a %d %b}" if day else f"{tick:%H:%M}"
            weight = 700 if day else 400
            made.append(
                f'<path d="M{_LEFT - 4} {y(tick):.1f}h4" stroke="{_INK}"/>'
                f'<text x="{_LEFT - 7}" y="{y(tick) + 4:.1f}" font-size="11" text-anchor="end" '
                f'font-weight="{weight}" fill="{_INK}">{text}</text>'
            )
        tick += timedelta(hours=hours)
    for window in windows.windows:
        middle = y(window.best) + row / 2.0
        made.append(
            f'<path d="M{_LEFT + 2} {middle - 4:.1f}l8 4l-8 4z" fill="{_INK}">'
            f"<title>best departure of this window</title></path>"
        )
    return made


def _spans(picture: WindowPicture, x: object) -> list[str]:
    """A gate over the ground where something hangs over the route."""
    assert callable(x)
    made = []
    for along_m, name in picture.overhead:
        at = x(along_m)
        made.append(
            f'<path d="M{at - 5:.1f} {_TOP - 1}v-7h10v7" fill="none" stroke="{_INK}" '
            f'stroke-width="1.6"><title>{escape(name[:60])}</title></path>'
        )
    return made


def _distances(picture: WindowPicture, windows: Windows, x: object, tall: float) -> list[str]:
    """Waypoints as lines with their numbers, miles along the foot."""
    assert callable(x)
    made = []
    last = -1e9
    for number, along_m in enumerate(picture.waypoints_m.tolist()):
        at = x(along_m)
        made.append(
            f'<path d="M{at:.1f} {_TOP}v{tall:.1f}" stroke="{_INK}" stroke-width="0.6" '
            f'stroke-opacity="0.55"/>'
        )
        if at - last >= 18.0:
            name = escape(windows.route.waypoints[number].name[:60])
            made.append(
                f'<text x="{at:.1f}" y="{_TOP - 10}" font-size="11" text-anchor="middle" '
                f'fill="{_INK}">{number + 1}<title>{name}</title></text>'
            )
            last = at
    miles = picture.waypoints_m[-1] / METRES_PER_NMI
    step = next(s for s in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1e9) if miles / s <= 10)
    count = int(miles / step + 1e-9)
    for number in range(count + 1):
        at = x(number * step * METRES_PER_NMI)
        made.append(
            f'<path d="M{at:.1f} {_TOP + tall:.1f}v4" stroke="{_INK}"/>'
            f'<text x="{at:.1f}" y="{_TOP + tall + 17:.1f}" font-size="11" '
            f'text-anchor="middle" fill="{_INK}">{number * step:g}</text>'
        )
    made.append(
        f'<text x="{(_LEFT + _WIDTH) / 2:.0f}" y="{_TOP + tall + 33:.1f}" font-size="11" '
        f'text-anchor="middle" fill="{_INK}">nautical miles along the route; waypoints by number '
        f"above</text>"
    )
    return made
