"""What a recommended track or leading line near a pass says of the direction of buoyage.

By convention the bearing of such a line is given as seen from seaward (IHO S-57 edition 3.1, use of
the object catalogue, on NAVLNE and RECTRC; from memory), so that going along it one goes, as a
rule, with the direction of buoyage. In straits there is no seaward side: the ground is weak, and
never stands alone.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from routecheck.model.chart import ChartSet
from routecheck.model.objects import SteeringLine
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.nav.angles import turn_deg, wrap360_deg
from routecheck.nav.buoyage import sense_of_course
from routecheck.survey.markset import offset_m
from routecheck.units import METRES_PER_NMI

REACH_M = 0.25 * METRES_PER_NMI
"""A track further from the line than this does not follow it."""
_OFF_DEG = 20.0
"""A stretch of the line that runs further than this from its bearing is another reach of it."""
_BOX_DEG = 0.01


class SteeringLines:
    """The steering lines of a chart set, found by place."""

    def __init__(self, charts: ChartSet) -> None:
        """Put all lines together."""
        self._lines = [line for chart in charts.charts for line in chart.steering_lines]
        self._tree = shapely.STRtree([line.geometry for line in self._lines])

    def ground(self, lon_deg: float, lat_deg: float, course_deg: float) -> Ground | None:
        """What the lines near a place of the track say to a boat on this course; None where none
        runs there, the course crosses it, or two disagree."""
        if not self._lines:
            return None
        wide = _BOX_DEG / max(math.cos(math.radians(lat_deg)), 0.05)
        found: list[Ground] = []
        for whole_turn_deg in (-360.0, 0.0, 360.0):
            lon = lon_deg + whole_turn_deg
            box = shapely.box(lon - wide, lat_deg - _BOX_DEG, lon + wide, lat_deg + _BOX_DEG)
            for number in sorted(self._tree.query(box).tolist()):
                said = _said(self._lines[number], lon_deg, lat_deg, course_deg)
                if said is not None:
                    found.append(said)
        return found[0] if len({ground.sense for ground in found}) == 1 else None


def _said(line: SteeringLine, lon_deg: float, lat_deg: float, course_deg: float) -> Ground | None:
    nearest: tuple[float, float] | None = None
    for part in shapely.get_parts(line.geometry):
        places = shapely.get_coordinates(part)
        east, north = offset_m(lon_deg, lat_deg, places[:, 0], places[:, 1])
        for x, y, dx, dy in zip(east, north, np.diff(east), np.diff(north), strict=False):
            long2 = float(dx * dx + dy * dy)
            if long2 > 0.0:
                share = min(max(-(x * dx + y * dy) / long2, 0.0), 1.0)
                off_m = math.hypot(x + share * dx, y + share * dy)
                if nearest is None or off_m < nearest[0]:
                    nearest = off_m, float(wrap360_deg(math.degrees(math.atan2(dx, dy))))
    if nearest is None or nearest[0] > REACH_M:
        return None
    aside_deg = abs(turn_deg(nearest[1], line.inbound_deg))
    sense = sense_of_course(course_deg, line.inbound_deg)
    if min(aside_deg, 180.0 - aside_deg) > _OFF_DEG or sense == "crossing":
        return None
    called = line.name or line.key.rsplit("/", 1)[-1]
    return Ground(
        kind=GroundKind.LINE,
        sense=Sense(sense),
        text=f"the {line.what} {called} of {line.source} leads in from seaward on "
        f"{line.inbound_deg:.0f}°, if the channel there has a seaward end",
    )
