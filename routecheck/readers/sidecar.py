"""A route's sidecar ``<route file>.toml``: widths, speeds, currents, turns, lines, hours."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from routecheck.model.route import Leg, LegLine, Route
from routecheck.readers.openings import with_opening
from routecheck.readers.tomlfile import Table, read_toml
from routecheck.readers.waypoints import REPEATED, WIDEST_M, refuse_polar_great_circles

_KEYS = (
    "legs",
    "route",
    "cross_track",
    "port",
    "starboard",
    "speed",
    "set_deg",
    "drift",
    "turn_radius",
    "great_circle",
    "daylight_only",
)
_MOST_TABLES = 1_000
_EVERY = "all"
Settings = dict[str, float]
"""Of one leg: port, starboard, turn_radius (metres), speed, drift (knots), set (degrees true),
great_circle and daylight_only (0 or 1)."""


def apply_sidecar(routes: tuple[Route, ...], sidecar: Path) -> tuple[Route, ...]:
    """The routes with what their sidecar sets. Raises BadInput with file, table and key.

    Tables for ``"all"`` legs come first, whatever their place in the file; of the others no two
    may set the same thing for the same leg.
    """
    top = read_toml(sidecar)
    top.refuse_unknown(("leg", "opening"))
    tables = top.tables("leg", most=_MOST_TABLES)
    hours = top.tables("opening", most=_MOST_TABLES)
    if not tables and not hours:
        raise top.bad("it has no [[leg]] table")
    chosen: list[dict[int, Settings]] = [{} for _ in routes]
    for every in (True, False):
        set_here: set[tuple[int, int, str]] = set()
        for table in tables:
            table.refuse_unknown(_KEYS)
            if (table.text("legs") == _EVERY) is not every:
                continue
            settings = _settings(table)
            for index in _meant(table, routes):
                for number in _numbers(table, routes[index]):
                    for name, value in settings.items():
                        if (index, number, name) in set_here:
                            raise table.bad(f"{name} of leg {number} is set twice", key="legs")
                        set_here.add((index, number, name))
                        chosen[index].setdefault(number, {})[name] = value
    made = [
        _with(route, settings, sidecar) if settings else route
        for route, settings in zip(routes, chosen, strict=True)
    ]
    for table in hours:
        for index in _meant(table, routes):
            made[index] = with_opening(made[index], table)
    return tuple(made)


def _settings(table: Table) -> Settings:
    found: Settings = {}
    both = table.length_m("cross_track", most_m=WIDEST_M)
    sides = {side: table.length_m(side, most_m=WIDEST_M) for side in ("port", "starboard")}
    if both is not None:
        if any(width is not None for width in sides.values()):
            raise table.bad("give either it or port and starboard", key="cross_track")
        sides = {"port": both, "starboard": both}
    others = {
        **sides,
        "speed": table.speed_kn("speed"),
        **_current(table),
        "daylight_only": table.truth("daylight_only"),
        "turn_radius": table.length_m("turn_radius", most_m=WIDEST_M),
        "great_circle": table.truth("great_circle"),
    }
    found.update({name: value for name, value in others.items() if value is not None})
    if not found:
        raise table.bad("it sets nothing")
    return found


def _current(table: Table) -> Settings:
    set_deg, drift_kn = table.number("set_deg"), table.speed_kn("drift", most_kn=30.0)
    if (set_deg is None) != (drift_kn is None):
        raise table.bad("a current needs both set_deg and drift")
    if set_deg is None or drift_kn is None:
        return {}
    if not 0.0 <= set_deg <= 360.0:
        raise table.bad(f"{set_deg:g} is not between 0 and 360 degrees", key="set_deg")
    return {"set": set_deg, "drift": drift_kn}


def _meant(table: Table, routes: tuple[Route, ...]) -> Iterable[int]:
    name = table.text("route")
    if name is None:
        if len(routes) > 1 and ("leg" in table.values or table.text("legs") != _EVERY):
            raise table.bad(
                f"the file has {len(routes)} routes, and the table does not say which",
                do='add route = "…"',
            )
        return range(len(routes))
    found = [index for index, route in enumerate(routes) if route.name == name]
    if len(found) != 1:
        known = ", ".join(repr(route.name[:60]) for route in routes[:10])
        count = "no route" if not found else f"{len(found)} routes"
        raise table.bad(f"{count} of the file called {name!r}", key="route", do=f"it has {known}")
    return found


def _numbers(table: Table, route: Route) -> Iterable[int]:
    text = table.text("legs")
    if text is None:
        raise table.bad("it does not say for which legs", do='add legs = "3-5", "1,4" or "all"')
    last = len(route.legs)
    if text == _EVERY:
        return range(1, last + 1)
    if any(remark.startswith(REPEATED) for remark in route.remarks):
        raise table.bad(
            f"route {route.name[:60]!r} repeats a position, so its leg numbers are in doubt",
            key="legs",
            do='take them out of the route, or write legs = "all"',
        )
    numbers: set[int] = set()
    for part in text.split(","):
        found = re.fullmatch(r"\s*([0-9]{1,6})\s*(?:[-–]\s*([0-9]{1,6})\s*)?", part)
        if found is None:
            raise table.bad(f"{text[:60]!r} is not like '3-5', '2', '1,4-6' or 'all'", key="legs")
        first = int(found.group(1))
        final = int(found.group(2) or first)
        if not 1 <= first <= final <= last:
            raise table.bad(f"{part.strip()!r} is not within the legs 1-{last}", key="legs")
        numbers.update(range(first, final + 1))
    return sorted(numbers)


def _with(route: Route, chosen: dict[int, Settings], sidecar: Path) -> Route:
    waypoints = list(route.waypoints)
    for number, settings in chosen.items():
        if "turn_radius" in settings:
            waypoints[number] = replace(waypoints[number], turn_radius_m=settings["turn_radius"])
    legs = [
        _leg(
            replace(leg, start=waypoints[leg.number - 1], end=waypoints[leg.number]),
            chosen.get(leg.number, {}),
        )
        for leg in route.legs
    ]
    remark = f"legs set by {sidecar.name}"
    made = replace(route, legs=tuple(legs), remarks=(*route.remarks, remark))
    refuse_polar_great_circles(made)
    return made


def _leg(leg: Leg, settings: Settings) -> Leg:
    line = leg.line
    if "great_circle" in settings:
        line = LegLine.GREAT_CIRCLE if settings["great_circle"] else LegLine.RHUMB
    return replace(
        leg,
        line=line,
        xtd_port_m=settings.get("port", leg.xtd_port_m),
        xtd_starboard_m=settings.get("starboard", leg.xtd_starboard_m),
        speed_kn=settings.get("speed", leg.speed_kn),
        set_deg=settings.get("set", leg.set_deg),
        drift_kn=settings.get("drift", leg.drift_kn),
        daylight_only=bool(settings.get("daylight_only", leg.daylight_only)),
    )
