"""Hours of bridges, locks and gates from a route's sidecar: ``[[opening]]``."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from routecheck.model.opening import Hours, Opening
from routecheck.model.route import Route
from routecheck.nav.rhumb import rhumb_inverse
from routecheck.readers.strict import cleaned, shown
from routecheck.readers.tomlfile import Table
from routecheck.readers.waypoints import REPEATED
from routecheck.units import METRES_PER_NMI

_KEYS = ("name", "route", "leg", "at", "hours", "days")
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_CLOCK = r"([01][0-9]|2[0-3]):([0-5][0-9])"
_HOURS = re.compile(rf"{_CLOCK}-(?:{_CLOCK}|24:00)(Z|[+-](?:0[0-9]|1[0-4]):[0-5][0-9])")
_MOST_HOURS = 48
_MOST_AT_M = 1e7
_ROOM_M = 20.0
"""A place at a leg's very end may be measured beyond it by so much."""


def with_opening(route: Route, table: Table) -> Route:
    """The route with the opening of a table on its leg. Raises BadInput, naming the key."""
    table.refuse_unknown(_KEYS)
    number = table.values.get("leg")
    last = len(route.legs)
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= last:
        raise table.bad(f"{shown(number)} is none of the legs 1-{last}", key="leg")
    hours = table.read("hours", _hours)
    if hours is None:
        raise table.bad("it has no hours", do='add hours = ["07:00-21:00+02:00"]')
    if any(remark.startswith(REPEATED) for remark in route.remarks):
        raise table.bad(
            f"route {route.name[:60]!r} repeats a position, so its leg numbers are in doubt",
            key="leg",
            do="take them out of the route",
        )
    leg = route.legs[number - 1]
    along_m = table.length_m("at", most_m=_MOST_AT_M)
    start, end = leg.start, leg.end
    length_m = float(rhumb_inverse(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)[1])
    if along_m is not None and along_m > length_m + _ROOM_M:
        miles = length_m / METRES_PER_NMI
        raise table.bad(
            f"leg {number} is {miles:.2f} nmi long",
            key="at",
            do="count it from the leg's start, or leave it out",
        )
    weekdays = table.read("days", _weekdays)
    opening = Opening(
        name=table.text("name") or "opening",
        hours=hours,
        along_m=along_m,
        weekdays=frozenset(range(7)) if weekdays is None else weekdays,
        words=cleaned(", ".join(table.values["hours"]), longest=120)
        + (f" ({cleaned(table.values['days'], longest=40)})" if weekdays is not None else ""),
    )
    legs = list(route.legs)
    legs[number - 1] = replace(leg, openings=(*leg.openings, opening))
    return replace(route, legs=tuple(legs))


def _hours(value: Any) -> tuple[Hours, ...]:
    if not isinstance(value, list) or not 1 <= len(value) <= _MOST_HOURS:
        raise ValueError('give a list such as ["07:00-09:30+02:00", "11:00-21:00+02:00"]')
    return tuple(_one(part) for part in value)


def _one(value: Any) -> Hours:
    found = _HOURS.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise ValueError(f'{shown(value)} is not like "07:00-21:00+02:00" or "07:00-24:00Z"')
    start_s = 3600.0 * int(found.group(1)) + 60.0 * int(found.group(2))
    end_s = 86_400.0
    if found.group(3) is not None:
        end_s = 3600.0 * int(found.group(3)) + 60.0 * int(found.group(4))
    zone = found.group(5)
    ahead_s = 0.0
    if zone != "Z":
        ahead_s = 3600.0 * int(zone[1:3]) + 60.0 * int(zone[4:6])
        ahead_s = -ahead_s if zone[0] == "-" else ahead_s
    return Hours(start_s=start_s, end_s=end_s, ahead_s=ahead_s)


def _weekdays(value: Any) -> frozenset[int]:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    days: set[int] = set()
    for part in value.lower().split(","):
        ends = [end.strip() for end in part.split("-")]
        if len(ends) > 2 or any(end not in _DAYS for end in ends):
            raise ValueError(f'{shown(value)} is not like "Mon-Fri" or "Sat,Sun"')
        first, last = _DAYS.index(ends[0]), _DAYS.index(ends[-1])
        days.update((first + n) % 7 for n in range((last - first) % 7 + 1))
    return frozenset(days)
