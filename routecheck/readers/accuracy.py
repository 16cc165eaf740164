"""Zones that say how far off positions in them may be, and the objects of one chart in them.

IHO S-57 edition 3.1, appendix A: M_ACCY with POSACC (attribute 401, metres). S-101:
QualityOfNonBathymetricData with horizontalPositionUncertainty. Depths have zones of their own
(M_QUAL). HORACC of such a zone is of widths, not of positions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import Charted, Mark

Zone = tuple[BaseGeometry, float]
"""An area (longitude and latitude, degrees), and how far off positions in it may be (metres)."""
IN_ZONES = ("dangers", "solids", "spans", "marks", "areas", "unsurveyed", "unknown")
"""Fields of `Chart` whose objects have positions that such a zone is of."""
_METRES_PER_DEGREE = 110_000.0
"""Of latitude, at the least 110.57 km; of longitude times the cosine of the latitude."""
_TURNS_DEG = 360.0 * np.arange(-3, 4)


def with_zones(parts: dict[str, Any], zones: Sequence[Zone], own_m: float) -> dict[str, Any]:
    """A chart's objects by field, those that touch a zone no better placed than it says.

    A zone never makes better what the object states, or where it states nothing, the chart:
    `own_m`, metres.
    """
    return parts | {
        field: _in_zones(parts[field], zones, own_m) for field in IN_ZONES if field in parts
    }


def _in_zones(
    things: Sequence[Charted], zones: Sequence[Zone], own_m: float
) -> tuple[Charted, ...]:
    shapes = np.empty(len(things), dtype=object)
    shapes[:] = [_extent(thing) for thing in things]
    tree = shapely.STRtree(shapes)
    west, south, east, north = shapely.total_bounds(shapes)
    stated_m = np.zeros(len(things))
    for zone, worst_m in zones:
        left, low, right, high = zone.bounds
        if low > north or high < south:
            continue
        # One chart may write a longitude as 181 degrees here and as -179 there.
        for turn_deg in _TURNS_DEG:
            if left + turn_deg <= east and right + turn_deg >= west:
                hits = tree.query(translate(zone, turn_deg), predicate="intersects")
                stated_m[hits] = np.maximum(stated_m[hits], worst_m)
    return tuple(
        _no_better(thing, float(zone_m), own_m)
        for thing, zone_m in zip(things, stated_m, strict=True)
    )


def _no_better(thing: Charted, zone_m: float, own_m: float) -> Charted:
    stated_m = thing.position_uncertainty_m
    if zone_m <= (own_m if stated_m is None else stated_m):
        return thing
    return replace(thing, position_uncertainty_m=zone_m)


def _extent(thing: Charted) -> BaseGeometry:
    """Its shape; of a mark that is drawn wider than a point a box that holds it."""
    if not isinstance(thing, Mark) or thing.spread_m == 0.0:
        return thing.geometry
    up_deg = thing.spread_m / _METRES_PER_DEGREE
    poleward = min(abs(thing.lat_deg) + up_deg, 89.9)
    out_deg = min(up_deg / float(np.cos(np.radians(poleward))), 180.0)
    lon_deg, lat_deg = thing.lon_deg, thing.lat_deg
    return shapely.box(lon_deg - out_deg, lat_deg - up_deg, lon_deg + out_deg, lat_deg + up_deg)
