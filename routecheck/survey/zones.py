"""Which buoyage region and which stated direction of buoyage hold at a place.

In order of trust: the user's zones; for the region then `--region` and what the mark itself
states; then the zones of the largest-scale chart that states anything there, its innermost zone
first. Other zones of that scale that hold there as well and say something else, and a chart
that differs from the user, are named as a conflict. Zones of one standing (the user's; one chart's;
charts that nothing ranks) have no order among them: where they differ, none of them counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import BuoyageZone, Mark
from routecheck.model.passes import GroundKind
from routecheck.model.source import SourceKind
from routecheck.nav.angles import Floats, turn_deg
from routecheck.survey.settings import rank

CONFLICT_DEG = 45.0
"""Directions that differ by more than this contradict each other."""
EXCEPTION_SHARE = 0.9
"""A zone inside another is an exception to it where it is smaller than this share of it; else both
speak of the same water (common practice: digitised borders rarely coincide)."""
_USER, _OPTION, _MARK, _CHARTS = 0, 1, 2, 3
"""Standings, the most trusted first; those of charts follow from the last."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """What one zone or setting states, and who says so."""

    text: str
    region: str = ""
    direction_deg: float | None = None
    kind: GroundKind = GroundKind.CHART
    standing: int = _CHARTS
    """Equal where nothing says which of two counts."""


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class _Zone:
    zone: BuoyageZone
    order: tuple[int, float]
    """(rank of its chart, -1 for the user's; area in square degrees)."""
    text: str
    scale: float | None = None
    standing: int = _USER


class Zones:
    """All zones of a chart set, found by place."""

    def __init__(self, charts: ChartSet) -> None:
        """Sort the zones by trust."""
        made = [
            _Zone(zone=z, order=(-1, z.geometry.area), text=_called(z, user=True))
            for z in charts.zones
        ]
        ranked = sorted(charts.charts, key=_chart_rank)
        ranks = sorted({_chart_rank(chart) for chart in ranked})
        for place, chart in enumerate(ranked):
            standing = _CHARTS + ranks.index(_chart_rank(chart))
            for zone in chart.buoyage_zones:
                made.append(
                    _Zone(
                        zone=zone,
                        order=(-1 if zone.from_user else place, zone.geometry.area),
                        text=_called(zone, user=zone.from_user, of=chart.source.id),
                        scale=chart.source.scale,
                        standing=_USER if zone.from_user else standing,
                    )
                )
        self._nested: dict[tuple[_Zone, _Zone], bool] = {}
        self._zones = sorted(made, key=lambda z: z.order)
        for held in self._zones:
            shapely.prepare(held.zone.geometry)

    def at(self, lon_deg: Floats, lat_deg: Floats) -> list[list[_Zone]]:
        """The zones that hold at each of n places, most trusted first."""
        found: list[list[_Zone]] = [[] for _ in range(len(lon_deg))]
        for held in self._zones:
            inside = np.zeros(len(lon_deg), dtype=bool)
            for whole_turn_deg in (-360.0, 0.0, 360.0):
                lon = lon_deg + whole_turn_deg
                inside |= shapely.intersects_xy(held.zone.geometry, lon, lat_deg)
            for index in np.flatnonzero(inside):
                found[index].append(held)
        return found

    def regions(self, zones: Sequence[_Zone], mark: Mark, option: str) -> list[Stated]:
        """What states the region at a mark, most trusted first."""
        held = self._innermost(_best_scale([z for z in zones if z.zone.region]))
        made = [Stated(text=z.text, region=z.zone.region, standing=z.standing) for z in held]
        if option:
            made.append(Stated(text="--region", region=option, standing=_OPTION))
        if mark.region:
            made.append(Stated(text="the mark itself", region=mark.region, standing=_MARK))
        return sorted(made, key=lambda stated: stated.standing)

    def directions(self, zones: Sequence[_Zone]) -> list[Stated]:
        """What states the direction of buoyage at a place, most trusted first."""
        stated = self._innermost(
            _best_scale([z for z in zones if z.zone.direction_of_buoyage_deg is not None])
        )
        return [
            Stated(
                text=z.text,
                direction_deg=z.zone.direction_of_buoyage_deg,
                kind=GroundKind.USER_ZONE if z.order[0] < 0 else GroundKind.CHART,
                standing=z.standing,
            )
            for z in stated
        ]

    def _innermost(self, zones: Sequence[_Zone]) -> list[_Zone]:
        """Of each chart, its smallest zone here and those that merely overlap with it.

        A zone that holds a much smaller one whole is the general statement, and the smaller one
        the exception to it: no conflict.
        """
        kept: list[_Zone] = []
        for held in zones:  # sorted by chart and area
            inner = [k for k in kept if k.order[0] == held.order[0]]
            if not any(self._holds(held, k) for k in inner):
                kept.append(held)
        return kept

    def _holds(self, outer: _Zone, inner: _Zone) -> bool:
        pair = outer, inner
        if pair not in self._nested:
            self._nested[pair] = _holds(outer.zone, inner.zone)
        return self._nested[pair]


def _best_scale(zones: Sequence[_Zone]) -> list[_Zone]:
    """The user's zones, and of the charts those of the largest scale that states anything."""
    charts = [z for z in zones if z.order[0] >= 0]
    return [z for z in zones if z.order[0] < 0 or z.scale == charts[0].scale]


def _chart_rank(chart: Chart) -> tuple[bool, float, float, str]:
    return (chart.source.kind is not SourceKind.CHART_CELL, *rank(chart.source))


def _called(zone: BuoyageZone, *, user: bool, of: str = "") -> str:
    called = zone.name or zone.key.rsplit("/", 1)[-1]
    if user:
        return f"the user's zone {called}"
    return f"{of} (zone {called})"


def _holds(outer: BuoyageZone, inner: BuoyageZone) -> bool:
    area = inner.geometry.area
    if area >= EXCEPTION_SHARE * outer.geometry.area:
        return False
    # Digitised borders rarely coincide: a hundredth may stick out.
    valid = shapely.make_valid(outer.geometry), shapely.make_valid(inner.geometry)
    return float(valid[0].intersection(valid[1]).area) >= 0.99 * area


def foremost(stated: Sequence[Stated]) -> list[Stated]:
    """The most trusted statements: several where they are of one standing."""
    return [one for one in stated if one.standing == stated[0].standing]


def conflict(stated: Sequence[Stated]) -> str:
    """The first statement that contradicts the most trusted one, both named; "" for none."""
    for other in stated[1:]:
        said = _differ(stated[0], other)
        if said:
            return said
    return ""


def _differ(first: Stated, second: Stated) -> str:
    if first.region and second.region and first.region != second.region:
        return f"{first.text} says region {first.region}, {second.text} says {second.region}"
    if first.direction_deg is not None and second.direction_deg is not None:
        off_deg = abs(turn_deg(first.direction_deg, second.direction_deg))
        if off_deg > CONFLICT_DEG:
            return (
                f"{first.text} says that the direction of buoyage is {first.direction_deg:.0f}°, "
                f"{second.text} says {second.direction_deg:.0f}°"
            )
    return ""
