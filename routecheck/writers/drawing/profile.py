"""The depth profile of a route as inline SVG, in the bands of the map, with the same numbers.

Nothing in it is a script or a style of its own; names from files are escaped.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, Report
from routecheck.model.view import Touch
from routecheck.units import METRES_PER_NMI
from routecheck.writers.drawing.bands import LAND_FILL, LAND_INK, STYLES, BandStyle
from routecheck.writers.drawing.seabed import Seabed, seabed
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.names import cut, plain

WIDTH, LEFT, RIGHT = 760, 44, 8
COLUMNS = WIDTH - LEFT - RIGHT
_BADGE, _ROWS = 19, 4
_DEPTH_HEIGHT = 170
_FOOT = 62
_INK = "#17141c"


@dataclass(frozen=True, kw_only=True)
class _Frame:
    length_m: float
    top: float
    top_m: float
    bottom_m: float

    def x(self, along_m: float) -> float:
        return LEFT + COLUMNS * min(1.0, max(0.0, along_m / self.length_m))

    def y(self, depth_m: float) -> float:
        share = (depth_m - self.top_m) / (self.bottom_m - self.top_m)
        return self.top + _DEPTH_HEIGHT * min(1.0, max(0.0, share))


def to_profile(report: Report, lengths: Lengths) -> str:
    """The profile as an SVG element; "" where the report holds no views."""
    if not report.views:
        return ""
    bed = seabed(report, COLUMNS, Units(lengths.units))
    rows = _rows(report, bed.length_m)
    used = max(rows.values(), default=-1) + 1
    needed_m = report.boat.needed_m
    known = bed.charted_depth_m[np.isfinite(bed.charted_depth_m)]
    shoalest_m = float(known.min()) if len(known) else 0.0
    highest_m = float(bed.height_of_tide_m.max())
    frame = _Frame(
        length_m=bed.length_m,
        top=8.0 + used * (_BADGE + 3),
        top_m=max(-1.5 * needed_m, min(0.0, shoalest_m, needed_m - highest_m - 1.0)),
        bottom_m=4.0 * needed_m,
    )
    height = frame.top + _DEPTH_HEIGHT + _FOOT
    parts = [
        f'<svg class="profile" viewBox="0 0 {WIDTH} {height:.0f}" role="img" '
        f'xmlns="http://www.w3.org/2000/svg" aria-label="Charted depth along the route">',
        patterns(),
        *_water(bed, frame),
        *_axes(frame, lengths),
        *_legs(report, frame),
        *_dangers(report, frame),
        *_boat(report, bed, frame, lengths),
        *_badges(report, rows, frame, bed),
        "</svg>",
    ]
    return "".join(parts)


def patterns() -> str:
    """The hatchings of all bands, as fills ``url(#band0)`` … for an SVG that stands in a page."""
    return f"<defs>{''.join(_pattern(style) for style in STYLES)}</defs>"


def _pattern(style: BandStyle) -> str:
    hatch = style.hatch
    size = hatch.step_px if hatch.kind != "query" else 14.0
    ground = f'<rect width="{size:g}" height="{size:g}" fill="{style.fill}"/>'
    stroke = f'stroke="{style.ink}" stroke-width="{hatch.width_px:g}"'
    if hatch.kind == "lines":
        turn = f' patternTransform="rotate({-hatch.angle_deg:g})"'
        marks = f'<path d="M0 {size / 2:g}H{size:g}" {stroke}/>'
    elif hatch.kind == "cross":
        turn = ' patternTransform="rotate(45)"'
        marks = f'<path d="M0 {size / 2:g}H{size:g}M{size / 2:g} 0V{size:g}" {stroke}/>'
    elif hatch.kind == "dots":
        turn = ""
        marks = f'<circle cx="{size / 2:g}" cy="{size / 2:g}" r="1" fill="{style.ink}"/>'
    elif hatch.kind == "query":
        turn = ""
        marks = (
            f'<text x="7" y="11" font-size="10" font-weight="700" text-anchor="middle" '
            f'font-family="Georgia, serif" fill="{style.ink}">?</text>'
        )
    else:
        turn = marks = ""
    return (
        f'<pattern id="band{int(style.band)}" width="{size:g}" height="{size:g}" '
        f'patternUnits="userSpaceOnUse"{turn}>{ground}{marks}</pattern>'
    )


def _runs(values: NDArray[Any]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(values)) + 1
    ends = [0, *edges.tolist(), len(values)]
    return list(pairwise(ends))


def _water(bed: Seabed, frame: _Frame) -> list[str]:
    base = frame.top + _DEPTH_HEIGHT
    parts = [
        f'<rect x="{LEFT}" y="{frame.top:g}" width="{COLUMNS}" height="{_DEPTH_HEIGHT}" '
        'fill="#ffffff"/>'
    ]
    known = np.isfinite(bed.charted_depth_m)
    for start, end in _runs(bed.bands.astype(int) * 2 + known):
        if not known[start]:
            continue
        points = [f"M{LEFT + start} {base:g}"]
        for from_, to in _runs(bed.charted_depth_m[start:end]):
            # What is deeper keeps a strip at the foot, so that it is told from what is not known.
            y = min(base - 3.0, frame.y(float(bed.charted_depth_m[start + from_])))
            points.append(f"V{y:.1f}H{LEFT + start + to}")
        path = "".join(points)
        parts.append(f'<path d="{path}V{base:g}Z" fill="url(#band{int(bed.bands[start])})"/>')
        parts.append(f'<path d="{path}" fill="none" stroke="{_INK}" stroke-width="1.1"/>')
    for start, end in _runs(bed.gap * 2 + known):
        if not bed.gap[start]:
            continue
        tall = 14 if known[start] else _DEPTH_HEIGHT
        parts.append(
            f'<rect x="{LEFT + start}" y="{frame.top:g}" width="{end - start}" height="{tall}" '
            f'fill="url(#band0)" stroke="{_INK}" stroke-width=".8" stroke-dasharray="3 2"/>'
        )
    for start, end in _runs(bed.solid):
        if bed.solid[start]:
            parts.append(
                f'<rect x="{LEFT + start}" y="{frame.top:g}" width="{max(2, end - start)}" '
                f'height="{_DEPTH_HEIGHT}" fill="{LAND_FILL}" stroke="{LAND_INK}"/>'
            )
    return parts


def _text(x: float, y: float, text: str, *, anchor: str = "start", weight: int = 400) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="10" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="{_INK}">{escape(text)}</text>'
    )


def _step(span: float, most: int) -> float:
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next((n * power for n in (1.0, 2.0, 5.0) if n * power >= rough), 10.0 * power)


def _axes(frame: _Frame, lengths: Lengths) -> list[str]:
    parts = []
    base = frame.top + _DEPTH_HEIGHT
    per_unit = 1.0 / lengths.of(1.0)
    step = _step(lengths.of(frame.bottom_m - frame.top_m), 6)
    value = math.ceil(lengths.of(frame.top_m) / step) * step
    while value <= lengths.of(frame.bottom_m) + 1e-9:
        y = frame.y(value * per_unit)
        parts.append(
            f'<path d="M{LEFT - 4} {y:.1f}H{LEFT}" stroke="{_INK}" stroke-width=".8"/>'
            + _text(LEFT - 6, y + 3.5, lengths.number(value, 0 if step >= 1 else 1), anchor="end")
        )
        value += step
    parts.append(_text(2, frame.top + _DEPTH_HEIGHT + 12, lengths.unit))
    miles = frame.length_m / METRES_PER_NMI
    step = _step(miles, 12)
    for index in range(int(miles / step) + 1):
        x = frame.x(index * step * METRES_PER_NMI)
        parts.append(f'<path d="M{x:.1f} {base:g}v4" stroke="{_INK}" stroke-width=".8"/>')
        if x < WIDTH - 40:
            label = f"{index * step:g}" + (" nmi" if index == 0 else "")
            parts.append(_text(x, base + 14, label, anchor="start" if index == 0 else "middle"))
    parts.append(
        f'<path d="M{LEFT} {frame.top:g}V{base:g}H{LEFT + COLUMNS}" fill="none" stroke="{_INK}"/>'
    )
    return parts


def _legs(report: Report, frame: _Frame) -> list[str]:
    parts, last_x = [], -1e9
    base = frame.top + _DEPTH_HEIGHT
    ends = [(view.start_along_m, view.leg.start.name) for view in report.views]
    final = report.views[-1]
    ends.append((final.start_along_m + final.length_m, final.leg.end.name))
    for index, (along_m, name) in enumerate(ends):
        x = frame.x(along_m)
        if 0 < index < len(ends) - 1:
            parts.append(
                f'<path d="M{x:.1f} {frame.top:g}V{base + 20:g}" stroke="{_INK}" '
                'stroke-width=".7" stroke-dasharray="1 3"/>'
            )
        last = index == len(ends) - 1
        if x - last_x < 64 or (not last and WIDTH - RIGHT - x < 64):
            continue
        last_x = x
        anchor = "start" if index == 0 else "end" if last else "middle"
        text = cut(plain(name) or f"waypoint {index + 1}", 14)
        parts.append(_text(x, base + 30, text, anchor=anchor, weight=700))
    return parts


def _dangers(report: Report, frame: _Frame) -> list[str]:
    parts = []
    for view in report.views:
        for met in view.dangers:
            if met.place.touch is not Touch.CORRIDOR:
                continue
            x = frame.x(view.start_along_m + met.place.along_m)
            depth_m = met.object.charted_depth_m
            y = frame.y(report.boat.touches_at_m if depth_m is None else depth_m)
            if depth_m is None:
                mark = f"M{x - 4:.1f} {y - 4:.1f}l8 8m0 -8l-8 8"
                parts.append(f'<path d="{mark}" stroke="{_INK}" stroke-width="2" fill="none"/>')
            elif depth_m < frame.bottom_m:
                foot = frame.top + _DEPTH_HEIGHT
                spike = f"M{x - 3:.1f} {foot:g}L{x:.1f} {y:.1f}L{x + 3:.1f} {foot:g}Z"
                parts.append(f'<path d="{spike}" fill="{_INK}"/>')
    return parts


def _boat(report: Report, bed: Seabed, frame: _Frame, lengths: Lengths) -> list[str]:
    """The depths that the boat needs and that it touches at, less the height of tide."""
    boat, tides_m = report.boat, bed.height_of_tide_m
    tide = ""
    if report.tide is not None:
        low, high = (lengths.exact(float(t)) for t in (tides_m.min(), tides_m.max()))
        tide = f", less {low} of tide" if low == high else f", less {low} to {high} of tide"
    parts = []
    # In words at the foot: beside the lines, ground and numbers would cross them.
    foot = frame.top + _DEPTH_HEIGHT + 50
    words_x = float(LEFT)
    for depth_m, words, width in (
        (boat.needed_m, f"needed {lengths.exact(boat.needed_m)}{tide}", 2.0),
        (boat.touches_at_m, f"the keel touches at {lengths.exact(boat.touches_at_m)}{tide}", 1.0),
    ):
        line = ""
        for start, end in _runs(tides_m):
            y = frame.y(depth_m - float(tides_m[start]))
            line += f"{'V' if line else f'M{LEFT} '}{y:.1f}H{LEFT + end}"
        dash = "" if width > 1 else ' stroke-dasharray="5 3"'
        parts.append(
            f'<path d="{line}" fill="none" stroke="#ffffff" stroke-width="{width + 2.4:g}"/>'
            f'<path d="{line}" fill="none" stroke="#00696f" stroke-width="{width:g}"{dash}/>'
            f'<path d="M{words_x:g} {foot - 3.5:g}h24" stroke="#00696f" stroke-width="{width:g}"'
            f'{dash}/><text x="{words_x + 30:g}" y="{foot:g}" font-size="10" font-weight="700" '
            f'fill="#00696f">{escape(words)}</text>'
        )
        words_x += COLUMNS / 2
    return parts


def _rows(report: Report, length_m: float) -> dict[int, int]:
    """The row in which each numbered finding's badge has room; missing where none has."""
    ends = [-1e9] * _ROWS
    rows: dict[int, int] = {}
    for finding in report.findings:
        if not finding.number:
            continue
        x = LEFT + COLUMNS * min(1.0, max(0.0, finding.route_along_m / length_m))
        for row in range(_ROWS):
            if x - ends[row] >= _badge_width(finding) + 2:
                ends[row] = x
                rows[finding.number] = row
                break
    return rows


def _badge_width(finding: Finding) -> float:
    return max(_BADGE, 8 + 6.5 * len(str(finding.number)))


def _badges(report: Report, rows: dict[int, int], frame: _Frame, bed: Seabed) -> list[str]:
    leads, badges = [], []
    for finding in report.findings:
        if finding.number not in rows:
            continue
        x = frame.x(finding.route_along_m)
        y = frame.top - 6 - rows[finding.number] * (_BADGE + 3) - _BADGE / 2
        column = min(COLUMNS - 1, max(0, int(x - LEFT)))
        depth_m = float(bed.charted_depth_m[column])
        foot = frame.y(depth_m) if math.isfinite(depth_m) else frame.top + 14
        lead = f"M{x:.1f} {y + _BADGE / 2:.1f}V{foot:.1f}"
        leads.append(f'<path d="{lead}" stroke="{_INK}" stroke-width=".8"/>')
        badges.append(badge(finding, x, y))
    return leads + badges


def badge(finding: Finding, x: float, y: float) -> str:
    """A finding's number in the shape of its severity, centred at (x, y), as SVG."""
    wide, half = _badge_width(finding), _BADGE / 2
    left, top = x - wide / 2, y - half
    ink = _INK
    if finding.severity is Severity.DANGER:
        c = 6.0
        shape = (
            f'<path d="M{left + c:.1f} {top:.1f}h{wide - 2 * c:g}l{c} {c}v{_BADGE - 2 * c:g}'
            f'l-{c} {c}h-{wide - 2 * c:g}l-{c} -{c}v-{_BADGE - 2 * c:g}Z" fill="{_INK}"/>'
        )
        ink = "#ffffff"
    else:
        round_ = half if finding.severity is Severity.CAUTION else 0
        dash = "" if round_ else ' stroke-dasharray="3 2"'
        shape = (
            f'<rect x="{left + 1:.1f}" y="{top + 1:.1f}" width="{wide - 2:g}" '
            f'height="{_BADGE - 2}" rx="{round_:g}" fill="#fff" stroke="{_INK}" '
            f'stroke-width="1.8"{dash}/>'
        )
    return (
        f'{shape}<text x="{x:.1f}" y="{y + 3.8:.1f}" font-size="11" font-weight="700" '
        f'text-anchor="middle" fill="{ink}">{finding.number}</text>'
    )
