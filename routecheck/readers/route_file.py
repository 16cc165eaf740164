"""A route in whichever format the file is, with its sidecar."""

from __future__ import annotations

import os
from pathlib import Path

from routecheck.model.errors import BadInput
from routecheck.model.route import Route
from routecheck.readers.strict import cleaned, read_bytes
from routecheck.readers.xmlsafe import MOST_BYTES, root_name

_SNIFFED = 4096
_MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")
_FORMATS = "a route is GPX, RTZ or GeoJSON"


def read_routes(path: Path, *, tracks: bool = False) -> tuple[Route, ...]:
    """The routes of a GPX, RTZ or GeoJSON file; its content, not its name, says which.

    ``<route file>.toml`` beside it is applied where there is one. Raises BadInput.
    """
    routes = _read(path, tracks=tracks)
    sidecar = path.with_name(path.name + ".toml")
    if os.path.lexists(sidecar):  # a link that leads nowhere must not pass for no sidecar
        from routecheck.readers.sidecar import apply_sidecar

        routes = apply_sidecar(routes, sidecar)
    if any(point.turn_radius_m for route in routes for point in route.waypoints):
        from routecheck.readers.turns import with_turns_remarked

        routes = tuple(with_turns_remarked(route) for route in routes)
    return routes


def _read(path: Path, *, tracks: bool) -> tuple[Route, ...]:
    file = str(path)
    head = read_bytes(path, most_bytes=MOST_BYTES)[:_SNIFFED]
    if head.startswith(b"PK\x03\x04"):
        raise BadInput(file=file, wrong="this is a zip archive", do="unpack it")
    for mark in _MARKS:
        head = head.removeprefix(mark)
    start = head.lstrip(b"\0 \t\r\n")[:1]  # UTF-16 has a null beside each letter
    if start == b"{":
        from routecheck.readers.geojson_route import read_geojson_route

        return read_geojson_route(path)
    if start != b"<":
        raise BadInput(file=file, wrong="this is no route", do=_FORMATS)
    root = root_name(path)
    if root == "gpx":
        from routecheck.readers.gpx import read_gpx

        return read_gpx(path, tracks=tracks)
    if root == "route":
        from routecheck.readers.rtz import read_rtz

        return read_rtz(path)
    named = cleaned(root, longest=40)
    raise BadInput(file=file, wrong=f"its root element <{named}> is no route's", do=_FORMATS)
