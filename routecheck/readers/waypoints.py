"""From waypoints as a file gives them to a route that can be vetted, or a plain refusal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.nav.angles import wrap180_deg
from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from routecheck.nav.rhumb import rhumb_inverse
from routecheck.readers.strict import cleaned, decimal, latitude_deg, longitude_deg

MOST_WAYPOINTS = 100_000
FURTHEST_LAT_DEG = 85.0
"""Beyond it a corridor in the leg's plane is no longer true to 0.1 %."""
WIDEST_M = 18_520.0
"""Ten nautical miles: corridors and turns wider than that are not vetted."""
REPEATED = "repeated position: "
"""How the remark on a dropped waypoint begins."""
_SAME_M = 0.001
_REMARKS = 5


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A waypoint as read, with what the file says of the leg that arrives at it."""

    name: str
    lon_deg: float
    lat_deg: float
    where: str
    """Where in the file, for messages: "waypoint 3 ('Red buoy'), line 12"."""
    turn_radius_m: float = 0.0
    line: LegLine = LegLine.RHUMB
    xtd_port_m: float | None = None
    xtd_starboard_m: float | None = None
    speed_kn: float | None = None


def place(number: int, name: str, line: int | None = None) -> str:
    """How messages name a waypoint."""
    named = f" ({cleaned(name, longest=60)!r})" if name else ""
    return f"waypoint {number}{named}" + (f", line {line}" if line is not None else "")


def position_deg(lon: str | None, lat: str | None, *, file: str, where: str) -> tuple[float, float]:
    """(longitude, latitude) from two attributes. Raises BadInput where either is no such thing."""
    found = []
    for word, text, check in (("lon", lon, longitude_deg), ("lat", lat, latitude_deg)):
        if text is None:
            raise BadInput(file=file, where=where, wrong=f"it has no {word}")
        try:
            found.append(check(decimal(text)))
        except ValueError as error:
            raise BadInput(file=file, where=where, wrong=f"{word}: {error}") from None
    return found[0], found[1]


def route_of(
    points: Sequence[Point], *, name: str, file: str, remarks: Sequence[str] = ()
) -> Route:
    """The route through points; repeated positions are dropped with a remark.

    Raises BadInput for fewer than two waypoints or positions, too many, a latitude beyond 85
    degrees, or a leg half-way round the world, which could go either way.
    """
    which = f"route {cleaned(name, longest=60)!r}"
    if len(points) > MOST_WAYPOINTS:
        raise BadInput(file=file, where=which, wrong=f"it has more than {MOST_WAYPOINTS} waypoints")
    if len(points) < 2:
        count = "one waypoint" if points else "no waypoint"
        raise BadInput(file=file, where=which, wrong=f"it has {count}; a route needs two or more")
    for point in points:
        if abs(point.lat_deg) > FURTHEST_LAT_DEG:
            raise BadInput(
                file=file,
                where=point.where,
                wrong=f"latitude {point.lat_deg:g} is beyond {FURTHEST_LAT_DEG:g} degrees",
                do="so near a pole a route cannot be vetted",
            )
    kept, dropped = _without_repeats(points)
    if len(kept) < 2:
        raise BadInput(file=file, where=which, wrong="all its waypoints are one position")
    waypoints = [
        Waypoint(
            name=point.name,
            lon_deg=point.lon_deg,
            lat_deg=point.lat_deg,
            turn_radius_m=point.turn_radius_m,
        )
        for point in kept
    ]
    legs = []
    for number in range(1, len(kept)):
        here = kept[number]
        if abs(abs(here.lon_deg - kept[number - 1].lon_deg) - 180.0) < 1e-9:
            raise BadInput(
                file=file,
                where=here.where,
                wrong="the leg to it goes half-way round the world, east or west",
                do="put a waypoint between",
            )
        legs.append(
            Leg(
                number=number,
                start=waypoints[number - 1],
                end=waypoints[number],
                line=here.line,
                xtd_port_m=here.xtd_port_m,
                xtd_starboard_m=here.xtd_starboard_m,
                speed_kn=here.speed_kn,
            )
        )
    route = Route(name=name, legs=tuple(legs), file=file, remarks=(*dropped, *remarks))
    refuse_polar_great_circles(route)
    return route


def refuse_polar_great_circles(route: Route) -> None:
    """Raise BadInput where a great-circle leg leads beyond 85 degrees of latitude."""
    for leg in route.legs:
        if leg.line is not LegLine.GREAT_CIRCLE:
            continue
        start, end = leg.start, leg.end
        course, length = geodesic_inverse(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)
        along = np.linspace(0.0, float(length), 181)
        _, lat = geodesic_direct(start.lon_deg, start.lat_deg, course, along)
        if float(np.abs(lat).max()) > FURTHEST_LAT_DEG:
            raise BadInput(
                file=route.file,
                where=f"leg {leg.number}",
                wrong=f"its great circle goes beyond {FURTHEST_LAT_DEG:g} degrees of latitude",
                do="so near a pole a route cannot be vetted",
            )


def _without_repeats(points: Sequence[Point]) -> tuple[list[Point], list[str]]:
    kept: list[Point] = []
    dropped: list[str] = []
    for point in points:
        if kept and _same(kept[-1], point):
            dropped.append(
                f"{REPEATED}{point.where} lies where {kept[-1].where} does, and was dropped"
            )
            kept[-1] = _with_room_of(kept[-1], point)
        else:
            kept.append(point)
    if len(dropped) > _REMARKS:
        more = len(dropped) - _REMARKS
        dropped = [*dropped[:_REMARKS], f"{REPEATED}{more} more waypoints were dropped"]
    return kept, dropped


def _with_room_of(kept: Point, dropped: Point) -> Point:
    """A waypoint with the wider room and turn of the two, where both state theirs."""

    def wider_m(one: float | None, other: float | None) -> float | None:
        return one if one is None or other is None else max(one, other)

    return replace(
        kept,
        turn_radius_m=max(kept.turn_radius_m, dropped.turn_radius_m),
        xtd_port_m=wider_m(kept.xtd_port_m, dropped.xtd_port_m),
        xtd_starboard_m=wider_m(kept.xtd_starboard_m, dropped.xtd_starboard_m),
    )


def _same(first: Point, second: Point) -> bool:
    # The cheap test first: a track has 100,000 points.
    if abs(first.lat_deg - second.lat_deg) > 1e-7:
        return False
    if abs(float(wrap180_deg(second.lon_deg - first.lon_deg))) > 1e-6:
        return False
    _, apart_m = rhumb_inverse(first.lon_deg, first.lat_deg, second.lon_deg, second.lat_deg)
    return float(apart_m) < _SAME_M
