"""Where on a leg the height of tide matters: the depths that a low enough tide would not pass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.datum import above_lat, is_low_water, stands_below_tides, surely_not_above
from routecheck.model.heights import Span, covered
from routecheck.model.passage import Passage
from routecheck.model.tide import Tide, span_in_words
from routecheck.model.tide_curve import Floats
from routecheck.model.view import LegView

_FALL_M = 10.0
"""No low-water datum stands further above the lowest water: it lies below the mean level, and the
greatest ranges known are of some 16 m (from memory)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """A stretch where the tide matters, and the times that the stations there know."""

    from_m: float
    to_m: float
    lon_deg: float
    lat_deg: float
    names: tuple[str, ...]
    spans: tuple[str, ...]
    """From when to when each station has heights, in words."""
    known_s: tuple[tuple[Span, ...], ...]

    def known(self, from_s: Floats, to_s: Floats) -> NDArray[np.bool_]:
        """Whether every station has heights for each span of time. Same shape."""
        good = np.ones(np.shape(from_s), dtype=bool)
        for spans in self.known_s:
            good &= covered(spans, from_s, to_s)
        return good


def stretches(view: LegView, passage: Passage) -> Iterator[Stretch]:
    """The stretches of depths and dangers that might not pass if the water stood a whole range
    below the lowest of a station that knows some times only."""
    tide = passage.tide
    if tide is None or not any(s.source.spans_s is not None for s in tide.stations):
        return
    every = range(len(tide.stations))
    limits_m = {
        datum: passage.boat.needed_m
        + tide.uncertainty_m
        - min(_lower_still_m(tide, i, datum) for i in every)
        for datum in {grid.datum for grid in view.grids}
    }
    for datum, from_m, to_m, lon, lat, depth_m, off_m in _depths(view, limits_m):
        stations = passage.stations_at(lon, lat, from_m, to_m)
        bounded = [i for i in stations if tide.stations[i].source.spans_s is not None]
        if not bounded:
            continue
        low_m = min(_lower_still_m(tide, i, datum) for i in stations)
        if depth_m + low_m - off_m - tide.uncertainty_m >= passage.boat.needed_m:
            continue
        sources = [tide.stations[i].source for i in bounded]
        yield Stretch(
            from_m=from_m,
            to_m=to_m,
            lon_deg=lon,
            lat_deg=lat,
            names=tuple(tide.stations[i].name for i in bounded),
            spans=tuple(
                f"{tide.stations[i].name} has heights {span_in_words(tide.stations[i].source)}"
                for i in bounded
            ),
            known_s=tuple(source.spans_s or () for source in sources),
        )


def _lower_still_m(tide: Tide, station: int, datum: str) -> float:
    low, high = tide.stations[station].source.ever_m
    level_m = max(0.0, tide.highest_level_m(datum))
    return min(0.0, low) - (high - low) - tide.surge_down_m - level_m


@dataclass(frozen=True, kw_only=True, slots=True)
class Unplaced:
    """A depth that hangs on how its datum stands to that of the tide, which no one says."""

    from_m: float
    to_m: float
    lon_deg: float
    lat_deg: float
    datum: str
    names: tuple[str, ...]
    """The stations that say nothing of it."""


def unplaced(view: LegView, passage: Passage) -> Iterator[Unplaced]:
    """The depths and dangers below a low-water datum to which the heights of tide are not related,
    and which might not pass if the water stood as far below that datum as it may."""
    tide = passage.tide
    if tide is None:
        return
    every = range(len(tide.stations))

    def untold(stations: Iterable[int], datum: str) -> list[int]:
        return [i for i in stations if tide.level_m(i, datum) is None]

    datums = {grid.datum for grid in view.grids} | {met.datum for met in view.depths}
    datums |= {danger.datum or danger.source.datum for danger in view.dangers}
    datums = {datum for datum in datums if untold(every, datum)}
    # What is on another level clears nothing in any case; and where the tide's own datum stands no
    # lower, its lowest height is taken off, and that is enough.
    datums = {d for d in datums if stands_below_tides(d) and not surely_not_above(d, tide.datum)}
    if not datums:
        return
    spare_m = passage.boat.needed_m + tide.uncertainty_m
    limits_m = {
        grid.datum: spare_m - min(_unplaced_low_m(tide, i, grid.datum) for i in every)
        if grid.datum in datums
        else -np.inf
        for grid in view.grids
    }
    for datum, from_m, to_m, lon, lat, depth_m, off_m in _depths(view, limits_m):
        if datum not in datums:
            continue
        stations = passage.stations_at(lon, lat, from_m, to_m)
        silent = untold(stations, datum)
        low_m = min((_unplaced_low_m(tide, i, datum) for i in stations), default=0.0)
        if silent and depth_m + low_m - off_m < spare_m:
            names = tuple(tide.stations[i].name for i in silent)
            yield Unplaced(
                from_m=from_m, to_m=to_m, lon_deg=lon, lat_deg=lat, datum=datum, names=names
            )


def _unplaced_low_m(tide: Tide, station: int, datum: str) -> float:
    """A height above `datum` below which the water does not fall."""
    source = tide.stations[station].source
    low, high = source.ever_m
    if not above_lat(datum):
        fall_m = 0.0
    elif is_low_water(datum) and source.varies:
        fall_m = high - low
    else:
        fall_m = _FALL_M
    return min(0.0, low) - fall_m - tide.surge_down_m


def _depths(
    view: LegView, limits_m: Mapping[str, float]
) -> Iterator[tuple[str, float, float, float, float, float, float]]:
    """(datum, along from, along to, lon, lat, charted depth, its uncertainty) of all that counts,
    and of grids where the depth less its uncertainty is below its datum's limit."""
    for met in view.depths:
        if met.counts:
            place = met.place
            off_m = met.quality.vertical_uncertainty_m(met.charted_depth_m)
            where = (place.along_from_m, place.along_to_m, place.lon_deg, place.lat_deg)
            yield (met.datum, *where, met.charted_depth_m, off_m)
    for danger in view.dangers:
        depth_m = danger.object.charted_depth_m
        if depth_m is None:
            depth_m = danger.area_depth_m if danger.area_depth_m is not None else 0.0
        depth_m += danger.shift_m
        place = danger.place
        where = (place.along_from_m, place.along_to_m, place.lon_deg, place.lat_deg)
        off_m = danger.quality.vertical_uncertainty_m(depth_m)
        yield (danger.datum or danger.source.datum, *where, depth_m, off_m)
    for grid in view.grids:
        off = grid.uncertainty_m
        shoal = grid.counts & (grid.charted_depth_m - off <= limits_m[grid.datum])
        for i in np.flatnonzero(shoal).tolist():
            yield (
                grid.datum,
                float(grid.along_from_m[i]),
                float(grid.along_to_m[i]),
                float(grid.lon_deg[i]),
                float(grid.lat_deg[i]),
                float(grid.charted_depth_m[i]),
                float(off[i]),
            )
