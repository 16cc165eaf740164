"""Small tracks for tests of the survey, drawn in metres from a spot, and how to draw results."""

from __future__ import annotations

import math
from collections.abc import Sequence

from routecheck.model.route import Route
from routecheck.survey.corridors import corridors
from routecheck.survey.marktrack import MarkTrack, mark_track
from tests.buoys import GEOD, HERE, Place, Spot, route

LEG_M = 2000.0


def bent(turn_deg: float, course_deg: float = 0.0, first_m: float = LEG_M) -> list[Place]:
    """Two legs round the origin, the second of 2000 m."""
    begin, on = math.radians(course_deg), math.radians(course_deg + turn_deg)
    return [
        (-first_m * math.sin(begin), -first_m * math.cos(begin)),
        (0.0, 0.0),
        (LEG_M * math.sin(on), LEG_M * math.cos(on)),
    ]


def zigzag(lengths_m: Sequence[float], courses_deg: Sequence[float]) -> list[Place]:
    """Legs from the origin."""
    places = [(0.0, 0.0)]
    for length_m, course_deg in zip(lengths_m, courses_deg, strict=True):
        places.append(polar(course_deg, length_m, places[-1]))
    return places


def chain(places: Sequence[Place], radius_m: float = 0.0, spot: Spot = HERE) -> MarkTrack:
    """The lines that marks are looked for along."""
    return chain_of(route(places, spot, radius_m))


def chain_of(one: Route) -> MarkTrack:
    return mark_track(corridors(one, tuple((50.0, 50.0) for _ in one.legs)))


def polar(bearing_deg: float, far_m: float, at: Place = (0.0, 0.0)) -> Place:
    """A place at a bearing and a distance from another."""
    bearing = math.radians(bearing_deg)
    return at[0] + far_m * math.sin(bearing), at[1] + far_m * math.cos(bearing)


def drawn(lon_deg: Sequence[float], lat_deg: Sequence[float], spot: Spot = HERE) -> list[Place]:
    """Positions, east and north of the spot by geodesics (pyproj)."""
    found = []
    for lon, lat in zip(lon_deg, lat_deg, strict=True):
        bearing, _, far_m = GEOD.inv(spot.lon_deg, spot.lat_deg, float(lon), float(lat))
        found.append(polar(bearing - spot.turn_deg, far_m))
    return found


def is_drawn(found: Sequence[Place], wanted: Sequence[Place], within_m: float = 2e-3) -> None:
    """The same places, in the same order."""
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert math.dist(one, other) < within_m, (found, wanted)
