"""Depth grids along one leg: which parts count, and what they cover."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Grid
from routecheck.model.view import DepthGridMet
from routecheck.nav.angles import Floats
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.cover import GridCover
from routecheck.survey.local import on_chart_datum, usable_datum
from routecheck.survey.overlay import NOTHING, areal, less, union
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.settings import CLEARED_BELOW_M, MEASURED_ABOVE_M, rank
from routecheck.survey.shoalest import GridProfile, unseen

_ALIKE = 0.99
"""Cells of one size: nearer to one another than this share. The same step in degrees is not the
same in metres a little further north."""


@dataclass(frozen=True, kw_only=True)
class LegGrid:
    """One grid and what the corridor of one leg touches of it."""

    grid: Grid
    profile: GridProfile
    coarse: bool
    uncertainty: GridProfile | None = None
    """Minus the greatest uncertainty of the cells of each part, where cells state one."""
    measured: GridProfile | None = None
    """Invalid where a touched depth was interpolated or predicted, where that is told."""

    @cached_property
    def off_m(self) -> Floats:
        """Vertical uncertainty of each part, its worst cell's, metres; 0 where unknown, (n,)."""
        quality = self.grid.source.quality
        depth_m = self.profile.charted_depth_m
        off_m = np.zeros(len(depth_m))
        if quality.vertical_m is not None and not quality.by_cell:
            finite = np.where(np.isfinite(depth_m), depth_m, 0.0)
            off_m += quality.vertical_m + quality.vertical_share * np.abs(finite)
        if self.uncertainty is not None:
            cells_m = -self.uncertainty.charted_depth_m
            off_m = np.maximum(off_m, np.where(np.isfinite(cells_m), cells_m, 0.0))
        return off_m

    @cached_property
    def known(self) -> NDArray[np.bool_]:
        """Parts of whose every depth the uncertainty is stated, (n,); never of one that was not
        measured, whatever is stated. Where cells state their own, a sidecar's figure says nothing
        of a cell that states none."""
        quality = self.grid.source.quality
        known = np.full(len(self.off_m), quality.known and not quality.by_cell)
        if self.uncertainty is not None:
            known = ~self.uncertainty.any_invalid
        return np.asarray(known & self.was_measured)

    @cached_property
    def was_measured(self) -> NDArray[np.bool_]:
        """Parts of which no touched depth is told to be interpolated or predicted, (n,)."""
        if self.measured is None:
            return np.ones(len(self.off_m), dtype=bool)
        return np.asarray(~self.measured.any_invalid)

    @property
    def whole(self) -> NDArray[np.bool_]:
        """Parts in which every touched cell holds a depth, (n,)."""
        return ~(self.profile.any_invalid | self.profile.off_grid)

    @property
    def clears(self) -> bool:
        """Whether this grid can clear: fine enough, and on a usable datum."""
        return not self.coarse and usable_datum(self.grid.source)

    def within(self, from_m: float, to_m: float) -> NDArray[np.bool_]:
        """Parts that share a stretch of the leg, ends included, (n,)."""
        return (self.profile.along_to_m >= from_m) & (self.profile.along_from_m <= to_m)


def grid_cover(plane: ChunkPlane, leg_grid: LegGrid) -> GridCover:
    """What a grid covers of one chunk."""
    profile, source = leg_grid.profile, leg_grid.grid.source
    here = leg_grid.within(plane.from_m, plane.to_m)
    outline = plane.outline
    depths = profile.charted_depth_m[here]
    if not here.any() or not np.isfinite(depths).any():
        return GridCover(
            source=source,
            quality=source.quality,
            clears=leg_grid.clears,
            coarse=leg_grid.coarse,
            hole=outline,
        )
    broken = np.flatnonzero(here & ~leg_grid.whole)
    hole: BaseGeometry = NOTHING
    if len(broken):
        hole = areal(unseen(leg_grid.grid, plane.corridor, broken, profile))
    deep: BaseGeometry = NOTHING
    if leg_grid.coarse and usable_datum(source):
        deep_enough = here & leg_grid.whole & (profile.charted_depth_m >= CLEARED_BELOW_M)
        if deep_enough[here].all():
            deep = outline
        elif deep_enough.any():
            deep = union(profile.quadrilaterals(np.flatnonzero(deep_enough)))
            deep = less(deep, union(profile.quadrilaterals(np.flatnonzero(here & ~deep_enough))))
    valid = depths[np.isfinite(depths) & (depths >= CLEARED_BELOW_M)]
    return GridCover(
        unknown=union(profile.quadrilaterals(np.flatnonzero(here & ~leg_grid.known)))
        if source.quality.known or leg_grid.uncertainty is not None
        else NOTHING,
        not_measured=union(profile.quadrilaterals(np.flatnonzero(here & _guessed(leg_grid)))),
        source=source,
        quality=source.quality,
        clears=leg_grid.clears,
        coarse=leg_grid.coarse,
        hole=hole,
        deep=deep,
        shoalest_m=float(valid.min()) if len(valid) else 0.0,
    )


def _guessed(leg_grid: LegGrid) -> NDArray[np.bool_]:
    """Parts that hold a depth that nobody measured, too shoal to be believed, (n,)."""
    shoal = leg_grid.profile.charted_depth_m < MEASURED_ABOVE_M
    return np.asarray(~leg_grid.was_measured & shoal)


def depth_grid_met(
    corridor: LegCorridor, leg_grid: LegGrid, counts: NDArray[np.bool_]
) -> DepthGridMet | None:
    """The view's record of one grid along one leg; None where it holds nothing there."""
    profile, source = leg_grid.profile, leg_grid.grid.source
    kept = np.isfinite(profile.charted_depth_m)
    if not kept.any():
        return None
    along_m, cross_m = _in_plane(corridor, profile, kept)
    shift_m, datum = on_chart_datum(source, source.datum, 0.0)
    order = np.lexsort((profile.along_to_m[kept], profile.along_from_m[kept]))
    return DepthGridMet(
        source=source,
        quality=source.quality,
        datum=datum,
        along_from_m=profile.along_from_m[kept][order],
        along_to_m=profile.along_to_m[kept][order],
        charted_depth_m=profile.charted_depth_m[kept][order] + shift_m,
        lon_deg=((profile.lon_deg[kept] + 180.0) % 360.0 - 180.0)[order],
        lat_deg=profile.lat_deg[kept][order],
        along_m=along_m[order],
        cross_m=cross_m[order],
        counts=counts[kept][order],
        coarse=leg_grid.coarse,
        off_m=leg_grid.off_m[kept][order],
        known=leg_grid.known[kept][order],
        measured=leg_grid.was_measured[kept][order],
    )


def _in_plane(
    corridor: LegCorridor, profile: GridProfile, kept: NDArray[np.bool_]
) -> tuple[Floats, Floats]:
    """(along, cross) of the shoalest cells, in the plane of the chunk that each part is of."""
    along = np.empty(int(kept.sum()))
    cross = np.empty_like(along)
    middle = (profile.along_from_m[kept] + profile.along_to_m[kept]) / 2.0
    starts = np.array([chunk.along_m for chunk in corridor.chunks])
    which = np.clip(np.searchsorted(starts, middle, side="right") - 1, 0, None)
    lon, lat = profile.lon_deg[kept], profile.lat_deg[kept]
    for index in np.unique(which):
        here = which == index
        chunk = corridor.chunks[index]
        a, c = chunk.frame.to_frame(lon[here], lat[here])
        along[here], cross[here] = a + chunk.along_m, c
    return np.clip(along, 0.0, corridor.length_m), cross


def which_count(
    leg_grids: Sequence[LegGrid], covered: Sequence[NDArray[np.bool_]]
) -> list[NDArray[np.bool_]]:
    """For each grid (best first), the parts that count: not covered by a better grid. Of two that
    nothing ranks both count.

    `covered` says, for each grid, which parts lie wholly in the cover of an adequate chart:
    that takes nothing from an adequate grid, and all from a coarse one.
    """
    result: list[NDArray[np.bool_]] = []
    for position, leg_grid in enumerate(leg_grids):
        counts = np.isfinite(leg_grid.profile.charted_depth_m)
        if leg_grid.coarse:
            counts = counts & ~covered[position]
        for place, other in enumerate(leg_grids):
            if other is leg_grid or not other.clears:
                continue
            # A better grid that is rougher may miss what this one shows: then both count.
            finer = _cell_m(other) <= _cell_m(leg_grid)
            better = place < position and finer and _is_better(other, leg_grid)
            if leg_grid.coarse or better:
                counts = counts & ~_replaced(leg_grid, other)
        result.append(counts)
    return result


def _is_better(first: LegGrid, second: LegGrid) -> bool:
    """Whether the first of two grids in order goes before the other by more than its place."""
    one, other = rank(first.grid.source), rank(second.grid.source)
    if one[0] != other[0] or one[1] < _ALIKE * other[1]:
        return True
    return one[2] < other[2]


def _cell_m(leg_grid: LegGrid) -> float:
    return leg_grid.grid.source.resolution_m or float("inf")


def _replaced(leg_grid: LegGrid, better: LegGrid) -> NDArray[np.bool_]:
    """Parts along which every part of a better grid holds depths throughout, (n,)."""
    profile = leg_grid.profile
    fails = ~better.whole
    bad_from, bad_to = better.profile.along_from_m[fails], better.profile.along_to_m[fails]
    if not len(better.profile.along_from_m):
        return np.zeros(len(profile.along_from_m), dtype=bool)
    order = np.argsort(bad_from)
    bad_from, bad_to = (
        bad_from[order],
        np.maximum.accumulate(bad_to[order]) if len(order) else bad_to,
    )
    last = np.searchsorted(bad_from, profile.along_to_m, side="right") - 1
    overlaps = np.zeros(len(profile.along_from_m), dtype=bool)
    has = last >= 0
    overlaps[has] = bad_to[last[has]] >= profile.along_from_m[has]
    return ~overlaps
