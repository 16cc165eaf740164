"""All marks of a chart set, each once: the winning cell's position and attributes.

Between chart cells the largest scale counts: a mark of a smaller-scale cell is left out where a
larger-scale one covers its place, and wherever else it may be. The same mark within 50 m in
another cell is one mark. Marks of loose files (a user's own) stay, unless the same mark stands in a
chart cell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import CARDINAL_KINDS, LATERAL_KINDS, Mark, MarkKind
from routecheck.model.source import Source, SourceKind
from routecheck.nav.angles import Floats, wrap180_deg
from routecheck.nav.ellipsoid import meridian_radius_m, parallel_radius_m
from routecheck.nav.quadrantlook import quadrant_from_look
from routecheck.survey.mark_cover import covered_around
from routecheck.survey.settings import rank

SAME_MARK_M = 50.0
FLOATING_M = 20.0
"""Least position uncertainty of a floating mark (IHO S-44 ed. 6, table 2, order 2)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class MarkSet:
    """Marks that count. Arrays have shape (n,), longitudes in [-180, 180)."""

    marks: tuple[Mark, ...]
    sources: tuple[Source, ...]
    lon_deg: Floats
    lat_deg: Floats

    @cached_property
    def tree(self) -> shapely.STRtree:
        """Index of the places."""
        return point_tree(self.lon_deg, self.lat_deg)

    def uncertainty_m(self, index: int) -> float:
        """How far off its charted place a mark may lie, metres."""
        return uncertainty_m(self.marks[index], self.sources[index])


def uncertainty_m(mark: Mark, source: Source) -> float:
    """How far off its charted place a mark may lie, metres."""
    outline_m = mark.spread_m - mark.wide_m + source.system_off_m
    if not mark.floating:
        stated_m = mark.position_uncertainty_m
        stated_m = source.own_position_uncertainty_m if stated_m is None else stated_m
        return stated_m + outline_m
    scale_m = 0.0005 * source.scale if source.scale is not None else 0.0
    return max(FLOATING_M, scale_m, mark.position_uncertainty_m or 0.0) + outline_m


def mark_set(charts: ChartSet) -> MarkSet:
    """Every mark of the charts once, in the order of the charts' rank."""
    ranked = sorted(charts.charts, key=_chart_rank)
    kept_marks: list[Mark] = []
    kept_sources: list[Source] = []
    kept_lon: list[Floats] = []
    kept_lat: list[Floats] = []
    for place, chart in enumerate(ranked):
        if not chart.marks:
            continue
        lon, lat = places_of(chart.marks)
        stays = ~covered_by_larger(ranked[:place], chart.marks, chart.source, lon, lat)
        if kept_marks:
            stays &= ~_same_mark(
                chart.marks,
                lon,
                lat,
                kept_marks,
                np.concatenate(kept_lon),
                np.concatenate(kept_lat),
            )
        here = np.flatnonzero(stays)
        kept_marks += [chart.marks[i] for i in here]
        kept_sources += [chart.source] * len(here)
        kept_lon.append(lon[here])
        kept_lat.append(lat[here])
    none = np.zeros(0)
    return MarkSet(
        marks=tuple(kept_marks),
        sources=tuple(kept_sources),
        lon_deg=np.concatenate([none, *kept_lon]),
        lat_deg=np.concatenate([none, *kept_lat]),
    )


def places_of(marks: Sequence[Mark]) -> tuple[Floats, Floats]:
    """(longitudes in [-180, 180), latitudes) of marks, (n,); of an area a place on it."""
    points = shapely.get_coordinates(shapely.point_on_surface([mark.geometry for mark in marks]))
    return wrap180_deg(points[:, 0]), points[:, 1]


def _chart_rank(chart: Chart) -> tuple[object, ...]:
    loose = chart.source.kind is not SourceKind.CHART_CELL
    return (not chart.proves_absence, loose, *rank(chart.source), chart.source.id)


def covered_by_larger(
    better: Sequence[Chart],
    marks: Sequence[Mark],
    source: Source,
    lon_deg: Floats,
    lat_deg: Floats,
) -> NDArray[np.bool_]:
    """Whether cells of larger scale cover all places where each mark of one source may be, (n,);
    never for a loose file's marks, nor for those of a cell whose scale nobody states."""
    own = source.scale
    if source.kind is not SourceKind.CHART_CELL or own is None:
        return np.zeros(len(lon_deg), dtype=bool)
    larger = [c for c in better if c.source.scale is not None and c.source.scale < own]
    # One that is drawn wide may stand anywhere in its outline.
    off_m = [uncertainty_m(mark, source) + mark.wide_m for mark in marks]
    return covered_around(larger, lon_deg, lat_deg, np.array(off_m))


def _same_mark(
    marks: Sequence[Mark],
    lon_deg: Floats,
    lat_deg: Floats,
    kept: Sequence[Mark],
    kept_lon_deg: Floats,
    kept_lat_deg: Floats,
) -> NDArray[np.bool_]:
    """Which marks stand within 50 m of a mark of the same kind that is kept already."""
    same = np.zeros(len(marks), dtype=bool)
    for i, j in nearby(lon_deg, lat_deg, kept_lon_deg, kept_lat_deg, SAME_MARK_M):
        same[i] |= one_kind(marks[i], kept[j])
    return same


def one_kind(one: Mark, other: Mark) -> bool:
    """Whether two marks may be of one kind, as far as the chart tells it."""
    first, second = one.kind, other.kind
    if MarkKind.LATERAL in (first, second):
        return first in LATERAL_KINDS and second in LATERAL_KINDS
    if MarkKind.CARDINAL in (first, second):
        if first not in CARDINAL_KINDS or second not in CARDINAL_KINDS:
            return False
        # Which quadrant each names, as far as its look tells: two that differ are two marks.
        return len({_quadrant(mark) for mark in (one, other)} - {""}) <= 1
    return first is second


def _quadrant(mark: Mark) -> str:
    if mark.kind is not MarkKind.CARDINAL:
        return mark.kind.value
    return quadrant_from_look(mark.colours, mark.top_mark).named


def nearby(
    lon_deg: Floats,
    lat_deg: Floats,
    other_lon_deg: Floats,
    other_lat_deg: Floats,
    within_m: float,
    other_tree: shapely.STRtree | None = None,
) -> list[tuple[int, int]]:
    """Pairs (i, j) of positions of the first and of the second set within a distance.

    Longitudes in [-180, 180); neighbours across the antimeridian are found. `other_tree` is the
    index of the second set, if there is one already.
    """
    tree = other_tree if other_tree is not None else point_tree(other_lon_deg, other_lat_deg)
    half_lat = np.degrees(within_m / meridian_radius_m(lat_deg)) * 1.01
    widest = np.minimum(np.abs(lat_deg) + half_lat, 89.9)
    half_lon = np.minimum(np.degrees(within_m / parallel_radius_m(widest)) * 1.01, 180.0)
    found: list[tuple[int, int]] = []
    for turn_deg in (-360.0, 0.0, 360.0):
        lon = lon_deg + turn_deg
        near_edge = np.flatnonzero((lon + half_lon >= -180.0) & (lon - half_lon <= 180.0))
        boxes = shapely.box(
            (lon - half_lon)[near_edge],
            (lat_deg - half_lat)[near_edge],
            (lon + half_lon)[near_edge],
            (lat_deg + half_lat)[near_edge],
        )
        mine, theirs = tree.query(boxes)
        mine = near_edge[mine]
        apart_m = distance_m(
            lon_deg[mine], lat_deg[mine], other_lon_deg[theirs], other_lat_deg[theirs]
        )
        close = apart_m <= within_m
        found += list(zip(mine[close].tolist(), theirs[close].tolist(), strict=True))
    return found


def point_tree(lon_deg: Floats, lat_deg: Floats) -> shapely.STRtree:
    """Index of n positions."""
    points = np.empty(len(lon_deg), dtype=object)
    points[:] = shapely.points(np.column_stack([lon_deg, lat_deg]))
    return shapely.STRtree(list(points))


def offset_m(
    lon_deg: ArrayLike, lat_deg: ArrayLike, other_lon_deg: ArrayLike, other_lat_deg: ArrayLike
) -> tuple[Floats, Floats]:
    """(east, north) of the second positions from the first, metres, for a few miles' distance.

    By middle latitude on the ellipsoid. Shapes broadcast.
    """
    lat, other_lat = np.asarray(lat_deg, dtype=float), np.asarray(other_lat_deg, dtype=float)
    east_deg = wrap180_deg(np.asarray(other_lon_deg, dtype=float) - np.asarray(lon_deg))
    middle = (lat + other_lat) / 2.0
    north = np.radians(other_lat - lat) * meridian_radius_m(middle)
    east = np.radians(east_deg) * parallel_radius_m(middle)
    return np.asarray(east), np.asarray(north)


def distance_m(
    lon_deg: ArrayLike, lat_deg: ArrayLike, other_lon_deg: ArrayLike, other_lat_deg: ArrayLike
) -> Floats:
    """Distance of positions a few miles apart, metres. Shapes broadcast."""
    return np.asarray(np.hypot(*offset_m(lon_deg, lat_deg, other_lon_deg, other_lat_deg)))
