"""Random areas and lines that a rule, a use or a warning goes with, by their S-57 codes."""

from __future__ import annotations

import math
import random
from typing import Any

_AREAS = (
    *("caution area", "military practice area", "offshore production area"),
    *("production or storage area", "seaplane landing area", "submarine transit lane"),
    *("anchorage area", "marine farm", "cargo transhipment area", "incineration area"),
    *("crossing of traffic lanes", "traffic roundabout", "precautionary area"),
    *("inshore traffic zone", "inshore traffic zone", "inshore traffic zone"),
    *("submarine cable area", "pipeline area", "dumping ground", "sand waves", "fishing ground"),
    *("ice area", "troubled water", "weed or kelp", "lock basin", "lock basin"),
)
_ROUTES = ("deep-water route", "two-way route", "fairway")
_TRACKS = ("recommended direction of traffic flow", "recommended track")
_CATEGORIES = {
    "restricted area": ((), (), (1,), (4,), (9,), (14,), (18,), (23,), (28,), (4, 25), (1, 4)),
    "ferry route": ((1,), (2,), (), (1, 2), (3,)),
    "submarine pipeline": ((2,), (3,), (5,), ()),
    "dumping ground": ((5,), ()),
}
_RESTRICTIONS: tuple[tuple[int, ...], ...] = (
    *((), (), (7,), (7,), (8,), (14,), (14,), (1,), (27,), (13, 1), (42,)),
    *((0,), (99,), (1, 7), (8, 14), (7, 14), (3, 4, 14), (25, 8)),
)
_PERIODS = (
    ("date", "20270401", "20270930"),
    ("date", "20270511", "20270511"),
    ("date", "20270101", "20270509"),
    ("date", "2028", ""),
    ("date", "", "202704"),
    ("date", "soon", ""),
    ("season", "--0401", "--0930"),
    ("season", "--1001", "--0515"),
    ("season", "--1001", "--0331"),
    ("season", "--0512", "--0513"),
    ("season", "--06", "--08"),
    ("season", "--0601", ""),
)


def regulated(dice: random.Random, land: Any, name: str) -> list[dict[str, Any]]:
    """The areas and lines of one chart; a traffic separation scheme has its parts together."""
    made = [_one(dice, land) for _ in range(dice.choice([0, 0, 1, 2, 4]))]
    if dice.random() < 0.25:
        made += _scheme(dice, land)
    for number, one in enumerate(made):
        one["key"] = f"{name}/r{number}"
    return made


def _one(dice: random.Random, land: Any) -> dict[str, Any]:
    made = _blank(dice)
    sort = dice.choice(
        ["restricted"] * 4 + ["area"] * 4 + ["route", "track", "line", "gate", "lane"]
    )
    made["kind"] = {
        "restricted": "restricted area",
        "area": dice.choice(_AREAS),
        "route": dice.choice(_ROUTES),
        "track": dice.choice(_TRACKS),
        "line": dice.choice(
            [
                *("ferry route", "ferry route", "submarine cable", "submarine pipeline"),
                *("traffic separation line", "anchor berth", "unknown", "unknown"),
            ]
        ),
        "gate": "gate",
        "lane": "traffic lane",
    }[sort]
    kind = made["kind"]
    made["categories"] = dice.choice(_CATEGORIES.get(kind, ((),)))
    if kind != "unknown" and (kind == "restricted area" or dice.random() < 0.2):
        made["restrictions"] = dice.choice(_RESTRICTIONS)
    if 14 in made["restrictions"] and dice.random() < 0.5:
        made["status"] = (9,)
    if sort in ("route", "track", "lane"):
        made["one_way"] = dice.random() < 0.8 or sort == "lane"
        made["orientation_deg"] = _along_track(dice, land) if dice.random() < 0.8 else None
    if kind in ("gate", "lock basin") and dice.random() < 0.6:
        made["width_m"] = dice.choice([0.8, 3.0, 12.0])
    if kind == "anchor berth" or (kind == "gate" and dice.random() < 0.5):
        made["shape"], made["at"] = "point", land.at(*land.near_track(land.track, land.wide_m))
    elif kind == "gate" or sort in ("track", "line"):
        spots = [land.near_track(land.track, land.wide_m * 2.0) for _ in "ab"]
        if kind == "gate":  # short, and near
            spots[1] = tuple(c + dice.uniform(-0.02, 0.02) for c in spots[0])
        if spots[0] == spots[1]:
            spots[1] = (spots[0][0] + 0.01, spots[0][1])
        made["shape"], made["at"] = "line", [land.at(*spot) for spot in spots]
    else:
        size = dice.choice([0.02, 0.1, 0.3, 2.0]) if dice.random() < 0.6 else None
        made["shape"], made["at"] = "ring", land.star(dice.randint(4, 6), size)
    return made


def _blank(dice: random.Random) -> dict[str, Any]:
    period = dice.choice(_PERIODS) if dice.random() < 0.3 else ("", "", "")
    return {
        "categories": (),
        "restrictions": (),
        "orientation_deg": None,
        "one_way": False,
        "status": (),
        "period": period,
        "width_m": None,
        "accuracy_m": dice.choice([None, None, None, 15.0, 80.0]),
    }


def _along_track(dice: random.Random, land: Any) -> float:
    """A direction: with the first leg, against it, square or slant to it, or any."""
    x1, y1, x2, y2 = *land.track[0], *land.track[1]
    course = math.degrees(math.atan2(x2 - x1, y2 - y1))
    turn = dice.choice([0.0, 180.0, 180.0, 60.0, 90.0, -60.0, dice.uniform(-180.0, 180.0)])
    return float(round((course + turn + dice.uniform(-12.0, 12.0)) % 360.0, 1))


def _scheme(dice: random.Random, land: Any) -> list[dict[str, Any]]:
    """Two lanes with a zone between them, as bands across the sheet; it lies over the track."""
    flow = _along_track(dice, land)
    x, y = land.near_track(land.track, land.wide_m)
    wide = dice.choice([0.05, 0.2, 0.5])
    ahead = (math.sin(math.radians(flow)), math.cos(math.radians(flow)))
    right = (ahead[1], -ahead[0])
    shift = dice.uniform(-1.5, 1.5)
    made = []
    for band, kind in enumerate(("traffic lane", "traffic separation zone", "traffic lane")):
        low, high = (band - 1.5 + shift) * wide, (band - 0.5 + shift) * wide
        corners = ((-1.0, low), (-1.0, high), (1.0, high), (1.0, low))
        one = {**_blank(dice), "kind": kind, "shape": "ring"}
        one["at"] = [
            land.at(x + a * ahead[0] + b * right[0], y + a * ahead[1] + b * right[1])
            for a, b in corners
        ]
        if kind == "traffic lane":  # traffic keeps to starboard
            one["one_way"] = True
            one["orientation_deg"] = flow if band == 2 else (flow + 180.0) % 360.0
        made.append(one)
    return made
