"""Random buoyed fairways: a winding line of stations, buoys on its edges, and tracks through it.

Half-way the direction of buoyage turns round, as at a watershed: beyond it the marks that were
to be left to port are to be left to starboard. Everything is drawn from one seed.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

import shapely

from routecheck.model.objects import BuoyageZone, Mark, MarkKind
from tests.buoys import Place, Spot, mark

COLOURS = {  # IALA Recommendation R1001, lateral marks: port hand, starboard hand
    "A": ("red", "green"),
    "B": ("green", "red"),
}


@dataclass(frozen=True)
class Station:
    place: Place
    course_deg: float
    reversed: bool
    """Beyond the turn-round: the direction of buoyage runs against the line of stations."""


@dataclass(frozen=True)
class Buoy:
    station: int
    to_starboard: bool
    """On the starboard edge, seen along the line of stations."""
    mark: Mark


@dataclass
class Channel:
    """One fairway. `double`: a buoy on either edge of each station, else on one of them."""

    seed: int
    double: bool
    turn_round: bool = True
    spot: Spot = field(default_factory=lambda: Spot(10.0, 40.0))

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)
        dice = self.dice
        self.half_width_m = dice.uniform(60.0, 150.0)
        self.region = dice.choice(["A", "B"])
        self.named = dice.random() < 0.5
        winding_deg = dice.choice([0.0, 20.0, 35.0])
        count = dice.randint(10, 16)
        course = dice.uniform(0.0, 360.0)
        place = (0.0, 0.0)
        self.stations: list[Station] = []
        for number in range(count):
            beyond = self.turn_round and number >= count // 2
            self.stations.append(Station(place, course, beyond))
            step_m = dice.uniform(500.0, 900.0)
            course += dice.uniform(-winding_deg, winding_deg)
            place = offset(place, course, step_m)
        # At a station the edge is square to the bisector of the courses in and out.
        self.buoys = [b for n in range(count) for b in self._buoys(n)]

    def across_deg(self, number: int) -> float:
        """The course of the fairway at a station, half-way through its bend."""
        last = self.stations[number].course_deg
        after = self.stations[min(number + 1, len(self.stations) - 1)].course_deg
        return (last + after) / 2.0

    def _buoys(self, number: int) -> list[Buoy]:
        station = self.stations[number]
        sides = [False, True] if self.double else [self.dice.random() < 0.5]
        made = []
        for to_starboard in sides:
            starboard_hand = to_starboard is not station.reversed
            kind = MarkKind.STARBOARD_HAND if starboard_hand else MarkKind.PORT_HAND
            colour = COLOURS[self.region][starboard_hand]
            place = self.beside(number, self.half_width_m if to_starboard else -self.half_width_m)
            name = f"B{len(made)} at {chr(65 + number)}" if self.named else ""
            one = mark(
                place,
                MarkKind.LATERAL if self.dice.random() < 0.5 else kind,
                name,
                colours=(colour,),
                region=self.region,
                spot=self.spot,
            )
            made.append(Buoy(number, to_starboard, one))
        return made

    def beside(self, number: int, starboard_m: float) -> Place:
        """A place square off a station."""
        return offset(self.stations[number].place, self.across_deg(number) + 90.0, starboard_m)

    def zones(self) -> list[BuoyageZone]:
        """The direction of buoyage as stated: one square round each station."""
        made = []
        for number, station in enumerate(self.stations):
            east, north = station.place
            ring = [
                self.spot.at((east + x, north + y))
                for x, y in ((-240.0, -240.0), (240.0, -240.0), (240.0, 240.0), (-240.0, 240.0))
            ]
            turn_deg = 180.0 if station.reversed else 0.0
            made.append(
                BuoyageZone(
                    key=f"cell/M_NSYS/{number}",
                    cls="M_NSYS",
                    source="cell",
                    geometry=shapely.Polygon(ring),
                    direction_of_buoyage_deg=(self.across_deg(number) + turn_deg) % 360.0,
                )
            )
        return made

    def track(self, pushed: Buoy | None = None) -> list[Place]:
        """A waypoint at each station, inside; at one buoy's station outside its edge."""
        made = []
        for number in range(len(self.stations)):
            off_m = self.dice.uniform(-0.6, 0.6) * self.half_width_m
            if pushed is not None and number == pushed.station:
                beyond_m = self.half_width_m + self.dice.uniform(40.0, 100.0)
                off_m = beyond_m if pushed.to_starboard else -beyond_m
            made.append(self.beside(number, off_m))
        return made


def offset(place: Place, course_deg: float, distance_m: float) -> Place:
    course = math.radians(course_deg)
    return place[0] + distance_m * math.sin(course), place[1] + distance_m * math.cos(course)
