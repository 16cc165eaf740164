"""The boat, and the margins that its skipper wants."""

from __future__ import annotations

from dataclasses import dataclass, field

from routecheck.model.finite import refuse_not_finite
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

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if not self.draught_m > 0.0:
            raise ValueError(f"draught {self.draught_m} m is not above zero")
        for name in ("air_draught_m", "length_m", "beam_m", "speed_kn"):
            value = getattr(self, name)
            if value is not None and not value > 0.0:
                raise ValueError(f"{name} {value} is not above zero")

    @property
    def touches_at_m(self) -> float:
        """Depth of water in which the keel touches: draught, squat, heel and swell."""
        return self.draught_m + self.margins.squat_m + self.margins.heel_swell_m

    @property
    def needed_m(self) -> float:
        """Depth of water that the skipper wants: `touches_at_m` and the under-keel clearance."""
        return self.touches_at_m + self.margins.under_keel_m
