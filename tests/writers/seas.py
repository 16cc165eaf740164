"""Invented seas for the writers' tests: charts made of nouns, no file is read."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import CoverageArea, DepthArea, Solid, SolidKind, Unsurveyed
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Source, SourceKind

CELL = Source(
    id="INVENTED.000",
    file="charts/INVENTED.000",
    sha256="ab" * 32,
    kind=SourceKind.CHART_CELL,
    format="S-57",
    datum="LAT",
    datum_from="DSID",
    scale=22000.0,
    quality=UNKNOWN_QUALITY,
    edition="3",
    updates=2,
    issued="2026-02-01",
)
GRID = Source(
    id="survey.tif",
    file="charts/survey.tif",
    sha256="cd" * 32,
    kind=SourceKind.GRID,
    format="GeoTIFF",
    datum="MLLW",
    datum_from="sidecar",
    resolution_m=25.0,
    quality=CATZOC_QUALITY[3],
    surveyed=2019,
)


def shoal_rings(
    lon_deg: float, lat_deg: float, depths_m: Sequence[float], size_deg: float, seed: int = 1
) -> list[tuple[float, shapely.Polygon]]:
    """Wavy nested rings round a place, the first depth in the middle."""
    random = np.random.default_rng(seed)
    angle = np.linspace(0.0, 2.0 * np.pi, 49)[:-1]
    wave = sum(
        random.uniform(0, 0.13) * np.sin(k * angle + random.uniform(0, 6)) for k in (2, 3, 5)
    )
    made, inner = [], None
    for number, depth_m in enumerate(depths_m, start=1):
        radius = size_deg * number / len(depths_m) * (1.0 + wave)
        x, y = lon_deg + 1.6 * radius * np.cos(angle), lat_deg + radius * np.sin(angle)
        outer = shapely.Polygon(np.column_stack([x, y]))
        made.append((depth_m, outer if inner is None else outer.difference(inner)))
        inner = outer
    return made


def charts() -> ChartSet:
    """An invented chart for `hazards`: shoals, an island, an unsurveyed bay, a hole in the east."""
    sea = shapely.box(9.96, 49.97, 10.128, 50.10)
    areas: list[tuple[float | None, shapely.Geometry]] = []
    land: list[shapely.Geometry] = []
    taken: list[shapely.Geometry] = []
    for lon, lat, depths, size, seed in (
        (10.021, 50.0065, (1.8, 2.6, 3.4, 5.0), 0.006, 2),
        (10.0495, 50.029, (3.4, 4.5), 0.0035, 3),
        (10.075, 50.020, (-99.0, -1.0, 2.0, 5.0), 0.011, 5),
        (9.99, 50.022, (-99.0, 0.5, 2.0, 5.0, 7.0), 0.014, 8),
    ):
        for depth, whole in shoal_rings(lon, lat, depths, size, seed):
            ring = whole.difference(shapely.union_all(taken))
            taken.append(ring)
            (land.append(ring) if depth == -99.0 else areas.append((depth, ring)))
    bay = shapely.box(10.06, 50.055, 10.085, 50.072)
    free = sea.difference(shapely.union_all([*taken, bay]))
    for west, east, depth in ((9.96, 10.0, 5.0), (10.0, 10.06, 9.0), (10.06, 10.128, 14.0)):
        areas.append((depth, free.intersection(shapely.box(west, 49.97, east, 50.10))))
    return ChartSet(
        charts=(
            Chart(
                source=CELL,
                depth_areas=tuple(
                    DepthArea(key=f"{CELL.id}/DEPARE/{i}", cls="DEPARE", source=CELL.id,
                              geometry=g, charted_depth_m=d)
                    for i, (d, g) in enumerate(areas)
                ),
                solids=tuple(
                    Solid(key=f"{CELL.id}/LNDARE/{i}", cls="LNDARE", source=CELL.id, geometry=g,
                          kind=SolidKind.LAND)
                    for i, g in enumerate(land)
                ),
                unsurveyed=(Unsurveyed(key=f"{CELL.id}/UNSARE/1", cls="UNSARE",
                                       source=CELL.id, geometry=bay),),
                coverage=(CoverageArea(key=f"{CELL.id}/M_COVR/1", cls="M_COVR", source=CELL.id,
                                       geometry=sea, covered=True),),
                counts={"DEPARE": len(areas), "LNDARE": len(land), "UNSARE": 1},
            ),
        )
    )  # fmt: skip


def many_areas(count: int = 10_000, vertices: int = 29) -> ChartSet:
    """A chart of very many small depth areas round the route of `hazards`."""
    random = np.random.default_rng(7)
    side = int(np.ceil(np.sqrt(count)))
    west, south, width, height = 9.97, 49.98, 0.2, 0.11
    angle = np.linspace(0.0, 2.0 * np.pi, vertices)[:-1]
    areas = []
    for index in range(count):
        row, column = divmod(index, side)
        radius = 0.5 * (1.0 + 0.25 * random.standard_normal(len(angle)).clip(-1.5, 1.5))
        x = west + width / side * (column + 0.5 + radius * np.cos(angle))
        y = south + height / side * (row + 0.5 + radius * np.sin(angle))
        areas.append(
            DepthArea(
                key=f"many/DEPARE/{index:05d}", cls="DEPARE", source=CELL.id,
                geometry=shapely.make_valid(shapely.Polygon(np.column_stack([x, y]))),
                charted_depth_m=float(np.round(random.uniform(0.0, 20.0), 1)),
            )
        )  # fmt: skip
    return ChartSet(charts=(Chart(source=CELL, depth_areas=tuple(areas)),))
