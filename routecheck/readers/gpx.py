"""GPX 1.0 and 1.1: routes, and tracks where they are asked for.

Format: GPX 1.1 schema (topografix.com/GPX/1/1), types rteType, trkType, wptType. A leg between
two waypoints is a rhumb line; GPX says nothing of widths, speeds or turns.
"""

from __future__ import annotations

from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.model.route import Route
from routecheck.readers.strict import cleaned
from routecheck.readers.waypoints import Point, place, position_deg, route_of
from routecheck.readers.xmlsafe import Element, read_xml

NAMESPACES = ("http://www.topografix.com/GPX/1/0", "http://www.topografix.com/GPX/1/1")
_ROUTES = {"gpx": ("rte",), "rte": ("name", "rtept"), "rtept": ("name",)}
_TRACKS = {
    "gpx": ("rte", "trk"),
    "trk": ("name", "trkseg"),
    "trkseg": ("trkpt",),
    "trkpt": ("name",),
}


def read_gpx(path: Path, *, tracks: bool = False) -> tuple[Route, ...]:
    """The routes of a GPX file; with `tracks`, each segment of each track as a route too.

    Raises BadInput for a file that is no GPX, holds no route, or has a waypoint that is none.
    """
    file = str(path)
    keep = _ROUTES | _TRACKS if tracks else _ROUTES
    document = read_xml(path, root="gpx", keep=keep, namespaces=NAMESPACES)
    left = document.left
    for stray in ("rtept", "trkpt", "trkseg"):
        if left[stray]:
            raise BadInput(file=file, wrong=f"it has a <{stray}> outside its route or track")
    routes, paths = document.root.all("rte"), document.root.all("trk")
    if not routes and not paths:
        if left["trk"]:
            raise BadInput(
                file=file,
                wrong="it holds tracks and no route",
                do="give --track to vet a track as it was sailed",
            )
        loose = f", only {left['wpt']} single waypoints" if left["wpt"] else ""
        raise BadInput(file=file, wrong=f"it holds no route{loose}")
    remarks = []
    if left["trk"]:
        remarks.append(f"the file's tracks ({left['trk']}) were not read: --track reads them")
    if left["extensions"]:
        remarks.append(
            f"extensions of the file ({left['extensions']}) were left unread; "
            "legs run straight from waypoint to waypoint"
        )
    several = len(routes) + len(paths) > 1
    made = [
        route_of(
            _points(route.all("rtept"), file=file),
            name=_name(route, path, number, several),
            file=file,
            remarks=remarks,
        )
        for number, route in enumerate(routes, start=1)
    ]
    for number, track in enumerate(paths, start=len(routes) + 1):
        made += _track(track, _name(track, path, number, several), file, remarks)
    return tuple(made)


def _track(track: Element, name: str, file: str, remarks: list[str]) -> list[Route]:
    segments = track.all("trkseg")
    whole = [segment for segment in segments if len(segment.all("trkpt")) > 1]
    if not whole:
        raise BadInput(
            file=file,
            where=f"track {cleaned(name, longest=60)!r}, line {track.line}",
            wrong="no segment of it has two points",
        )
    extra = list(remarks)
    if len(segments) > 1:
        extra.append(f"a track in {len(segments)} segments: what lies between them is not vetted")
    if len(whole) < len(segments):
        extra.append(f"{len(segments) - len(whole)} segments of one point or none were left out")
    return [
        route_of(
            _points(segment.all("trkpt"), file=file),
            name=name if len(whole) == 1 else f"{name} (segment {number})",
            file=file,
            remarks=extra,
        )
        for number, segment in enumerate(whole, start=1)
    ]


def _name(parent: Element, path: Path, number: int, several: bool) -> str:
    stem = cleaned(path.stem) or "route"
    return cleaned(parent.words("name")) or (f"{stem} {number}" if several else stem)


def _points(elements: list[Element], *, file: str) -> list[Point]:
    made = []
    for number, element in enumerate(elements, start=1):
        name = cleaned(element.words("name"))
        where = place(number, name, element.line)
        lon, lat = position_deg(
            element.attributes.get("lon"), element.attributes.get("lat"), file=file, where=where
        )
        made.append(Point(name=name or f"WP {number}", lon_deg=lon, lat_deg=lat, where=where))
    return made
