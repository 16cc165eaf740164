"""What worlds hold beside their first contents."""

from __future__ import annotations

import math
import random
from typing import Any

from pyproj import Proj

from tests.oracle.world_areas import regulated
from tests.oracle.world_marks import preferred
from tests.oracle.world_skipper import lone_zone, openings, stations

World = dict[str, Any]


def add(made: World, land: Any) -> None:
    """Add it: each of its own dice, so that the rest of every world stays as it
    was."""

    def cast(what: str) -> random.Random:
        land.dice = random.Random(f"{made['seed']} {what}")
        return land.dice

    dice = cast("areas")
    for chart in made["charts"]:
        chart["regulated"] = regulated(dice, land, chart["id"])
        chart["holes"] = []
    for clock in made["clocks"]:
        clock["length_m"] = dice.choice([None, 11.2, 11.2, 26.0])
    dice = cast("marks")
    for chart in made["charts"]:
        if dice.random() < 0.2:
            chart["marks"].append(preferred(dice, land, chart["id"]))
    dice = cast("turns")
    count = len(made["route"]["legs"])
    made["route"]["radius_m"] = [
        land.leg_m * dice.choice([0.02, 0.1, 0.4]) if 0 < n < count and dice.random() < 0.3 else 0.0
        for n in range(count + 1)
    ]
    for chart in made["charts"]:
        for n, radius_m in enumerate(made["route"]["radius_m"]):
            if radius_m and dice.random() < 0.6:
                chart["dangers"].append(_on_the_arc(dice, land, n, radius_m, f"{chart['id']}/t{n}"))
    dice = cast("grids")
    for grid in made["grids"]:
        _in_a_plane(dice, grid, made)
    dice = cast("clock")
    for leg in made["route"]["legs"]:
        leg["daylight_only"] = dice.random() < 0.25
        leg["openings"] = openings(dice, land.leg_m)
    dice = cast("stations")
    for tide in made["tides"]:
        if tide is not None and dice.random() < 0.4:
            stations(dice, land, tide)
    dice = cast("lone zones")
    for tide in made["tides"]:
        if tide is not None and "others" not in tide and dice.random() < 0.25:
            lone_zone(dice, land, tide)
    dice = cast("datums")
    for chart in made["charts"]:
        chart["datum_zones"] = []
        if dice.random() < 0.25:
            datum = dice.choice(["LAT", "MLLW", "MSL", "unknown"])
            chart["datum_zones"] = [{"ring": land.star(dice.randint(3, 5)), "datum": datum}]
    dice = cast("holes")
    for chart in made["charts"]:
        if chart["kind"] == "cell" and dice.random() < 0.3:
            cut = dice.random() < 0.5  # out of the coverage itself, or by an area without
            chart["holes"] = [{"ring": land.star(dice.randint(3, 5)), "cut": cut}]


def _in_a_plane(dice: random.Random, grid: dict[str, Any], made: World) -> None:
    """Lay every fourth grid out in the zone of UTM where it lies, in metres."""
    grid["epsg"] = None
    if dice.random() < 0.25 and abs(made["lat"]) < 78.0:
        zone = int(((made["lon"] + 180.0) % 360.0) // 6.0) + 1
        grid["epsg"] = (32_600 if made["lat"] >= 0.0 else 32_700) + zone
        proj = Proj(f"EPSG:{grid['epsg']}")
        grid["x"], grid["y"] = proj((grid["x"] + 180.0) % 360.0 - 180.0, grid["y"])
        grid["dx"] *= 111_320.0 * math.cos(math.radians(made["lat"]))
        grid["dy"] *= 111_132.0


def _on_the_arc(
    dice: random.Random, land: Any, n: int, radius_m: float, key: str
) -> dict[str, Any]:
    """A rock near the arc of the turn at a waypoint, where the legs' own strips may not reach."""
    here, before, after = land.track[n], land.track[n - 1], land.track[n + 1]
    back = math.atan2(before[1] - here[1], before[0] - here[0])
    ahead = math.atan2(after[1] - here[1], after[0] - here[0])
    opening = (ahead - back + math.pi) % (2.0 * math.pi) - math.pi
    half = max(abs(opening) / 2.0, 0.02)
    shorter = min(math.dist(here, before), math.dist(here, after))
    radius = min(radius_m / land.side_m, shorter * math.tan(half))
    inward = back + opening / 2.0
    off = radius + dice.gauss(0.0, 0.6) * land.wide_m / land.side_m
    turn = inward + math.pi + dice.uniform(-0.8, 0.8) * (math.pi / 2.0 - half)
    x = here[0] + radius / math.sin(half) * math.cos(inward) + off * math.cos(turn)
    y = here[1] + radius / math.sin(half) * math.sin(inward) + off * math.sin(turn)
    plain = dict.fromkeys(("in_area_range", "stands_out", "uncovers", "unreliable"), False)
    return {
        **{"key": key, "at": land.at(x, y), "kind": "rock", "dangerous": True, "accuracy_m": None},
        **{**plain, "depth_m": dice.choice([None, round(dice.uniform(0.0, 4.0), 1)])},
    }
