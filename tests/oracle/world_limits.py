"""Dangers of a smaller-scale cell beside the limit of a larger-scale one, where the track crosses
it. Their dice are their own: worlds without such a crossing stay as they were."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

Place = tuple[float, float]


def add_beside_limits(made: dict[str, Any], track: list[Place]) -> None:
    """One danger for each place in which a track, given in the charts' longitudes, crosses the
    limit of a larger-scale cell, from 200 m within to 20 m without."""
    dice = random.Random(f"{made['seed']} limits")
    cells = [chart for chart in made["charts"] if chart["kind"] == "cell"]
    for small in cells:
        for large in cells:
            if large["scale"] >= small["scale"]:
                continue
            ring = large["coverage"]
            middle = [sum(corner[k] for corner in ring) / len(ring) for k in (0, 1)]
            spots = [
                spot
                for start, end in itertools.pairwise(track)
                for low, high in zip(ring, [*ring[1:], ring[0]], strict=True)
                if (spot := _crossing(start, end, low, high)) is not None
            ]
            for n, spot in enumerate(spots):
                in_m = dice.choice([dice.uniform(-20, 30), dice.uniform(0, 200)])
                small["dangers"].append(_danger(dice, small, n, _towards(spot, middle, in_m)))


def _crossing(start: Place, end: Place, low: Place, high: Place) -> Place | None:
    """Where two straight lines in longitude and latitude cross."""
    (ax, ay), (bx, by) = (start[0], start[1]), (end[0] - start[0], end[1] - start[1])
    (cx, cy), (dx, dy) = (low[0], low[1]), (high[0] - low[0], high[1] - low[1])
    across = bx * dy - by * dx
    if across == 0.0:
        return None
    one = ((cx - ax) * dy - (cy - ay) * dx) / across
    other = ((cx - ax) * by - (cy - ay) * bx) / across
    if not (0.0 <= one <= 1.0 and 0.0 <= other <= 1.0):
        return None
    return ax + one * bx, ay + one * by


def _towards(spot: Place, middle: list[float], by_m: float) -> Place:
    wide = 111_320.0 * math.cos(math.radians(spot[1]))
    east, north = (middle[0] - spot[0]) * wide, (middle[1] - spot[1]) * 111_132.0
    far = math.hypot(east, north) or 1.0
    return spot[0] + by_m * east / far / wide, spot[1] + by_m * north / far / 111_132.0


def _danger(dice: random.Random, cell: dict[str, Any], n: int, at: Place) -> dict[str, Any]:
    return {
        "key": f"{cell['id']}/dl{n}",
        "at": at,
        "kind": dice.choice(["rock", "wreck", "obstruction"]),
        "depth_m": dice.choice([None, round(dice.uniform(-2, 4), 1)]),
        "in_area_range": False,
        "dangerous": True,
        "stands_out": dice.random() < 0.1,
        "uncovers": False,
        "unreliable": False,
        "accuracy_m": dice.choice([None, None, 25.0, 150.0, 500.0]),
    }
