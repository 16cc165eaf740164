"""A leg due east along the equator, drawn in metres: its planes, and charts laid over it.

A degree of longitude is 111,319.490793 m there (the semi-major axis 6,378,137 m of NGA STND.0036
(2014), table 3.1, times pi / 180), a degree of latitude 110,574.2758 m. Cross-track distances are
positive to starboard, which is south.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import shapely

from routecheck.model.chart import Chart
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.chart_index import ChartIndex
from routecheck.survey.corridors import corridors
from routecheck.survey.local import LocalChart, local_charts
from routecheck.survey.plane import ChunkPlane
from routecheck.survey.settings import SurveySettings, rank
from routecheck.survey.shoalest import shoalest
from tests.survey.charts import EXACT, route
from tests.survey.memory_grid import MemoryGrid

EAST_M, NORTH_M = 111319.490793, 110574.2758
Shape = shapely.geometry.base.BaseGeometry


def at(along_m: float, cross_m: float) -> tuple[float, float]:
    """(longitude, latitude)."""
    return along_m / EAST_M, -cross_m / NORTH_M


def box(from_m: float, to_m: float, port_m: float, starboard_m: float) -> Shape:
    """From one cross-track distance to another, the one to port (the lesser) first."""
    west, north = at(from_m, port_m)
    east, south = at(to_m, starboard_m)
    return shapely.box(west, south, east, north)


def shape(*places: tuple[float, float]) -> Shape:
    """The polygon through (along, cross)."""
    return shapely.Polygon([at(*place) for place in places])


@cache
def planes(length_m: float = 5000.0, half_m: float = 100.0) -> list[ChunkPlane]:
    """The planes of the leg's chunks: one up to 9,260 m."""
    (leg,) = corridors(route([at(0.0, 0.0), at(length_m, 0.0)]), ((half_m, half_m),))
    return [ChunkPlane(leg, chunk) for chunk in leg.chunks]


@cache
def plane(length_m: float = 5000.0, half_m: float = 100.0) -> ChunkPlane:
    """The plane of a leg of one chunk."""
    (only,) = planes(length_m, half_m)
    return only


def locals_on(on: ChunkPlane, *charts: Chart, **settings: float) -> list[LocalChart]:
    """The charts round a chunk, as the survey takes them."""
    ranked = sorted(charts, key=lambda c: rank(c.source))
    return local_charts(
        on, [ChartIndex(c) for c in ranked], SurveySettings(cross_track_m=100.0, **settings)
    )


def leg_grid(
    on: ChunkPlane, depth_m: np.ndarray, from_m: float = -50.0, port_m: float = -200.0, **of: object
) -> LegGrid:
    """A grid of cells of 100 m, the first one's centre at (`from_m`, `port_m`)."""
    lon, lat = at(from_m, port_m)
    grid = MemoryGrid(depth_m, x=lon, y=lat, dx=100.0 / EAST_M, dy=100.0 / NORTH_M)
    facts = {"quality": EXACT, "resolution_m": 100.0, **of}
    grid.source = replace(grid.source, **facts)  # type: ignore[arg-type]
    (profile,) = shoalest(grid, [on.corridor])
    return LegGrid(grid=grid, profile=profile, coarse=False)
