"""The shoalest charted depth that every stretch of a corridor touches, from one depth grid.

A cell counts if its closed square touches the closed part of the corridor. All parts of all
legs are worked out together, and every block of the grid that any of them touches is asked for
once. Nothing is sampled, no overview is used, and every error is outward.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from routecheck.model.chart import Grid
from routecheck.nav.angles import Floats
from routecheck.survey.cells import Runs, touched_runs
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.gather import Flags, Found, read_runs
from routecheck.survey.gridplane import GridPlane
from routecheck.survey.parts import Parts
from routecheck.survey.profile import GridProfile, RouteProfile
from routecheck.survey.strips import stretches_of_legs
from routecheck.survey.track import Indexes
from routecheck.survey.unseen import unseen

__all__ = ["GridProfile", "shoalest", "unseen"]

_PARTS_AT_ONCE = 1 << 16
_RUNS_AT_ONCE = 300_000


def shoalest(grid: Grid, corridors: Sequence[LegCorridor]) -> tuple[GridProfile, ...]:
    """What the grid says along each leg of one route, one profile a leg.

    Blocks that cannot be read are the grid's to report: their cells are invalid.
    """
    plane = GridPlane(grid)
    step_m = plane.step_m(widest_m(corridors))
    parts, bounds = _parts(tuple(corridors), step_m)
    # Corner by corner, which is how they are worked on.
    corners = np.ascontiguousarray(parts.lon_deg.T), np.ascontiguousarray(parts.lat_deg.T)
    near = plane.near(*corners)
    found = Found.nothing(len(near))
    if near.any():
        _search(grid, plane, corners, near, found, plane.slack(step_m, parts.lat_deg))
    lon, lat = np.zeros(len(near)), np.zeros(len(near))
    hit = np.flatnonzero(found.column >= 0)
    if len(hit):
        near_lon = parts.lon_deg[hit, 0]
        lon[hit], lat[hit] = plane.positions(found.column[hit], found.row[hit], near_lon)
    whole = RouteProfile(
        step_m=step_m,
        parts=parts,
        depth_m=found.depth_m,
        lon_deg=lon,
        lat_deg=lat,
        column=found.column,
        row=found.row,
        any_invalid=found.any_invalid,
        off_grid=found.off_grid,
    )
    close = np.logical_or.reduceat(near, bounds[:-1]).tolist()
    ends = bounds.tolist()
    return tuple(
        GridProfile(whole, begin, end if some else begin)
        for begin, end, some in zip(ends[:-1], ends[1:], close, strict=True)
    )


def widest_m(corridors: Sequence[LegCorridor]) -> float:
    """The greatest half-width of all."""
    which = [corridor.index for corridor in corridors]
    route = corridors[0].route
    return float(max(route.port_m[which].max(), route.starboard_m[which].max()))


@lru_cache(maxsize=4)
def _parts(corridors: tuple[LegCorridor, ...], step_m: float) -> tuple[Parts, Indexes]:
    """The parts of a route, worked out once for all grids of like cells."""
    route = corridors[0].route
    if any(corridor.route is not route for corridor in corridors):
        raise ValueError("corridors of different routes")
    return stretches_of_legs(route, np.array([c.index for c in corridors]), step_m)


def _search(
    grid: Grid,
    plane: GridPlane,
    corners: tuple[Floats, Floats],
    close: Flags,
    found: Found,
    slack: float,
) -> None:
    lon_deg, lat_deg = corners
    near = np.flatnonzero(close)
    for begin in range(0, len(near), _PARTS_AT_ONCE):
        some = near[begin : begin + _PARTS_AT_ONCE]
        # All of them are taken as they stand.
        which: Indexes | slice = slice(None) if len(some) == len(close) else some
        images = plane.images(lon_deg[:, which], lat_deg[:, which])
        found.off_grid[some] = images.off_grid
        waiting: list[Runs] = []
        for runs in touched_runs(
            images.column,
            images.row,
            reach=grid.reach,
            slack=slack,
            rows=grid.rows,
            columns=grid.columns,
            block_columns=grid.block_columns,
        ):
            waiting.append(runs.of(some[images.part]))
            if sum(len(one.part) for one in waiting) > _RUNS_AT_ONCE:
                read_runs(grid, waiting, found)
                waiting = []
        if waiting:
            read_runs(grid, waiting, found)
