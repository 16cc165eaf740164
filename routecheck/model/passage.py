"""What the skipper brings to a leg: boat, margins, tide and clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.boat import Boat
from routecheck.model.datum import stands_below_tides
from routecheck.model.finite import refuse_not_finite
from routecheck.units import METRES_PER_NMI


@dataclass(frozen=True, kw_only=True, slots=True)
class TideStation:
    """One station. Without lon and lat, or a zone, it holds everywhere (the only station)."""

    name: str
    constant_m: float
    lon_deg: float | None = None
    lat_deg: float | None = None
    zone: BaseGeometry | None = None

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, slots=True)
class Tide:
    """Heights of tide above `datum` ("chart datum": each chart's own)."""

    datum: str
    uncertainty_m: float
    stations: tuple[TideStation, ...]
    file: str = ""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if not self.stations:
            raise ValueError("a tide needs a station")

    def station_for(self, lon_deg: float, lat_deg: float) -> TideStation:
        """The station whose zone holds the place, else the nearest one."""
        here = shapely.Point(lon_deg, lat_deg)
        for station in self.stations:
            if station.zone is not None and station.zone.intersects(here):
                return station
        from routecheck.nav.geodesic import geodesic_inverse

        placed = [s for s in self.stations if s.lon_deg is not None and s.lat_deg is not None]
        if not placed:
            return self.stations[0]
        return min(
            placed,
            key=lambda s: float(
                geodesic_inverse(lon_deg, lat_deg, s.lon_deg or 0.0, s.lat_deg or 0.0)[1]
            ),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class HeightOfTide:
    """The lowest height of tide that may be added to a charted depth, and why.

    `applies` False: heights and depth stand on different datums, nothing was added, and the
    depth cannot clear.
    """

    height_m: float
    uncertainty_m: float
    text: str
    applies: bool = True


@dataclass(frozen=True, kw_only=True)
class Passage:
    """The passage of one leg. Times are aware, UTC; None without a departure."""

    boat: Boat
    tide: Tide | None = None
    leg_start: datetime | None = None
    speed_kn: float | None = None

    def eta(self, along_m: float) -> datetime | None:
        """When the boat is `along_m` from the leg's start, None where that is not known."""
        if self.leg_start is None or self.speed_kn is None:
            return None
        return self.leg_start + timedelta(hours=along_m / METRES_PER_NMI / self.speed_kn)

    def height_of_tide(
        self, *, datum: str, lon_deg: float, lat_deg: float, along_from_m: float, along_to_m: float
    ) -> HeightOfTide:
        """The lowest height over `datum` while the boat may be between two distances along."""
        if self.tide is None:
            return HeightOfTide(
                height_m=0.0, uncertainty_m=0.0, text="no tide given: 0 at chart datum"
            )
        station = self.tide.station_for(lon_deg, lat_deg)
        same = self.tide.datum == datum or (
            self.tide.datum == "chart datum" and stands_below_tides(datum)
        )
        if not same:
            return HeightOfTide(
                # A tide below its datum still takes water away; one above it adds nothing here.
                height_m=min(0.0, station.constant_m),
                uncertainty_m=self.tide.uncertainty_m,
                text=f"heights of tide are above {self.tide.datum}, the depth is below {datum}: "
                "no tide added",
                applies=False,
            )
        return HeightOfTide(
            height_m=station.constant_m,
            uncertainty_m=self.tide.uncertainty_m,
            text=f"constant, {station.name}",
        )
