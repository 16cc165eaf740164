"""The boat, and the margins that its skipper wants."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from routecheck.model.finite import refuse_not_finite
from routecheck.model.route import Route
from routecheck.model.squat_rule import SquatRule
from routecheck.units import METRES_PER_NMI


@dataclass(frozen=True, kw_only=True, slots=True)
class Margins:
    """What the skipper wants beside the bare hull. All lengths in metres, times in seconds."""

    under_keel_m: float = 1.0
    cross_track_m: float = 0.1 * METRES_PER_NMI
    overhead_m: float = 1.0
    eta_s: float = 1800.0
    position_m: float = 10.0
    squat_m: float = 0.0
    heel_swell_m: float = 0.0
    mark_near_m: float = 0.1 * METRES_PER_NMI
    mark_far_m: float = 0.4 * METRES_PER_NMI
    coarsest_grid_m: float = 100.0
    smallest_scale: float = 180000.0
    """The scale's denominator: a chart cell compiled smaller than 1 : this is too coarse."""
    oldest_survey_year: float = 1970.0
    """A survey that ended before it is told (common practice: lead lines, no electronic fixes)."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        for name in self.__dataclass_fields__:
            if getattr(self, name) < 0.0:
                raise ValueError(f"{name} is negative")


@dataclass(frozen=True, kw_only=True, slots=True)
class Boat:
    """One boat. What is None was not given, and what depends on it is not assessed."""

    name: str
    draught_m: float
    air_draught_m: float | None = None
    length_m: float | None = None
    beam_m: float | None = None
    speed_kn: float | None = None
    margins: Margins = field(default_factory=Margins)
    squat_rule: SquatRule | None = None
    """Where squat goes by a formula: `margins.squat_m` is then what it gives at `speed_kn`."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if not self.draught_m > 0.0:
            raise ValueError(f"draught {self.draught_m} m is not above zero")
        for name in ("air_draught_m", "length_m", "beam_m", "speed_kn"):
            value = getattr(self, name)
            if value is not None and not value > 0.0:
                raise ValueError(f"{name} {value} is not above zero")
        if self.squat_rule is not None and self.speed_kn is None:
            raise ValueError("squat by a formula needs the boat's speed")

    def on(self, route: Route) -> Boat:
        """The same boat, with squat for the fastest of its own and the route's speeds."""
        if self.squat_rule is None:
            return self
        speeds = [leg.speed_kn for leg in route.legs if leg.speed_kn is not None]
        squat_m = self.squat_rule.squat_m([*speeds, self.speed_kn or 0.0])
        return replace(self, margins=replace(self.margins, squat_m=squat_m))

    @property
    def touches_at_m(self) -> float:
        """Depth of water in which the keel touches: draught, squat, heel and swell."""
        return self.draught_m + self.margins.squat_m + self.margins.heel_swell_m

    @property
    def needed_m(self) -> float:
        """Depth of water that the skipper wants: `touches_at_m` and the under-keel clearance."""
        return self.touches_at_m + self.margins.under_keel_m
