"""The corridor as a navigator would draw it: strips beside each leg, rounded at the turns.

Rule: every place whose foot on a leg lies within the leg, and which is no further off the track
than the half-width on that side, belongs to that leg. At a turn the outside is rounded with the
larger of both legs' half-widths, and belongs to either leg; the ends of the route are rounded,
too. `ROUNDING_M` is what the oracle itself may be off; `slack_m` is how far outward the package
may err by its own statement (0.1 % of the half-width twice over, and a metre).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.oracle.plane import (
    GEOD,
    Floats,
    Sheet,
    apart,
    boxes_apart,
    crossings,
    great_circle,
    rhumb_line,
)

ROUNDING_M = 0.02
_FAN_DEG = 3.0
_SKEW = 2e-4


@dataclass
class Part:
    """A piece of corridor and the legs (from 0) of which one must speak of what lies in it."""

    legs: frozenset[int]
    ring: Floats


@dataclass
class Leg:
    """One leg on the sheet: its track as dense points, with their places and distances along."""

    places: Floats
    track: Floats
    along_m: Floats
    port_m: float
    starboard_m: float
    normal: Floats
    """Unit vectors to starboard, (n, 2)."""
    wide: list[Floats]
    """Rings that hold every place that the package may count to this leg."""

    @property
    def length_m(self) -> float:
        return float(self.along_m[-1])

    def along(self, points: Floats) -> Floats:
        """Distance along of the nearest track point, (n,)."""
        a, step = self.track[None, :-1], np.diff(self.track, axis=0)[None]
        off = points[:, None, :] - a
        share = np.clip((off * step).sum(axis=2) / (step**2).sum(axis=2), 0.0, 1.0)
        away = ((off - share[..., None] * step) ** 2).sum(axis=2)
        near = away.argmin(axis=1)
        part = share[np.arange(len(points)), near]
        return np.asarray(self.along_m[near] + part * np.diff(self.along_m)[near])

    def may_hold(self, shape: Floats, kind: str, more_m: float = 0.0) -> bool:
        """Whether a shape comes so near that the package may count it to the corridor."""
        return any(
            boxes_apart(shape, ring) <= more_m and apart(shape, kind, ring) <= more_m
            for ring in self.wide
        )


@dataclass
class Corridor:
    """The whole route's corridor."""

    sheet: Sheet
    legs: list[Leg]
    parts: list[Part]

    def samples(self, dice: np.random.Generator, count: int) -> list[tuple[frozenset[int], Floats]]:
        """Random places in each part's strip, well inside."""
        made = []
        for number, leg in enumerate(self.legs):
            share = dice.random(count) * 0.998 + 0.001
            at = np.interp(share * leg.length_m, leg.along_m, np.arange(len(leg.along_m)))
            low = np.minimum(at.astype(int), len(leg.track) - 2)
            part = (at - low)[:, None]
            spot = leg.track[low] * (1 - part) + leg.track[low + 1] * part
            side = leg.normal[low] * (1 - part) + leg.normal[low + 1] * part
            off = dice.random(count) * (leg.port_m + leg.starboard_m) - leg.port_m
            made.append((frozenset({number}), spot + side * (off * 0.99)[:, None]))
        return made


def corridor(world: dict[str, Any], sheet: Sheet) -> Corridor:
    """Draw it."""
    route = world["route"]
    floor_m = world["margins"]["position_m"] + (world["margins"]["beam_m"] or 0.0) / 2.0
    legs = [
        _leg(sheet, route["points"][n], route["points"][n + 1], facts, floor_m)
        for n, facts in enumerate(route["legs"])
    ]
    parts: list[Part] = []
    for number, leg in enumerate(legs):
        parts.append(Part(frozenset({number}), _strip(leg, -ROUNDING_M)))
    for number in range(len(legs) - 1):
        fan = _fan(legs[number], legs[number + 1])
        if fan is not None:
            parts.append(Part(frozenset({number, number + 1}), fan))
        turned = _band(legs[number], legs[number + 1], route["radius_m"][number + 1], -ROUNDING_M)
        if turned is not None:
            parts.append(Part(frozenset({number, number + 1}), turned))
    first, last = legs[0], legs[-1]
    parts += [Part(frozenset({0}), ring) for ring in _end(first, 0, -1.0)]
    parts += [Part(frozenset({len(legs) - 1}), ring) for ring in _end(last, -1, 1.0)]
    for number, leg in enumerate(legs):
        leg.wide = _wide(legs, number)
        for at, other in ((number, number - 1), (number + 1, number + 1)):
            if 0 <= other < len(legs):
                before, after = legs[at - 1], legs[at]
                slack = slack_m(max(before.port_m, before.starboard_m, after.port_m))
                slack = max(slack, slack_m(after.starboard_m))
                turned = _band(before, after, route["radius_m"][at], slack)
                leg.wide += [] if turned is None else [turned]
    return Corridor(sheet, legs, parts)


def slack_m(width_m: float) -> float:
    return 0.002 * width_m + 1.0


def _leg(sheet: Sheet, start: Any, end: Any, facts: dict[str, Any], floor_m: float) -> Leg:
    length = GEOD.inv(*start, *end)[2]
    count = max(3, int(np.ceil(length / 300.0)) + 1)
    line = great_circle if facts["great_circle"] else rhumb_line
    places = line(tuple(start), tuple(end), count)
    track = sheet.xy(places)
    step = np.diff(track, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*step.T))])
    heading = np.vstack([step[:1], step[:-1] + step[1:], step[-1:]])
    heading = heading / np.hypot(*heading.T)[:, None]
    return Leg(
        places=places,
        track=track,
        along_m=along,
        port_m=max(facts["port_m"], floor_m),
        starboard_m=max(facts["starboard_m"], floor_m),
        normal=np.column_stack([heading[:, 1], -heading[:, 0]]),
        wide=[],
    )


def _strip(leg: Leg, more_m: float) -> Floats:
    """The strip beside the track, wider by `more_m` on all sides (or narrower)."""
    track = leg.track.copy()
    ends = leg.normal[[0, -1]] @ np.array([[0.0, 1.0], [-1.0, 0.0]])  # forward
    # The course of the last piece is that of its middle, 150 m from the end.
    skew_m = -_SKEW * max(leg.port_m, leg.starboard_m) if more_m < 0.0 else 0.0
    track[0] -= ends[0] * (more_m + skew_m)
    track[-1] += ends[1] * (more_m + skew_m)
    port = track - leg.normal * (leg.port_m + more_m)
    starboard = track + leg.normal * (leg.starboard_m + more_m)
    return np.vstack([port, starboard[::-1], port[:1]])


def _sector(middle: Floats, from_rad: float, sweep_rad: float, radius_m: float) -> Floats:
    count = max(2, int(np.ceil(abs(np.degrees(sweep_rad)) / _FAN_DEG)) + 1)
    turn = from_rad + sweep_rad * np.linspace(0.0, 1.0, count)
    rim = middle + radius_m * np.column_stack([np.cos(turn), np.sin(turn)])
    return np.vstack([middle, rim, middle])


def _fan(before: Leg, after: Leg) -> Floats | None:
    """The outside of a turn; None where there is none to speak of."""
    first, second = before.normal[-1], after.normal[0]
    turn = float(np.arctan2(_cross(first, second), first @ second))  # positive: to port
    if abs(turn) < 1e-3 or abs(turn) > np.pi - 0.02:
        return None
    outer = 1.0 if turn > 0.0 else -1.0  # turning to port, starboard is outside
    radius = (
        max(before.starboard_m, after.starboard_m)
        if outer > 0.0
        else max(before.port_m, after.port_m)
    )
    start = first * outer
    return _sector(
        before.track[-1], float(np.arctan2(start[1], start[0])), turn, radius - ROUNDING_M
    )


def _band(before: Leg, after: Leg, radius_m: float, more_m: float) -> Floats | None:
    """The band along the arc of a turn with a radius, from tangent to tangent; None without. The
    tangent points lie no further off than the far ends of the two legs.

    The legs bend a little on the sheet: the arc's centre is where the line beside one of them, the
    radius off, crosses the line beside the other. Where they don't, only a wide band can be drawn.
    """
    first, second = before.normal[-1], after.normal[0]
    turn = float(np.arctan2(_cross(first, second), first @ second))
    if radius_m <= 0.0 or abs(turn) < 2e-3 or (more_m < 0.0 and abs(turn) > np.pi - 0.02):
        return None
    outer = 1.0 if turn > 0.0 else -1.0
    widths = [max(before.starboard_m, after.starboard_m), max(before.port_m, after.port_m)]
    out, within = widths if outer > 0.0 else widths[::-1]
    half = abs(np.tan(turn / 2.0))
    radius_m = min(radius_m, before.length_m / half, after.length_m / half)
    ahead = np.array([-first[1], first[0]])
    straight = before.track[-1] - ahead * radius_m * half - first * outer * radius_m
    beside = [_beside(leg, -outer * radius_m, far) for leg, far in ((before, 0), (after, -1))]
    centres = crossings(*beside)
    if len(centres):
        centre = centres[np.hypot(*(centres - straight).T).argmin()]
        from_rad, to_rad = (
            float(np.arctan2(*(foot - centre)[::-1]))
            for foot in (_foot(before, centre), _foot(after, centre))
        )
        sweep = (to_rad - from_rad - turn + np.pi) % (2.0 * np.pi) - np.pi + turn
    elif more_m < 0.0:
        return None
    else:
        centre, sweep = straight, turn
        from_rad = float(np.arctan2(*(first * outer)[::-1]))
        steep = abs(np.tan(np.radians(before.places[-1][1]))) + 0.2
        more_m += (radius_m * half) ** 2 * steep / 6e6
    count = max(2, int(np.ceil(abs(np.degrees(sweep)) / _FAN_DEG)) + 1)
    angle = from_rad + sweep * np.linspace(0.0, 1.0, count)
    rim = np.column_stack([np.cos(angle), np.sin(angle)])
    # Chords lie inside their arc.
    chord = float(np.cos(np.radians(_FAN_DEG / 2.0)))
    far = (radius_m + out + more_m) / (chord if more_m > 0.0 else 1.0)
    near = max(0.0, radius_m - within - more_m) / (1.0 if more_m > 0.0 else chord)
    ring = [centre + rim * far, centre + rim[::-1] * near, centre + rim[:1] * far]
    return np.vstack(ring)


def arc_m(before: Leg, after: Leg, radius_m: float) -> tuple[float, float]:
    """(by how much half of a turn's arc is shorter than its tangent, by how much that half is
    longer than it reaches along the leg)."""
    first, second = before.normal[-1], after.normal[0]
    turn = abs(float(np.arctan2(_cross(first, second), first @ second)))
    half = float(np.tan(turn / 2.0))
    if radius_m <= 0.0 or half < 1e-9:
        return 0.0, 0.0
    radius_m = min(radius_m, before.length_m / half, after.length_m / half)
    swept = radius_m * turn / 2.0
    return radius_m * half - swept, swept - radius_m * float(np.sin(turn / 2.0))


def _longer(leg: Leg, more: float) -> tuple[Floats, Floats]:
    """A leg's track and normals, a little longer at either end than it is."""
    step = np.diff(leg.track, axis=0)[[0, -1]]
    step = step / np.hypot(*step.T)[:, None] * more
    track = np.vstack([leg.track[0] - step[0], leg.track, leg.track[-1] + step[1]])
    return track, np.vstack([leg.normal[:1], leg.normal, leg.normal[-1:]])


def _beside(leg: Leg, starboard_m: float, far: int) -> Floats:
    """The line beside a leg; at its far end (0 or -1) 2 % longer than the leg, for a circle that
    touches it just there."""
    track, normal = _longer(leg, 0.02 * leg.length_m)
    line = track + normal * starboard_m
    return line[:-1] if far == 0 else line[1:]


def _foot(leg: Leg, place: Floats) -> Floats:
    """The place of a leg (2 % longer at its ends) nearest to another."""
    track, _ = _longer(leg, 0.02 * leg.length_m)
    step = np.diff(track, axis=0)
    share = np.clip(((place - track[:-1]) * step).sum(axis=1) / (step**2).sum(axis=1), 0.0, 1.0)
    feet = track[:-1] + share[:, None] * step
    return np.asarray(feet[np.hypot(*(feet - place).T).argmin()])


def _end(leg: Leg, at: int, ahead: float) -> list[Floats]:
    """The quarter circles of a route's first or last waypoint."""
    normal = leg.normal[at]
    made = []
    for side, radius in ((-1.0, leg.port_m), (1.0, leg.starboard_m)):
        start = normal * side
        # From the side round to straight ahead (or astern).
        sweep = np.pi / 2.0 * side * ahead
        angle = float(np.arctan2(start[1], start[0]))
        made.append(_sector(leg.track[at], angle, sweep, radius - ROUNDING_M))
    return made


def _wide(legs: list[Leg], number: int) -> list[Floats]:
    leg = legs[number]
    rings = [_strip(leg, slack_m(max(leg.port_m, leg.starboard_m)))]
    for at, other in ((0, number - 1), (-1, number + 1)):
        near = [leg, legs[other]] if 0 <= other < len(legs) else [leg]
        radius = max(max(one.port_m, one.starboard_m) for one in near)
        radius = (radius + slack_m(radius)) / np.cos(np.radians(_FAN_DEG / 2.0))
        rings.append(_sector(leg.track[at], 0.0, 2.0 * np.pi, radius)[1:-1])
    return rings


def _cross(a: Floats, b: Floats) -> float:
    return float(a[0] * b[1] - a[1] * b[0])
