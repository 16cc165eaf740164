"""The charts round one chunk of a leg: what each holds, and where a better one counts instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.datum import MSL, stands_below_tides
from routecheck.model.objects import Charted, DepthArea, Unsurveyed
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.survey.chart_index import ChartIndex, Near
from routecheck.survey.overlay import NOTHING, both, less, union
from routecheck.survey.plane import ChunkPlane, Shapes, as_shapes
from routecheck.survey.settings import SurveySettings

_HAIR_DEG = 1e-6
"""A tenth of a metre of latitude."""


@dataclass(frozen=True, kw_only=True)
class LocalChart:
    """One chart round one chunk; shapes are lon/lat in the chunk's longitudes."""

    index: ChartIndex
    near: Near[Charted]
    cover: BaseGeometry
    taken: BaseGeometry
    """Where an adequate chart of larger scale counts instead, and alone can clear."""
    hidden: BaseGeometry
    """The part of it in which that chart knows its water, and hides what this one shows."""
    left: BaseGeometry
    """Where something is hidden: what of the corridor is not, in the chunk's plane. Else empty."""
    coarse: bool
    qualities: tuple[tuple[Quality, BaseGeometry], ...]
    datums: tuple[tuple[str, BaseGeometry], ...]

    @property
    def source(self) -> Source:
        """The chart's source."""
        return self.index.source

    def effective(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape without the part where a better chart counts."""
        return shape if self.hidden.is_empty else shape.difference(self.hidden)

    def depth_cover(self) -> BaseGeometry:
        """Where this chart states a depth, or land, and counts. Areas that are unsurveyed or have
        no depth are left out, though another of its areas that states one lies under them."""
        within = less(self.near.depth_cover, _blank(self.near))
        if self.index.chart.coverage:
            within = both(within, self.cover)
        return less(within, self.taken)

    def clears(self) -> BaseGeometry:
        """The part of `depth_cover` whose datum lets a depth clear the boat."""
        own = usable_datum(self.source)
        right = [s for d, s in self.datums if stands_below_tides(d)]
        wrong = [s for d, s in self.datums if not stands_below_tides(d)]
        cover = self.depth_cover()
        if own:
            return less(cover, union(wrong))
        return both(cover, union(right))

    def doubtful(self) -> BaseGeometry:
        """Where the chart itself marks the depth of an area as not to be trusted."""
        return union(
            shape
            for thing, shape in zip(self.near.objects, self.near.shapes, strict=True)
            if isinstance(thing, DepthArea) and thing.unreliable
        )

    def known(self) -> BaseGeometry:
        """Where the quality of this chart's depths is stated."""
        return less(self._known(), self.doubtful())

    def _known(self) -> BaseGeometry:
        zones = [s for q, s in self.qualities if q.known]
        if self.source.quality.known:
            unknown = [s for q, s in self.qualities if not q.known]
            return less(self.cover, union(unknown))
        return union(zones)


def usable_datum(source: Source) -> bool:
    """Whether depths of a source may clear: a low-water datum, or mean sea level with an offset."""
    if source.datum == MSL:
        return source.datum_below_msl_m is not None
    return stands_below_tides(source.datum)


def on_chart_datum(source: Source, datum: str, depth_m: float) -> tuple[float, str]:
    """A depth and its datum, brought from mean sea level to chart datum by a stated offset."""
    if datum == MSL and source.datum_below_msl_m is not None:
        return depth_m - source.datum_below_msl_m, "chart datum"
    return depth_m, datum


def local_charts(
    plane: ChunkPlane, indexes: Sequence[ChartIndex], settings: SurveySettings
) -> list[LocalChart]:
    """The charts that hold anything near a chunk; `indexes` in order of rank."""
    made: list[LocalChart] = []
    covers: list[tuple[float, BaseGeometry, BaseGeometry]] = []
    for index in indexes:
        search = plane.search(index.margin_m)
        near = index.near(search)
        cover = index.coverage(search, near)
        if not near.objects and cover.is_empty:
            continue
        cell = index.source.kind is SourceKind.CHART_CELL
        coarse = settings.too_coarse(index.source)
        scale = index.source.scale if index.source.scale is not None else np.inf
        # One whose scale nobody states may be the largest of all: nothing hides it.
        ranked = cell and index.source.scale is not None
        # Of two cells of one scale neither may hide what the other shows.
        taken = [shape for larger, shape, _ in covers if larger < scale]
        hides = [shape for larger, _, shape in covers if larger < scale]
        hidden = union(hides) if ranked else NOTHING
        left = NOTHING if hidden.is_empty else less(plane.outline, hidden)
        made.append(
            LocalChart(
                index=index,
                near=near,
                cover=cover,
                taken=union(taken) if ranked else NOTHING,
                hidden=hidden,
                left=left if left.is_empty else plane.turned(left),
                coarse=coarse,
                qualities=tuple(index.quality_regions(search)),
                datums=tuple(index.datum_regions(search)),
            )
        )
        if cell and not coarse:
            # Where a chart does not know, it hides nothing of another's.
            knows = less(cover, _not_known(near, cover)) if usable_datum(index.source) else NOTHING
            covers.append((scale, cover, knows))
    return made


def _not_known(near: Near[Charted], cover: BaseGeometry) -> BaseGeometry:
    """What of its cover a chart leaves without a depth or land, or says that it does not know."""
    bare = less(cover, near.depth_cover)
    if not bare.is_empty:  # hairs between two areas are no water
        bare = bare.buffer(-_HAIR_DEG).buffer(_HAIR_DEG)
    return union([_blank(near), bare])


def _blank(near: Near[Charted]) -> BaseGeometry:
    return union(
        shape
        for thing, shape in zip(near.objects, near.shapes, strict=True)
        if isinstance(thing, Unsurveyed)
        or (isinstance(thing, DepthArea) and thing.charted_depth_m is None)
    )


Label = TypeVar("Label")


def split(
    shapes: Shapes, regions: Sequence[tuple[Label, BaseGeometry]], rest: Label
) -> tuple[Shapes, list[Label], list[int]]:
    """Shapes cut along labelled regions: (pieces, label of each, index of the shape it is of).

    What lies in no region is labelled `rest`. A point on a border has the first label.
    """
    pieces: list[BaseGeometry] = []
    labels: list[Label] = []
    origins: list[int] = []
    left = shapes.copy()
    dimension = shapely.get_dimensions(shapes)
    for label, region in regions:
        shapely.prepare(region)
        touched = np.flatnonzero(shapely.intersects(region, left))
        for index in touched.tolist():
            part = left[index].intersection(region)
            if part.is_empty or shapely.get_dimensions(part) < dimension[index]:
                continue  # a bare touch of a border: the neighbour's side of it holds the shape
            pieces.append(part)
            labels.append(label)
            origins.append(index)
            left[index] = left[index].difference(region)
    for index, part in enumerate(left):
        if not part.is_empty:
            pieces.append(part)
            labels.append(rest)
            origins.append(index)
    return as_shapes(pieces), labels, origins
