"""Coverage: what part of a chunk's corridor no source covers that could clear it, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.objects import DepthArea, Layer, Unsurveyed
from routecheck.model.source import UNKNOWN_QUALITY, Quality, Source, SourceKind
from routecheck.model.view import UNSURVEYED, CoarseWater, Gap, QualityRun
from routecheck.survey.local import LocalChart, usable_datum
from routecheck.survey.overlay import NOTHING, both, less, union
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.settings import CLEARED_BELOW_M

SLIVER_M = 0.2
"""A gap narrower than this is the rounding of two charted edges, not a hole between them."""
CHART_LAYERS = (Layer.DANGERS, Layer.LAND, Layer.MARKS, Layer.OVERHEAD, Layer.AREAS)


@dataclass(frozen=True, kw_only=True)
class GridCover:
    """What one grid covers of a chunk, lon/lat. `hole` is where it holds no valid depth."""

    source: Source
    quality: Quality
    clears: bool
    """Adequate, and on a datum that can clear."""
    hole: BaseGeometry
    deep: BaseGeometry = NOTHING
    """For a coarse grid: where all its depths are 200 m or more."""
    shoalest_m: float = 0.0
    coarse: bool = False
    unknown: BaseGeometry = NOTHING
    """Where the quality of some depth is not stated, though that of others is."""
    not_measured: BaseGeometry = NOTHING
    """Where a depth was interpolated or predicted, and shoal enough to matter: cannot clear."""

    @cached_property
    def blind(self) -> BaseGeometry:
        """Where it cannot clear: no depth, or none that was measured."""
        return self.hole if self.not_measured.is_empty else union([self.hole, self.not_measured])


@dataclass
class Pieces:
    """Gaps of one leg, collected chunk by chunk and joined by layer and reason."""

    gaps: dict[tuple[Layer, str], Gap] = field(default_factory=dict)
    unknown: dict[str, QualityRun] = field(default_factory=dict)
    coarse: dict[str, CoarseWater] = field(default_factory=dict)


def cover_chunk(
    plane: ChunkPlane, locals_: Sequence[LocalChart], grids: Sequence[GridCover], into: Pieces
) -> None:
    """Work out the holes of one chunk and add them to the leg's."""
    outline = plane.outline
    _depth(plane, outline, locals_, grids, into)
    coarse = union([c.cover for c in locals_ if c.coarse])
    for layers in (CHART_LAYERS,) if _all_alike(locals_) else tuple((la,) for la in CHART_LAYERS):
        left = less(outline, union([c.cover for c in locals_ if _shows(c, layers[0])]))
        _holes(
            plane,
            both(left, coarse),
            layers,
            "only a chart compiled at too small a scale covers this water",
            "give a chart of larger scale",
            into,
        )
        _holes(
            plane,
            less(left, coarse),
            layers,
            "no chart that shows these covers this water",
            "give a chart that covers it",
            into,
        )
    for local in locals_:
        blank = [s for s, o in _pairs(local) if isinstance(o, Unsurveyed)]
        if blank:
            gap = both(outline, local.effective(union(blank)))
            _holes(plane, gap, (Layer.DANGERS,), UNSURVEYED, _SURVEY, into)


_SURVEY = "none: nobody has surveyed it"


def _pairs(local: LocalChart) -> Iterable[tuple[BaseGeometry, object]]:
    return zip(local.near.shapes, local.near.objects, strict=True)


def _shows(local: LocalChart, layer: Layer) -> bool:
    """A chart with coverage of its own shows all its water; a loose file what it holds any of."""
    chart = local.index.chart
    if local.coarse or not chart.proves_absence:
        return False
    if local.source.kind is SourceKind.CHART_CELL or chart.coverage:
        return True
    held = {
        Layer.DANGERS: chart.dangers,
        Layer.LAND: chart.solids,
        Layer.MARKS: chart.marks,
        Layer.OVERHEAD: chart.spans,
    }
    return bool(held.get(layer, ()))


def _all_alike(locals_: Sequence[LocalChart]) -> bool:
    """Whether every chart here shows all layers or none, so that one look serves them all."""
    return all(len({_shows(local, layer) for layer in CHART_LAYERS}) == 1 for local in locals_)


def _depth(
    plane: ChunkPlane,
    outline: BaseGeometry,
    locals_: Sequence[LocalChart],
    grids: Sequence[GridCover],
    into: Pieces,
) -> None:
    adequate = [c for c in locals_ if not c.coarse]
    left = less(outline, union([c.clears() for c in adequate]))
    for grid in grids:
        if grid.clears:
            left = both(left, grid.blind)
    left = without_slivers(plane, left)
    # Deep water under a coarse source alone clears, with a caution.
    for local in (c for c in locals_ if c.coarse):
        deep = _deep(local)
        _note_coarse(plane, both(left, deep), local.source, CLEARED_BELOW_M, into)
        left = less(left, deep)
    for grid in grids:
        if grid.coarse:
            _note_coarse(plane, both(left, grid.deep), grid.source, grid.shoalest_m, into)
            left = less(left, grid.deep)
    _unknown_quality(plane, less(outline, left), adequate, grids, into)
    _explain(plane, left, locals_, grids, into)


def _deep(local: LocalChart) -> BaseGeometry:
    areas = [
        s
        for s, o in _pairs(local)
        if isinstance(o, DepthArea)
        and o.charted_depth_m is not None
        and o.charted_depth_m >= CLEARED_BELOW_M
    ]
    return both(local.effective(union(areas)), local.clears())


def _explain(
    plane: ChunkPlane,
    left: BaseGeometry,
    locals_: Sequence[LocalChart],
    grids: Sequence[GridCover],
    into: Pieces,
) -> None:
    """Give every part of a hole in the depths its reason, the most telling first."""
    for local in locals_:
        blank = [s for s, o in _pairs(local) if isinstance(o, Unsurveyed)]
        left = _named(plane, left, blank, UNSURVEYED, _SURVEY, into)
    for local in locals_:
        bare = [
            s for s, o in _pairs(local) if isinstance(o, DepthArea) and o.charted_depth_m is None
        ]
        text = f"{local.source.id} charts water here without a depth"
        left = _named(plane, left, bare, text, "give a chart that states it", into)
    for local in locals_:
        if local.coarse:
            scale = f"1:{local.source.scale or 0:.0f}"
            text = f"{local.source.id} is compiled at {scale}, too small a scale to clear"
            settle = "give a chart of larger scale"
        elif not usable_datum(local.source):
            text = f"depths of {local.source.id} are on {_datum(local.source)}, which cannot clear"
            settle = "state the chart datum in a sidecar"
        else:
            continue
        left = _named(plane, left, [local.depth_cover()], text, settle, into)
    for grid in grids:
        source = grid.source
        if grid.clears:
            if not grid.not_measured.is_empty:
                text = f"{source.id} holds no measured depth here (interpolated or predicted)"
                parts = [less(grid.not_measured, grid.hole)]
                left = _named(plane, left, parts, text, "give a survey or a chart", into)
            continue
        if grid.coarse:
            text = f"cells of {source.id} are {source.resolution_m or 0:.0f} m wide, too coarse"
            settle = "give a finer grid or a chart"
        else:
            text = f"depths of {source.id} are on {_datum(source)}, which cannot clear"
            settle = "state the datum in a sidecar"
        left = _named(plane, left, [less(left, grid.hole)], text, settle, into)
    _holes(plane, left, (Layer.DEPTH,), "no depth is charted", "give a chart that covers it", into)


def _datum(source: Source) -> str:
    return "an unknown datum" if source.datum == "unknown" else source.datum


def _named(
    plane: ChunkPlane,
    left: BaseGeometry,
    parts: Sequence[BaseGeometry],
    why: str,
    settle: str,
    into: Pieces,
) -> BaseGeometry:
    part = union(parts)
    _holes(plane, both(left, part), (Layer.DEPTH,), why, settle, into)
    return less(left, part)


def without_slivers(plane: ChunkPlane, hole: BaseGeometry) -> BaseGeometry:
    """The pieces of a hole (lon/lat) that are wider somewhere than `SLIVER_M`."""
    if hole.is_empty:
        return NOTHING
    pieces = shapely.get_parts(hole)
    shrunk = shapely.buffer(plane.to_plane(pieces), -SLIVER_M / 2.0)
    return union(pieces[~shapely.is_empty(shrunk)])


def _holes(
    plane: ChunkPlane,
    hole: BaseGeometry,
    layers: Sequence[Layer],
    why: str,
    settle: str,
    into: Pieces,
) -> None:
    hole = without_slivers(plane, hole)
    if hole.is_empty:
        return
    spot = spot_of(plane, hole)
    for layer in layers:
        before = into.gaps.get((layer, why))
        into.gaps[layer, why] = Gap(
            layer=layer,
            why=why,
            settle=settle,
            along_from_m=min(spot.from_m, before.along_from_m) if before else spot.from_m,
            along_to_m=max(spot.to_m, before.along_to_m) if before else spot.to_m,
            area_m2=spot.area_m2 + (before.area_m2 if before else 0.0),
            lon_deg=before.lon_deg if before else spot.lon_deg,
            lat_deg=before.lat_deg if before else spot.lat_deg,
            cross_m=before.cross_m if before else spot.cross_m,
        )


@dataclass(frozen=True, kw_only=True)
class _Spot:
    from_m: float
    to_m: float
    area_m2: float
    lon_deg: float
    lat_deg: float
    cross_m: float


def spot_of(plane: ChunkPlane, shape: BaseGeometry) -> _Spot:
    """Where a part of the corridor (lon/lat) lies along the leg, and a place in it."""
    flat = shapely.make_valid(plane.turned(shape))
    west, _, east, _ = flat.bounds
    length_m = plane.corridor.length_m
    largest = max(shapely.get_parts(flat), key=lambda part: part.area)
    inside = largest.representative_point()
    lon, lat = plane.to_position(inside.x, inside.y)
    return _Spot(
        from_m=min(max(west, 0.0), length_m),
        to_m=min(max(east, 0.0), length_m),
        area_m2=float(flat.area),
        lon_deg=lon,
        lat_deg=lat,
        cross_m=float(inside.y),
    )


def _note_coarse(
    plane: ChunkPlane, part: BaseGeometry, source: Source, shoalest_m: float, into: Pieces
) -> None:
    part = without_slivers(plane, part)
    if part.is_empty:
        return
    spot, before = spot_of(plane, part), into.coarse.get(source.id)
    into.coarse[source.id] = CoarseWater(
        source=source,
        along_from_m=min(spot.from_m, before.along_from_m) if before else spot.from_m,
        along_to_m=max(spot.to_m, before.along_to_m) if before else spot.to_m,
        shoalest_m=min(shoalest_m, before.shoalest_m) if before else shoalest_m,
        lon_deg=before.lon_deg if before else spot.lon_deg,
        lat_deg=before.lat_deg if before else spot.lat_deg,
        cross_m=before.cross_m if before else spot.cross_m,
    )


def _unknown_quality(
    plane: ChunkPlane,
    cleared: BaseGeometry,
    adequate: Sequence[LocalChart],
    grids: Sequence[GridCover],
    into: Pieces,
) -> None:
    """Where only depths of unknown quality clear the boat."""
    known = union([both(c.clears(), c.known()) for c in adequate])
    left = less(cleared, known)
    for grid in grids:
        if grid.clears and grid.quality.known:
            left = both(left, union([grid.blind, grid.unknown]))
    left = without_slivers(plane, left)
    for local in adequate:
        marked = Quality(name="marked as not to be trusted (QUASOU)", vertical_m=None)
        own = (local.source.quality, local.cover)
        for quality, region in ((marked, local.doubtful()), *local.qualities, own):
            if quality.known or left.is_empty:
                continue
            part = both(both(left, local.clears()), region)
            _note_unknown(plane, part, local.source, quality, into)
            left = less(left, part)
    for grid in grids:
        if not grid.clears:
            continue
        quality, where = grid.quality, less(left, grid.blind)
        if quality.known:
            quality, where = UNKNOWN_QUALITY, both(where, grid.unknown)
        _note_unknown(plane, where, grid.source, quality, into)
        left = less(left, where)


def _note_unknown(
    plane: ChunkPlane, part: BaseGeometry, source: Source, quality: Quality, into: Pieces
) -> None:
    part = without_slivers(plane, part)
    if part.is_empty:
        return
    spot, key = spot_of(plane, part), f"{source.id}|{quality.name}"
    before = into.unknown.get(key)
    into.unknown[key] = QualityRun(
        source=source,
        quality=quality,
        along_from_m=min(spot.from_m, before.along_from_m) if before else spot.from_m,
        along_to_m=max(spot.to_m, before.along_to_m) if before else spot.to_m,
        area_m2=spot.area_m2 + (before.area_m2 if before else 0.0),
        lon_deg=before.lon_deg if before else spot.lon_deg,
        lat_deg=before.lat_deg if before else spot.lat_deg,
        cross_m=before.cross_m if before else spot.cross_m,
    )
