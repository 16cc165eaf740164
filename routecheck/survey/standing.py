"""What is odd about where marks are charted: on land, in drying water, in one another's place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import CARDINAL_KINDS, LATERAL_KINDS, Mark, MarkKind, SolidKind
from routecheck.survey.markset import MarkSet, nearby
from routecheck.survey.plane import Shapes
from routecheck.survey.track import Indexes

ONE_PLACE_M = 5.0
"""Marks of two kinds within this of each other stand in one place: no boat passes between."""
_OTHERS = frozenset({MarkKind.ISOLATED_DANGER, MarkKind.SAFE_WATER, MarkKind.EMERGENCY_WRECK})


def doubts(charts: ChartSet, marks: MarkSet, wanted: Sequence[int]) -> dict[int, tuple[str, ...]]:
    """For some of the marks what is odd about their places, in words."""
    found: dict[int, list[str]] = defaultdict(list)
    for mark, text in (*_twins(marks, wanted), *_aground(charts, marks, wanted)):
        found[mark].append(text)
    return {mark: tuple(texts) for mark, texts in found.items()}


def _twins(marks: MarkSet, wanted: Sequence[int]) -> list[tuple[int, str]]:
    mine = np.asarray(wanted, dtype=np.intp)
    lon, lat = marks.lon_deg, marks.lat_deg
    made = []
    for i, there in nearby(lon[mine], lat[mine], lon, lat, ONE_PLACE_M, marks.tree):
        here = wanted[i]
        one, other = marks.marks[here], marks.marks[there]
        families = _family(one.kind), _family(other.kind)
        if all(families) and one.kind is not other.kind:
            article = "an" if other.kind.value[0] in "aeiou" else "a"
            called = " ".join(filter(None, (article, other.kind.value, "mark", other.name)))
            made.append((here, f"{called} ({other.source}) is charted in the same place"))
    return made


def _family(kind: MarkKind) -> str:
    if kind in LATERAL_KINDS:
        return "lateral"
    return "cardinal" if kind in CARDINAL_KINDS else "other" if kind in _OTHERS else ""


def _aground(charts: ChartSet, marks: MarkSet, wanted: Sequence[int]) -> list[tuple[int, str]]:
    """Floating marks on land or in water that dries, by the chart that they stand in."""
    by_source: dict[str, list[int]] = defaultdict(list)
    for mark in wanted:
        if marks.marks[mark].floating:
            by_source[marks.marks[mark].source].append(mark)
    made = []
    for chart in charts.charts:
        here = by_source[chart.source.id]
        points = np.array([_point(marks.marks[mark]) for mark in here], dtype=object)
        made += [(here[i], text) for i, text in _on_dry_ground(chart, points)]
    return made


def _point(mark: Mark) -> shapely.Point:
    return shapely.Point(mark.lon_deg, mark.lat_deg)


def _on_dry_ground(chart: Chart, points: Shapes) -> list[tuple[int, str]]:
    """(number of the point, text), whichever way round the chart writes its longitudes. A point
    on the very edge is not said to be dry."""
    land = [s.geometry for s in chart.solids if s.kind is SolidKind.LAND]
    drying = [
        (area.geometry, area.charted_depth_m)
        for area in chart.depth_areas
        if area.charted_depth_m is not None and area.charted_depth_m < 0.0
    ]
    point, _ = _within(points, land)
    made = [(int(i), "it floats, and is charted on land") for i in np.unique(point)]
    for i, area in zip(*_within(points, [shape for shape, _ in drying]), strict=True):
        text = f"it floats, and is charted where it dries {-drying[area][1]:.1f} m"
        made.append((int(i), text))
    return made


def _within(points: Shapes, shapes: Sequence[BaseGeometry]) -> tuple[Indexes, Indexes]:
    """Which point lies within which shape."""
    tree = shapely.STRtree(shapes)
    places = shapely.get_coordinates(points)
    pairs = []
    for turn_deg in (-360.0, 0.0, 360.0):
        moved = shapely.points(places + np.array([turn_deg, 0.0]))
        pairs.append(tree.query(moved, predicate="within"))
    point, shape = np.concatenate(pairs, axis=1)
    return point, shape
