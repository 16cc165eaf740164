"""One shoal, one finding: depths that fail, gathered by where they lie.

Dangers that touch one another are one shoal, led by the shoalest. Depths that are only a
caution join the shoal that they touch, and gather among themselves where they touch none:
a caution never ties two dangers together. Contours, soundings and grid stretches inside or
beside a shoal are its evidence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Severity
from routecheck.model.depth_sum import DepthSum
from routecheck.model.source import Source
from routecheck.model.view import DepthFrom, Place

BESIDE_M = 1.0
"""Charted edges that meet are this close at most after rounding."""


@dataclass(frozen=True, kw_only=True)
class Shallow:
    """One depth that fails. `reach` is its part in the corridor, in the leg's plane."""

    key: str
    cls: str
    name: str
    depth_from: DepthFrom
    sum: DepthSum
    severity: Severity
    place: Place
    source: Source
    quality_name: str
    reach: BaseGeometry
    room_m: float = BESIDE_M
    """How near another must lie to be beside it: for a grid stretch, its cell."""
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class Shoal:
    """A group: the one that leads, and its evidence in order along the leg."""

    lead: Shallow
    evidence: tuple[Shallow, ...]


_ORDER = {DepthFrom.AREA: 0, DepthFrom.GRID: 1, DepthFrom.CONTOUR: 2, DepthFrom.SOUNDING: 3}


def shoals(shallows: Sequence[Shallow]) -> tuple[Shoal, ...]:
    """Group the depths of one leg that fail, each in exactly one shoal."""
    # In one order, so that a caution between two shoals goes to the same one on every run.
    shallows = sorted(shallows, key=lambda s: (s.place.along_from_m, s.key))
    dangers = [s for s in shallows if s.severity is Severity.DANGER]
    cautions = [s for s in shallows if s.severity is not Severity.DANGER]
    groups = _touching(dangers)
    left: list[Shallow] = []
    if groups and cautions:
        members = [member for group in groups for member in group]
        whose = [i for i, group in enumerate(groups) for _ in group]
        tree = shapely.STRtree([m.reach for m in members])
        for caution in cautions:
            near = tree.query(caution.reach.buffer(caution.room_m), predicate="intersects")
            if len(near):
                groups[min(whose[n] for n in near.tolist())].append(caution)
            else:
                left.append(caution)
    else:
        left = cautions
    groups.extend(_touching(left))
    made = []
    for group in groups:
        lead = min(group, key=_leads)
        rest = sorted((s for s in group if s is not lead), key=lambda s: (s.place.along_m, s.key))
        whole = replace(
            lead.place,
            along_from_m=min(s.place.along_from_m for s in group if s.severity is lead.severity),
            along_to_m=max(s.place.along_to_m for s in group if s.severity is lead.severity),
        )
        made.append(Shoal(lead=replace(lead, place=whole), evidence=tuple(rest)))
    return tuple(sorted(made, key=lambda shoal: (shoal.lead.place.along_m, shoal.lead.key)))


def _leads(one: Shallow) -> tuple[int, int, float, str]:
    severity = list(Severity).index(one.severity)
    stands = 0 if one.depth_from in (DepthFrom.AREA, DepthFrom.GRID) else 1
    return (severity, stands, one.sum.margin_m, one.key)


def _touching(shallows: Sequence[Shallow]) -> list[list[Shallow]]:
    """Connected groups, by nearness of their reaches."""
    if not shallows:
        return []
    reaches = np.empty(len(shallows), dtype=object)
    reaches[:] = [s.reach for s in shallows]
    rooms = np.array([s.room_m for s in shallows])
    tree = shapely.STRtree(reaches)
    one, other = tree.query(shapely.buffer(reaches, rooms), predicate="intersects")
    leader = list(range(len(shallows)))

    def find(index: int) -> int:
        while leader[index] != index:
            leader[index] = leader[leader[index]]
            index = leader[index]
        return index

    for a, b in zip(one.tolist(), other.tolist(), strict=True):
        # Two point-like depths (soundings, contours) stand for themselves until an area or a
        # grid stretch ties them together.
        if _ties(shallows[a]) or _ties(shallows[b]):
            leader[find(a)] = find(b)
    groups: dict[int, list[Shallow]] = {}
    for index, shallow in enumerate(shallows):
        groups.setdefault(find(index), []).append(shallow)
    return list(groups.values())  # in order of their first member


def _ties(one: Shallow) -> bool:
    return _ORDER[one.depth_from] <= 1
