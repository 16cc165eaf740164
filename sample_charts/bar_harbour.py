"""Ebbstone Haven: an invented harbour behind a bar that is passable only round high water.

Nothing of it exists; it lies in the same empty piece of ocean as the Marenquil Islands. Plane:
kilometres east and north of 116.7 W 14.2 S. The way in runs due east along the middle: over a
sill charted at 0.6 m, under a bridge that is too low at the top of spring tides, to a basin.
"""

from __future__ import annotations

import json
from typing import Any

from shapely.geometry import LineString, Point, Polygon, box, mapping
from shapely.geometry.base import BaseGeometry

from seabed import KM_PER_DEG

_LON0_DEG, _LAT0_DEG = -116.7, -14.2
_WEST, _EAST, _NORTH = -4.0, 3.0, 1.5
_CHANNEL, _FLATS = 0.12, 0.35
_SEA, _BAR, _SILL_END, _BASIN, _HEAD = -0.6, -0.2, 0.15, 1.6, 2.4
_MHWS = 17
"""VERDAT, IHO S-57 edition 3.1, appendix A, attribute 185."""


def bar_harbour() -> dict[str, str]:
    """The files by name."""
    return {
        "bar-harbour/chart.geojson": _geojson(),
        "bar-harbour/chart.geojson.toml": """\
# Chart of the invented Ebbstone Haven. Classes and columns bear their names in IHO S-57.
unit = "m"
datum = "LAT"
vertical_uncertainty = "0.3 m"
horizontal_uncertainty = "5 m"
surveyed = 2024
""",
        "bar-harbour/tide.toml": """\
# Harmonic constants of the invented Ebbstone Haven: phase lags on Greenwich.
datum = "LAT"
uncertainty = "0.1 m"

[[station]]
name = "Ebbstone"
mean_level = "2.05 m"
levels = { MHWS = "3.72 m", HAT = "4.3 m" }
constituents = [
  { name = "M2", amplitude = "1.25 m", phase_deg = 40 },
  { name = "S2", amplitude = "0.42 m", phase_deg = 75 },
  { name = "N2", amplitude = "0.26 m", phase_deg = 20 },
  { name = "K1", amplitude = "0.09 m", phase_deg = 10 },
  { name = "O1", amplitude = "0.07 m", phase_deg = 300 },
  { name = "M4", amplitude = "0.08 m", phase_deg = 120 },
]
""",
        "bar-harbour/into-the-haven.gpx": _gpx(),
        "bar-harbour/into-the-haven.gpx.toml": """\
# Slowly over the bar and in, and the last leg by daylight.
[[leg]]
legs = "2-3"
cross_track = "30 m"
speed = "4 kn"

[[leg]]
legs = "3"
daylight_only = true
""",
    }


def _lonlat(x_km: float, y_km: float) -> tuple[float, float]:
    return (
        round(_LON0_DEG + x_km / KM_PER_DEG[0], 6),
        round(_LAT0_DEG + y_km / KM_PER_DEG[1], 6),
    )


def _feature(cls: str, shape: BaseGeometry, **attributes: str | float) -> dict[str, Any]:
    if isinstance(shape, Polygon):
        placed: BaseGeometry = Polygon([_lonlat(x, y) for x, y in shape.exterior.coords])
    else:
        placed = type(shape)([_lonlat(x, y) for x, y in shape.coords])
    return {
        "type": "Feature",
        "properties": {"class": cls, **attributes},
        "geometry": mapping(placed),
    }


def _depth(
    west: float, south: float, east: float, north: float, shoal: float, deep: float
) -> dict[str, Any]:
    return _feature("DEPARE", box(west, south, east, north), DRVAL1=shoal, DRVAL2=deep)


def _geojson() -> str:
    both = (-1.0, 1.0)

    def beside(side: float, inner: float, outer: float) -> tuple[float, float]:
        low, high = sorted((side * inner, side * outer))
        return low, high

    found = [
        _feature("M_COVR", box(_WEST, -_NORTH, _EAST, _NORTH), CATCOV=1),
        _feature("M_QUAL", box(_WEST, -_NORTH, _EAST, _NORTH), CATZOC=1),
        _feature("M_NSYS", box(_WEST, -_NORTH, _EAST, _NORTH), MARSYS=1, ORIENT=90),
        _depth(_WEST, -_NORTH, _SEA, _NORTH, 8.0, 20.0),
        _depth(_SEA, -_NORTH, _BAR, _NORTH, 3.2, 8.0),
        _depth(_BAR, -_CHANNEL, _SILL_END, _CHANNEL, 0.6, 3.2),
        _depth(_SILL_END, -_CHANNEL, _BASIN, _CHANNEL, 3.4, 6.0),
        _depth(_BASIN, -_FLATS, _HEAD, _FLATS, 3.6, 5.0),
    ]
    for side in both:
        low, high = beside(side, _CHANNEL, _FLATS)
        found.append(_depth(_BAR, low, _BASIN, high, -1.2, 0.6))
        low, high = beside(side, _FLATS, _NORTH)
        found.append(_feature("LNDARE", box(_BAR, low, _EAST, high)))
    found.append(_feature("LNDARE", box(_HEAD, -_FLATS, _EAST, _FLATS)))
    found.append(_feature("SOUNDG", Point(0.02, 0.0), VALSOU=0.6))
    found.append(
        _feature(
            "BRIDGE",
            LineString([(0.9, -_FLATS - 0.05), (0.9, _FLATS + 0.05)]),
            OBJNAM="Causeway Bridge",
            CATBRG="1",
            VERCLR=17.4,
            VERDAT=_MHWS,
        )
    )
    for number, x in enumerate((-0.45, 0.5), start=1):
        found.append(_mark(f"Ebbstone {2 * number}", x, _CHANNEL - 0.015, "3"))
        found.append(_mark(f"Ebbstone {2 * number - 1}", x, 0.015 - _CHANNEL, "4"))
    rows = ",\n".join(json.dumps(f, separators=(",", ":")) for f in found)
    return f'{{"type":"FeatureCollection","name":"ebbstone","features":[\n{rows}\n]}}\n'


def _mark(name: str, x: float, y: float, colour: str) -> dict[str, Any]:
    return _feature("BOYLAT", Point(x, y), OBJNAM=name, COLOUR=colour)


def _gpx() -> str:
    places = (
        ("Landfall", -3.5),
        ("Off the bar", -1.0),
        ("Inside the bar", 0.4),
        ("Basin", 2.0),
    )
    points = "\n".join(
        f'    <rtept lat="{_lonlat(x, 0.0)[1]:.6f}" lon="{_lonlat(x, 0.0)[0]:.6f}">'
        f"<name>{name}</name></rtept>"
        for name, x in places
    )
    return f"""\
<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="make_charts.py" xmlns="http://www.topografix.com/GPX/1/1">
  <rte>
    <name>Into the haven</name>
{points}
  </rte>
</gpx>
"""
