"""What the package may call a danger of areas and lines: the same rules, a metre given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.oracle.areas import How, courses_deg, in_force, must_say
from tests.oracle.judge import Oracle
from tests.oracle.plane import apart, from_chain
from tests.oracle.sums import DANGER

_ROOM_M, _ROOM_DEG = 2.0, 1.1
_FURTHEST_H = 15
"""Charted dates are days of local time."""


def why_no_such_area(oracle: Oracle, clock: dict[str, Any], leg: int, key: str, span: Any) -> str:
    """Why the oracle finds no danger there; "" where it finds one, or cannot tell."""
    one = next(a for c in oracle.world["charts"] for a in c["regulated"] if a["key"] == key)
    shape, here = oracle.regulated.flat[key], oracle.corridor.legs[leg]
    if not here.may_hold(shape, one["shape"]):
        return "it lies outside the corridor"
    if not in_force(one["period"], span, _FURTHEST_H):
        return "it is not in force"
    courses = courses_deg(here)
    turned = [c + turn for c in courses for turn in (-_ROOM_DEG, 0.0, _ROOM_DEG)]
    axes = tuple(
        other["orientation_deg"]
        for c in oracle.world["charts"]
        for other in c["regulated"]
        if other["kind"] == "traffic lane"
        and other["orientation_deg"] is not None
        and here.may_hold(oracle.regulated.flat[other["key"]], "ring", 600.0)
    )
    how = How(leg_deg=tuple(turned), axes_deg=axes, apart_m=1e9)
    if one["kind"] == "gate":
        return _of(one, how, clock, oracle)
    away = apart(here.track, "line", shape) if one["shape"] == "ring" else 0.0
    if away < _ROOM_M:
        beyond = away > 0.0 or bool((from_chain(here.track, shape) < _ROOM_M).all())
        whole = beyond or apart(here.track[:1], "point", shape) < _ROOM_M
        how = replace(how, inside_deg=tuple(turned), inside_m=1e9, whole=whole)
    return _of(one, how, clock, oracle)


def _of(one: dict[str, Any], how: How, clock: dict[str, Any], oracle: Oracle) -> str:
    rank, why = must_say(one, how, clock, oracle.world["margins"])
    return "" if rank == DANGER else f"it is no danger: {why or 'nothing'}"
