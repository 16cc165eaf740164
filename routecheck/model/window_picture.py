"""Margins of water and air by departure and by distance along the route, for a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.clock import Clock
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import (
    DepthItems,
    depth_items,
    floors_m,
    lowest_heights_m,
    margins_m,
)
from routecheck.model.headroom import air_margins_m
from routecheck.model.objects import Layer
from routecheck.model.tide_curve import Floats
from routecheck.model.view import LegView
from routecheck.model.window import WindowPicture

_MOST_AT_ONCE = 2_000_000


@dataclass(frozen=True, kw_only=True)
class _Canvas:
    """Departures by bins (d, b): the least margin in metres, whether it is within its uncertainty,
    and whether the boat touches."""

    edges_m: Floats
    margin_m: Floats
    doubtful: NDArray[np.bool_]
    touches: NDArray[np.bool_]

    def put(
        self, rows: slice, bins: slice, left_m: Floats, *, off_m: float, touches_at_m: float
    ) -> None:
        """What is left at some departures, `left_m` (rows,), where nothing less is there yet."""
        part = rows, bins
        self.margin_m[part] = np.minimum(self.margin_m[part], left_m[:, None])
        self.doubtful[part] |= (left_m - off_m < 0.0)[:, None]
        self.touches[part] |= (left_m <= touches_at_m)[:, None]


def window_picture(
    clock: Clock, depart_s: Floats, *, bins: int = 240, most_m: float = 6.0
) -> WindowPicture:
    """The picture of a scan: `bins` equal stretches of the route, margins cut off at `most_m`."""
    views = clock.views
    length_m = views[-1].start_along_m + views[-1].length_m
    edges = np.linspace(0.0, length_m, bins + 1)
    shape = len(depart_s), bins
    canvas = _Canvas(
        edges_m=edges,
        margin_m=np.full(shape, most_m),
        doubtful=np.zeros(shape, dtype=bool),
        touches=np.zeros(shape, dtype=bool),
    )
    known = np.zeros(bins, dtype=bool)
    gap = np.zeros(bins, dtype=bool)
    overhead: list[tuple[float, str]] = []
    for index, view in enumerate(views):
        departures = LegDepartures(passage=clock.passage(index, None), depart_s=depart_s)
        items = depth_items(view)
        items = items.take(items.in_corridor)
        for first, last in zip(*_bins(view, items.from_m, items.to_m, edges), strict=True):
            known[first : last + 1] = True
        for one in view.gaps:
            if one.layer is Layer.DEPTH:
                first, last = _bins(view, one.along_from_m, one.along_to_m, edges)
                gap[int(first) : int(last) + 1] = True
        _paint(items, view, departures, canvas)
        _paint_air(view, departures, canvas)
        overhead += [
            (view.start_along_m + met.place.along_m, met.object.name or met.object.cls)
            for met in view.spans
        ]
    return WindowPicture(
        from_m=edges[:-1],
        to_m=edges[1:],
        margin_m=canvas.margin_m,
        doubtful=canvas.doubtful,
        touches=canvas.touches,
        overhead=tuple(overhead),
        known=known,
        gap=gap,
        waypoints_m=np.array([*(view.start_along_m for view in views), length_m]),
        most_m=most_m,
    )


def _paint(items: DepthItems, view: LegView, departures: LegDepartures, canvas: _Canvas) -> None:
    passage = departures.passage
    tide_off_m = 0.0 if passage.tide is None else passage.tide.uncertainty_m
    aground_m = passage.boat.touches_at_m - passage.boat.needed_m
    most_m = float(canvas.margin_m.max()) if canvas.margin_m.size else 0.0
    at_floor = margins_m(items, floors_m(items, departures), passage)
    off = items.own_off_m + tide_off_m
    shown = (at_floor < most_m) | (at_floor - off < 0.0)
    items, off = items.take(shown), off[shown]
    if not len(items):
        return
    firsts, lasts = _bins(view, items.from_m, items.to_m, canvas.edges_m)
    step = max(1, _MOST_AT_ONCE // len(items))
    for start in range(0, departures.count, step):
        rows = slice(start, start + step)
        some = LegDepartures(passage=passage, depart_s=departures.depart_s[rows])
        heights = lowest_heights_m(items, passage, some.lowest, (some.count,))
        left = margins_m(items, heights, passage)
        for column, (first, last) in enumerate(zip(firsts, lasts, strict=True)):
            canvas.put(
                rows,
                slice(int(first), int(last) + 1),
                left[:, column],
                off_m=float(off[column]),
                touches_at_m=aground_m,
            )


def _paint_air(view: LegView, departures: LegDepartures, canvas: _Canvas) -> None:
    """What hangs over the route, on the stretch that lies under it."""
    passage = departures.passage
    off_m = 0.0 if passage.tide is None else passage.tide.uncertainty_m
    for met, left in air_margins_m(view, departures):
        first, last = _bins(view, met.place.along_from_m, met.place.along_to_m, canvas.edges_m)
        canvas.put(
            slice(None),
            slice(int(first), int(last) + 1),
            left,
            off_m=off_m,
            touches_at_m=-passage.boat.margins.overhead_m,
        )


def _bins(
    view: LegView, from_m: Floats | float, to_m: Floats | float, edges: Floats
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The first and last bin that stretches of a leg touch."""
    last_bin = len(edges) - 2
    first = np.searchsorted(edges, view.start_along_m + np.asarray(from_m), side="right") - 1
    last = np.searchsorted(edges, view.start_along_m + np.asarray(to_m), side="left") - 1
    first = np.clip(first, 0, last_bin)
    return first, np.clip(np.maximum(last, first), 0, last_bin)
