"""Where two sources of depth differ by more than their uncertainties."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import permutations

import numpy as np
import shapely

from routecheck.model.objects import DepthArea
from routecheck.model.source import Source
from routecheck.model.view import Disagreement
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.compare_charts import charts_differ
from routecheck.survey.compare_grids import grids_differ
from routecheck.survey.local import LocalChart, on_chart_datum, usable_datum
from routecheck.survey.plane import ChunkPlane


@dataclass
class Comparison:
    """The worst disagreement of each pair of sources on one leg."""

    pairs: dict[tuple[str, str], Disagreement] = field(default_factory=dict)

    def worst(self) -> tuple[Disagreement, ...]:
        """One a pair of sources, in order of their names."""
        return tuple(self.pairs[key] for key in sorted(self.pairs))

    def note(self, one: Disagreement) -> None:
        """Keep it if it is the widest of its pair."""
        key = (one.shoaler.id, one.deeper.id)
        before = self.pairs.get(key)
        width = one.deeper_depth_m - one.shoaler_depth_m
        if before is None or width > before.deeper_depth_m - before.shoaler_depth_m:
            self.pairs[key] = one


def compare(
    plane: ChunkPlane,
    locals_: Sequence[LocalChart],
    leg_grids: Sequence[LegGrid],
    into: Comparison,
) -> None:
    """Hold the shoalest cell of each part of each grid against the depth area it lies in, and
    against every other grid; and the depth areas of charts against one another."""
    for one, other in permutations(leg_grids, 2):
        for differs in grids_differ(plane, one, other):
            into.note(differs)
    for differs in charts_differ(plane, locals_):
        into.note(differs)
    for local in locals_:
        if not usable_datum(local.source):
            continue
        areas = [
            (shape, thing)
            for shape, thing in zip(local.near.shapes, local.near.objects, strict=True)
            if isinstance(thing, DepthArea) and thing.charted_depth_m is not None
        ]
        if not areas:
            continue
        tree = shapely.STRtree([shape for shape, _ in areas])
        for leg_grid in leg_grids:
            if usable_datum(leg_grid.grid.source):
                _compare_grid(plane, local.source, areas, tree, leg_grid, into)


def _compare_grid(
    plane: ChunkPlane,
    chart: Source,
    areas: list[tuple[shapely.Geometry, DepthArea]],
    tree: shapely.STRtree,
    leg_grid: LegGrid,
    into: Comparison,
) -> None:
    profile, grid = leg_grid.profile, leg_grid.grid.source
    here = leg_grid.within(plane.from_m, plane.to_m) & np.isfinite(profile.charted_depth_m)
    index = np.flatnonzero(here)
    if not len(index):
        return
    points = shapely.points(profile.lon_deg[index], profile.lat_deg[index])
    point_of, area_of = tree.query(points, predicate="intersects")
    for p, a in zip(point_of, area_of, strict=True):
        area = areas[a][1]
        low_m, _ = on_chart_datum(chart, chart.datum, float(area.charted_depth_m or 0.0))
        deepest_m = 1e6 if area.deep_end_m is None else area.deep_end_m
        high_m, _ = on_chart_datum(chart, chart.datum, deepest_m)
        cell_m, _ = on_chart_datum(grid, grid.datum, float(profile.charted_depth_m[index[p]]))
        off_m = float(leg_grid.off_m[index[p]])
        room_m = off_m + chart.quality.vertical_uncertainty_m(low_m)
        if low_m - room_m <= cell_m <= high_m + room_m:
            continue
        grid_shoaler = cell_m < low_m
        lon, lat = float(profile.lon_deg[index[p]]), float(profile.lat_deg[index[p]])
        along, cross = plane.chunk.frame.to_frame(lon, lat)
        into.note(
            Disagreement(
                shoaler=grid if grid_shoaler else chart,
                deeper=chart if grid_shoaler else grid,
                shoaler_depth_m=cell_m if grid_shoaler else high_m,
                deeper_depth_m=low_m if grid_shoaler else cell_m,
                uncertainty_m=room_m,
                along_m=min(max(float(along) + plane.from_m, 0.0), plane.corridor.length_m),
                cross_m=float(cross),
                lon_deg=float((lon + 180.0) % 360.0 - 180.0),
                lat_deg=lat,
            )
        )
