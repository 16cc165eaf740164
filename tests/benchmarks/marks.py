"""Ten thousand marks along a route of a hundred legs: runs, pairs, edges, sides, judgement.

The yardstick is the plain distance of every mark from every leg, in one plane, with numpy.
"""

from __future__ import annotations

import math
import random

import numpy as np

from routecheck.model.chart import ChartSet
from routecheck.model.markrule import judge
from routecheck.model.objects import Mark
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import MarkIndex, mark_passes
from tests.benchmarks.measure import Row, interleaved
from tests.buoys import FAR_M, Place, chart, mark, passage, route, view

LEGS, MARKS, WIDTH_M = 100, 10_000, 50.0
_GOAL = 120.0


def _word(number: int) -> str:
    return "".join(chr(97 + number // 26**place % 26) for place in range(4))


def scene() -> tuple[list[Place], list[Mark]]:
    """A winding route of 100 legs of a mile, and marks strewn within a mile of it: a third of
    them numbered in runs of ten, a third without a name."""
    dice = random.Random(20270514)
    course, place = 0.0, (0.0, -60_000.0)
    places = [place]
    for _ in range(LEGS):
        course += dice.uniform(-0.4, 0.4)
        course = max(-0.9, min(0.9, course))
        place = (place[0] + 1852.0 * math.sin(course), place[1] + 1852.0 * math.cos(course))
        places.append(place)
    made = []
    for number in range(MARKS):
        leg = dice.randrange(LEGS)
        (x1, y1), (x2, y2) = places[leg], places[leg + 1]
        share = dice.random()
        x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
        hand = dice.choice(["port-hand", "starboard-hand", "lateral", "north", "special"])
        name = {0: f"Run {number // 30} {number % 10}", 1: "", 2: f"Stone of {_word(number)}"}[
            number % 3
        ]
        at = (x + dice.uniform(-1852.0, 1852.0), y + dice.uniform(-1852.0, 1852.0))
        colours = ("red",) if hand == "lateral" else ()
        made.append(mark(at, hand, name, colours=colours, region="A"))
    return places, made


def rows() -> list[Row]:
    """The survey and judgement of marks over the yardstick."""
    places, marks = scene()
    held = ChartSet(charts=(chart(marks),))
    one = route(places)
    legs = corridors(one, tuple((WIDTH_M, WIDTH_M) for _ in one.legs))
    margins, seen = passage().boat.margins, view(width_m=WIDTH_M)
    x = np.array([m.lon_deg for m in marks]) * 60.0
    y = np.array([m.lat_deg for m in marks]) * 60.0
    start = np.array([(leg.start.lon_deg * 60.0, leg.start.lat_deg * 60.0) for leg in one.legs])
    end = np.array([(leg.end.lon_deg * 60.0, leg.end.lat_deg * 60.0) for leg in one.legs])
    count = 0

    def whole() -> None:
        nonlocal count
        found = mark_passes(legs, held, far_m=FAR_M, index=MarkIndex(held))
        count = sum(len([judge(p, margins, seen) for p in those]) for those in found.values())

    def yardstick() -> None:
        step = end - start
        along = (x[:, None] - start[:, 0]) * step[:, 0] + (y[:, None] - start[:, 1]) * step[:, 1]
        share = np.clip(along / (step**2).sum(axis=1), 0.0, 1.0)
        off_x = x[:, None] - start[:, 0] - share * step[:, 0]
        off_y = y[:, None] - start[:, 1] - share * step[:, 1]
        np.hypot(off_x, off_y).min(axis=1)

    least = interleaved({"marks": whole, "yardstick": yardstick}, 3, {"yardstick": 10})
    ratio = least["marks"] / least["yardstick"]
    return [
        Row(
            what=f"{MARKS} marks, {LEGS} legs: {count} passes found and judged, over the plain "
            "distance of every mark from every leg",
            goal=f"at most {_GOAL:.0f} times",
            measured=f"{ratio:.1f} times ({least['marks']:.2f} s)",
            met=ratio <= _GOAL and count > MARKS / 4,
        )
    ]
