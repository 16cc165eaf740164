"""The tide that the skipper brings: stations, where each holds, what counts of their heights."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.datum import stands_below_tides
from routecheck.model.finite import refuse_not_finite
from routecheck.model.heights import ConstantHeight, Heights, covered
from routecheck.model.nearest import Nearest
from routecheck.model.tide_curve import Floats


@dataclass(frozen=True, kw_only=True, slots=True)
class TideStation:
    """One station: a constant height, or `heights`. Without lon and lat, or a zone, it holds
    everywhere (the only station)."""

    name: str
    constant_m: float | None = None
    heights: Heights | None = None
    lon_deg: float | None = None
    lat_deg: float | None = None
    zone: BaseGeometry | None = None
    levels_m: Mapping[str, float] = field(default_factory=dict)
    """How high other datums stand above the tide's own, here: MHWS, HAT, another chart datum …"""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if (self.constant_m is None) == (self.heights is None):
            raise ValueError(f"station {self.name!r} needs a constant height, or other heights")

    @property
    def source(self) -> Heights:
        """Where the heights come from."""
        if self.heights is not None:
            return self.heights
        return ConstantHeight(constant_m=self.constant_m or 0.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class HeightOfTide:
    """The lowest height of tide that may be added to a charted depth, and why.

    `applies` False: nothing was added, since heights and depth stand on different datums.
    `known` False: nothing was added, since there are no heights for that time.
    """

    height_m: float
    uncertainty_m: float
    text: str
    applies: bool = True
    known: bool = True
    station: str = ""


@dataclass(frozen=True, kw_only=True, eq=False)
class HeightsFound:
    """Heights of several places and times, arrays of one shape.

    Where `known` is False there are none; the height there is the lowest of the station's data,
    and never above datum. `station` indexes `Tide.stations`.
    """

    height_m: Floats
    known: NDArray[np.bool_]
    station: NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Tide:
    """Heights of tide above `datum` ("chart datum": each chart's own).

    `surge_down_m` is taken off every lowest height, `surge_up_m` put on every highest one.
    """

    datum: str
    uncertainty_m: float
    stations: tuple[TideStation, ...]
    file: str = ""
    surge_down_m: float = 0.0
    surge_up_m: float = 0.0

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if not self.stations:
            raise ValueError("a tide needs a station")

    @property
    def varies(self) -> bool:
        """Whether any station's height depends on the time."""
        return any(station.source.varies for station in self.stations)

    def station_for(self, lon_deg: float, lat_deg: float) -> TideStation:
        """The station whose zone holds the place, else the nearest one."""
        return self.stations[self.neighbours(lon_deg, lat_deg)[0]]

    def neighbours(self, lon_deg: float, lat_deg: float) -> tuple[int, ...]:
        """The stations that count at a place, by index, the nearest first.

        Those whose zone holds the place; else the nearest of those with a position, and every
        other that does not lie behind a nearer one: no station is nearer both to the place and
        to the other than these are to each other.
        """
        here = shapely.Point(lon_deg, lat_deg)
        zoned = [
            i for i, s in enumerate(self.stations) if s.zone is not None and s.zone.intersects(here)
        ]
        if zoned:
            return tuple(zoned)
        return self.nearest(lon_deg, lat_deg)

    def nearest(self, lon_deg: float, lat_deg: float, reach_m: float = 0.0) -> tuple[int, ...]:
        """The same whatever zones hold the place, and of all places within `reach_m` of it."""
        placed, nearest = self._placed
        found = nearest.to(lon_deg, lat_deg, reach_m)
        return tuple(placed[j] for j in found) or (0,)

    @cached_property
    def _placed(self) -> tuple[list[int], Nearest]:
        """The stations with a position, by index."""
        placed = [i for i, s in enumerate(self.stations) if s.lon_deg is not None]
        every = [(self.stations[i].lon_deg, self.stations[i].lat_deg) for i in placed]
        lon, lat = np.array(every, dtype=float).reshape(-1, 2).T
        return placed, Nearest(lon, lat)

    def level_m(self, station: int, datum: str) -> float | None:
        """How high a datum stands above the tide's own at a station; None where no one says."""
        if datum == self.datum:
            return 0.0
        if self.datum == "chart datum" and stands_below_tides(datum):
            return 0.0
        return self.stations[station].levels_m.get(datum)

    def highest_level_m(self, datum: str) -> float:
        """How far above the tide's datum another stands at most, at any station; 0 where it stands
        nowhere above it, or no one says."""
        levels = [self.level_m(index, datum) for index in range(len(self.stations))]
        return max((level_m for level_m in levels if level_m is not None), default=0.0)

    def lowest(
        self, stations: Sequence[int], datum: str, from_s: Floats, to_s: Floats
    ) -> HeightsFound | None:
        """The lowest height above `datum` at any of the stations over each span of time (Unix
        times); None where a station's heights cannot be told above that datum."""
        return self._extreme(stations, datum, from_s, to_s, lowest=True)

    def highest(
        self, stations: Sequence[int], datum: str, from_s: Floats, to_s: Floats
    ) -> HeightsFound | None:
        """The highest, else as `lowest`."""
        return self._extreme(stations, datum, from_s, to_s, lowest=False)

    def _extreme(
        self, stations: Sequence[int], datum: str, from_s: Floats, to_s: Floats, *, lowest: bool
    ) -> HeightsFound | None:
        from_s, to_s = np.asarray(from_s, dtype=float), np.asarray(to_s, dtype=float)
        height = np.zeros(from_s.shape)
        known = np.ones(from_s.shape, dtype=bool)
        station = np.full(from_s.shape, -1)
        for index in stations:
            level_m = self.level_m(index, datum)
            if level_m is None:
                return None
            source = self.stations[index].source
            inside = covered(source.spans_s, from_s, to_s)
            mine = np.full(from_s.shape, self._ever_m(index, lowest=lowest))
            if inside.any():
                bound = source.lowest_m if lowest else source.highest_m
                mine[inside] = bound(from_s[inside], to_s[inside])
            mine = mine - level_m
            better = (station < 0) | ((mine < height) if lowest else (mine > height))
            height = np.where(better, mine, height)
            station = np.where(better, index, station)
            known &= inside
        shift_m = -self.surge_down_m if lowest else self.surge_up_m
        return HeightsFound(height_m=height + shift_m, known=known, station=station)

    def _ever_m(self, index: int, *, lowest: bool) -> float:
        """The lowest, or highest, height at any time. A table or series knows nothing of other
        times than its own: its lowest counts no higher than datum."""
        source = self.stations[index].source
        low, high = source.ever_m
        if lowest:
            return min(0.0, low) if source.spans_s is not None else low
        return high

    def ever(
        self, stations: Sequence[int], datum: str, *, lowest: bool = True
    ) -> tuple[float, int] | None:
        """(the lowest, or highest, height above `datum` at any time, the station's index).

        Harmonic constants are predicted over 19 years. None as for `lowest`.
        """
        found = []
        for index in stations:
            level_m = self.level_m(index, datum)
            if level_m is None:
                return None
            found.append((self._ever_m(index, lowest=lowest) - level_m, index))
        if lowest:
            low, at = min(found)
            return low - self.surge_down_m, at
        high, at = max(found)
        return high + self.surge_up_m, at

    def lowest_ever_m(self) -> float:
        """The lowest height of any station at any time, less the allowance for surge."""
        every = range(len(self.stations))
        return min(self._ever_m(index, lowest=True) for index in every) - self.surge_down_m


def station_in_words(station: TideStation) -> str:
    """A station's name, and its height or where its heights come from."""
    source = station.source
    if not source.varies:
        return f"{station.name} {source.ever_m[0]:+.2f} m"
    span = span_in_words(source)
    return f"{station.name} ({source.kind}{', ' + span if span else ''})"


def span_in_words(source: Heights) -> str:
    """From when to when a station has heights, "" where always."""
    if source.spans_s is None:
        return ""
    first, last = source.spans_s[0][0], source.spans_s[-1][1]
    gaps = len(source.spans_s) - 1
    text = f"from {_utc(first)} to {_utc(last)}"
    return text + (f" with {gaps} gap{'s' if gaps > 1 else ''}" if gaps else "")


def _utc(time_s: float) -> str:
    return datetime.fromtimestamp(time_s, UTC).strftime("%Y-%m-%d %H:%MZ")
