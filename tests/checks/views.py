"""Views and passages for the tests of single checks, made by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import shapely

from routecheck.model.boat import Boat, Margins
from routecheck.model.finding import Finding
from routecheck.model.objects import Charted
from routecheck.model.passage import Passage, Tide, TideStation
from routecheck.model.route import Leg, Waypoint
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.model.view import DepthFrom, DepthMet, LegView, Met, Place, Touch

EXACT = Quality(name="exact", vertical_m=0.0, horizontal_m=0.0)
SOURCE = Source(
    id="cell",
    file="cell",
    sha256="",
    kind=SourceKind.CHART_CELL,
    format="test",
    datum="LAT",
    scale=20000.0,
    quality=EXACT,
)
POINT = shapely.Point(10.0, 50.0)


def place(
    along_m: float = 100.0, cross_m: float = 0.0, touch: Touch = Touch.CORRIDOR, belt_m: float = 0.0
) -> Place:
    return Place(
        along_m=along_m,
        cross_m=cross_m,
        lon_deg=10.0,
        lat_deg=50.0,
        along_from_m=along_m,
        along_to_m=along_m + 10.0,
        touch=touch,
        belt_m=belt_m,
    )


def view(**facts: Any) -> LegView:
    start = Waypoint(name="A", lon_deg=10.0, lat_deg=50.0)
    end = Waypoint(name="B", lon_deg=10.1, lat_deg=50.0)
    base: dict[str, Any] = {
        "leg": Leg(number=3, start=start, end=end),
        "length_m": 7000.0,
        "course_deg": 90.0,
        "end_course_deg": 90.0,
        "start_along_m": 0.0,
        "port_m": 100.0,
        "starboard_m": 100.0,
        "width_from": "boat",
    }
    return LegView(**{**base, **facts})


def depth(
    depth_m: float,
    *,
    key: str = "cell/area",
    depth_from: DepthFrom = DepthFrom.AREA,
    where: Place | None = None,
    quality: Quality = EXACT,
    shape: shapely.Geometry | None = None,
    **facts: Any,
) -> DepthMet:
    at = where or place()
    reach = shape or shapely.box(at.along_m, -20.0, at.along_m + 10.0, 20.0)
    return DepthMet(
        key=key,
        cls="DEPARE",
        name="",
        depth_from=depth_from,
        charted_depth_m=depth_m,
        deep_end_m=None,
        datum=facts.pop("datum", "LAT"),
        place=at,
        source=SOURCE,
        quality=quality,
        reach_wkb=shapely.to_wkb(reach),
        **facts,
    )


def met(thing: Charted, where: Place | None = None, **facts: Any) -> Met[Any]:
    return Met(object=thing, place=where or place(), source=SOURCE, quality=EXACT, **facts)


def boat(draught_m: float = 2.0, under_keel_m: float = 1.0, **facts: Any) -> Boat:
    return Boat(name="b", draught_m=draught_m, margins=Margins(under_keel_m=under_keel_m), **facts)


def passage(
    of: Boat | None = None, *, tide_m: float | None = None, tide_datum: str = "chart datum"
) -> Passage:
    tide = None
    if tide_m is not None:
        station = TideStation(name="station", constant_m=tide_m)
        tide = Tide(datum=tide_datum, uncertainty_m=0.0, stations=(station,))
    return Passage(boat=of or boat(), tide=tide)


def run(
    check: Callable[[LegView, Passage], Iterable[Finding]], on: LegView, by: Passage | None = None
) -> list[Finding]:
    return list(check(on, by or passage()))
