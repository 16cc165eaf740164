"""What the package may call a danger: the same rules with its own stated rounding allowed for.

The corridor is 0.2 % and a metre wider, depths are a centimetre shoaler (and the tide's own
rounding), the clock is that of the whole leg.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from routecheck.model.finding import Finding
from tests.oracle import sums, tides
from tests.oracle.allowed_areas import why_no_such_area
from tests.oracle.cells import squares_touching
from tests.oracle.judge import Oracle
from tests.oracle.marks import Pass, hand, passes, stated
from tests.oracle.package_side import GROUP
from tests.oracle.plane import apart
from tests.oracle.sources import on_datum
from tests.oracle.sums import DANGER

_DEPTH_M = 0.01


def why_not(oracle: Oracle, clock: dict[str, Any], finding: Finding) -> str:
    """Why the oracle finds no danger there; "" where it finds one, or cannot tell."""
    leg, key = finding.leg - 1, finding.object_key
    if finding.check == "too-little-water":
        if "/stretch/" in key:
            return _grid(oracle, clock, leg, key.split("/stretch/")[0])
        return _depth(oracle, clock, leg, key)
    if finding.check == "underwater-danger":
        return _danger(oracle, clock, leg, key)
    if finding.check == "land-in-the-way":
        for chart in oracle.world["charts"]:
            for one in chart["lands"]:
                if one["key"] == key:
                    near = oracle.corridor.legs[leg].may_hold(oracle.sources.flat[key], "ring")
                    return "" if near else "the land lies outside the corridor"
    if finding.check == "span-overhead":
        return _span(oracle, clock, leg, key)
    if GROUP[finding.check] == "areas":
        return why_no_such_area(oracle, clock, leg, key, _window(oracle, clock, leg))
    if finding.check in ("wrong-side-of-mark", "wrong-side-of-cardinal", "marked-danger-too-close"):
        return _mark(oracle, finding.check, key)
    return ""


def _window(oracle: Oracle, clock: dict[str, Any], leg: int) -> tuple[float, float] | None:
    length_m = oracle.corridor.legs[leg].length_m
    first, last = oracle.window_at(clock, leg, 0.0), oracle.window_at(clock, leg, length_m)
    if first is None or last is None:
        return None
    arcs_s = sum(2.0 * shorter + bulge for shorter, bulge in oracle.arcs_m[: leg + 1]) / 0.5
    slack_s = 5.0 + 0.04 * arcs_s
    return first[0] - slack_s, last[1] + slack_s


def _rank(
    oracle: Oracle,
    clock: dict[str, Any],
    leg: int,
    source: dict[str, Any],
    depth: float,
    **more: Any,
) -> tuple[int, str]:
    zones = [zone["datum"] for zone in source.get("datum_zones", ())]
    every = [
        _rank_on(oracle, clock, leg, *on_datum(source, depth, z), **more) for z in ("", *zones)
    ]
    return max(every)


def _rank_on(
    oracle: Oracle, clock: dict[str, Any], leg: int, depth: float, datum: str, **more: Any
) -> tuple[int, str]:
    every = tides.every_station(oracle.world["tides"][clock["tide"]])
    return max(_rank_by(oracle, clock, leg, depth, datum, tide, **more) for tide in every)


def _rank_by(
    oracle: Oracle,
    clock: dict[str, Any],
    leg: int,
    depth: float,
    datum: str,
    tide: dict[str, Any] | None,
    **more: Any,
) -> tuple[int, str]:
    window = _window(oracle, clock, leg)
    slack = _DEPTH_M + tides.rounding_m(tide) + _bend_m(tide)
    slack += _nineteen_years_m(tide, datum, window)
    item = {"depth_m": depth, "datum": datum, "u_m": 0.0, "belt": False, "unreliable": False}
    return sums.depth_rank({**item, **more}, clock, tide, window, -slack)


def _nineteen_years_m(
    tide: dict[str, Any] | None, datum: str, window: tuple[float, float] | None
) -> float:
    """Where the lowest at any time counts, the package looks through 19 years, the oracle through
    a month."""
    if tide is None or tide["kind"] != "harmonic":
        return 0.0
    if window is not None and tides.level_m(tide, datum) is not None:
        return 0.0
    return float(sum(height for _, height, _ in tide["constants"]))


def _bend_m(tide: dict[str, Any] | None) -> float:
    """How far the package lets a series bend below the straight line between its samples."""
    if tide is None or tide["kind"] != "series":
        return 0.0
    heights = np.array(tide["heights_m"])
    return float(np.abs(np.diff(heights, n=2)).max()) / 4.0


def _depth(oracle: Oracle, clock: dict[str, Any], leg: int, key: str) -> str:
    for chart in oracle.world["charts"]:
        for kind, shape in (("areas", "ring"), ("soundings", "point"), ("contours", "line")):
            for one in chart[kind]:
                if one["key"] != key:
                    continue
                flat = _flat(oracle, one, shape)
                if not oracle.corridor.legs[leg].may_hold(flat, shape):
                    return "it lies outside the corridor"
                rank, text = _rank(oracle, clock, leg, chart, float(one["depth_m"]))
                return "" if rank == DANGER else text
    return f"no object {key}"


def _flat(oracle: Oracle, one: dict[str, Any], shape: str) -> Any:
    if shape == "ring":
        return oracle.sources.flat[one["key"]]
    if shape == "point":
        return oracle.sheet.xy(one["at"])
    return oracle.sheet.shape(one["line"], ring=False)


def _danger(oracle: Oracle, clock: dict[str, Any], leg: int, key: str) -> str:
    for chart in oracle.world["charts"]:
        for one in chart["dangers"]:
            if one["key"] != key:
                continue
            flat = oracle.sheet.xy(one["at"])
            if not oracle.corridor.legs[leg].may_hold(flat, "point"):
                return "it lies outside the corridor"
            if one["stands_out"]:
                return ""
            depths = [one["depth_m"]]
            if one["depth_m"] is None:
                depths = []
                if one["in_area_range"]:
                    depths = [
                        a["depth_m"]
                        for a in chart["areas"]
                        if a["depth_m"] is not None
                        and apart(flat, "point", oracle.sources.flat[a["key"]]) < 0.1
                    ]
                if one["uncovers"]:  # in an area that does not, its depth is not known
                    depths = [depth for depth in depths if depth <= 0.0]
                if not depths:
                    return "" if one["dangerous"] else "it is charted as not dangerous"
            rank, text = min(
                (_rank(oracle, clock, leg, chart, float(d)) for d in depths),
                key=lambda found: -found[0],
            )
            return "" if rank == DANGER else text
    return f"no object {key}"


def _grid(oracle: Oracle, clock: dict[str, Any], leg: int, name: str) -> str:
    grid = next(g for g in oracle.world["grids"] if g["id"] == name)
    rings = oracle.corridor.legs[leg].wide
    cells, touched = squares_touching(grid, oracle.sheet, rings)
    depths = [cells[n][0] for numbers in touched for n in numbers]
    if not depths:
        return "no cell of it touches the corridor"
    rank, text = _rank(oracle, clock, leg, grid, min(depths))
    return "" if rank == DANGER else text


def _span(oracle: Oracle, clock: dict[str, Any], leg: int, key: str) -> str:
    every = tides.every_station(oracle.world["tides"][clock["tide"]])
    for chart in oracle.world["charts"]:
        for one in chart["spans"]:
            if one["key"] != key:
                continue
            flat = oracle.sheet.shape(one["line"], ring=False)
            if not oracle.corridor.legs[leg].may_hold(flat, "line"):
                return "it lies outside the corridor"
            window = _window(oracle, clock, leg)
            found = []
            for tide in every:
                slack = _DEPTH_M + tides.rounding_m(tide) + _bend_m(tide)
                slack += _nineteen_years_m(tide, one["datum"], window)
                found.append(sums.air_rank(one, clock, tide, window, -slack, belt=False))
            rank, text = max(found)
            return "" if rank == DANGER else text
    return f"no object {key}"


def _mark(oracle: Oracle, check: str, key: str) -> str:
    """Whether any pass of the mark could be a wrong one."""
    mark = next(m for c in oracle.world["charts"] for m in c["marks"] if m["key"] == key)
    met: list[Pass] = passes(oracle.corridor, mark)
    if check != "wrong-side-of-mark" or not met:
        return ""
    direction, _, sure = stated(oracle.world, mark["at"])
    if not sure or direction is None:
        return ""
    kind, _, wrong = hand(oracle.world, mark)
    if not kind:
        return "its hand is not known"
    if wrong:
        return "its colours contradict its hand"
    for one in met:
        turn = abs((one.course_deg - direction + 180.0) % 360.0 - 180.0)
        if 68.0 < turn < 112.0 or one.distance_m < 0.5:
            return ""
        port = (kind == "port-hand") == (turn < 90.0)
        if one.side != ("port" if port else "starboard"):
            return ""
    return "" if len(oracle.corridor.legs) > 1 else "every pass leaves it on its proper side"
