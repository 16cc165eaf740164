"""Which charted objects one chunk of a corridor meets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.areas import Area
from routecheck.model.objects import (
    Charted,
    Contour,
    Danger,
    DangerKind,
    DepthArea,
    Solid,
    Sounding,
    Span,
    UnknownObject,
    Unsurveyed,
)
from routecheck.model.source import Quality
from routecheck.model.view import DepthFrom, DepthMet, Met, Place, Thing, Touch
from routecheck.survey.local import LocalChart, on_chart_datum, split
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.shown import Shown, shown

_EDGE_DEG = 1e-6
"""A decimetre: areas that share a border do not lie in each other."""


@dataclass
class Meetings:
    """What a leg meets, collected chunk by chunk; one entry an object (and quality)."""

    depths: dict[str, DepthMet] = field(default_factory=dict)
    dangers: dict[str, Met[Danger]] = field(default_factory=dict)
    solids: dict[str, Met[Solid]] = field(default_factory=dict)
    spans: dict[str, Met[Span]] = field(default_factory=dict)
    areas: dict[str, Met[Area]] = field(default_factory=dict)
    unsurveyed: dict[str, Met[Unsurveyed]] = field(default_factory=dict)
    unknown: dict[str, Met[UnknownObject]] = field(default_factory=dict)


def meet_chart(plane: ChunkPlane, local: LocalChart, into: Meetings) -> None:
    """Add all that one chart holds in a chunk's corridor or in its objects' position belts."""
    _meet_depths(plane, local, into)
    _meet_things(plane, local, Danger, into.dangers, partial(belt_m, local))
    own = own_belt(local)
    _meet_things(plane, local, Solid, into.solids, own)
    _meet_things(plane, local, Span, into.spans, own)
    _meet_things(plane, local, Unsurveyed, into.unsurveyed, own)
    _meet_things(plane, local, UnknownObject, into.unknown, own)


def _meet_depths(plane: ChunkPlane, local: LocalChart, into: Meetings) -> None:
    for some in shown(plane, local, (DepthArea, Contour, Sounding)):
        _meet_shown_depths(plane, local, some, into)


def _meet_shown_depths(plane: ChunkPlane, local: LocalChart, some: Shown, into: Meetings) -> None:
    objects, shapes = some.objects, some.shapes
    kept = [i for i, o in enumerate(objects) if getattr(o, "charted_depth_m", None) is not None]
    pieces, qualities, of_kept = split(shapes[kept], local.qualities, local.source.quality)
    pieces, datums, of_piece = split(pieces, local.datums, local.source.datum)
    if not len(pieces):
        return
    whose = [_at_worth(objects[kept[of_kept[p]]], qualities[p]) for p in of_piece]
    belts = np.array([belt_m(local, thing, quality) for thing, quality in whose])
    for index, place, reach in plane.places(plane.to_plane(pieces), belts, some.left):
        thing, quality = whose[index]
        assert isinstance(thing, DepthArea | Contour | Sounding)
        depth_m, datum = on_chart_datum(local.source, datums[index], _charted_m(thing))
        key = f"{thing.key}|{quality.name}|{datum}"
        met = DepthMet(
            key=thing.key,
            cls=thing.cls,
            name=thing.name,
            depth_from=_DEPTH_FROM[type(thing)],
            charted_depth_m=depth_m,
            deep_end_m=thing.deep_end_m if isinstance(thing, DepthArea) else None,
            datum=datum,
            place=place,
            source=local.source,
            quality=quality,
            coarse=local.coarse,
            unreliable=isinstance(thing, Sounding | DepthArea) and thing.unreliable,
            reach_wkb=shapely.to_wkb(reach),
        )
        before = into.depths.get(key)
        if before is not None:
            both = shapely.union(shapely.from_wkb(before.reach_wkb), reach)
            met = replace(met, place=joined(before.place, place), reach_wkb=shapely.to_wkb(both))
        into.depths[key] = met


def _charted_m(thing: Charted) -> float:
    """Its charted depth; 0 where it has none."""
    return float(getattr(thing, "charted_depth_m", None) or 0.0)


def _at_worth(thing: Charted, quality: Quality) -> tuple[Charted, Quality]:
    """A thing and the quality of its depth: its zone's, or what it states itself if that is
    worse. Where it claims to be better the zone's stands."""
    stated_m = getattr(thing, "depth_uncertainty_m", None)
    if stated_m is None or stated_m <= quality.vertical_uncertainty_m(_charted_m(thing)):
        return thing, quality
    return thing, quality.at_least(stated_m)


_DEPTH_FROM: dict[type[Charted], DepthFrom] = {
    DepthArea: DepthFrom.AREA,
    Contour: DepthFrom.CONTOUR,
    Sounding: DepthFrom.SOUNDING,
}


def belt_m(local: LocalChart, thing: Charted, quality: Quality) -> float:
    """How far off a depth or a danger may lie: by its zone's quality, or its own accuracy."""
    zone_m = quality.belt_m(_charted_m(thing))
    if quality.horizontal_m is None:
        # Nobody states an accuracy: no better than the chart could be drawn.
        zone_m = max(zone_m, local.source.own_position_uncertainty_m)
    return max(zone_m, thing.position_uncertainty_m or 0.0) + local.source.system_off_m


Belt = Callable[[Charted, Quality], float]


def own_belt(local: LocalChart) -> Belt:
    """For what stands or is drawn: its own accuracy, else 0.5 mm at the chart's scale."""

    def own_m(thing: Charted, _quality: Quality) -> float:
        stated_m = thing.position_uncertainty_m
        if stated_m is None:
            stated_m = local.source.own_position_uncertainty_m
        return stated_m + local.source.system_off_m

    return own_m


def _meet_things(
    plane: ChunkPlane,
    local: LocalChart,
    kind: type[Thing],
    into: dict[str, Met[Thing]],
    belt: Belt,
) -> None:
    for some in shown(plane, local, (kind,)):
        _meet_shown(plane, local, kind, some, into, belt)


def _meet_shown(
    plane: ChunkPlane,
    local: LocalChart,
    kind: type[Thing],
    some: Shown,
    into: dict[str, Met[Thing]],
    belt: Belt,
) -> None:
    objects, shapes = some.objects, some.shapes
    pieces, qualities, origins = split(shapes, local.qualities, local.source.quality)
    if not len(pieces):
        return
    belts = np.array([belt(objects[o], q) for o, q in zip(origins, qualities, strict=True)])
    for index, place, _ in plane.places(plane.to_plane(pieces), belts, some.left):
        thing, quality = _at_worth(objects[origins[index]], qualities[index])
        assert isinstance(thing, kind)
        met = Met(
            object=thing,
            place=place,
            source=local.source,
            quality=quality,
        )
        if isinstance(thing, Danger):
            shape = shapes[origins[index]]
            shift_m, datum = on_chart_datum(local.source, _datum_at(local, shape), 0.0)
            met = replace(
                met, area_depth_m=_round_it_m(local, shape, thing), datum=datum, shift_m=shift_m
            )
        before = into.get(thing.key)
        if before is not None:
            met = replace(
                met,
                place=joined(before.place, place),
                quality=_worse(before.quality, quality, thing),
                area_depth_m=_of_both(thing, before.area_depth_m, met.area_depth_m),
            )
        into[thing.key] = met


def _worse(one: Quality, other: Quality, thing: Charted) -> Quality:
    """The quality with the larger uncertainty, where a thing lies in two zones."""
    depth_m = _charted_m(thing)
    return max(one, other, key=lambda q: (q.vertical_uncertainty_m(depth_m), not q.known))


def _of_both(thing: Charted, one: float | None, other: float | None) -> float | None:
    if isinstance(thing, Danger) and thing.kind is DangerKind.GROUND:
        if one is None or other is None:
            return None
        return max(one, other) if max(one, other) > 0.0 else min(one, other)
    return _shoaler(one, other)


def _shoaler(one: float | None, other: float | None) -> float | None:
    """Each chunk sees only the depth areas near it."""
    return min((depth for depth in (one, other) if depth is not None), default=None)


def _datum_at(local: LocalChart, shape: BaseGeometry) -> str:
    for datum, region in local.datums:
        if region.intersects(shape):
            return datum
    return local.source.datum


def _round_it_m(local: LocalChart, shape: BaseGeometry, danger: Danger) -> float | None:
    """The depth of the areas that it lies in: the shoalest; for ground that shows, which dries
    where they do, that of an area which does not dry, if any."""
    if danger.kind is not DangerKind.GROUND:
        return _area_depth_m(local, shape)
    eroded = shape.buffer(-_EDGE_DEG)
    inner = shape if eroded.is_empty else eroded
    wet_m = [depth for depth in _depths_at(local, inner) if depth > 0.0]
    return max(wet_m) if wet_m else _area_depth_m(local, inner)


def _area_depth_m(local: LocalChart, shape: BaseGeometry) -> float | None:
    return min(_depths_at(local, shape), default=None)


def _depths_at(local: LocalChart, shape: BaseGeometry) -> list[float]:
    # Shapes as they lie in the chunk's longitudes: the objects' own may be a whole turn away.
    return [
        area.charted_depth_m
        for area, there in zip(local.near.objects, local.near.shapes, strict=True)
        if isinstance(area, DepthArea)
        and area.charted_depth_m is not None
        and there.intersects(shape)
    ]


def joined(one: Place, other: Place) -> Place:
    """One place for an object met in two chunks: the nearer point, the whole reach along."""
    nearer = min(
        (one, other), key=lambda p: (p.touch is not Touch.CORRIDOR, abs(p.cross_m), p.along_m)
    )
    return replace(
        nearer,
        along_from_m=min(one.along_from_m, other.along_from_m),
        along_to_m=max(one.along_to_m, other.along_to_m),
    )


def in_order(mets: dict[str, Met[Thing]]) -> tuple[Met[Thing], ...]:
    """In order along the leg."""
    return tuple(sorted(mets.values(), key=lambda m: (m.place.along_m, m.object.key)))


def depths_in_order(mets: dict[str, DepthMet]) -> tuple[DepthMet, ...]:
    """In order along the leg."""
    return tuple(sorted(mets.values(), key=lambda m: (m.place.along_m, m.key, m.quality.name)))
