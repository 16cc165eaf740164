"""Which tidal stations count along a leg."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from routecheck.model.route import Leg, LegLine
from routecheck.model.tide import Tide
from routecheck.model.tide_curve import Floats
from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from routecheck.nav.rhumb import rhumb_positions
from routecheck.units import METRES_PER_NMI

_STEP_M = 0.25 * METRES_PER_NMI
_MOST_NODES = 400
_METRES_PER_DEG, _OUTWARD = 110_500.0, 1.02
"""Less than a degree of latitude or, at the equator, of longitude; and room for the corners of a
buffer, which lie inside its circle."""


class StationsAlong:
    """The stations of a leg: looked up at nodes of the track, and in every zone that it enters
    between two of them."""

    def __init__(
        self,
        nodes_m: Floats,
        at_nodes: Sequence[frozenset[int]],
        outside: Sequence[frozenset[int]] = (),
    ) -> None:
        self.nodes_m, self.at_nodes, self.outside = nodes_m, at_nodes, outside
        self.reaches_out = any(outside)
        """Whether any station counts outside all zones, though it has one."""

    def over(self, from_m: float, to_m: float) -> frozenset[int]:
        """All that count anywhere between two distances along, by index."""
        first, last = self._nodes(from_m, to_m)
        return frozenset().union(*self.at_nodes[first : last + 1])

    def out_of_zone(self, from_m: float, to_m: float) -> frozenset[int]:
        """Those of them that count where no station's zone holds, though each has a zone."""
        # Pieces between nodes, both beside a node that is met itself.
        first = max(int(np.searchsorted(self.nodes_m, from_m)) - 1, 0)
        last = max(int(np.searchsorted(self.nodes_m, to_m, side="right")), first + 1)
        first = min(first, max(len(self.outside) - 1, 0))
        return frozenset().union(*self.outside[first:last])

    def _nodes(self, from_m: float, to_m: float) -> tuple[int, int]:
        first = max(int(np.searchsorted(self.nodes_m, from_m, side="right")) - 1, 0)
        last = min(int(np.searchsorted(self.nodes_m, to_m)), len(self.nodes_m) - 1)
        return first, max(first, last)


def stations_along(
    tide: Tide, leg: Leg, length_m: float, reach_m: float = 0.0
) -> StationsAlong | None:
    """The stations that count within `reach_m` of a leg's track; None where the tide has only
    one, which holds everywhere."""
    if len(tide.stations) == 1 and tide.stations[0].zone is None:
        return None
    count = int(np.clip(np.ceil(length_m / _STEP_M), 1, _MOST_NODES)) + 1
    nodes_m = np.linspace(0.0, length_m, count)
    lon, lat = positions_along(leg, nodes_m)
    nearest = [
        set(tide.nearest(float(x), float(y), reach_m)) for x, y in zip(lon, lat, strict=True)
    ]
    zones = [(i, s.zone) for i, s in enumerate(tide.stations) if s.zone is not None]
    held = _every_turn([zone for _, zone in zones])
    found: list[set[int]] = [set() for _ in range(count)]
    outside: list[frozenset[int]] = []
    for at in range(count - 1):
        # A piece over the antimeridian is drawn the short way, beyond 180 degrees, and once more a
        # turn of the world off, where the zones on its far side lie.
        east = lon[at] + (lon[at + 1] - lon[at] + 180.0) % 360.0 - 180.0
        turns = (0.0,) if east == lon[at + 1] else (0.0, 360.0, -360.0)
        once, piece = (
            _widened(
                shapely.MultiLineString(
                    [[(lon[at] + turn, lat[at]), (east + turn, lat[at + 1])] for turn in some]
                ),
                reach_m,
            )
            for some in (turns[:1], turns)
        )
        here = {index for index, zone in zones if zone.intersects(piece)}
        # What lies in no zone has the nearest.
        bare = not any(zone.covers(piece) for _, zone in zones)
        for node in (at, at + 1):
            found[node] |= here | nearest[node] if bare else here
        near = nearest[at] | nearest[at + 1]
        zoned = all(tide.stations[i].zone is not None for i in near)
        outside.append(frozenset(near if zoned and not held.covers(once) else ()))
    return StationsAlong(nodes_m, [frozenset(one) for one in found], outside)


def _every_turn(zones: Sequence[BaseGeometry]) -> BaseGeometry:
    """All zones as one, and once more a turn of the world to the east and to the west."""
    held = shapely.union_all(list(zones))
    turned = [affinity.translate(held, xoff=by) for by in (-360.0, 0.0, 360.0)]
    return shapely.union_all(turned)


def _widened(line: BaseGeometry, reach_m: float) -> BaseGeometry:
    """A line in degrees, with all places within a distance of it and a little more."""
    if reach_m <= 0.0:
        return line
    _, south, _, north = line.bounds
    flat = np.array([max(np.cos(np.radians(max(abs(south), abs(north)))), 0.01), 1.0])
    reach_deg = _OUTWARD * reach_m / _METRES_PER_DEG
    wide = shapely.buffer(shapely.transform(line, lambda xy: xy * flat), reach_deg)
    return shapely.transform(wide, lambda xy: xy / flat)


def positions_along(leg: Leg, along_m: Floats) -> tuple[Floats, Floats]:
    """(longitude in [-180, 180], latitude) at distances along a leg, any shape."""
    start, end = leg.start, leg.end
    if leg.line is LegLine.GREAT_CIRCLE:
        course, _ = geodesic_inverse(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg)
        return geodesic_direct(start.lon_deg, start.lat_deg, course, along_m)
    lon, lat = rhumb_positions(start.lon_deg, start.lat_deg, end.lon_deg, end.lat_deg, along_m)
    return (lon + 180.0) % 360.0 - 180.0, lat
