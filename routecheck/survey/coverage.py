"""Which source counts where, over the whole of a set of charts and without a route.

For looking at, not for judging: outlines are simplified, and the holes of a grid are looked for
by tiles of its cells.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pyproj
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart, ChartSet, Grid
from routecheck.model.coverage import WELL_KNOWN_M, Coverage, Patch, Worth
from routecheck.model.datum import MSL, stands_below_tides
from routecheck.model.objects import SolidKind
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.survey.gridtiles import MOST_CELLS, tiles_of
from routecheck.survey.overlay import both, less, union
from routecheck.survey.settings import SurveySettings, rank

_FINENESS = 3000.0
"""A patch is drawn to this fraction of its own size."""
_SMALLEST_DEG = 1e-9
_GEOD = pyproj.Geod(ellps="WGS84")
_TIERS = [*Worth]


@dataclass(frozen=True, kw_only=True)
class _Zone:
    quality: Quality
    year: int | None
    region: BaseGeometry


def coverage(charts: ChartSet, settings: SurveySettings | None = None) -> Coverage:
    """The patches of all charts, disjoint; `settings` say what is too coarse."""
    limits = settings or SurveySettings(cross_track_m=0.0)
    remarks: list[str] = []
    made: list[Patch] = []
    cells, of_scale, scale = _Taken(), list[Patch](), None
    for chart in sorted(charts.charts, key=lambda c: rank(c.source)):
        mine = list(_of_chart(chart, limits)) if chart.proves_absence else []
        if chart.source.kind is SourceKind.CHART_CELL:
            # As in a survey, where a smaller scale does not fill what a larger one leaves open.
            if chart.source.scale != scale:
                cells.take(of_scale)
                of_scale, scale = [], chart.source.scale
            mine = [p for p in (cells.left(p) for p in mine) if p is not None]
            if not limits.too_coarse(chart.source):
                of_scale += mine
        made += mine
    for grid in sorted(charts.grids, key=lambda g: rank(g.source)):
        made += _of_grid(grid, limits, remarks)
    order = sorted(range(len(made)), key=lambda i: (_tier(made[i]), i))
    taken, patches = _Taken(), []
    for index in order:
        patch = taken.left(made[index])
        if patch is not None:
            taken.take([patch])
            patches.append(_finished(patch))
    held = {patch.source.id for patch in made}
    bare = [(c.source, _sides(c)) for c in charts.charts if c.source.id not in held]
    bare += [(g.source, g.bounds_deg()) for g in charts.grids if g.source.id not in held]
    return Coverage(patches=tuple(patches), bare=tuple(bare), remarks=tuple(remarks))


class _Taken:
    """Areas that are spoken for, found by place."""

    def __init__(self) -> None:
        self._shapes: list[BaseGeometry] = []
        self._tree: shapely.STRtree | None = None
        self._in_tree = 0

    def take(self, patches: Sequence[Patch]) -> None:
        self._shapes += [patch.geometry for patch in patches]

    def left(self, patch: Patch) -> Patch | None:
        """What of a patch is still free; None where nothing is."""
        if len(self._shapes) - self._in_tree > 64:
            self._tree, self._in_tree = shapely.STRtree(self._shapes), len(self._shapes)
        near = [] if self._tree is None else self._tree.query(patch.geometry).tolist()
        shapes = [self._shapes[i] for i in (*near, *range(self._in_tree, len(self._shapes)))]
        geometry = patch.geometry
        for shape in shapes:
            if not geometry.is_empty and geometry.intersects(shape):
                geometry = less(geometry, shape)
        if geometry.area < _SMALLEST_DEG:
            return None
        return replace(patch, geometry=geometry)


def _tier(patch: Patch) -> int:
    # A cell is not passed over for its quality: a larger scale counts before a better survey.
    if patch.land:
        return -1
    if patch.source.kind is SourceKind.CHART_CELL and patch.worth is Worth.UNKNOWN:
        return _TIERS.index(Worth.ROUGH)
    return _TIERS.index(patch.worth)


def _of_chart(chart: Chart, limits: SurveySettings) -> Iterator[Patch]:
    source = chart.source
    stated = union(a.geometry for a in chart.depth_areas if a.charted_depth_m is not None)
    land = union(s.geometry for s in chart.solids if s.kind is SolidKind.LAND)
    unsurveyed = union(u.geometry for u in chart.unsurveyed)
    blank = union(a.geometry for a in chart.depth_areas if a.charted_depth_m is None)
    water = less(less(stated, land), union([unsurveyed, blank]))
    holes = less(less(union([unsurveyed, blank]), water), land)
    why = "unsurveyed, or charted without a depth"
    if chart.coverage:
        within = less(
            union(c.geometry for c in chart.coverage if c.covered),
            union(c.geometry for c in chart.coverage if not c.covered),
        )
        water, land = both(water, within), both(land, within)
        holes = less(less(within, water), land)
        why = "unsurveyed, or no depth is charted"
    if not land.is_empty:
        yield Patch(source=source, geometry=land, worth=Worth.KNOWN, land=True)
    for zone in _zones(chart, water):
        part = both(water, zone.region)
        for datum, region in _datums(chart, part):
            yield Patch(
                source=source,
                geometry=region,
                worth=_worth(source, zone.quality, datum, limits),
                quality=zone.quality.name,
                datum=datum,
                year=zone.year,
            )
    if not holes.is_empty:
        yield Patch(source=source, geometry=holes, worth=Worth.HOLE, datum=source.datum, why=why)


def _zones(chart: Chart, water: BaseGeometry) -> Iterator[_Zone]:
    """Regions of one quality and year, the worst first where zones overlap."""
    marked = Quality(name="marked as not to be trusted (QUASOU)", vertical_m=None)
    by_worth: dict[tuple[Quality, int | None], list[BaseGeometry]] = {}
    for area in chart.depth_areas:
        if area.unreliable:
            by_worth.setdefault((marked, None), []).append(area.geometry)
    for zone in chart.quality_zones:
        by_worth.setdefault((zone.quality, zone.surveyed), []).append(zone.geometry)
    left = water
    for quality, year in sorted(by_worth, key=_badness, reverse=True):
        region = both(left, union(by_worth[quality, year]))
        if not region.is_empty:
            yield _Zone(quality=quality, year=year, region=region)
            left = less(left, region)
    if not left.is_empty:
        year = None if chart.quality_zones else _year(chart.source)
        yield _Zone(quality=chart.source.quality, year=year, region=left)


def _badness(worth: tuple[Quality, int | None]) -> tuple[bool, float, int]:
    quality, year = worth
    return not quality.known, quality.vertical_uncertainty_m(10.0), -(year or 0)


def _year(source: Source) -> int | None:
    """Of the survey. A cell's issue says nothing of it; other files have the one or the other."""
    if source.surveyed is not None or source.kind is SourceKind.CHART_CELL:
        return source.surveyed
    return int(source.issued[:4]) if source.issued[:4].isdigit() else None


def _datums(chart: Chart, water: BaseGeometry) -> Iterator[tuple[str, BaseGeometry]]:
    left = water
    for zone in chart.datum_zones:
        region = both(left, zone.geometry)
        if not region.is_empty:
            yield zone.datum, region
            left = less(left, region)
    if not left.is_empty:
        yield chart.source.datum, left


def _worth(source: Source, quality: Quality, datum: str, limits: SurveySettings) -> Worth:
    below = stands_below_tides(datum) or (datum == MSL and source.datum_below_msl_m is not None)
    if not below:
        return Worth.NO_DATUM
    if limits.too_coarse(source):
        return Worth.COARSE
    if not quality.known:
        return Worth.UNKNOWN
    off_m = quality.vertical_uncertainty_m(10.0)
    return Worth.KNOWN if off_m <= WELL_KNOWN_M else Worth.ROUGH


def _of_grid(grid: Grid, limits: SurveySettings, remarks: list[str]) -> Iterator[Patch]:
    source = grid.source
    tiles = tiles_of(grid)
    if tiles.unseen:
        remarks.append(
            f"{source.id} has more than {MOST_CELLS:,} cells: its holes were not looked for, and "
            "it is shown as if it had none."
        )
    worth = _worth(source, source.quality, source.datum, limits)
    facts = {"source": source, "datum": source.datum, "year": _year(source)}
    if not tiles.full.is_empty:
        yield Patch(geometry=tiles.full, worth=worth, quality=source.quality.name, **facts)  # type: ignore[arg-type]
    if not tiles.part.is_empty:
        yield Patch(
            geometry=tiles.part,
            worth=Worth.HOLE,
            why="some of the cells here hold no depth",
            **facts,  # type: ignore[arg-type]
        )


def _finished(patch: Patch) -> Patch:
    west, south, east, north = patch.geometry.bounds
    area_m2 = abs(_GEOD.geometry_area_perimeter(patch.geometry)[0])
    simple = patch.geometry.simplify(max(east - west, north - south) / _FINENESS)
    shape = patch.geometry if simple.is_empty else simple
    return replace(patch, geometry=shape, area_m2=area_m2)


def _sides(chart: Chart) -> tuple[float, float, float, float] | None:
    held = [thing.geometry for thing in (*chart.coverage, *chart.objects())]
    if not held:
        return None
    west, south, east, north = shapely.total_bounds(np.array(held, dtype=object)).tolist()
    return west, south, east, north
