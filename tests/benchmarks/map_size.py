"""The map of a chart with 10,000 depth areas."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat
from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import CoverageArea, DepthArea
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.writers.map_html import to_map
from tests.benchmarks.measure import Row

GOAL_MB = 5.0
SIDE = 100
CORNERS = 29


def _chart() -> Chart:
    source = Source(
        id="bench",
        file="bench",
        sha256="",
        kind=SourceKind.CHART_CELL,
        format="bench",
        datum="LAT",
        scale=20000.0,
        quality=Quality(name="bench", vertical_m=0.5),
    )
    rng = np.random.default_rng(20270514)
    bearing = np.linspace(0.0, 2.0 * np.pi, CORNERS, endpoint=False)
    areas = []
    for row in range(SIDE):
        for column in range(SIDE):
            radius = 0.0009 * rng.uniform(0.7, 1.0, CORNERS)
            ring = np.column_stack(
                [
                    -20.0 + 0.002 * column + radius * np.cos(bearing),
                    -10.0 + 0.002 * row + radius * np.sin(bearing),
                ]
            )
            areas.append(
                DepthArea(
                    key=f"bench/{row}/{column}",
                    cls="DEPARE",
                    source="bench",
                    geometry=shapely.Polygon(ring),
                    charted_depth_m=float(rng.uniform(0.0, 30.0)),
                )
            )
    whole = shapely.box(-20.01, -10.01, -19.79, -9.79)
    cover = CoverageArea(
        key="bench/cover", cls="M_COVR", source="bench", geometry=whole, covered=True
    )
    return Chart(source=source, depth_areas=tuple(areas), coverage=(cover,))


def rows() -> Iterator[Row]:
    """Bytes of map.html."""
    start = Waypoint(name="A", lon_deg=-19.99, lat_deg=-9.99)
    end = Waypoint(name="B", lon_deg=-19.82, lat_deg=-9.82)
    route = Route(name="bench", file="bench", legs=(Leg(number=1, start=start, end=end),))
    done = vet(route, ChartSet(charts=(_chart(),)), Boat(name="bench", draught_m=2.0))
    picture = done.picture()
    size_mb = len(to_map(done.report, picture).encode()) / 1e6
    yield Row(
        what=f"map.html of {SIDE * SIDE:,} depth areas of {CORNERS} corners",
        goal=f"< {GOAL_MB:g} MB",
        measured=f"{size_mb:.2f} MB, {len(picture.areas)} areas drawn",
        met=size_mb < GOAL_MB,
    )
