"""Where the water that would clear the boat was surveyed long ago."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry.base import BaseGeometry

from routecheck.model.source import Source
from routecheck.model.view import SurveyRun
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.cover import spot_of, without_slivers
from routecheck.survey.local import LocalChart
from routecheck.survey.overlay import both, union
from routecheck.survey.plane import ChunkPlane

Runs = dict[tuple[str, int], SurveyRun]


def old_surveys(
    plane: ChunkPlane,
    locals_: Sequence[LocalChart],
    leg_grids: Sequence[LegGrid],
    oldest_year: float,
    into: Runs,
) -> None:
    """Add the parts of a chunk's corridor whose survey ended before a year."""
    for local in locals_:
        by_year: dict[int, list[BaseGeometry]] = {}
        chart = local.index.chart
        if any(_older(zone.surveyed, oldest_year) for zone in chart.quality_zones):
            near = local.index.zones_near(plane.search(0.0))
            for zone, shape in zip(near.objects, near.shapes, strict=True):
                if _older(zone.surveyed, oldest_year):
                    by_year.setdefault(zone.surveyed or 0, []).append(shape)
        elif not chart.quality_zones and _older(local.source.surveyed, oldest_year):
            by_year[local.source.surveyed or 0] = [local.cover]
        for year, shapes in by_year.items():
            here = both(both(plane.outline, union(shapes)), local.effective(local.depth_cover()))
            _note(plane, here, local.source, year, into)
    for leg_grid in leg_grids:
        source = leg_grid.grid.source
        here_parts = leg_grid.within(plane.from_m, plane.to_m)
        if _older(source.surveyed, oldest_year) and bool(here_parts.any()):
            _note(plane, plane.outline, source, source.surveyed or 0, into)


def _older(year: int | None, oldest_year: float) -> bool:
    return year is not None and year < oldest_year


def _note(plane: ChunkPlane, part: BaseGeometry, source: Source, year: int, into: Runs) -> None:
    part = without_slivers(plane, part)
    if part.is_empty:
        return
    spot, before = spot_of(plane, part), into.get((source.id, year))
    into[source.id, year] = SurveyRun(
        source=source,
        year=year,
        along_from_m=min(spot.from_m, before.along_from_m) if before else spot.from_m,
        along_to_m=max(spot.to_m, before.along_to_m) if before else spot.to_m,
        lon_deg=before.lon_deg if before else spot.lon_deg,
        lat_deg=before.lat_deg if before else spot.lat_deg,
        cross_m=before.cross_m if before else spot.cross_m,
        area_m2=spot.area_m2 + (before.area_m2 if before else 0.0),
    )
