"""The boat and the tide that the skipper brings, from boat.toml and tide.toml."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from shapely.geometry.base import BaseGeometry

from routecheck.model.boat import Boat, Margins
from routecheck.model.datum import UNKNOWN, datum_named
from routecheck.model.passage import Tide, TideStation
from routecheck.readers.geojson import read_features
from routecheck.readers.polygons import polygon_of
from routecheck.readers.strict import cleaned, finite, latitude_deg, longitude_deg, shown
from routecheck.readers.tomlfile import Table, read_toml
from routecheck.readers.waypoints import WIDEST_M
from routecheck.units import length_m, percent_of

_BOAT_KEYS = ("name", "draught", "air_draught", "length", "beam", "speed", "margins")
_MARGIN_KEYS = (
    "under_keel",
    "cross_track",
    "overhead",
    "eta",
    "position",
    "squat",
    "heel_swell",
    "mark_near",
    "mark_far",
    "coarsest_grid",
    "smallest_scale",
)
_MOST_M = 1_000.0  # no boat, and no margin of depth or height, is larger
_MOST_GRID_M = 100_000.0
_MOST_ETA_S = 30 * 86_400.0
_TIDE_KEYS = ("datum", "uncertainty", "station")
_STATION_KEYS = ("name", "lon", "lat", "zone", "constant")
_NOT_YET = ("table", "series", "mean_level", "constituents", "secondary_to")
_NOT_YET_WITH = ("time_high", "time_low", "height_high", "height_low")
_MOST_STATIONS = 1_000


def read_boat(path: Path) -> Boat:
    """A boat and its margins from a TOML file; margins that are not given keep their defaults.

    Raises BadInput, naming the key, for a missing draught, a key that is not known, a number
    without a unit, or one that no boat has.
    """
    top = read_toml(path)
    top.refuse_unknown(_BOAT_KEYS)
    draught_m = top.length_m("draught", most_m=_MOST_M, above_zero=True)
    if draught_m is None:
        raise top.bad("the boat has no draught", do='add draught = "1.9 m"')
    below = top.table("margins")
    margins = _margins(below, draught_m) if below is not None else Margins()
    return Boat(
        name=top.text("name") or cleaned(path.stem) or "boat",
        draught_m=draught_m,
        air_draught_m=top.length_m("air_draught", most_m=_MOST_M, above_zero=True),
        length_m=top.length_m("length", most_m=_MOST_M, above_zero=True),
        beam_m=top.length_m("beam", most_m=_MOST_M, above_zero=True),
        speed_kn=top.speed_kn("speed"),
        margins=margins,
    )


def _margins(table: Table, draught_m: float) -> Margins:
    table.refuse_unknown(_MARGIN_KEYS)
    scale = table.number("smallest_scale")
    if scale is not None and not 1.0 <= scale <= 1e9:
        raise table.bad(
            f"{scale:g} is no scale's denominator", key="smallest_scale", do="write 180000"
        )
    given = {
        "under_keel_m": table.read("under_keel", lambda value: _under_keel_m(value, draught_m)),
        "cross_track_m": table.length_m("cross_track", most_m=WIDEST_M),
        "overhead_m": table.length_m("overhead", most_m=_MOST_M),
        "eta_s": table.duration_s("eta", most_s=_MOST_ETA_S),
        "position_m": table.length_m("position", most_m=WIDEST_M),
        "squat_m": table.length_m("squat", most_m=_MOST_M),
        "heel_swell_m": table.length_m("heel_swell", most_m=_MOST_M),
        "mark_near_m": table.length_m("mark_near", most_m=WIDEST_M),
        "mark_far_m": table.length_m("mark_far", most_m=WIDEST_M),
        "coarsest_grid_m": table.length_m("coarsest_grid", most_m=_MOST_GRID_M),
        "smallest_scale": scale,
    }
    margins = Margins(**{name: value for name, value in given.items() if value is not None})
    if margins.mark_far_m < margins.mark_near_m:
        raise table.bad("it is less than mark_near", key="mark_far")
    return margins


def _under_keel_m(value: Any, draught_m: float) -> float:
    """One wish, or the largest of a list of them."""
    wishes = value if isinstance(value, list) else [value]
    if not 1 <= len(wishes) <= 10:
        raise ValueError("give one value, or a list of a few")
    found = []
    for wish in wishes:
        share = percent_of(wish) if isinstance(wish, str) else None
        if share is None:
            wanted_m = length_m(wish)
        elif re.search(r"%(\s+of\s+(the\s+)?dra(ught|ft))?\s*$", str(wish)):
            wanted_m = share * draught_m
        else:
            raise ValueError(f'{shown(wish)} is not a share of the draught, like "20 % of draught"')
        if not 0.0 <= wanted_m <= _MOST_M:
            raise ValueError(f"{shown(wish)} is not from zero to {_MOST_M:g} m")
        found.append(wanted_m)
    return max(found)


def read_tide(path: Path) -> Tide:
    """Heights of tide from a TOML file: for now stations with a constant height.

    Raises BadInput for another kind of station, for heights without a datum, and for a station
    of which it is not said where it holds.
    """
    top = read_toml(path)
    top.refuse_unknown(_TIDE_KEYS)
    datum = top.read("datum", _datum)
    if datum is None:
        raise top.bad(
            "it does not say from what the heights are measured", do='add datum = "LAT" or "chart"'
        )
    uncertainty_m = top.length_m("uncertainty", most_m=_MOST_M)
    if uncertainty_m is None:
        raise top.bad("it does not say how far off the heights may be", do='add uncertainty = "…"')
    tables = top.tables("station", most=_MOST_STATIONS)
    if not tables:
        raise top.bad("it has no [[station]]")
    stations = [_station(table, number, path) for number, table in enumerate(tables, start=1)]
    names = [station.name for station in stations]
    for table, station in zip(tables, stations, strict=True):
        if names.count(station.name) > 1:
            raise table.bad(f"another station is called {station.name!r} too", key="name")
        if len(stations) > 1 and station.lon_deg is None and station.zone is None:
            raise table.bad(
                "it is not said where it holds",
                do="with several stations give lon and lat, or zone",
            )
    # What no station covers must not take the height of one that holds elsewhere.
    if all(station.zone is not None and station.lon_deg is None for station in stations):
        raise top.bad(
            "every station holds in its zone only, so outside there would be none",
            do="give a station's lon and lat too",
        )
    return Tide(datum=datum, uncertainty_m=uncertainty_m, stations=tuple(stations), file=str(path))


def _datum(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    datum = datum_named(cleaned(value, longest=60))
    if datum == UNKNOWN:
        raise ValueError("heights above an unknown datum are of no use")
    return datum


def _station(table: Table, number: int, path: Path) -> TideStation:
    for key in _NOT_YET:
        if key in table.values:
            raise table.bad(
                "this kind of station is not yet understood by this version",
                key=key,
                do='give constant = "…", the lowest height while you are there',
            )
    table.refuse_unknown((*_STATION_KEYS, *_NOT_YET, *_NOT_YET_WITH))
    height_m = table.length_m("constant", most_m=_MOST_M, signed=True)
    if height_m is None:
        raise table.bad("it gives no height", do='add constant = "0.4 m"')
    lon = table.read("lon", lambda value: longitude_deg(finite(value)))
    lat = table.read("lat", lambda value: latitude_deg(finite(value)))
    if (lon is None) != (lat is None):
        raise table.bad("it has one of lon and lat", key="lon" if lat is None else "lat")
    return TideStation(
        name=table.text("name") or f"station {number}",
        constant_m=height_m,
        lon_deg=lon,
        lat_deg=lat,
        zone=_zone(table, path),
    )


def _zone(table: Table, path: Path) -> BaseGeometry | None:
    name = table.read("zone", _file_name)
    if name is None:
        return None
    shapes = [polygon_of(feature) for feature in read_features(path.with_name(name))]
    if len(shapes) != 1:
        raise table.bad(f"{name} holds {len(shapes)} polygons instead of one", key="zone")
    return shapes[0]


def _file_name(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    if not value or value != Path(value).name or "\\" in value or not value.isprintable():
        raise ValueError(f"{shown(value)} is not the plain name of a file beside this one")
    return value
