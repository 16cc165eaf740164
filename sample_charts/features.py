"""What stands on the chart beside its depths: soundings, dangers, marks, zones.

Classes and attributes by their names in IHO S-57 edition 3.1, appendix A; positions in the
plane of seabed.py, kilometres.
"""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

import numpy as np
from shapely import STRtree
from shapely.geometry import LineString, Point, Polygon, mapping, shape
from shapely.geometry.base import BaseGeometry

from isolines import BOTTOM_M, LEVELS_M, Isoline, chart_box
from seabed import (
    DAWN_AXIS,
    DUSK_AXIS,
    LAND_M,
    UNSURVEYED,
    Floats,
    centres_deg,
    rim_place,
    to_lonlat,
    to_plane,
)

Feature = dict[str, Any]
TURN_X_KM = 0.2
"""Where the direction of buoyage turns round: half-way through the lagoon."""
_RED, _GREEN = "3", "4"

_LAND_NAMES = (
    ((-1.1, 2.05), "Great Marenquil"),
    ((2.2, -2.35), "Little Marenquil"),
    ((3.1, 2.55), "Marenquil Stack"),
    ((7.35, -4.55), "East Straggler"),
    ((6.55, -4.75), "West Straggler"),
    ((0.5, 3.8), "Long Cay of Marenquil"),
)
_SHOAL_NAMES = (
    ((-2.55, -2.30), "Anvil Patch"),
    ((-0.55, -1.75), "Cinder Patch"),
    ((-2.94, 0.92), "Cove Head, west"),
    ((-2.77, 0.74), "Cove Head, east"),
    ((-7.7, 4.35), "Drowned Bank"),
)


def feature(cls: str, geometry: BaseGeometry, **attributes: str | float) -> Feature:
    """One GeoJSON feature, its class in the property ``class``."""
    plain = mapping(geometry)
    return {
        "type": "Feature",
        "properties": {"class": cls, **attributes},
        "geometry": {"type": plain["type"], "coordinates": plain["coordinates"]},
    }


def _named(area: BaseGeometry, names: tuple[tuple[tuple[float, float], str], ...]) -> str:
    return next((n for at, n in names if area.contains(Point(to_lonlat(*at)))), "")


def areas(bands: list[tuple[int, Polygon]]) -> list[Feature]:
    """Land, depth areas, and the blank that no one has surveyed, cut out of the area round it."""
    blank = Polygon([to_lonlat(*corner) for corner in UNSURVEYED])
    made = []
    for band, whole in bands:
        area = whole
        if blank.intersects(whole):
            if not whole.contains(blank):
                raise ValueError("the unsurveyed patch does not lie in one depth area")
            area = Polygon(whole.exterior, [*whole.interiors, blank.exterior])
        if band == 0:
            name = _named(area, _LAND_NAMES)
            made.append(feature("LNDARE", area, **({"OBJNAM": name} if name else {})))
            continue
        name = _named(area, _SHOAL_NAMES) if band < 5 else ""
        deep = LEVELS_M[band] if band < len(LEVELS_M) else BOTTOM_M
        attributes: dict[str, str | float] = {"DRVAL1": LEVELS_M[band - 1], "DRVAL2": deep}
        made.append(feature("DEPARE", area, **attributes, **({"OBJNAM": name} if name else {})))
    return [*made, feature("UNSARE", blank)]


def contours(lines: list[Isoline]) -> list[Feature]:
    """Every ring but the coastline, which is the edge of the land."""
    return [
        feature("DEPCNT", LineString(line.ring.coords), VALDCO=LEVELS_M[line.level])
        for line in lines
        if LEVELS_M[line.level] != LAND_M
    ]


def soundings(depth_m: Floats, bands: list[tuple[int, Polygon]]) -> list[Feature]:
    """Tops of shoals first, then a loose scatter, closer where the water is shoaler.

    Rounded down, to a tenth of a metre in less than 31 m.
    """
    lon, lat = np.meshgrid(*centres_deg())
    x, y = to_plane(lon, lat)
    inner = depth_m[1:-1, 1:-1]
    rows, columns = depth_m.shape
    around = np.min(
        [
            depth_m[1 + r : rows - 1 + r, 1 + c : columns - 1 + c]
            for r in (-1, 0, 1)
            for c in (-1, 0, 1)
            if r or c
        ],
        axis=0,
    )
    peak_rows, peak_columns = np.nonzero((inner < around) & (inner > 0.2) & (inner < 60.0))
    peaks = sorted(
        zip(peak_rows + 1, peak_columns + 1, strict=True), key=lambda rc: float(depth_m[rc])
    )
    draw = random.Random(21)
    scatter = [(draw.randrange(rows), draw.randrange(columns)) for _ in range(9000)]
    tree = STRtree([area for _, area in bands])
    blank = Polygon([to_lonlat(*corner) for corner in UNSURVEYED])
    chosen: list[tuple[float, float]] = []
    made = []
    for at in (*peaks, *scatter):
        depth = float(depth_m[at])
        if depth < 0.1:
            continue
        room_km = float(np.interp(depth, (0.0, 12.0, 30.0, 60.0, 400.0), (0.2, 0.3, 0.5, 0.6, 1.9)))
        here = float(x[at]), float(y[at])
        if any((here[0] - a) ** 2 + (here[1] - b) ** 2 < room_km**2 for a, b in chosen):
            continue
        shown = float(np.floor(depth * 10.0) / 10.0) if depth < 31.0 else float(np.floor(depth))
        point = Point(round(float(lon[at]), 6), round(float(lat[at]), 6))
        band = bands[int(tree.query(point, predicate="within")[0])][0]
        if band == 0 or blank.intersects(point):
            continue
        if not LEVELS_M[band - 1] <= shown <= (*LEVELS_M, BOTTOM_M)[band]:
            continue  # beside a contour that the smoothing has moved over it
        chosen.append(here)
        made.append(feature("SOUNDG", point, VALSOU=shown))
    return made


def _at(x_km: float, y_km: float) -> Point:
    return Point(to_lonlat(x_km, y_km))


def dangers() -> list[Feature]:
    """Rocks, wrecks and an obstruction. CATWRK, CATOBS and WATLEV by their S-57 codes."""
    return [
        feature("UWTROC", _at(-6.81, -1.69), WATLEV=4, OBJNAM="Doorpost Rock"),
        feature("UWTROC", _at(-4.91, -2.70), WATLEV=3, VALSOU=0.5),
        feature("UWTROC", _at(6.77, 1.43), WATLEV=5),
        feature("UWTROC", _at(-2.38, -2.27), WATLEV=3, OBJNAM="Hammer Rock"),
        feature("UWTROC", _at(4.35, -0.9), WATLEV=3, VALSOU=1.6),
        feature("UWTROC", _at(7.02, -4.75), WATLEV=4),
        feature("WRECKS", _at(3.35, 1.25), CATWRK=2, VALSOU=4.6, OBJNAM="Wreck of the Tamber Moon"),
        feature("WRECKS", _at(1.4, -3.52), CATWRK=5, WATLEV=2),
        feature("OBSTRN", _at(-2.25, 1.15), CATOBS=7, OBJNAM="Cove moorings"),
    ]


def on_axis(
    axis: tuple[tuple[float, float], ...], x_km: float, to_starboard_km: float = 0.0
) -> tuple[float, float]:
    """A place abreast of an axis at `x_km`, to starboard of the way inwards."""
    for (x1, y1), (x2, y2) in pairwise(axis):
        if min(x1, x2) <= x_km <= max(x1, x2):
            share = (x_km - x1) / (x2 - x1)
            long = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
            east, north = (x2 - x1) / long, (y2 - y1) / long
            across = to_starboard_km
            return x_km + north * across, y1 + share * (y2 - y1) - east * across
    raise ValueError(f"{x_km} km is beside the axis")


def marks() -> list[Feature]:
    """Lateral marks of region A from both passes inwards: red to port, green to starboard.

    They state their colours and no hand (CATLAM): the region decides it.
    """
    made = []
    for name, axis, places in (
        ("Dusk", DUSK_AXIS, (-6.95, -6.9, -5.75, -5.7, -4.3, -3.0, -1.7, -0.5)),
        ("Dawn", DAWN_AXIS, (7.2, 7.15, 5.9, 5.85, 4.3, 3.0, 1.7)),
    ):
        for number, x_km in enumerate(places, start=1):
            green = number % 2 == 1
            aside_km = 0.15 if number < 5 else 0.16
            place = on_axis(axis, x_km, aside_km if green else -aside_km)
            made.append(
                feature(
                    "BCNLAT" if number in (3, 4) else "BOYLAT",
                    _at(*place),
                    OBJNAM=f"{name} {number}",
                    COLOUR=_GREEN if green else _RED,
                )
            )
    made.append(
        feature("BCNISD", _at(-4.1, 0.55), OBJNAM="Gannet Beacon", COLOUR="2,3,2", COLPAT="1")
    )
    return made


def fittings(those: list[Feature]) -> list[Feature]:
    """Lights on the outer marks and those in the bend, top marks on the beacons."""
    made = []
    for mark in those:
        facts, place = mark["properties"], shape(mark["geometry"])
        if facts["class"] == "BCNISD":
            made.append(feature("TOPMAR", place, TOPSHP=4, COLOUR="2"))
            light = {"LITCHR": 2, "SIGGRP": "(2)", "SIGPER": 10, "COLOUR": "1", "HEIGHT": 7}
            made.append(feature("LIGHTS", place, **light, VALNMR=5))
            continue
        number, colour = int(facts["OBJNAM"][-1]), facts["COLOUR"]
        if number in (1, 2, 5, 6):
            made.append(feature("LIGHTS", place, LITCHR=2, SIGPER=2 + number // 2, COLOUR=colour))
        if number in (3, 4):
            top = 1 if colour == _GREEN else 5
            made.append(feature("TOPMAR", place, TOPSHP=top, COLOUR=colour))
    return made


def zones() -> list[Feature]:
    """What holds over an area: the chart's cover, its quality, its buoyage, and a footbridge."""
    whole = chart_box()
    west, south, east, north = whole.bounds
    turn = to_lonlat(TURN_X_KM, 0.0)[0]
    dusk = Polygon([(west, south), (turn, south), (turn, north), (west, north)])
    dawn = Polygon([(turn, south), (east, south), (east, north), (turn, north)])
    swath = Polygon([to_lonlat(*rim_place(angle, 0.6)) for angle in range(0, 360, 8)])
    rest = Polygon(whole.exterior, [swath.exterior])
    bridge = [to_lonlat(3.88, 3.36), to_lonlat(4.14, 3.26)]
    return [
        feature("M_COVR", whole, CATCOV=1),
        feature("M_QUAL", swath, CATZOC=2),
        feature("M_QUAL", rest, CATZOC=3),
        feature("M_NSYS", dusk, MARSYS=1, ORIENT=75),
        feature("M_NSYS", dawn, MARSYS=1, ORIENT=255),
        {
            "type": "Feature",
            "properties": {"class": "BRIDGE", "OBJNAM": "Cay Footbridge", "VERCLR": 4.5},
            "geometry": {"type": "LineString", "coordinates": bridge},
        },
    ]
