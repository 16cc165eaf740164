"""The passage's clock: when each leg begins, and how fast it is sailed over the ground."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import radians, sin, tan

from routecheck.model.boat import Boat
from routecheck.model.passage import SECONDS_PER_HOUR, Passage
from routecheck.model.tide import Tide
from routecheck.model.tide_along import StationsAlong, stations_along
from routecheck.model.view import LegView
from routecheck.nav.angles import turn_deg
from routecheck.nav.current import speed_over_ground_kn
from routecheck.nav.turning import radius_that_fits_m
from routecheck.units import METRES_PER_NMI

LONGEST_S = 100 * 86_400.0
"""A leg that ends later than this after the departure has no ETA."""
FIRST_YEAR, LAST_YEAR = 1900, 2199
"""The years that a departure may lie in."""


def refuse_departure(depart: datetime) -> None:
    """Raise ValueError, in words, for a departure without a zone or in another age."""
    if depart.tzinfo is None:
        raise ValueError("a departure has no time zone")
    # In its own zone first: the year 1 has no UTC in every zone.
    inside = FIRST_YEAR <= depart.year <= LAST_YEAR
    if not inside or not FIRST_YEAR <= depart.astimezone(UTC).year <= LAST_YEAR:
        raise ValueError(f"the year {depart.year} is not from {FIRST_YEAR} to {LAST_YEAR}, in UTC")


class Clock:
    """The times of all legs, counted from the departure: the same for every departure."""

    def __init__(self, views: Sequence[LegView], boat: Boat, tide: Tide | None) -> None:
        self.views, self.boat, self.tide = tuple(views), boat, tide
        self.speeds_kn = [over_ground_kn(view, boat) for view in views]
        self.offsets_s: list[float | None] = []
        offset_s: float | None = 0.0
        for view, speed_kn in zip(views, self.speeds_kn, strict=True):
            start_s = offset_s
            if offset_s is not None and speed_kn is not None:
                offset_s += view.length_m / (speed_kn * METRES_PER_NMI / SECONDS_PER_HOUR)
                if offset_s > LONGEST_S:
                    start_s = offset_s = None
            else:
                offset_s = None
            self.offsets_s.append(start_s)
        self.duration_s = offset_s
        self.early_s, self.late_s = _on_arcs(self.views, self.speeds_kn)
        self.stations: list[StationsAlong | None] = [
            stations_along(tide, view.leg, view.length_m, self._reach_m(index))
            if tide is not None
            else None
            for index, view in enumerate(views)
        ]

    def _reach_m(self, index: int) -> float:
        """How far off its track the corridor of a leg may reach: at a bend as far as that of its
        neighbour, and on a turn's arc as much further as the arc lies off the leg."""
        beside = self.views[max(index - 1, 0) : index + 2]
        leg = self.views[index].leg
        radius_m = max(leg.start.turn_radius_m, leg.end.turn_radius_m)
        widest_m = max(max(view.port_m, view.starboard_m) for view in beside)
        return widest_m + min(radius_m, self.views[index].length_m)

    def passages(self, depart: datetime | None) -> list[Passage]:
        """The passage of every leg for one departure, or for none."""
        return [self.passage(index, depart) for index in range(len(self.views))]

    def passage(self, index: int, depart: datetime | None) -> Passage:
        """The passage of one leg, by its place in the route."""
        offset_s = self.offsets_s[index]
        start = None
        if depart is not None and offset_s is not None:
            start = depart.astimezone(UTC) + timedelta(seconds=offset_s)
        return Passage(
            boat=self.boat,
            tide=self.tide,
            leg_start=start,
            speed_kn=self.speeds_kn[index],
            depart_s=None if depart is None else depart.timestamp(),
            offset_s=offset_s,
            stations=self.stations[index],
            arrives=index == len(self.views) - 1,
            early_s=self.early_s[index],
            late_s=self.late_s[index],
        )


def _on_arcs(
    views: Sequence[LegView], speeds_kn: Sequence[float | None]
) -> tuple[list[float], list[float]]:
    """Of each leg, how much before its ETA and how much after it the boat may be anywhere on it,
    in seconds, since she turns along arcs: they are shorter than the way by the waypoint, and at
    first she is further along the arc than along the leg."""
    early_s, late_s, saved_s = [0.0] * len(views), [0.0] * len(views), 0.0
    mps = [speed and speed * METRES_PER_NMI / SECONDS_PER_HOUR for speed in speeds_kn]
    for at, (one, other) in enumerate(pairwise(views)):
        before, after = mps[at], mps[at + 1]
        if not before or not after:
            break  # from here on there is no ETA
        turned_deg = min(abs(turn_deg(one.end_course_deg, other.course_deg)), 179.99)
        lengths_m = one.length_m, other.length_m
        radius_m = radius_that_fits_m(one.leg.end.turn_radius_m, turned_deg, lengths_m)
        half = radians(turned_deg) / 2.0
        half_m = radius_m * (tan(half) - half)
        ahead_m = radius_m * (half - sin(half))
        saved_s += half_m / before + half_m / after
        late_s[at] = ahead_m / before
        early_s[at + 1] = saved_s + ahead_m / after
    return early_s, late_s


def over_ground_kn(view: LegView, boat: Boat) -> float | None:
    """The leg's speed over the ground: its own or the boat's, with its set and drift where the
    route gives them. None where no speed is given, or the course cannot be made good."""
    leg = view.leg
    speed_kn = leg.speed_kn or boat.speed_kn
    if speed_kn is None or leg.set_deg is None or not leg.drift_kn:
        return speed_kn
    made_good = [
        speed_over_ground_kn(
            course_deg=course, speed_kn=speed_kn, set_deg=leg.set_deg, drift_kn=leg.drift_kn
        )
        # The course of a great circle changes: the mean of its two ends.
        for course in (view.course_deg, view.end_course_deg)
    ]
    if made_good[0] is None or made_good[1] is None:
        return None
    return (made_good[0][1] + made_good[1][1]) / 2.0
