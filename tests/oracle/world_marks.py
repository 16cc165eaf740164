"""Random marks and zones of buoyage for a world. No mark has a name: only what is stated counts."""

from __future__ import annotations

import math
import random
from typing import Any

_A = {"port-hand": ["red"], "starboard-hand": ["green"]}
_B = {"port-hand": ["green"], "starboard-hand": ["red"]}
_CARDINALS = {
    "north": ["black", "yellow"],
    "east": ["black", "yellow", "black"],
    "south": ["yellow", "black"],
    "west": ["yellow", "black", "yellow"],
}


def marks(dice: random.Random, land: Any, name: str) -> list[dict[str, Any]]:
    made = []
    for number in range(dice.choice([0, 0, 1, 2, 3])):
        kind = dice.choice(
            [
                *("port-hand", "starboard-hand", "lateral", "lateral", "port-hand"),
                *("north", "east", "south", "west"),
                *("isolated-danger", "safe-water", "special", "emergency-wreck"),
                *("preferred-channel-to-port", "starboard-hand"),
            ]
        )
        colours: list[str] = []
        if kind in _A:
            colours = dice.choice([[], _A[kind], _B[kind]])
        elif kind == "lateral":
            colours = dice.choice([["red"], ["green"], []])
        elif kind in _CARDINALS and dice.random() < 0.7:
            colours = _CARDINALS[kind]
        made.append(
            {
                "key": f"{name}/m{number}",
                "at": land.at(*_place(dice, land)),
                "kind": kind,
                "colours": colours,
                "floating": dice.random() < 0.75,
                "region": dice.choice(["", "", "", "A", "B"]),
                "accuracy_m": dice.choice([None, None, 5.0, 40.0]),
            }
        )
    return made


def preferred(dice: random.Random, land: Any, name: str) -> dict[str, Any]:
    """A mark where a channel forks, with or without its three bands."""
    bands = dice.choice([[], ["red", "green", "red"], ["green", "red", "green"]])
    return {
        "key": f"{name}/fork",
        "at": land.at(*_place(dice, land)),
        "kind": f"preferred-channel-to-{dice.choice(['port', 'starboard'])}",
        "colours": bands,
        "floating": dice.random() < 0.75,
        "region": dice.choice(["", "", "A", "B"]),
        "accuracy_m": dice.choice([None, None, 5.0, 40.0]),
    }


def _place(dice: random.Random, land: Any) -> tuple[float, float]:
    """Near the track; now and then round a waypoint."""
    if dice.random() < 0.2:
        x, y = dice.choice(land.track)
        away, turn = dice.uniform(5.0, 170.0) / land.side_m, dice.uniform(0.0, 2.0 * math.pi)
        return x + away * math.cos(turn), y + away * math.sin(turn)
    found: tuple[float, float] = land.near_track(land.track, dice.choice([land.wide_m, 150.0]))
    return found


def zones(dice: random.Random, land: Any, name: str) -> list[dict[str, Any]]:
    """One zone over all, or two halves whose directions turn round between them."""
    direction = round(dice.uniform(0.0, 360.0), 1)
    region = dice.choice(["A", "B"])
    if dice.random() < 0.6:
        rings = [[(-2, -2), (2, -2), (2, 2), (-2, 2)]]
        directions = [direction]
    else:
        cut = dice.uniform(-0.3, 0.3)
        rings = [
            [(-2, -2), (cut, -2), (cut, 2), (-2, 2)],
            [(cut, -2), (2, -2), (2, 2), (cut, 2)],
        ]
        directions = [direction, (direction + 180.0) % 360.0]
    made = [
        {
            "key": f"{name}/z{n}",
            "ring": land.ring(ring),
            "region": dice.choice([region, region, ""]) if name == "user" else region,
            "direction_deg": one if dice.random() < 0.9 or name == "user" else None,
        }
        for n, (ring, one) in enumerate(zip(rings, directions, strict=True))
    ]
    return made + _quarrel(made, name)


def _quarrel(made: list[dict[str, Any]], name: str) -> list[dict[str, Any]]:
    """Now and then a second zone over the very water of the first, which says otherwise. Thrown
    with dice of its own, so that the rest of a world is what it was."""
    first = made[0]
    dice = random.Random(f"{first['ring']}")
    if dice.random() > 0.3:
        return []
    turn = dice.choice([0.0, 30.0, 90.0, 180.0])
    direction = None if first["direction_deg"] is None else (first["direction_deg"] + turn) % 360.0
    region = dice.choice([first["region"], {"A": "B", "B": "A", "": ""}[first["region"]], ""])
    other = {"key": f"{name}/quarrel", "ring": first["ring"], "region": region}
    other["direction_deg"] = dice.choice([direction, direction, None])
    return [other]
