"""The depths of a leg as arrays: for least margins, and for many departures at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from routecheck.model.departures import LegDepartures
from routecheck.model.depth_sum import severity_codes
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, Codes
from routecheck.model.tide import HeightsFound
from routecheck.model.tide_curve import Floats
from routecheck.model.view import DepthGridMet, DepthMet, LegView, Place, Touch

Bools = NDArray[np.bool_]
Lowest = Callable[[tuple[int, ...], str, Floats, Floats], HeightsFound | None]
_MOST_AT_ONCE = 2_000_000
_HAIR_M = 1e-9


@dataclass(frozen=True, kw_only=True, eq=False)
class DepthItems:
    """Depths that count, arrays of shape (k,). `own_off_m` is the source's uncertainty."""

    from_m: Floats
    to_m: Floats
    lon_deg: Floats
    lat_deg: Floats
    charted_depth_m: Floats
    own_off_m: Floats
    in_corridor: Bools
    unreliable: Bools
    known: Bools
    """Whether the source states its uncertainty."""
    datum: NDArray[np.object_]

    def __len__(self) -> int:
        return len(self.from_m)

    def take(self, which: Bools | NDArray[np.int64]) -> DepthItems:
        """Some of them."""
        return DepthItems(**{f.name: getattr(self, f.name)[which] for f in fields(self)})

    @classmethod
    def joined(cls, parts: Sequence[DepthItems]) -> DepthItems:
        """All of several."""
        return cls(
            **{
                f.name: np.concatenate([getattr(part, f.name) for part in parts])
                for f in fields(cls)
            }
        )

    @classmethod
    def of_rows(cls, rows: Iterable[tuple[Place, float, float, str, bool, bool]]) -> DepthItems:
        """From (place, charted depth, its uncertainty, datum, whether unreliable, whether its
        uncertainty is stated)."""
        kept = list(rows)

        def numbers(values: Iterable[float]) -> Floats:
            return np.array(list(values), dtype=float)

        places = [place for place, *_ in kept]
        return cls(
            from_m=numbers(place.along_from_m for place in places),
            to_m=numbers(place.along_to_m for place in places),
            lon_deg=numbers(place.lon_deg for place in places),
            lat_deg=numbers(place.lat_deg for place in places),
            charted_depth_m=numbers(depth_m for _, depth_m, *_ in kept),
            own_off_m=numbers(off_m for _, _, off_m, *_ in kept),
            in_corridor=np.array([p.touch is Touch.CORRIDOR for p in places], dtype=bool),
            unreliable=np.array([unreliable for *_, unreliable, _ in kept], dtype=bool),
            known=np.array([known for *_, known in kept], dtype=bool),
            datum=np.array([datum for *_, datum, _, _ in kept], dtype=object),
        )

    @classmethod
    def of_areas(cls, mets: Iterable[DepthMet]) -> DepthItems:
        """Depths of areas, contours and soundings."""
        return cls.of_rows(
            (
                met.place,
                met.charted_depth_m,
                met.quality.vertical_uncertainty_m(met.charted_depth_m),
                met.datum,
                met.unreliable,
                met.quality.known,
            )
            for met in mets
        )

    @classmethod
    def of_grid(cls, grid: DepthGridMet) -> DepthItems:
        """The parts of a grid that count."""
        kept = grid.counts
        depth = grid.charted_depth_m[kept]
        count = len(depth)
        return cls(
            from_m=grid.along_from_m[kept],
            to_m=grid.along_to_m[kept],
            lon_deg=grid.lon_deg[kept],
            lat_deg=grid.lat_deg[kept],
            charted_depth_m=depth,
            own_off_m=grid.uncertainty_m[kept],
            in_corridor=np.ones(count, dtype=bool),
            unreliable=np.zeros(count, dtype=bool),
            known=grid.is_known[kept],
            datum=np.full(count, grid.datum, dtype=object),
        )


def depth_items(view: LegView) -> DepthItems:
    """All depths of a leg that count."""
    areas = DepthItems.of_areas(met for met in view.depths if met.counts)
    return DepthItems.joined([areas, *(DepthItems.of_grid(grid) for grid in view.grids)])


def lowest_heights_m(
    items: DepthItems, passage: Passage, lowest: Lowest, shape: tuple[int, ...]
) -> Floats:
    """The height of tide that counts for each item, shape (…, k): that of its stations above its
    datum, or, where that cannot be told, 0 or less.

    `lowest` is that of a passage or of many departures of it, `shape` what it puts before the
    items.
    """
    heights = np.zeros((*shape, len(items)))
    stations = [
        passage.stations_at(*place)
        for place in zip(
            items.lon_deg.tolist(),
            items.lat_deg.tolist(),
            items.from_m.tolist(),
            items.to_m.tolist(),
            strict=True,
        )
    ]
    groups: dict[tuple[tuple[int, ...], str], list[int]] = {}
    for index, key in enumerate(zip(stations, items.datum.tolist(), strict=True)):
        groups.setdefault(key, []).append(index)
    for (which, datum), members in groups.items():
        found = lowest(which, datum, items.from_m[members], items.to_m[members])
        if found is None:
            heights[..., members] = passage.in_words(datum, which, None, 0).height_m
        else:
            heights[..., members] = found.height_m
    return heights


def margins_m(items: DepthItems, heights: Floats, passage: Passage) -> Floats:
    """What is left beyond what the skipper wants: the sum of `DepthSum.margin_m`."""
    return np.asarray((items.charted_depth_m + heights) - passage.boat.needed_m)


def floors_m(items: DepthItems, departures: LegDepartures) -> Floats:
    """A height of tide for each item, shape (k,), that no departure falls below."""
    tide = departures.passage.tide
    windows = departures.windows_s(items.from_m, items.to_m)
    if tide is None or not tide.varies or windows is None or not len(items):
        return lowest_heights_m(items, departures.passage, departures.passage.lowest, ())
    every = tuple(range(len(tide.stations)))
    found = tide.lowest(every, tide.datum, windows[0].min(axis=0), windows[1].max(axis=0))
    assert found is not None
    floors = found.height_m
    for datum in set(items.datum.tolist()):
        of_it = items.datum == datum
        floors[of_it] -= max(0.0, tide.highest_level_m(datum))
        if any(tide.level_m(station, datum) is None for station in every):
            # Where heights cannot be told above a datum, the lowest at any time counts.
            floors[of_it] = np.minimum(floors[of_it], tide.lowest_ever_m())
    # A hair lower: the same sums in another order may differ in their last bit.
    return np.asarray(np.minimum(0.0, floors) - _HAIR_M)


def ceilings_m(items: DepthItems, departures: LegDepartures) -> Floats:
    """A height of tide for each item, shape (k,), that no departure rises above."""
    tide = departures.passage.tide
    windows = departures.windows_s(items.from_m, items.to_m)
    if tide is None or not tide.varies or windows is None or not len(items):
        return lowest_heights_m(items, departures.passage, departures.passage.lowest, ())
    every = tuple(range(len(tide.stations)))
    found = tide.highest(every, tide.datum, windows[0].min(axis=0), windows[1].max(axis=0))
    assert found is not None
    ceilings = found.height_m
    for datum in set(items.datum.tolist()):
        levels = [tide.level_m(station, datum) for station in every]
        lowest_m = min((level_m for level_m in levels if level_m is not None), default=0.0)
        ceilings[items.datum == datum] -= min(0.0, lowest_m)
    return np.asarray(np.maximum(0.0, ceilings) + _HAIR_M)


def sweep_codes(
    items: DepthItems, departures: LegDepartures, *, otherwise: Codes | None = None
) -> Codes:
    """The worst severity of all items for each departure: `DepthSum.severity`, to the last bit.

    `otherwise`, shape (k,), is the code of each item where its sum says nothing.
    """
    passage, count = departures.passage, departures.count
    tide = passage.tide
    off_m = items.own_off_m + (0.0 if tide is None else tide.uncertainty_m)

    def codes(of: DepthItems, heights: Floats, off: Floats) -> Codes:
        return severity_codes(
            of.charted_depth_m,
            heights,
            off,
            passage.boat,
            in_corridor=of.in_corridor,
            unreliable=of.unreliable,
            known=of.known,
        )

    # What is the same at the lowest and at the highest tide of all departures is so at every
    # other; and what is never worse than that need not be asked.
    at_floor = codes(items, floors_m(items, departures), off_m)
    at_ceiling = codes(items, ceilings_m(items, departures), off_m)
    fixed = [c for c in (at_ceiling, otherwise) if c is not None and len(c)]
    least = min((int(c.min()) for c in fixed), default=NOTHING)
    worst = np.full(count, least, dtype=np.int8)
    kept = np.flatnonzero(at_floor < least)
    items, off_m = items.take(kept), off_m[kept]
    if not len(items):
        return worst
    step = max(1, _MOST_AT_ONCE // len(items))
    for first in range(0, count, step):
        some = LegDepartures(passage=passage, depart_s=departures.depart_s[first : first + step])
        heights = lowest_heights_m(items, passage, some.lowest, (some.count,))
        now = codes(items, heights, off_m).min(axis=1)
        worst[first : first + step] = np.minimum(worst[first : first + step], now)
    return worst


def least_margins_m(view: LegView, departures: LegDepartures) -> Floats | None:
    """The least margin over all depths in the corridor for each departure, None where there are no
    depths."""
    items = depth_items(view)
    items = items.take(items.in_corridor)
    if not len(items):
        return None
    passage = departures.passage
    # At no departure is the least margin more than that of the shoalest depth.
    shoalest = items.take(np.array([int(np.argmin(items.charted_depth_m))]))
    heights = lowest_heights_m(shoalest, passage, departures.lowest, (departures.count,))
    most_m = float(margins_m(shoalest, heights, passage).max())
    items = items.take(margins_m(items, floors_m(items, departures), passage) <= most_m)
    least = np.empty(departures.count)
    step = max(1, _MOST_AT_ONCE // len(items))
    for first in range(0, departures.count, step):
        some = LegDepartures(passage=passage, depart_s=departures.depart_s[first : first + step])
        heights = lowest_heights_m(items, passage, some.lowest, (some.count,))
        least[first : first + step] = margins_m(items, heights, passage).min(axis=1)
    return least


def least_margin_m(view: LegView, passage: Passage) -> float | None:
    """The least margin over all depths in the corridor, None where there are no depths."""
    items = depth_items(view)
    items = items.take(items.in_corridor)
    if not len(items):
        return None
    heights = lowest_heights_m(items, passage, passage.lowest, ())
    return float(margins_m(items, heights, passage).min())
