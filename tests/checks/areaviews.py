"""Areas and lines as a leg meets them, for the tests of the checks that judge them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import shapely

from routecheck.model.areas import Area, AreaKind
from routecheck.model.boat import Boat, Margins
from routecheck.model.passage import Passage
from routecheck.model.view import LegView, Met, Touch, TrackRun
from tests.checks.views import met, place, view

SQUARE = shapely.box(10.0, 50.0, 10.01, 50.01)
LINE = shapely.LineString([(10.0, 49.9), (10.0, 50.1)])
POINT = shapely.Point(10.0, 50.0)
BELT_M = 40.0


def area(kind: AreaKind, *restrictions: int, **facts: Any) -> Area:
    """An area of one kind, with its restrictions."""
    base: dict[str, Any] = {
        "key": f"cell/{kind.name}/1", "cls": kind.name, "source": "cell", "geometry": SQUARE,
        "kind": kind, "restrictions": restrictions,
    }  # fmt: skip
    return Area(**{**base, **facts})


def across(thing: Area, course_deg: float = 90.0, **facts: Any) -> Met[Any]:
    """The track, on a course, lies in the area for 1,000 m of the leg."""
    runs = (TrackRun(along_from_m=100.0, along_to_m=1100.0, course_deg=course_deg),)
    return met(thing, place(), **{"runs": runs, "course_deg": course_deg, **facts})


def beside(thing: Area, course_deg: float = 90.0) -> Met[Any]:
    """Only the corridor touches it, 50 m to starboard of the track."""
    return met(thing, place(cross_m=50.0), course_deg=course_deg)


def near(thing: Area, course_deg: float = 90.0) -> Met[Any]:
    """Only its position uncertainty reaches the corridor."""
    where = place(cross_m=120.0, touch=Touch.BELT, belt_m=BELT_M)
    return met(thing, where, course_deg=course_deg)


def leg(*mets: Met[Any], **facts: Any) -> LegView:
    """A leg of 7,000 m that meets these."""
    return view(areas=mets, **facts)


def timed(eta: str, **boat: Any) -> Passage:
    """A passage that starts the leg at a time, with no margin of the ETA."""
    start = datetime.fromisoformat(eta).replace(tzinfo=UTC)
    one = Boat(name="b", draught_m=2.0, margins=Margins(eta_s=0.0), **boat)
    return Passage(boat=one, leg_start=start, speed_kn=5.0)
