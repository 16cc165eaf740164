"""Small charts for tests of the survey, made of nouns: no file is read."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import (
    Contour,
    CoverageArea,
    Danger,
    DangerKind,
    DepthArea,
    QualityZone,
    Solid,
    SolidKind,
    Sounding,
    Unsurveyed,
)
from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.model.source import Quality, Source, SourceKind

EXACT = Quality(name="exact", vertical_m=0.0, horizontal_m=0.0)


def source(name: str = "cell", **changes: object) -> Source:
    facts: dict[str, object] = {
        "id": name,
        "file": name,
        "sha256": "",
        "kind": SourceKind.CHART_CELL,
        "format": "test",
        "datum": "LAT",
        "scale": 20000.0,
        "quality": EXACT,
    }
    return Source(**{**facts, **changes})  # type: ignore[arg-type]


def depth_area(
    key: str, shape: shapely.Geometry, depth_m: float | None, of: str = "cell"
) -> DepthArea:
    return DepthArea(
        key=f"{of}/{key}", cls="DEPARE", source=of, geometry=shape, charted_depth_m=depth_m
    )


def sounding(key: str, lon: float, lat: float, depth_m: float, of: str = "cell") -> Sounding:
    return Sounding(
        key=f"{of}/{key}",
        cls="SOUNDG",
        source=of,
        geometry=shapely.Point(lon, lat),
        charted_depth_m=depth_m,
    )


def contour(key: str, shape: shapely.Geometry, depth_m: float, of: str = "cell") -> Contour:
    return Contour(
        key=f"{of}/{key}", cls="DEPCNT", source=of, geometry=shape, charted_depth_m=depth_m
    )


def rock(
    key: str, lon: float, lat: float, depth_m: float | None = None, of: str = "cell", **more: object
) -> Danger:
    facts: dict[str, object] = {
        "key": f"{of}/{key}",
        "cls": "UWTROC",
        "source": of,
        "geometry": shapely.Point(lon, lat),
        "kind": DangerKind.ROCK,
        "charted_depth_m": depth_m,
    }
    return Danger(**{**facts, **more})  # type: ignore[arg-type]


def land(key: str, shape: shapely.Geometry, of: str = "cell") -> Solid:
    return Solid(key=f"{of}/{key}", cls="LNDARE", source=of, geometry=shape, kind=SolidKind.LAND)


def unsurveyed(key: str, shape: shapely.Geometry, of: str = "cell") -> Unsurveyed:
    return Unsurveyed(key=f"{of}/{key}", cls="UNSARE", source=of, geometry=shape)


def zone(key: str, shape: shapely.Geometry, catzoc: int, of: str = "cell") -> QualityZone:
    return QualityZone(key=f"{of}/{key}", cls="M_QUAL", source=of, geometry=shape, catzoc=catzoc)


def covered(shape: shapely.Geometry, of: str = "cell") -> CoverageArea:
    return CoverageArea(key=f"{of}/cover", cls="M_COVR", source=of, geometry=shape, covered=True)


def route(
    points: Sequence[tuple[float, float]],
    *,
    line: LegLine = LegLine.RHUMB,
    port_m: float | None = None,
    starboard_m: float | None = None,
    turn_radius_m: float = 0.0,
) -> Route:
    waypoints = [
        Waypoint(name=f"WP {i}", lon_deg=lon, lat_deg=lat, turn_radius_m=turn_radius_m)
        for i, (lon, lat) in enumerate(points, start=1)
    ]
    return Route(
        name="test",
        file="test.gpx",
        legs=tuple(
            Leg(
                number=i + 1,
                start=waypoints[i],
                end=waypoints[i + 1],
                line=line,
                xtd_port_m=port_m,
                xtd_starboard_m=starboard_m,
            )
            for i in range(len(waypoints) - 1)
        ),
    )


def chart_set(*charts: Chart) -> ChartSet:
    return ChartSet(charts=charts)
