"""What the skipper brings to a leg: boat, margins, tide and clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from routecheck.model.boat import Boat
from routecheck.model.tide import HeightOfTide as HeightOfTide
from routecheck.model.tide import Tide as Tide
from routecheck.model.tide import TideStation as TideStation
from routecheck.units import METRES_PER_NMI

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, kw_only=True)
class Passage:
    """The passage of one leg. Times are aware, UTC; None without a departure."""

    boat: Boat
    tide: Tide | None = None
    leg_start: datetime | None = None
    speed_kn: float | None = None
    """Over the ground."""

    def eta(self, along_m: float) -> datetime | None:
        """When the boat is `along_m` from the leg's start, None where that is not known."""
        if self.leg_start is None or self.speed_kn is None:
            return None
        return self.leg_start + timedelta(hours=along_m / METRES_PER_NMI / self.speed_kn)

    def window_s(self, along_from_m: float, along_to_m: float) -> tuple[float, float] | None:
        """Between which Unix times the boat may be between two distances along: the ETAs, and
        the ETA's uncertainty either way. None where there is no ETA."""
        if self.leg_start is None or self.speed_kn is None:
            return None
        start_s, off_s = self.leg_start.timestamp(), self.boat.margins.eta_s
        speed_mps = self.speed_kn * METRES_PER_NMI / SECONDS_PER_HOUR
        return start_s + along_from_m / speed_mps - off_s, start_s + along_to_m / speed_mps + off_s

    def lowest_possible_m(self, along_to_m: float) -> float:
        """A bound below every height of tide on the leg, whatever place and datum, its uncertainty
        taken off; never above 0, which holds where no tide is added."""
        if self.tide is None:
            return 0.0
        every = range(len(self.tide.stations))
        window = self.window_s(0.0, along_to_m)
        lowest_m = None
        if window is not None:
            found = self.tide.lowest(
                every, self.tide.datum, np.array([window[0]]), np.array([window[1]])
            )
            lowest_m = float(found.height_m[0]) if found is not None else None
        if lowest_m is None:
            lowest_m = self.tide.lowest_ever_m()
        return min(0.0, lowest_m - self.tide.highest_level_m()) - self.tide.uncertainty_m

    def height_of_tide(
        self, *, datum: str, lon_deg: float, lat_deg: float, along_from_m: float, along_to_m: float
    ) -> HeightOfTide:
        """The lowest height over `datum` while the boat may be between two distances along."""
        if self.tide is None:
            return HeightOfTide(
                height_m=0.0, uncertainty_m=0.0, text="no tide given: 0 at chart datum"
            )
        stations = self.tide.neighbours(lon_deg, lat_deg)
        window = self.window_s(along_from_m, along_to_m)
        if window is None or not self.tide.varies:
            return self._at_any_time(datum, stations)
        found = self.tide.lowest(stations, datum, np.array([window[0]]), np.array([window[1]]))
        if found is None:
            return self._on_another_datum(datum, stations)
        index = int(found.station[0])
        station, known = self.tide.stations[index], bool(found.known[0])
        says = f"{station.source.kind}, {station.name}"
        if not known:
            says = f"no height of tide is known for that time at {station.name}: none added"
        elif len(stations) > 1:
            says += ", the lowest of the stations round it"
        return HeightOfTide(
            height_m=float(found.height_m[0]),
            uncertainty_m=self.tide.uncertainty_m,
            text=says,
            known=known,
            station=station.name,
        )

    def _at_any_time(self, datum: str, stations: tuple[int, ...]) -> HeightOfTide:
        """Without an ETA only a constant can be placed: of all else, the lowest there is."""
        assert self.tide is not None
        ever = self.tide.ever(stations, datum)
        if ever is None:
            return self._on_another_datum(datum, stations)
        height_m, index = ever
        station = self.tide.stations[index]
        says = f"{station.source.kind}, {station.name}"
        if station.source.varies:
            says = f"no departure: the lowest of {says}"
        return HeightOfTide(
            height_m=height_m,
            uncertainty_m=self.tide.uncertainty_m,
            text=says,
            station=station.name,
        )

    def _on_another_datum(self, datum: str, stations: tuple[int, ...]) -> HeightOfTide:
        """A tide below its datum still takes water away; one above it adds nothing here."""
        assert self.tide is not None
        ever = self.tide.ever(stations, self.tide.datum)
        return HeightOfTide(
            height_m=min(0.0, ever[0] if ever else 0.0),
            uncertainty_m=self.tide.uncertainty_m,
            text=f"heights of tide are above {self.tide.datum}, the depth is below {datum}: "
            "no tide added",
            applies=False,
        )
