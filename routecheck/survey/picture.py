"""The water round a route, for a map: clipped and simplified, never judged from.

Which source counts is decided as in the survey: of two adequate chart cells the better one; what
is too coarse lies beneath. Drawing the worse of two adequate sources on top is the writer's part.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import DepthArea, QualityZone, Solid, SolidKind, Unsurveyed
from routecheck.model.picture import (
    CorridorShape,
    GroundShape,
    TrackLine,
    WaterArea,
    WaterPicture,
)
from routecheck.model.source import SourceKind
from routecheck.nav.angles import Floats
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.local import on_chart_datum
from routecheck.survey.picture_grids import water_grids
from routecheck.survey.plane import Shapes
from routecheck.survey.settings import CLEARED_BELOW_M, SurveySettings, rank
from routecheck.survey.surroundings import Surroundings, surroundings
from routecheck.units import METRES_PER_NMI

MOST_AREAS = 12_000
"""More depth areas than this: the nearest to the track are kept, and the picture says so."""
_TRACK_STEP_M = 0.5 * METRES_PER_NMI
_MOST_TRACK_POINTS = 400
_OUTLINE_STEP_M = 5.0 * METRES_PER_NMI
_POLYGON, _POLYGONS = shapely.GeometryType.POLYGON, shapely.GeometryType.MULTIPOLYGON


def picture(
    charts: ChartSet, corridors: Sequence[LegCorridor], *, settings: SurveySettings | None = None
) -> WaterPicture:
    """The water and land within 3 nmi or so of the corridors.

    `settings` says what is too coarse to clear; without it the defaults hold.
    """
    known = settings if settings is not None else SurveySettings(cross_track_m=0.0)
    around = surroundings(corridors)
    found = _Found()
    better: list[tuple[float, BaseGeometry]] = []
    for chart in sorted(charts.charts, key=lambda one: rank(one.source)):
        coarse = known.too_coarse(chart.source)
        cell = chart.source.kind is SourceKind.CHART_CELL
        scale = chart.source.scale if chart.source.scale is not None else np.inf
        # What adequate cells of larger scale cover, they show.
        larger = [shape for other, shape in better if other < scale] if cell else []
        taken = shapely.union_all(larger) if larger else shapely.Polygon()
        _add_chart(chart, around, taken, coarse, found)
        if cell and not coarse:
            better += [(scale, shape) for shape in _coverage(chart, around)]
    grids, remarks = water_grids(
        sorted(charts.grids, key=lambda one: rank(one.source)), around, known
    )
    areas = _nearest(found.areas, around, remarks)
    return WaterPicture(
        bounds_deg=around.route_deg,
        tracks=tuple(_track(c, t) for c, t in zip(corridors, around.turns_deg, strict=True)),
        corridors=tuple(_outline(c, t) for c, t in zip(corridors, around.turns_deg, strict=True)),
        areas=areas,
        grids=grids,
        ground=tuple(found.ground),
        coarse_clears_from_m=CLEARED_BELOW_M,
        remarks=tuple(remarks),
    )


@dataclass
class _Found:
    areas: list[WaterArea] = field(default_factory=list)
    ground: list[GroundShape] = field(default_factory=list)


def _track(corridor: LegCorridor, turn_deg: float) -> TrackLine:
    count = min(int(np.ceil(corridor.length_m / _TRACK_STEP_M)), _MOST_TRACK_POINTS)
    along = np.linspace(0.0, corridor.length_m, count + 1)
    lon, lat, _ = corridor.track(along)
    return TrackLine(leg=corridor.leg.number, along_m=along, lon_deg=lon + turn_deg, lat_deg=lat)


def _outline(corridor: LegCorridor, turn_deg: float) -> CorridorShape:
    # Long stretches do for a drawing: on the map's projection a corridor's edge is straight.
    parts = corridor.stretches(_OUTLINE_STEP_M)
    rings = shapely.polygons(np.stack([parts.lon_deg + turn_deg, parts.lat_deg], axis=2))
    return CorridorShape(
        leg=corridor.leg.number, geometry=shapely.union_all(shapely.make_valid(rings))
    )


def _coverage(chart: Chart, around: Surroundings) -> list[BaseGeometry]:
    covered = [area.geometry for area in chart.coverage if area.covered]
    if not covered:
        covered = [area.geometry for area in chart.depth_areas]
    return [around.clipped(shape, turn) for turn in around.turns for shape in covered]


def _add_chart(
    chart: Chart, around: Surroundings, taken: BaseGeometry, coarse: bool, found: _Found
) -> None:
    things = [*chart.depth_areas, *chart.unsurveyed, *chart.solids]
    near, shapes = around.near(things)
    if not near:
        return
    if not taken.is_empty:
        shapes = shapely.difference(shapes, taken)
    areal = np.array([_is_areal(thing) for thing in near])
    shapes[areal] = _simplified(shapes[areal], around.tolerance_deg)
    zones = _Zones(chart, around)
    for thing, shape in zip(near, shapes, strict=True):
        if shape.is_empty:
            continue
        if isinstance(thing, Solid):
            structure = thing.kind is not SolidKind.LAND
            found.ground.append(
                GroundShape(geometry=shape, source=thing.source, structure=structure)
            )
        elif isinstance(thing, DepthArea | Unsurveyed):
            found.areas.append(_water(thing, shape, chart, zones, coarse))


def _is_areal(thing: object) -> bool:
    return not isinstance(thing, Solid) or thing.kind is SolidKind.LAND


def _water(
    thing: DepthArea | Unsurveyed,
    shape: BaseGeometry,
    chart: Chart,
    zones: _Zones,
    coarse: bool,
) -> WaterArea:
    datum = zones.datum_at(shape)
    depth_m: float | None = None
    uncertainty_m: float | None = None
    if isinstance(thing, DepthArea) and thing.charted_depth_m is not None:
        depth_m, datum = on_chart_datum(chart.source, datum, thing.charted_depth_m)
        uncertainty_m = zones.uncertainty_m(shape, thing, depth_m)
    return WaterArea(
        key=thing.key,
        geometry=shape,
        charted_depth_m=depth_m,
        datum=datum,
        source=chart.source.id,
        vertical_uncertainty_m=uncertainty_m,
        coarse=coarse,
    )


def _simplified(shapes: Shapes, tolerance_deg: float) -> Shapes:
    """Polygons with fewer corners; borders between neighbours stay common to both."""
    held = shapes.copy()
    kinds = shapely.get_type_id(shapes)
    for index in np.flatnonzero((kinds != _POLYGON) & (kinds != _POLYGONS)):
        parts = shapely.get_parts(shapely.get_parts(shapes[index]))
        flat = [p for p in parts if shapely.get_dimensions(p) == 2]
        held[index] = shapely.MultiPolygon(flat) if flat else shapely.Polygon()
    if not len(held):
        return held
    try:
        simple = shapely.coverage_simplify(held, tolerance_deg)
    except shapely.errors.GEOSException:
        simple = shapely.simplify(held, tolerance_deg)
    # What is smaller than the tolerance would vanish; a lone rock must not.
    lost = shapely.is_empty(simple) & ~shapely.is_empty(held)
    simple[lost] = held[lost]
    return simple


class _Zones:
    """Quality and datum zones of a chart near the route."""

    def __init__(self, chart: Chart, around: Surroundings) -> None:
        self.source = chart.source
        self.quality, self.quality_shapes = around.near(chart.quality_zones)
        self.datum, self.datum_shapes = around.near(chart.datum_zones)
        self.tree = shapely.STRtree(self.quality_shapes) if len(self.quality) else None
        self.datum_tree = shapely.STRtree(self.datum_shapes) if len(self.datum) else None

    def datum_at(self, shape: BaseGeometry) -> str:
        if self.datum_tree is not None:
            hits = self.datum_tree.query(shape.representative_point(), predicate="intersects")
            if len(hits):
                return str(getattr(self.datum[int(hits.min())], "datum", "unknown"))
        return self.source.datum

    def uncertainty_m(self, shape: BaseGeometry, area: DepthArea, depth_m: float) -> float | None:
        """The worst that any zone under the shape or it itself states, None where none does."""
        if area.unreliable:
            return None
        own_m = area.depth_uncertainty_m or 0.0
        qualities = [self.source.quality]
        if self.tree is not None:
            hits = self.tree.query(shape, predicate="intersects")
            zones = [self.quality[int(hit)] for hit in hits]
            qualities += [zone.quality for zone in zones if isinstance(zone, QualityZone)]
        stated = [q.vertical_uncertainty_m(depth_m) for q in qualities if q.known]
        return max(*stated, own_m) if stated else None


def _nearest(
    areas: list[WaterArea], around: Surroundings, remarks: list[str]
) -> tuple[WaterArea, ...]:
    if len(areas) <= MOST_AREAS:
        return tuple(areas)
    far: Floats = shapely.distance(around.track, np.array([a.geometry for a in areas]))
    kept = np.sort(np.argsort(far, kind="stable")[:MOST_AREAS])
    remarks.append(
        f"The map shows the {MOST_AREAS} depth areas nearest to the track of {len(areas)}."
    )
    return tuple(areas[int(index)] for index in kept)
