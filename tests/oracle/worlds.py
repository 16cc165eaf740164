"""Random worlds as plain dictionaries: charts, grids, marks, tides, routes, boats and clocks.

One seed makes one world, always the same. Places are (longitude, latitude) in degrees, running on
past 180 where a world lies across it; everything else is metres, seconds and words. Neither side
of the comparison has a hand in it.
"""

from __future__ import annotations

import math
import random
from typing import Any

from tests.oracle.world_limits import add_beside_limits
from tests.oracle.world_marks import marks, zones
from tests.oracle.world_more import add
from tests.oracle.world_skipper import clocks, margins, tides

World = dict[str, Any]
CATZOC = (1, 2, 3, 4, 5, 6)


def world(seed: int) -> World:
    """The world of a seed."""
    dice = random.Random(seed)
    land = Land(dice)
    made: World = {"seed": seed, "lon": land.lon, "lat": land.lat}
    made["margins"] = margins(dice, land.leg_m)
    made["route"] = _route(dice, land)
    made["charts"] = _charts(dice, land, made["margins"])
    made["grids"] = _grids(dice, land)
    made["zones"] = zones(dice, land, "user") if dice.random() < 0.2 else []
    made["region"] = dice.choice(["", "", "A", "B"])
    made["tides"] = tides(dice)
    made["clocks"] = clocks(dice, land, len(made["tides"]))
    add(made, land)
    add_beside_limits(made, [land.at(*spot) for spot in land.track])
    return made


class Land:
    """The frame of a world: where it lies, how large it is, and its lattice."""

    def __init__(self, dice: random.Random) -> None:
        self.dice = dice
        self.track: list[tuple[float, float]] = []
        self.wide_m = 0.0
        self.leg_m = dice.choice(
            [dice.uniform(20, 300), dice.uniform(300, 3000), dice.uniform(2000, 12000)]
        )
        self.long = dice.random() < 0.05
        if self.long:  # where a great circle and a rhumb line part
            self.leg_m = dice.uniform(12_000, 35_000)
        self.side_m = self.leg_m * dice.uniform(1.3, 2.5)
        self.lat = dice.choice(
            [dice.uniform(-60, 60), dice.uniform(-82, 82), 0.0, dice.uniform(60, 82)]
        )
        if self.long:
            self.lat = dice.choice([-1.0, 1.0]) * dice.uniform(50, 78)
        self.lon = dice.choice([dice.uniform(-180, 180), 179.9999, -179.999, 0.0])
        self.count = dice.choice([2, 3, 3, 4])
        self.calm = dice.random() < 0.65
        self.quiet = dice.random() < 0.3
        """Deep water with hardly anything in it: what there is must not be lost."""

    def at(self, x: float, y: float) -> tuple[float, float]:
        """The place at x, y in sides of the sheet from its middle (-0.5 to 0.5)."""
        east = x * self.side_m / (111_320.0 * math.cos(math.radians(self.lat)))
        return self.lon + east, self.lat + y * self.side_m / 111_132.0

    def ring(self, corners: list[tuple[float, float]]) -> list[tuple[float, float]]:
        return [self.at(*corner) for corner in corners]

    def spot(self, reach: float = 0.45) -> tuple[float, float]:
        """A random place in sides; now and then on a corner of the lattice."""
        dice = self.dice
        if dice.random() < 0.08:
            return tuple(dice.randint(0, self.count) / self.count - 0.5 for _ in "xy")  # type: ignore[return-value]
        return dice.uniform(-reach, reach), dice.uniform(-reach, reach)

    def near_track(self, points: list[tuple[float, float]], wide_m: float) -> tuple[float, float]:
        """A place in sides near a track given in sides."""
        dice = self.dice
        if dice.random() < 0.06:
            return dice.choice(points)
        n = dice.randrange(len(points) - 1)
        (x1, y1), (x2, y2) = points[n], points[n + 1]
        t = dice.uniform(-0.1, 1.1)
        if dice.random() < 0.12:  # within a metre or two of a leg's end
            span = math.hypot(x2 - x1, y2 - y1) * self.side_m
            t = dice.choice([0.0, 1.0]) + dice.uniform(-1.5, 1.5) / max(span, 3.0)
        off = dice.gauss(0.0, 1.3) * wide_m / self.side_m
        long = math.hypot(x2 - x1, y2 - y1) or 1.0
        return (
            x1 + t * (x2 - x1) - off * (y2 - y1) / long,
            y1 + t * (y2 - y1) + off * (x2 - x1) / long,
        )

    def star(self, corners: int, size: float | None = None) -> list[tuple[float, float]]:
        """A ring round a place near the track; `size` in sides."""
        dice = self.dice
        x, y = self.near_track(self.track, self.wide_m * 2.0)
        if size is None:
            size = dice.choice([0.02, 0.1, 0.3])
        start = dice.uniform(0.0, 2.0 * math.pi)
        turns = [2.0 * math.pi * (n + dice.uniform(0.0, 0.7)) / corners for n in range(corners)]
        radii = [size * dice.uniform(0.4, 1.0) for _ in turns]
        return [
            self.at(x + r * math.cos(start + t), y + r * math.sin(start + t))
            for r, t in zip(radii, turns, strict=True)
        ]

    def depth_m(self) -> float | None:
        """A charted depth: deep, shoal, drying, about as deep as a boat needs, none at all."""
        dice = self.dice
        if dice.random() < 0.04:
            return None
        if dice.random() < (0.97 if self.quiet else 0.75 if self.calm else 0.3):
            return round(dice.choice([dice.uniform(9, 40), dice.uniform(30, 600)]), 1)
        return round(dice.choice([dice.uniform(-3, 3), dice.uniform(0, 9), 2.0, 5.0]), 1)


def _route(dice: random.Random, land: Land) -> dict[str, Any]:
    legs = dice.choice([1, 1, 2, 2, 3])
    reach = min(0.45, 0.5 * land.leg_m / land.side_m)
    spots = [land.spot(reach)]
    while len(spots) <= legs:
        spot = land.spot(reach)
        if dice.random() < 0.06:  # a tiny leg
            spot = (spots[-1][0] + 3.0 / land.side_m, spots[-1][1] + 1.0 / land.side_m)
        if math.hypot(spot[0] - spots[-1][0], spot[1] - spots[-1][1]) * land.side_m > 2.0:
            spots.append(spot)
    points = []
    for spot in spots:
        lon, lat = land.at(*spot)
        points.append(((lon + 180.0) % 360.0 - 180.0, lat))
    land.track, land.wide_m = spots, land.leg_m * dice.choice([0.01, 0.03, 0.1, 0.25])
    land.wide_m = max(land.wide_m, 2.0)
    curved = dice.random() < (0.7 if land.long else 0.2)
    if land.long:
        land.wide_m = dice.uniform(10.0, 80.0)
    made = []
    for _ in range(legs):
        port = land.wide_m * dice.choice([1.0, 1.0, 0.5, 2.0])
        starboard = port if dice.random() < 0.6 else land.wide_m * dice.uniform(0.2, 2.0)
        made.append(
            {
                "port_m": port,
                "starboard_m": starboard,
                "great_circle": curved,
                "speed_kn": dice.choice([None, 4.0, 7.5]),
            }
        )
    return {"points": points, "legs": made}


QUALITIES = (
    None,
    {"vertical_m": 0.0, "share": 0.0, "horizontal_m": 0.0},
    {"vertical_m": 0.5, "share": 0.01, "horizontal_m": 10.0},
    {"vertical_m": 1.0, "share": 0.02, "horizontal_m": 50.0},
    {"vertical_m": 0.3, "share": 0.0, "horizontal_m": None},
)
DATUMS = ("LAT",) * 7 + ("MLLW", "chart datum", "MSL", "MSL", "unknown")


def _source(dice: random.Random, name: str) -> dict[str, Any]:
    datum = dice.choice(DATUMS)
    below = round(dice.uniform(0.5, 3.0), 2) if datum == "MSL" and dice.random() < 0.5 else None
    return {
        "id": name,
        "datum": datum,
        "datum_below_msl_m": below,
        "quality": dice.choice(QUALITIES),
    }


def _charts(dice: random.Random, land: Land, skipper: dict[str, Any]) -> list[dict[str, Any]]:
    made = []
    if dice.random() < 0.9:
        made.append(_cell(dice, land, "cell", dice.choice([12_000.0, 20_000.0]), whole=True))
    if dice.random() < 0.35:
        scale = dice.choice([5_000.0, 20_000.0, 45_000.0, 300_000.0])
        made.append(_cell(dice, land, "other", scale, whole=False))
    if dice.random() < 0.2:
        made.append(_loose(dice, land))
    return made


def _cell(
    dice: random.Random, land: Land, name: str, scale: float, *, whole: bool
) -> dict[str, Any]:
    count = land.count if whole else 2
    low_x, low_y, wide = -0.5, -0.5, 1.0
    if not whole:
        wide = dice.uniform(0.2, 0.9)
        low_x, low_y = dice.uniform(-0.5, 0.5 - wide / 2), dice.uniform(-0.5, 0.5 - wide / 2)
    nodes = {}
    for i in range(count + 1):
        for j in range(count + 1):
            rim = i in (0, count) or j in (0, count)
            jitter = 0.0 if rim or dice.random() < 0.5 else 0.25 / count
            x = (i + dice.uniform(-jitter, jitter) * count) / count
            y = (j + dice.uniform(-jitter, jitter) * count) / count
            nodes[i, j] = land.at(low_x + x * wide, low_y + y * wide)
    chart = {**_source(dice, name), "kind": "cell", "scale": scale}
    chart["coverage"] = [
        land.at(low_x + x * wide, low_y + y * wide) for x, y in ((0, 0), (1, 0), (1, 1), (0, 1))
    ]
    chart["areas"] = [
        {
            "key": f"{name}/a{i}.{j}",
            "ring": [nodes[i, j], nodes[i + 1, j], nodes[i + 1, j + 1], nodes[i, j + 1]],
            "depth_m": land.depth_m(),
        }
        for i in range(count)
        for j in range(count)
        if dice.random() > 0.03
    ]
    _objects(dice, land, chart)
    return chart


def _objects(dice: random.Random, land: Land, chart: dict[str, Any]) -> None:
    """What a chart may hold beside its depth areas."""
    name, track, wide = chart["id"], land.track, land.wide_m

    def some(most: int) -> range:
        if land.quiet and dice.random() < 0.7:
            return range(0)
        return range(dice.choice([0, 0, 1, dice.randint(0, most)]))

    def spot() -> tuple[float, float]:
        return land.at(*land.near_track(track, wide))

    chart["soundings"] = [
        {
            "key": f"{name}/s{n}",
            "at": spot(),
            "depth_m": round(dice.uniform(*(8, 30) if dice.random() < 0.5 else (0, 12)), 1),
            "unreliable": dice.random() < 0.15,
        }
        for n in some(4)
    ]
    chart["contours"] = [
        {
            "key": f"{name}/c{n}",
            "line": [spot(), land.at(*land.spot(0.44)), spot()],
            "depth_m": dice.choice([2, 5, 10]),
        }
        for n in some(2)
    ]
    chart["dangers"] = [
        {
            "key": f"{name}/d{n}",
            "at": spot(),
            "kind": dice.choice(
                ["rock", "wreck", "obstruction", "foul ground", "marine farm", "fishing gear"]
            ),
            "depth_m": None if dice.random() < 0.3 else round(dice.uniform(-2, 14), 1),
            "in_area_range": dice.random() < 0.15,
            "dangerous": dice.random() < 0.8,
            "stands_out": dice.random() < 0.1,
            "uncovers": dice.random() < 0.1,
            "unreliable": dice.random() < 0.1,
            "accuracy_m": dice.choice([None, None, None, 25.0, 500.0]),
        }
        for n in some(4)
    ]
    chart["lands"] = [
        {"key": f"{name}/l{n}", "ring": land.star(dice.randint(3, 7))}
        for n in range(dice.choice([0, 0, 0, 0 if land.quiet else 1]))
    ]
    chart["unsurveyed"] = [
        {"key": f"{name}/u{n}", "ring": land.star(dice.randint(3, 5))}
        for n in range(dice.choice([0] * 9 + [1]))
    ]
    chart["spans"] = [_span(dice, f"{name}/b{n}", spot(), spot()) for n in some(1)]
    chart["qualities"] = [
        {"catzoc": dice.choice(CATZOC), "ring": land.star(4)}
        for _ in range(dice.choice([0, 0, 1, 2]))
    ]
    chart["marks"] = marks(dice, land, name)
    chart["buoyage"] = zones(dice, land, name) if dice.random() < 0.7 else []


def _span(dice: random.Random, key: str, start: Any, end: Any) -> dict[str, Any]:
    if start == end:
        end = (end[0] + 1e-5, end[1])
    bridge = dice.random() < 0.6
    height = round(dice.uniform(5, 30), 1)
    return {
        "key": key,
        "line": [start, end],
        "bridge": bridge,
        "clearance_m": None if dice.random() < 0.15 else height,
        "closed_m": round(height - 3.0, 1) if bridge and dice.random() < 0.2 else None,
        "open_m": round(height + 15.0, 1) if bridge and dice.random() < 0.2 else None,
        "safe_m": round(height - 4.0, 1) if not bridge and dice.random() < 0.4 else None,
        "opens": bridge and dice.random() < 0.2,
        "electric": not bridge and dice.random() < 0.7,
        "datum": dice.choice(["MHWS", "HAT", "MSL", "unknown"]),
    }


def _loose(dice: random.Random, land: Land) -> dict[str, Any]:
    chart = {**_source(dice, "loose"), "kind": "loose", "scale": None, "coverage": None}
    cell = _cell(dice, land, "loose", 0.0, whole=False)
    chart["areas"] = [a for a in cell["areas"] if dice.random() < 0.7]
    for key in ("soundings", "contours", "dangers", "lands", "unsurveyed", "spans", "qualities"):
        chart[key] = cell[key] if dice.random() < 0.6 else []
    chart["marks"], chart["buoyage"] = cell["marks"], []
    return chart


def _grids(dice: random.Random, land: Land) -> list[dict[str, Any]]:
    made = []
    for number in range(dice.choice([0, 1, 1, 2])):
        count = dice.choice([6, 10, 16])
        wide = dice.uniform(0.4, 1.1)
        middle_x, middle_y = (0.0, 0.0) if dice.random() < 0.6 else land.spot(0.3)
        west, south = land.at(middle_x - wide / 2, middle_y - wide / 2)
        east, north = land.at(middle_x + wide / 2, middle_y + wide / 2)
        dx, dy = (east - west) / count, (north - south) / count
        deep, slope = dice.uniform(12 if land.quiet else 3, 40), dice.uniform(-0.6, 0.6)
        if dice.random() < 0.15:
            deep += 250.0
        values = [
            [
                None
                if dice.random() < 0.02
                else round(deep + slope * (r + c) + dice.gauss(0, 1), 2)
                for c in range(count)
            ]
            for r in range(count)
        ]
        if dice.random() < (0.2 if land.quiet else 0.5):  # a pinnacle of one cell
            values[dice.randrange(count)][dice.randrange(count)] = round(dice.uniform(-2, 4), 2)
        if dice.random() < 0.2:  # a gap
            top, left = dice.randrange(count), dice.randrange(count)
            for r in range(top, min(count, top + 3)):
                for c in range(left, min(count, left + 4)):
                    values[r][c] = None
        metres = max(dx * 111_320.0 * math.cos(math.radians(land.lat)), dy * 111_132.0)
        made.append(
            {
                **_source(dice, f"grid{number}"),
                "x": west + dx / 2,
                "y": north - dy / 2,
                "dx": dx,
                "dy": dy,
                "reach": dice.choice([0.5, 0.5, 0.5, 1.0]),
                "resolution_m": metres,
                "depth_m": values,
            }
        )
    return made
