"""RTZ route exchange files, versions 1.0 to 1.2 (IEC 61174, annex S, and its XML schemas).

Leg data belongs to the leg that arrives at the waypoint; cross-track limits and turn radii are
nautical miles. What the file says beyond that is told in the route's remarks, not used.
"""

from __future__ import annotations

from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.model.route import LegLine, Route
from routecheck.readers.rtzremarks import remarks_on_file, remarks_on_legs
from routecheck.readers.rtzschedule import planned_speeds_kn
from routecheck.readers.strict import cleaned, decimal
from routecheck.readers.waypoints import Point, place, position_deg, route_of
from routecheck.readers.xmlsafe import Element, read_xml
from routecheck.units import METRES_PER_NMI

NAMESPACES = tuple(f"http://www.cirm.org/RTZ/1/{minor}" for minor in (0, 1, 2))
_VERSIONS = ("1.0", "1.1", "1.2")
_KEEP = {
    "route": ("routeInfo", "waypoints", "schedules"),
    "waypoints": ("defaultWaypoint", "waypoint"),
    "defaultWaypoint": ("leg",),
    "waypoint": ("position", "leg"),
    "schedules": ("schedule",),
    "schedule": ("manual", "calculated"),
    # The schema of version 1.0 misspells the element.
    "manual": ("scheduleElement", "sheduleElement"),
    "calculated": ("scheduleElement", "sheduleElement"),
}
_LINES = {"Loxodrome": LegLine.RHUMB, "Orthodrome": LegLine.GREAT_CIRCLE}
_BELOW_NMI = 10.0  # XtdType of all versions, RadiusType of 1.0
_FASTEST_KN = 100.0


class _Leg:
    """The attributes of the leg that arrives at one waypoint, its own before the defaults."""

    def __init__(self, own: Element | None, default: dict[str, str], file: str, where: str) -> None:
        self.attributes = default | (own.attributes if own is not None else {})
        self.file, self.where = file, where

    def number(self, name: str, *, below: float, unit: str) -> float | None:
        """A number from 0 up to `below`, None where it is not stated."""
        text = self.attributes.get(name)
        if text is None:
            return None
        try:
            value = decimal(text)
        except ValueError as error:
            raise self.bad(f"{name}: {error}") from None
        if not 0.0 <= value < below:
            wrong = f"{name} {value:g} is not from 0 to below {below:g}"
            raise self.bad(wrong, f"RTZ gives {unit}")
        return value

    def line(self) -> LegLine:
        """Rhumb line where nothing is stated."""
        text = self.attributes.get("geometryType", "Loxodrome")
        if text not in _LINES:
            named = cleaned(text, longest=40)
            raise self.bad(f"geometryType {named!r} is neither Loxodrome nor Orthodrome")
        return _LINES[text]

    def bad(self, wrong: str, do: str = "") -> BadInput:
        return BadInput(file=self.file, where=self.where, wrong=wrong, do=do)


def read_rtz(path: Path) -> tuple[Route, ...]:
    """The one route of an RTZ file. Raises BadInput for a file that is no RTZ or breaks it."""
    file = str(path)
    document = read_xml(path, root="route", keep=_KEEP, namespaces=NAMESPACES)
    root = document.root
    version = root.attributes.get("version", "1.0")
    if version not in _VERSIONS:
        known = ", ".join(_VERSIONS)
        raise BadInput(file=file, wrong=f"RTZ version {cleaned(version)!r} is not one of {known}")
    for stray in ("waypoint", "position", "leg", "scheduleElement"):
        if document.left[stray]:
            raise BadInput(file=file, wrong=f"it has a <{stray}> where RTZ has none")
    groups = root.all("waypoints")
    if len(groups) != 1:
        raise BadInput(file=file, wrong=f"it has {len(groups)} <waypoints> elements instead of one")
    default = groups[0].first("defaultWaypoint")
    elements = groups[0].all("waypoint")
    ids = _ids(elements, file)
    speeds_kn, remarks = planned_speeds_kn(root, ids, file)
    points, legs = _points(elements, default, ids, speeds_kn, file)
    stated = [leg.attributes for leg in legs]
    remarks += remarks_on_legs(stated, points, [key in speeds_kn for key in ids])
    remarks += remarks_on_file(root)
    if document.left["extensions"]:
        remarks.append("extensions of the file were left unread")
    info = root.first("routeInfo")
    name = cleaned(info.attributes.get("routeName", "")) if info is not None else ""
    route = route_of(points, name=name or cleaned(path.stem) or "route", file=file, remarks=remarks)
    return (route,)


def _ids(elements: list[Element], file: str) -> list[str]:
    ids: list[str] = []
    seen: set[str] = set()
    for number, element in enumerate(elements, start=1):
        # Written as a whole number: 07 is 7.
        raw = element.attributes.get("id", "").strip()
        key = (raw.lstrip("0") or "0") if raw else ""
        if key and key in seen:
            where = place(number, element.attributes.get("name", ""), element.line)
            raise BadInput(file=file, where=where, wrong=f"its id {cleaned(raw)!r} is used twice")
        seen.add(key)
        ids.append(key)
    return ids


def _points(
    elements: list[Element],
    default: Element | None,
    ids: list[str],
    speeds_kn: dict[str, float],
    file: str,
) -> tuple[list[Point], list[_Leg]]:
    common = default.first("leg") if default is not None else None
    common_leg = common.attributes if common is not None else {}
    common_radius = default.attributes.get("radius") if default is not None else None
    points, legs = [], []
    for number, element in enumerate(elements, start=1):
        name = cleaned(element.attributes.get("name", ""))
        where = place(number, name, element.line)
        positions = element.all("position")
        if len(positions) != 1:
            raise BadInput(file=file, where=where, wrong="it has not one position")
        if len(element.all("leg")) > 1:
            raise BadInput(file=file, where=where, wrong="it has more than one leg")
        at = positions[0].attributes
        lon, lat = position_deg(at.get("lon"), at.get("lat"), file=file, where=where)
        leg = _Leg(element.first("leg"), common_leg, file, where)
        legs.append(leg)
        radius_text = element.attributes.get("radius", common_radius)
        turn = _Leg(None, {} if radius_text is None else {"radius": radius_text}, file, where)
        radius = turn.number("radius", below=_BELOW_NMI, unit="nautical miles")
        port = leg.number("portsideXTD", below=_BELOW_NMI, unit="nautical miles")
        starboard = leg.number("starboardXTD", below=_BELOW_NMI, unit="nautical miles")
        slowest = leg.number("speedMin", below=_FASTEST_KN, unit="knots")
        fastest = leg.number("speedMax", below=_FASTEST_KN, unit="knots")
        if slowest is not None and fastest is not None and slowest > fastest:
            raise leg.bad(f"speedMin {slowest:g} is above speedMax {fastest:g}")
        points.append(
            Point(
                name=name or f"WP {number}",
                lon_deg=lon,
                lat_deg=lat,
                where=where,
                turn_radius_m=(radius or 0.0) * METRES_PER_NMI,
                line=leg.line(),
                xtd_port_m=port * METRES_PER_NMI if port else None,
                xtd_starboard_m=starboard * METRES_PER_NMI if starboard else None,
                speed_kn=speeds_kn.get(ids[number - 1]) or fastest or None,
            )
        )
    return points, legs
