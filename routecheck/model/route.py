"""The route: waypoints, and the legs between them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from routecheck.model.finite import refuse_not_finite, refuse_position
from routecheck.model.opening import Opening


class LegLine(StrEnum):
    """The line that a leg follows."""

    RHUMB = "rhumb line"
    GREAT_CIRCLE = "great circle"


@dataclass(frozen=True, kw_only=True, slots=True)
class Waypoint:
    """A turning point; `turn_radius_m` is the radius of the turn made there (0: on the spot)."""

    name: str
    lon_deg: float
    lat_deg: float
    turn_radius_m: float = 0.0

    def __post_init__(self) -> None:
        refuse_position(self.lon_deg, self.lat_deg)
        refuse_not_finite(self)
        if self.turn_radius_m < 0.0:
            raise ValueError(f"turn radius {self.turn_radius_m} m is negative")


@dataclass(frozen=True, kw_only=True, slots=True)
class Leg:
    """The leg that arrives at waypoint `number` (0-based start is waypoint `number - 1`).

    `number` counts from 1. Cross-track limits and speed are None where the route says nothing.
    """

    number: int
    start: Waypoint
    end: Waypoint
    line: LegLine = LegLine.RHUMB
    xtd_port_m: float | None = None
    xtd_starboard_m: float | None = None
    speed_kn: float | None = None
    """Through the water."""
    set_deg: float | None = None
    """Where the current goes, true; with `drift_kn`."""
    drift_kn: float | None = None
    daylight_only: bool = False
    """Whether the skipper wants to be there in daylight only."""
    openings: tuple[Opening, ...] = ()

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if (self.set_deg is None) != (self.drift_kn is None):
            raise ValueError(f"leg {self.number}: set and drift go together")
        for limit_m in (self.xtd_port_m, self.xtd_starboard_m):
            if limit_m is not None and limit_m < 0.0:
                raise ValueError(f"leg {self.number}: cross-track limit {limit_m} m is negative")
        if self.speed_kn is not None and self.speed_kn <= 0.0:
            raise ValueError(f"leg {self.number}: speed {self.speed_kn} kn is not above zero")


@dataclass(frozen=True, kw_only=True, slots=True)
class Route:
    """A named route of at least one leg, and the file it came from."""

    name: str
    legs: tuple[Leg, ...]
    file: str
    remarks: tuple[str, ...] = ()
    """What the reader had to say, such as waypoints dropped because they repeat the last one."""

    def __post_init__(self) -> None:
        if not self.legs:
            raise ValueError("a route needs at least two waypoints")

    @property
    def waypoints(self) -> tuple[Waypoint, ...]:
        """The first leg's start, then every leg's end."""
        return (self.legs[0].start, *(leg.end for leg in self.legs))
