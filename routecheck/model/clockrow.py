"""One row of the passage's clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from routecheck.model.finite import refuse_not_finite


@dataclass(frozen=True, kw_only=True, slots=True)
class ClockRow:
    """One place of the passage. Heights are above the tide's own datum; None where not known."""

    kind: str
    """"waypoint", "gate" (a pair of marks), "overhead", "opening"."""
    name: str
    leg: int
    route_along_m: float
    lon_deg: float
    lat_deg: float
    eta: datetime
    off: timedelta
    """How far off the ETA may be, either way."""
    height_m: float | None
    """At the ETA."""
    lowest_m: float | None
    highest_m: float | None
    """Within the ETA's uncertainty."""
    station: str
    margin_m: float | None
    """The least margin of water on the leg that arrives there; under a span, that of air."""
    sun_altitude_deg: float
    light: str
    """At the ETA: daylight, civil twilight, dark."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
