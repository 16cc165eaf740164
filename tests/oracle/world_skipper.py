"""What the skipper brings to a world: margins, tides, boats and clocks."""

from __future__ import annotations

import math
import random
from typing import Any

START_S = 1_810_000_000.0  # 2027-05-11
HARMONICS = (
    (1.8, [("M2", 1.21, 134.2), ("S2", 0.4, 178.0), ("K1", 0.1, 20.0), ("O1", 0.08, 300.0)]),
    (0.6, [("K1", 0.45, 310.0), ("O1", 0.4, 280.0), ("M2", 0.2, 11.0)]),
    (2.6, [("M2", 2.4, 301.5), ("S2", 0.8, 340.2)]),
    (0.3, [("S2", 0.55, 90.0)]),
)
"""A few stations: lowest and highest of 19 years are worked out once for each."""
_OF_ALL = {"datum", "levels_m", "uncertainty_m", "surge_down_m", "surge_up_m"}
"""What a tide has once for all its stations."""
KINDS = ("constant", "constant", "table", "series", "harmonic")


def margins(dice: random.Random, leg_m: float) -> dict[str, Any]:
    """What the survey depends on: the same for all boats of a world."""
    small = leg_m < 300.0
    return {
        "position_m": dice.choice([0.0, 0.0, 2.0 if small else 10.0]),
        "beam_m": dice.choice([None, 1.0 if small else 3.6]),
        "coarsest_grid_m": dice.choice([100.0, 100.0, 3000.0]),
        "smallest_scale": dice.choice([180_000.0, 180_000.0, 30_000.0]),
        "mark_near_m": dice.choice([50.0, 185.2]),
        "mark_far_m": 740.8,
    }


def tides(dice: random.Random) -> list[dict[str, Any] | None]:
    return [None, _tide(dice), _tide(dice)]


def _tide(dice: random.Random) -> dict[str, Any]:
    kind = dice.choice(KINDS)
    made: dict[str, Any] = {
        "kind": kind,
        "datum": dice.choice(["chart datum", "LAT", "MLLW"]),
        "uncertainty_m": dice.choice([0.0, 0.1, 0.35]),
        "surge_down_m": dice.choice([0.0, 0.0, 0.4]),
        "surge_up_m": dice.choice([0.0, 0.0, 0.3]),
        "levels_m": {},
    }
    if dice.random() < 0.5:
        made["levels_m"] = {"MHWS": 4.1, "HAT": 4.8, "MSL": 2.2}
    if made["datum"] != "chart datum" and dice.random() < 0.4:
        made["levels_m"] = {**made["levels_m"], "LAT": -0.3, "MLLW": 0.25}
        made["levels_m"].pop(made["datum"], None)
    mean, swing = dice.uniform(-0.5, 3.0), dice.uniform(0.1, 2.5)
    if kind == "constant":
        made["height_m"] = round(mean, 2)
    elif kind == "harmonic":
        made["mean_m"], made["constants"] = dice.choice(HARMONICS)
    else:
        step, count = (22_350.0, 8) if kind == "table" else (1800.0, 60)
        first = START_S - dice.uniform(0.0, 40_000.0)
        times, heights = [], []
        for n in range(count):
            if kind == "table":
                times.append(round(first + n * step + dice.uniform(-900, 900)))
                swung = swing * (1 if n % 2 else -1) * dice.uniform(0.6, 1.0)
            else:
                times.append(round(first) + n * step)
                swung = swing * math.cos(n * step / 44_700.0 * 2.0 * math.pi)
            heights.append(round(mean + swung, 3))
        made["time_s"], made["heights_m"] = times, heights
    return made


def stations(dice: random.Random, land: Any, tide: dict[str, Any]) -> None:
    """Give a tide more stations, each with a place, some with a zone."""
    every = [tide]
    for _ in range(dice.choice([1, 1, 2])):
        other = _tide(dice)
        every.append({key: other[key] for key in other if key not in _OF_ALL})
    for one in every:
        one["at"] = land.at(dice.uniform(-1.2, 1.2), dice.uniform(-1.2, 1.2))
        one["zone"] = None
        if dice.random() < 0.3 and abs(land.lon) < 179.0:
            one["zone"] = land.star(dice.randint(3, 5), dice.choice([0.1, 0.3, 0.6]))
    tide["others"] = every[1:]


def lone_zone(dice: random.Random, land: Any, tide: dict[str, Any]) -> None:
    """Give the only station of a tide a place and a zone that holds a part of the route, or all."""
    if abs(land.lon) < 179.0:
        tide["at"] = land.at(dice.uniform(-1.2, 1.2), dice.uniform(-1.2, 1.2))
        tide["zone"] = land.star(dice.randint(3, 5), dice.choice([0.1, 0.3, 0.6, 1.5]))


def openings(dice: random.Random, leg_m: float) -> list[dict[str, Any]]:
    """Hours of a bridge or lock on a leg: now and then by night, on some weekdays, or never shut
    for long."""
    return [
        {
            "start_s": 1800.0 * dice.randint(0, 47),
            "end_s": 1800.0 * dice.randint(0, 47),
            "ahead_s": 3600.0 * dice.choice([0, 0, 2, -8]),
            "weekdays": dice.choice([tuple(range(7)), tuple(range(7)), (0, 1, 2), (5, 6), (1, 3)]),
            "along_m": dice.choice([None, dice.uniform(0.0, leg_m)]),
        }
        for _ in range(dice.choice([0, 0, 0, 1, 2]))
    ]


def clocks(dice: random.Random, land: Any, tide_count: int) -> list[dict[str, Any]]:
    """Boats with a tide and a departure each."""
    made = []
    for number in range(12):
        draught = round(dice.choice([dice.uniform(0.3, 3.0), dice.uniform(1.5, 9.0), 2.0]), 2)
        made.append(
            {
                "draught_m": draught,
                "air_draught_m": dice.choice([None, round(dice.uniform(4, 28), 1)]),
                "speed_kn": dice.choice([None, 5.0, 5.0, 9.3]),
                "under_keel_m": dice.choice([0.0, 0.5, 1.0, round(dice.uniform(0, 3), 2)]),
                "squat_m": dice.choice([0.0, 0.0, 0.25]),
                "heel_swell_m": dice.choice([0.0, 0.0, 0.4]),
                "overhead_m": dice.choice([0.0, 1.0, 2.5]),
                "eta_s": dice.choice([0.0, 1800.0, 7200.0]),
                "tide": number % tide_count,
                "depart_s": None
                if dice.random() < 0.2
                else round(START_S + dice.uniform(-10_000, 90_000)),
            }
        )
    return made
