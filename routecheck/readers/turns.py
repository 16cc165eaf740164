"""Turns that do not fit between the waypoints of a route: said, since no boat can make them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from routecheck.model.route import Route
from routecheck.nav.angles import wrap180_deg
from routecheck.nav.rhumb import rhumb_inverse
from routecheck.readers.strict import cleaned

_MOST = 5


def with_turns_remarked(route: Route) -> Route:
    """The route, with a remark on turns whose arcs overlap on a leg or are longer than it.

    An arc of radius r with a turn of t touches the legs r tan(t / 2) from the waypoint.
    """
    points = route.waypoints
    radius_m = np.array([point.turn_radius_m for point in points])
    radius_m[[0, -1]] = 0.0
    if not radius_m.any():
        return route
    lon = np.array([point.lon_deg for point in points])
    lat = np.array([point.lat_deg for point in points])
    # On a great circle the course changes along the leg; for this purpose the chord's will do.
    course_deg, length_m = rhumb_inverse(lon[:-1], lat[:-1], lon[1:], lat[1:])
    turn_deg = np.zeros(len(points))
    turn_deg[1:-1] = np.abs(wrap180_deg(np.diff(course_deg)))
    tangent_m = radius_m * np.tan(np.radians(np.minimum(turn_deg, 179.0) / 2.0))
    tight = np.flatnonzero(tangent_m[:-1] + tangent_m[1:] > length_m * (1.0 + 1e-9))
    if not len(tight):
        return route
    legs = ", ".join(
        f"{index + 1} ({cleaned(points[index].name, longest=40)!r} to "
        f"{cleaned(points[index + 1].name, longest=40)!r})"
        for index in tight[:_MOST]
    )
    more = f" and {len(tight) - _MOST} more" if len(tight) > _MOST else ""
    remark = (
        f"turn radii too large for the length of leg {legs}{more}: "
        "the turns cannot be made as given, and the track between them is uncertain"
    )
    return replace(route, remarks=(*route.remarks, remark))
