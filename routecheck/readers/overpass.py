"""Overpass JSON: OpenStreetMap's elements as they are, with or without their shapes.

Format: the OpenStreetMap wiki, page Overpass API/Overpass QL ("out:json"; "out geom", "out
center", "out bb").
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, decoded, read_bytes

MOST_BYTES = 64 * 2**20
_LONGEST_TEXT = 500
Place = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Element:
    """A tagged element. `why` says what is wrong with its place, "" where nothing is."""

    ident: str
    tags: Mapping[str, str]
    shape: BaseGeometry | None
    why: str = ""


@dataclass(frozen=True, kw_only=True)
class Elements:
    """All tagged elements of a file, the data's date ("" where not stated), and what the server
    remarked, such as that it ran out of time."""

    elements: tuple[Element, ...]
    issued: str = ""
    remark: str = ""


def elements_of(path: Path) -> Elements:
    """The elements of a file. Raises BadInput."""
    file = str(path)
    text = decoded(read_bytes(path, most_bytes=MOST_BYTES), file=file)
    try:
        whole = json.loads(text)
    except json.JSONDecodeError as error:
        raise BadInput(
            file=file, where=f"line {error.lineno}", wrong=f"this is not JSON ({error.msg})"
        ) from None
    except (RecursionError, ValueError):
        raise BadInput(file=file, wrong="its lists are nested too deep, or a number is") from None
    held = whole.get("elements") if isinstance(whole, dict) else None
    if not isinstance(held, list):
        raise BadInput(file=file, wrong="it has no list of elements")
    known = [one for one in held if isinstance(one, dict)]
    nodes: dict[Any, Place] = {}
    for one in known:
        if one.get("type") == "node" and isinstance(one.get("id"), int):
            place = _place(one)
            if place is not None:
                nodes[one["id"]] = place
    base = whole.get("osm3s")
    issued = base.get("timestamp_osm_base") if isinstance(base, dict) else None
    remark = whole.get("remark")
    lost = len(held) - len(known)
    return Elements(
        elements=tuple(_element(one, nodes) for one in known if isinstance(one.get("tags"), dict)),
        issued=cleaned(issued) if isinstance(issued, str) else "",
        remark=cleaned(remark) if isinstance(remark, str) else f"{lost} no elements" * (lost > 0),
    )


def _element(one: Mapping[str, Any], nodes: Mapping[Any, Place]) -> Element:
    kind = one.get("type") if one.get("type") in ("node", "way", "relation") else "element"
    tags = {
        str(key)[:_LONGEST_TEXT]: str(value)[:_LONGEST_TEXT]
        for key, value in one["tags"].items()
        if isinstance(value, str | int | float)
    }
    shape, why = _shape(one, nodes)
    ident = cleaned(f"{kind} {one.get('id')}", longest=40)
    return Element(ident=ident, tags=tags, shape=shape, why=why)


def _shape(one: Mapping[str, Any], nodes: Mapping[Any, Place]) -> tuple[BaseGeometry | None, str]:
    """The shape, else a stand-in for it and the word that it is one."""
    if one.get("type") == "node":
        place = _place(one)
        return (None if place is None else shapely.Point(place)), ""
    if one.get("type") == "way":
        line = _line(one.get("geometry"))
        if line is None and isinstance(one.get("nodes"), list):
            places = [nodes.get(ref) if isinstance(ref, int) else None for ref in one["nodes"]]
            line = _joined(places)
        if line is not None:
            return line, ""
    if one.get("type") == "relation" and isinstance(one.get("members"), list):
        whole = _relation(one["members"], nodes)
        if whole is not None:
            return whole, ""
    bounds = one.get("bounds")
    if isinstance(bounds, dict):
        sides = [_number(bounds.get(key)) for key in ("minlon", "minlat", "maxlon", "maxlat")]
        west, south, east, north = sides
        if west is not None and south is not None and east is not None and north is not None:
            return shapely.box(west, south, east, north), "of which only the bounds are given,"
    centre = one.get("center")
    place = _place(centre) if isinstance(centre, dict) else None
    if place is not None:
        return shapely.Point(place), "of which only the centre is given,"
    return None, ""


def _relation(members: list[Any], nodes: Mapping[Any, Place]) -> BaseGeometry | None:
    """Its outer ways as areas where they close, inner ones left in: more is never less shoal.
    None where a member's shape is not in the file, or is a relation's."""
    lines: list[BaseGeometry] = []
    points: list[BaseGeometry] = []
    for member in members:
        if not isinstance(member, dict):
            return None
        if member.get("type") == "way":
            line = _line(member.get("geometry"))
            if line is None:
                return None
            lines.append(line)
            continue
        ref = member.get("ref")
        place = _place(member) or (nodes.get(ref) if isinstance(ref, int) else None)
        if member.get("type") != "node" or place is None:
            return None
        points.append(shapely.Point(place))
    if not lines and not points:
        return None
    merged = shapely.get_parts(shapely.line_merge(shapely.union_all(lines)))
    parts = [shapely.make_valid(filled(part)) for part in merged]
    return shapely.union_all([*parts, *points])


def filled(shape: BaseGeometry) -> BaseGeometry:
    """A closed line as the area that it goes round; anything else as it is."""
    if shape.geom_type == "LineString" and shape.is_closed and shapely.get_num_points(shape) > 3:
        return shapely.Polygon(shapely.get_coordinates(shape))
    return shape


def _line(held: Any) -> BaseGeometry | None:
    if not isinstance(held, list):
        return None
    return _joined([_place(one) if isinstance(one, dict) else None for one in held])


def _joined(places: list[Place | None]) -> BaseGeometry | None:
    """A line through all of them; None where one is missing."""
    whole = [place for place in places if place is not None]
    if len(whole) < len(places) or len(whole) < 2:
        return None
    return shapely.LineString(whole)


def _place(one: Mapping[str, Any]) -> Place | None:
    lon, lat = _number(one.get("lon")), _number(one.get("lat"))
    return None if lon is None or lat is None else (lon, lat)


def _number(value: Any) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) and abs(number) <= 1e6 else None
