"""Areas and lines of a world as the package takes them."""

from __future__ import annotations

from typing import Any

import shapely

from routecheck.model.areas import Area, AreaKind
from routecheck.model.objects import UnknownObject
from routecheck.model.period import Period

_SHAPES = {"ring": shapely.Polygon, "line": shapely.LineString, "point": shapely.Point}


def areas(chart: dict[str, Any]) -> tuple[Area, ...]:
    return tuple(
        Area(
            kind=AreaKind(one["kind"]),
            categories=one["categories"],
            restrictions=one["restrictions"],
            orientation_deg=one["orientation_deg"],
            one_way=one["one_way"],
            status=one["status"],
            period=_period(one["period"]),
            horizontal_clearance_m=one["width_m"],
            **_base(chart, one),
        )
        for one in chart["regulated"]
        if one["kind"] != "unknown"
    )


def unknown(chart: dict[str, Any]) -> tuple[UnknownObject, ...]:
    return tuple(
        UnknownObject(why="a class that nobody knows", **_base(chart, one))
        for one in chart["regulated"]
        if one["kind"] == "unknown"
    )


def _base(chart: dict[str, Any], one: dict[str, Any]) -> dict[str, Any]:
    return {
        "key": one["key"],
        "cls": one["kind"],
        "source": chart["id"],
        "geometry": _SHAPES[one["shape"]](one["at"]),
        "position_uncertainty_m": one["accuracy_m"],
    }


def _period(period: tuple[str, str, str]) -> Period:
    sort, start, end = period
    return Period(**{f"{sort}_start": start, f"{sort}_end": end}) if sort else Period()
