"""Routes from GeoJSON: each LineString is a route, in a MultiLineString or a collection too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.model.route import Route
from routecheck.readers.geojson import Feature, read_features
from routecheck.readers.strict import cleaned, shown
from routecheck.readers.waypoints import MOST_WAYPOINTS, Point, place, route_of


def read_geojson_route(path: Path) -> tuple[Route, ...]:
    """The lines of a GeoJSON file, also those in a collection, as routes of rhumb-line legs.

    The property ``name`` names the route, and ``names`` (one text a position; for a feature of
    several lines one such list a line) the waypoints. Raises BadInput.
    """
    file = str(path)
    lines: list[tuple[Feature, str, list[Point]]] = []
    others = 0
    for feature in read_features(path):
        whole, parts, left = _parts(feature)
        others += left
        names = feature.properties.get("names")
        if whole and parts:
            lines.append(_line(feature, parts[0], names, ""))
            continue
        listed = isinstance(names, list) and len(names) == len(parts)
        if parts and names is not None and not listed:
            raise feature.bad("names is not one list a line")
        for number, part in enumerate(parts, start=1):
            own = names[number - 1] if names is not None else None
            lines.append(_line(feature, part, own, f"line {number}"))
    if not lines:
        raise BadInput(file=file, wrong="it holds no LineString, so no route")
    remarks = []
    if others:
        remarks.append(f"{others} features of the file hold what is no line; that was left aside")
    stem = cleaned(path.stem) or "route"
    several = len(lines) > 1
    return tuple(
        route_of(
            points,
            name=name or (f"{stem} {number}" if several else stem),
            file=file,
            remarks=remarks,
        )
        for number, (_, name, points) in enumerate(lines, start=1)
    )


def _parts(feature: Feature) -> tuple[bool, list[list[Any]], int]:
    """Whether it is one line alone, its lines, and 1 where something of it is no line."""
    parts: list[list[Any]] = []
    simple = feature.simple()
    left = 0 if simple else 1
    for kind, coordinates in simple:
        if kind == "LineString":
            parts.append(feature.listed(coordinates, "the line"))
        elif kind == "MultiLineString":
            for part in feature.listed(coordinates, "the lines"):
                parts.append(feature.listed(part, f"line {len(parts) + 1}"))
        else:
            left = 1
    alone = len(parts) == 1 and all(kind != "MultiLineString" for kind, _ in simple)
    return alone, parts, left


def _line(
    feature: Feature, line: list[Any], names: Any, part: str
) -> tuple[Feature, str, list[Point]]:
    if len(line) > MOST_WAYPOINTS:
        raise feature.bad(f"it has more than {MOST_WAYPOINTS} positions", part)
    if names is not None and (not isinstance(names, list) or len(names) != len(line)):
        raise feature.bad(f"names is not a list of {len(line)}, one a position", part)
    points = []
    for number, position in enumerate(line, start=1):
        given = names[number - 1] if names is not None else ""
        if given is not None and not isinstance(given, str):
            raise feature.bad(f"name {shown(given)} is not text", place(number, ""))
        name = cleaned(given or "")
        where = ", ".join(text for text in (part, place(number, name)) if text)
        lon, lat = feature.position(position, where)
        whole = ", ".join(text for text in (feature.where, where) if text)
        points.append(Point(name=name or f"WP {number}", lon_deg=lon, lat_deg=lat, where=whole))
    return feature, feature.text("name"), points
