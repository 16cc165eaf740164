"""Small scenes of marks for tests: places are (east, north) in metres from an origin.

No file is read. `met` runs the survey of marks over a scene, `judged` the judgement after it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pyproj
import shapely

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet
from routecheck.model.markrule import MarkJudgement, judge
from routecheck.model.objects import BuoyageZone, CoverageArea, Mark, MarkKind
from routecheck.model.passage import Passage
from routecheck.model.passes import MarkPass
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import Source, SourceKind
from routecheck.model.view import LegView
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import mark_passes

Place = tuple[float, float]
GEOD = pyproj.Geod(ellps="WGS84")
NEAR_M, FAR_M = 185.2, 740.8  # the settings' defaults: 0.1 and 0.4 nmi


@dataclass(frozen=True)
class Spot:
    """An origin on the globe, and how far the scene is turned there, clockwise.

    Unless it is said otherwise in mid-ocean, where either region of buoyage might be in use.
    """

    lon_deg: float = -150.0
    lat_deg: float = 0.0
    turn_deg: float = 0.0

    def at(self, place: Place) -> tuple[float, float]:
        """(longitude, latitude): a geodesic from the origin, by pyproj."""
        east_m, north_m = place
        bearing = math.degrees(math.atan2(east_m, north_m)) + self.turn_deg
        lon, lat, _ = GEOD.fwd(self.lon_deg, self.lat_deg, bearing, math.hypot(east_m, north_m))
        return float(lon), float(lat)


HERE = Spot()


def source(name: str = "cell", scale: float | None = 20000.0) -> Source:
    kind = SourceKind.CHART_CELL if scale is not None else SourceKind.VECTOR
    return Source(id=name, file=name, sha256="", kind=kind, format="test", datum="LAT", scale=scale)


def mark(place: Place, kind: MarkKind | str, name: str = "", **more: object) -> Mark:
    """A mark of the scene; `spot`, `of` (its source), `colours`, `floating`, `region`."""
    facts = dict(more)
    spot = facts.pop("spot", HERE)
    of = str(facts.pop("of", "cell"))
    assert isinstance(spot, Spot)
    key = f"{of}/{name or kind}@{place[0]:.0f},{place[1]:.0f}"
    return Mark(
        key=key,
        cls="BOYLAT",
        source=of,
        geometry=shapely.Point(spot.at(place)),
        kind=MarkKind(kind),
        name=name,
        **facts,  # type: ignore[arg-type]
    )


def square(
    half_m: float, spot: Spot = HERE, centre: Place = (0.0, 0.0)
) -> shapely.geometry.base.BaseGeometry:
    """A square area; its longitudes may run past 180."""
    east, north = centre
    corners = [(-half_m, -half_m), (half_m, -half_m), (half_m, half_m), (-half_m, half_m)]
    ring = [spot.at((east + x, north + y)) for x, y in corners]
    turned = [(lon + 360.0 if spot.lon_deg - lon > 180.0 else lon, lat) for lon, lat in ring]
    turned = [(lon - 360.0 if lon - spot.lon_deg > 180.0 else lon, lat) for lon, lat in turned]
    return shapely.Polygon(turned)


def zone(
    direction_deg: float | None = None,
    region: str = "",
    *,
    half_m: float = 20000.0,
    spot: Spot = HERE,
    centre: Place = (0.0, 0.0),
    name: str = "zone",
    user: bool = False,
) -> BuoyageZone:
    """A square zone; the direction is the scene's, and turns with it."""
    true_deg = None if direction_deg is None else (direction_deg + spot.turn_deg) % 360.0
    return BuoyageZone(
        key=f"cell/M_NSYS/{name}",
        cls="M_NSYS",
        source="cell",
        geometry=square(half_m, spot, centre),
        region=region,
        direction_of_buoyage_deg=true_deg,
        from_user=user,
        name=name,
    )


def chart(
    marks: Sequence[Mark],
    zones: Sequence[BuoyageZone] = (),
    *,
    of: Source | None = None,
    covers: shapely.Geometry | None = None,
) -> Chart:
    held = of if of is not None else source()
    coverage = ()
    if covers is not None:
        area = CoverageArea(
            key=f"{held.id}/cov", cls="M_COVR", source=held.id, geometry=covers, covered=True
        )
        coverage = (area,)
    return Chart(source=held, marks=tuple(marks), buoyage_zones=tuple(zones), coverage=coverage)


def charts(
    marks: Sequence[Mark], zones: Sequence[BuoyageZone] = (), user: Sequence[BuoyageZone] = ()
) -> ChartSet:
    return ChartSet(charts=(chart(marks, zones),), zones=tuple(user))


def route(places: Sequence[Place], spot: Spot = HERE, radius_m: float = 0.0) -> Route:
    points = [
        Waypoint(name=str(i), lon_deg=lon, lat_deg=lat, turn_radius_m=radius_m)
        for i, (lon, lat) in enumerate(spot.at(p) for p in places)
    ]
    legs = tuple(
        Leg(number=i + 1, start=points[i], end=points[i + 1]) for i in range(len(points) - 1)
    )
    return Route(name="test", legs=legs, file="test.gpx")


def met(
    places: Sequence[Place],
    chart_set: ChartSet,
    *,
    spot: Spot = HERE,
    region: str = "",
    width_m: float = 50.0,
    far_m: float = FAR_M,
    radius_m: float = 0.0,
) -> list[MarkPass]:
    """All passes in order along the track."""
    one = route(places, spot, radius_m)
    legs = corridors(one, tuple((width_m, width_m) for _ in one.legs))
    passes = mark_passes(legs, chart_set, far_m=far_m, region=region)
    return [p for leg in sorted(passes) for p in passes[leg]]


def view(passes: Sequence[MarkPass] = (), width_m: float = 50.0) -> LegView:
    """A view of one leg that holds these passes."""
    leg = route([(0.0, 0.0), (0.0, 1000.0)]).legs[0]
    return LegView(
        leg=leg,
        length_m=1000.0,
        course_deg=0.0,
        end_course_deg=0.0,
        start_along_m=0.0,
        port_m=width_m,
        starboard_m=width_m,
        width_from="test",
        marks=tuple(passes),
    )


def passage(near_m: float = NEAR_M, far_m: float = FAR_M) -> Passage:
    margins = Margins(mark_near_m=near_m, mark_far_m=far_m)
    return Passage(boat=Boat(name="test", draught_m=2.0, margins=margins))


def judged(one: MarkPass, width_m: float = 50.0) -> MarkJudgement:
    return judge(one, Margins(), view(width_m=width_m))
