"""A chart's objects, found by place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Generic, TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart
from routecheck.model.objects import (
    Charted,
    CoverageArea,
    DatumZone,
    DepthArea,
    Mark,
    QualityZone,
    Solid,
    SolidKind,
)
from routecheck.model.source import Quality
from routecheck.survey.overlay import NOTHING, less, union
from routecheck.survey.plane import Shapes, as_shapes

_WIDEST_BELT_M = 550.0  # CATZOC C and approximate positions: 500 m, and some depth's share


Thing = TypeVar("Thing", bound=Charted)


@dataclass(frozen=True, kw_only=True)
class Near(Generic[Thing]):
    """Objects near a place: `shapes` are clipped to the search and in its longitudes, (n,)."""

    objects: tuple[Thing, ...]
    shapes: Shapes

    @cached_property
    def depth_cover(self) -> BaseGeometry:
        """The union of depth areas that state a depth, and of land."""
        return union(
            [
                shape
                for thing, shape in zip(self.objects, self.shapes, strict=True)
                if (isinstance(thing, DepthArea) and thing.charted_depth_m is not None)
                or (isinstance(thing, Solid) and thing.kind is SolidKind.LAND)
            ]
        )


class _Layer(Generic[Thing]):
    """One indexed list of objects."""

    def __init__(self, objects: tuple[Thing, ...]) -> None:
        self.objects = objects
        self.shapes: Shapes = np.array([o.geometry for o in objects], dtype=object)
        self.tree = shapely.STRtree(self.shapes)
        self.bounds = shapely.total_bounds(self.shapes) if objects else None

    def near(self, search: BaseGeometry) -> Near[Thing]:
        found: list[Thing] = []
        shapes: list[BaseGeometry] = []
        if self.bounds is None:
            return Near(objects=(), shapes=np.array([], dtype=object))
        west, south, east, north = search.bounds
        for turn_deg in (0.0, 360.0, -360.0):
            if (
                west - turn_deg > self.bounds[2]
                or east - turn_deg < self.bounds[0]
                or south > self.bounds[3]
                or north < self.bounds[1]
            ):
                continue
            here = _moved(search, -turn_deg)
            hits = np.sort(self.tree.query(here, predicate="intersects"))
            if not len(hits):
                continue
            clipped = shapely.intersection(self.shapes[hits], here)
            for index, shape in zip(hits, clipped, strict=True):
                # A bare touch of the search's edge is far outside corridor and belts.
                if not shape.is_empty:
                    found.append(self.objects[index])
                    shapes.append(_moved(shape, turn_deg))
        return Near(objects=tuple(found), shapes=as_shapes(shapes))


def _moved(shape: BaseGeometry, turn_deg: float) -> BaseGeometry:
    if turn_deg == 0.0:
        return shape
    return shapely.transform(shape, lambda xy: xy + np.array([turn_deg, 0.0]))


class ChartIndex:
    """One chart, indexed when it is first asked."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self.source = chart.source

    @cached_property
    def _objects(self) -> _Layer[Charted]:
        # Marks are met by passes of the whole track, not by a leg's corridor.
        kept = set(map(id, self.chart.marks))
        return _Layer(tuple(o for o in self.chart.objects() if id(o) not in kept))

    @cached_property
    def _marks(self) -> _Layer[Mark]:
        return _Layer(self.chart.marks)

    @cached_property
    def _quality(self) -> _Layer[QualityZone]:
        return _Layer(self.chart.quality_zones)

    @cached_property
    def _datum(self) -> _Layer[DatumZone]:
        return _Layer(self.chart.datum_zones)

    @cached_property
    def _coverage(self) -> _Layer[CoverageArea]:
        return _Layer(self.chart.coverage)

    @cached_property
    def margin_m(self) -> float:
        """How far outside a corridor an object of this chart may lie and still concern it."""
        held = (*self.chart.objects(), *self.chart.quality_zones)
        own = [o.position_uncertainty_m or 0.0 for o in held]
        fixed = self.source.quality.horizontal_m or 0.0
        belt_m = max(_WIDEST_BELT_M, fixed + 50.0, self.source.own_position_uncertainty_m, *own)
        return belt_m + self.source.system_off_m

    def near(self, search: BaseGeometry) -> Near[Charted]:
        """Objects near, without marks."""
        return self._objects.near(search)

    def marks_near(self, search: BaseGeometry) -> Near[Mark]:
        """Marks near."""
        return self._marks.near(search)

    def zones_near(self, search: BaseGeometry) -> Near[QualityZone]:
        """Quality zones near."""
        return self._quality.near(search)

    def quality_regions(self, search: BaseGeometry) -> list[tuple[Quality, BaseGeometry]]:
        """Regions of one quality each, disjoint, the worst first where zones overlap."""
        zones = self._quality.near(search)
        by_quality: dict[Quality, list[BaseGeometry]] = {}
        for zone, shape in zip(zones.objects, zones.shapes, strict=True):
            by_quality.setdefault(zone.quality, []).append(shape)
        taken: BaseGeometry = NOTHING
        regions = []
        for quality in sorted(by_quality, key=_badness, reverse=True):
            region = less(union(by_quality[quality]), taken)
            taken = union([taken, region])
            if not region.is_empty:
                regions.append((quality, region))
        return regions

    def datum_regions(self, search: BaseGeometry) -> list[tuple[str, BaseGeometry]]:
        """Regions with a sounding datum of their own."""
        zones = self._datum.near(search)
        return [
            (zone.datum, shape) for zone, shape in zip(zones.objects, zones.shapes, strict=True)
        ]

    def coverage(self, search: BaseGeometry, near: Near[Charted]) -> BaseGeometry:
        """Where this chart has coverage: M_COVR, else the union of what it charts as area."""
        if not self.chart.coverage:
            return near.depth_cover
        areas = self._coverage.near(search)
        pairs = list(zip(areas.objects, areas.shapes, strict=True))
        covered = [s for o, s in pairs if o.covered]
        without = [s for o, s in pairs if not o.covered]
        return less(union(covered), union(without))


def _badness(quality: Quality) -> tuple[bool, float, float]:
    """Sort key: the larger, the worse. What no one has assessed is worse than all."""
    if quality.known:
        return False, quality.vertical_uncertainty_m(10.0), quality.belt_m(10.0)
    return True, -quality.belt_m(10.0), 0.0
