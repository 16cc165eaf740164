"""What the skipper brings to a leg: boat, margins, tide and clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from routecheck.model.boat import Boat
from routecheck.model.tide import HeightOfTide as HeightOfTide
from routecheck.model.tide import HeightsFound
from routecheck.model.tide import Tide as Tide
from routecheck.model.tide import TideStation as TideStation
from routecheck.model.tide_along import StationsAlong
from routecheck.model.tide_curve import Floats
from routecheck.units import METRES_PER_NMI

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, kw_only=True)
class Passage:
    """The passage of one leg. Times are aware, UTC; None without a departure.

    The clock proper is `depart_s` (a Unix time) and `offset_s`, the seconds from there to the
    leg's start: everything that is judged adds these two up in the same order, so that a thousand
    departures at once come to the same last bit as each alone. `leg_start` is for people.
    """

    boat: Boat
    tide: Tide | None = None
    leg_start: datetime | None = None
    speed_kn: float | None = None
    """Over the ground."""
    depart_s: float | None = None
    offset_s: float | None = None
    stations: StationsAlong | None = None
    """Where the tide has several stations: those along the leg."""
    arrives: bool = False
    """Whether the leg is the route's last."""
    early_s: float = 0.0
    late_s: float = 0.0
    """By how much turns with a radius bring the boat there before or after the ETA, which is
    counted through the waypoints; see `model.clock`."""

    def eta(self, along_m: float) -> datetime | None:
        """When the boat is `along_m` from the leg's start, None where that is not known."""
        if self.leg_start is None or self.speed_kn is None:
            return None
        return self.leg_start + timedelta(hours=along_m / METRES_PER_NMI / self.speed_kn)

    def offsets_s(self, along_from_m: Floats, along_to_m: Floats) -> tuple[Floats, Floats] | None:
        """(from, to) in seconds from the departure: when the boat may be between two distances
        along, the ETA's uncertainty added either way, and what turns with a radius save or take.
        None where a speed is missing."""
        if self.speed_kn is None:
            return None
        offset_s = self.offset_s
        if offset_s is None:
            if self.leg_start is None:
                return None
            offset_s = 0.0
        speed_mps = self.speed_kn * METRES_PER_NMI / SECONDS_PER_HOUR
        off_s = self.boat.margins.eta_s
        return (
            offset_s + along_from_m / speed_mps - (off_s + self.early_s),
            offset_s + along_to_m / speed_mps + (off_s + self.late_s),
        )

    def windows_s(self, along_from_m: Floats, along_to_m: Floats) -> tuple[Floats, Floats] | None:
        """The same as Unix times; None where there is no ETA."""
        offsets = self.offsets_s(along_from_m, along_to_m)
        depart_s = self.depart_s
        if depart_s is None and self.leg_start is not None:
            depart_s = self.leg_start.timestamp()
        if offsets is None or depart_s is None:
            return None
        return depart_s + offsets[0], depart_s + offsets[1]

    def window_s(self, along_from_m: float, along_to_m: float) -> tuple[float, float] | None:
        """The same for one stretch."""
        found = self.windows_s(np.array(along_from_m), np.array(along_to_m))
        return None if found is None else (float(found[0]), float(found[1]))

    def lowest_possible_m(self, along_to_m: float, datum: str) -> float:
        """A bound below every height of tide above `datum` on the leg, whatever the place, its
        uncertainty taken off; never above 0, which holds where no tide is added."""
        if self.tide is None:
            return 0.0
        every = range(len(self.tide.stations))
        # Above a datum that no one relates to the tide's, the lowest height ever counts.
        told = all(self.tide.level_m(index, datum) is not None for index in every)
        window = self.window_s(0.0, along_to_m) if self.tide.varies and told else None
        lowest_m = None
        if window is not None:
            found = self.tide.lowest(
                every, self.tide.datum, np.array([window[0]]), np.array([window[1]])
            )
            lowest_m = float(found.height_m[0]) if found is not None else None
        if lowest_m is None:
            lowest_m = self.tide.lowest_ever_m()
        level_m = max(0.0, self.tide.highest_level_m(datum))
        # A hair lower: the same sums in another order may differ in their last bit.
        return min(0.0, lowest_m - level_m) - self.tide.uncertainty_m - 1e-9

    def stations_at(
        self, lon_deg: float, lat_deg: float, along_from_m: float, along_to_m: float
    ) -> tuple[int, ...]:
        """The tidal stations that count at a place or anywhere on its stretch of the leg."""
        if self.tide is None or len(self.tide.stations) == 1:
            return (0,)
        here = frozenset(self.tide.neighbours(lon_deg, lat_deg))
        if self.stations is not None:
            here |= self.stations.over(along_from_m, along_to_m)
        return tuple(sorted(here))

    def lowest(
        self, stations: tuple[int, ...], datum: str, along_from_m: Floats, along_to_m: Floats
    ) -> HeightsFound | None:
        """The lowest heights above `datum` over stretches of the leg, arrays of one shape.

        None where the tide's heights cannot be told above that datum. Without a tide all is 0;
        without an ETA what varies counts with the lowest that it ever is.
        """
        return self._heights(stations, datum, along_from_m, along_to_m, lowest=True)

    def highest(
        self, stations: tuple[int, ...], datum: str, along_from_m: Floats, along_to_m: Floats
    ) -> HeightsFound | None:
        """The highest heights, else as `lowest`."""
        return self._heights(stations, datum, along_from_m, along_to_m, lowest=False)

    def _heights(
        self,
        stations: tuple[int, ...],
        datum: str,
        along_from_m: Floats,
        along_to_m: Floats,
        *,
        lowest: bool,
    ) -> HeightsFound | None:
        shape = np.shape(along_from_m)
        height_m, station = 0.0, -1
        if self.tide is not None:
            # What does not vary never asks the clock.
            windows = self.windows_s(along_from_m, along_to_m) if self.tide.varies else None
            if windows is not None:
                bound = self.tide.lowest if lowest else self.tide.highest
                return bound(stations, datum, *windows)
            ever = self.tide.ever(stations, datum, lowest=lowest)
            if ever is None:
                return None
            height_m, station = ever
        return HeightsFound(
            height_m=np.full(shape, height_m),
            known=np.ones(shape, dtype=bool),
            station=np.full(shape, station),
        )

    def height_of_tide(
        self, *, datum: str, lon_deg: float, lat_deg: float, along_from_m: float, along_to_m: float
    ) -> HeightOfTide:
        """The lowest height over `datum` while the boat may be between two distances along."""
        stations = self.stations_at(lon_deg, lat_deg, along_from_m, along_to_m)
        found = self.lowest(stations, datum, np.array([along_from_m]), np.array([along_to_m]))
        return self.in_words(datum, stations, found, 0)

    def in_words(
        self, datum: str, stations: tuple[int, ...], found: HeightsFound | None, index: int
    ) -> HeightOfTide:
        """One of the heights that `lowest` found, and why it is that."""
        if self.tide is None:
            return HeightOfTide(
                height_m=0.0, uncertainty_m=0.0, text="no tide given: 0 at chart datum"
            )
        if found is None:
            ever = self.tide.ever(stations, self.tide.datum)
            # A tide below its datum still takes water away; one above it adds nothing here.
            height_m = min(0.0, ever[0] if ever else 0.0)
            done = "no tide added" if height_m == 0.0 else "their lowest taken off, none added"
            return HeightOfTide(
                height_m=height_m,
                uncertainty_m=self.tide.uncertainty_m,
                text=f"heights of tide are above {self.tide.datum}, the depth is below {datum}: "
                f"{done}",
                applies=False,
            )
        station = self.tide.stations[int(found.station[index])]
        known = bool(found.known[index])
        says = f"{station.source.kind}, {station.name}"
        if not known:
            says = f"no height of tide is known for that time at {station.name}: none added"
        elif station.source.varies and self.windows_s(np.zeros(1), np.zeros(1)) is None:
            says = f"no departure: the lowest of {says}"
        elif len(stations) > 1:
            says += ", the lowest of the stations round it"
        return HeightOfTide(
            height_m=float(found.height_m[index]),
            uncertainty_m=self.tide.uncertainty_m,
            text=says,
            known=known,
            station=station.name,
        )
