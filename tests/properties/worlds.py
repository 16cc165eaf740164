"""Random small worlds, made of nouns, and what a report says of them as sets of objects."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
import shapely
from hypothesis import strategies as st

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import Report
from routecheck.model.heights import TableHeights
from routecheck.model.passage import Tide, TideStation
from routecheck.model.route import Route
from routecheck.model.source import UNKNOWN_QUALITY
from tests.survey.charts import (
    covered,
    depth_area,
    land,
    rock,
    route,
    sounding,
    source,
    unsurveyed,
    zone,
)

CELL_DEG = 0.004
"""Depth areas are squares of this size: about 445 m north to south."""
SIDE = 6


@dataclass(frozen=True, kw_only=True)
class World:
    """A chart, a route through it, a boat and a height of tide."""

    chart: Chart
    route: Route
    boat: Boat
    width_m: float
    tide_m: float
    lon_deg: float
    lat_deg: float

    def report(self, **changes: object) -> Report:
        world = replace(self, **changes)  # type: ignore[arg-type]
        tide = Tide(
            datum="chart datum",
            uncertainty_m=0.1,
            stations=(TideStation(name="t", constant_m=world.tide_m),),
        )
        return vet(
            world.route,
            ChartSet(charts=(world.chart,)),
            world.boat,
            tide=tide,
            cross_track_m=world.width_m,
        ).report


DEPART = datetime(2027, 5, 14, tzinfo=UTC)
TURNS_S = DEPART.timestamp() + 22_350.0 * np.arange(-3.0, 9.0)


def sailed(world: World, *, hours: float, eta_s: float, lower_m: float = 0.0) -> Report:
    """A world under way at 4 knots, on a tide of high and low waters (of 2 m and of -0.2 m)."""
    waters = np.where(np.arange(12) % 2, 2.0, -0.2) - lower_m
    table = TableHeights(event_s=TURNS_S, event_m=waters)
    margins = replace(world.boat.margins, eta_s=eta_s)
    return vet(
        world.route,
        ChartSet(charts=(world.chart,)),
        replace(world.boat, speed_kn=4.0, margins=margins),
        tide=Tide(
            datum="chart datum",
            uncertainty_m=0.1,
            stations=(TideStation(name="t", heights=table),),
        ),
        depart=DEPART + timedelta(hours=hours),
        cross_track_m=world.width_m,
    ).report


def spot(world_lon: float, world_lat: float, x: float, y: float) -> tuple[float, float]:
    """A place in a world, x and y in cells; the longitude wrapped."""
    lon = world_lon + x * CELL_DEG
    return (lon + 180.0) % 360.0 - 180.0, world_lat + y * CELL_DEG


def square(lon: float, lat: float, x: int, y: int) -> shapely.Geometry:
    return shapely.box(
        lon + x * CELL_DEG, lat + y * CELL_DEG, lon + (x + 1) * CELL_DEG, lat + (y + 1) * CELL_DEG
    )


depths_m = st.one_of(st.none(), st.floats(-3.0, 15.0).map(lambda d: round(d, 1)))
inside = st.floats(0.2, SIDE - 0.2)


@st.composite
def worlds(draw: st.DrawFn) -> World:
    """Worlds from 60 S to 60 N."""
    lat = draw(st.sampled_from([-60.0, 0.0, 43.21, 60.0]))
    lon = draw(st.sampled_from([-0.01, 12.0, -170.0]))
    areas = tuple(
        depth_area(f"a{x}.{y}", square(lon, lat, x, y), draw(depths_m))
        for x in range(SIDE)
        for y in range(SIDE)
        if draw(st.integers(0, 19)) > 0
    )
    points = [(draw(inside), draw(inside)) for _ in range(draw(st.integers(0, 12)))]
    rocks = tuple(
        rock(f"r{i}", *spot(lon, lat, x, y), draw(depths_m)) for i, (x, y) in enumerate(points)
    )
    soundings = tuple(
        sounding(f"s{i}", *spot(lon, lat, draw(inside), draw(inside)), draw(st.floats(0, 12)))
        for i in range(draw(st.integers(0, 8)))
    )
    whole = shapely.box(lon, lat, lon + SIDE * CELL_DEG, lat + SIDE * CELL_DEG)
    zones = (zone("q", whole, draw(st.integers(1, 6))),) if draw(st.booleans()) else ()
    lands = tuple(
        land(f"l{i}", square(lon, lat, draw(st.integers(0, SIDE - 1)), i))
        for i in range(draw(st.integers(0, 2)))
    )
    blanks = (unsurveyed("u", square(lon, lat, 2, 2)),) if draw(st.integers(0, 4)) == 0 else ()
    chart = Chart(
        source=source(quality=UNKNOWN_QUALITY),
        depth_areas=areas,
        dangers=rocks,
        soundings=soundings,
        quality_zones=zones,
        solids=lands,
        unsurveyed=blanks,
        coverage=(covered(whole),),
    )
    track = [spot(lon, lat, draw(inside), draw(inside)) for _ in range(draw(st.integers(2, 4)))]
    kept = [track[0]]
    for place in track[1:]:
        if abs(place[0] - kept[-1][0]) + abs(place[1] - kept[-1][1]) > 1e-4:
            kept.append(place)
    if len(kept) < 2:
        kept.append(spot(lon, lat, 5.9, 5.9))
    margins = Margins(
        under_keel_m=draw(st.floats(0.0, 3.0)),
        squat_m=draw(st.sampled_from([0.0, 0.3])),
        position_m=draw(st.sampled_from([0.0, 10.0])),
    )
    return World(
        chart=chart,
        route=route(kept),
        boat=Boat(name="b", draught_m=draw(st.floats(0.2, 8.0)), margins=margins),
        width_m=draw(st.floats(5.0, 400.0)),
        tide_m=draw(st.floats(-1.0, 4.0)),
        lon_deg=lon,
        lat_deg=lat,
    )


RANK = {Severity.NOTE: 0, Severity.CAUTION: 1, Severity.NOT_ASSESSED: 0, Severity.DANGER: 2}


def charted(report: Report) -> dict[tuple[str, str], int]:
    """(check, object) -> worst severity, over findings and their evidence, whole route."""
    worst: dict[tuple[str, str], int] = {}
    for finding in report.findings:
        if finding.severity in (Severity.NOTE, Severity.NOT_ASSESSED):
            continue
        if finding.check == "unsurveyed-nearby":
            continue  # nearer still it is a hole of the coverage, and not assessed
        named = [(finding.object_key, finding.severity)]
        named += [(e.key, e.severity) for e in finding.evidence if e.severity is not None]
        for key, severity in named:
            held = worst.get((finding.check, key), 0)
            worst[finding.check, key] = max(held, RANK[severity])
    return worst


def grown(before: Report, after: Report) -> list[str]:
    """What `after` has lost or mended of `before`; empty where it only grew."""
    old, new = charted(before), charted(after)
    return [
        f"{key}: {rank} -> {new.get(key, 0)}" for key, rank in old.items() if new.get(key, 0) < rank
    ]
