"""The tide that the skipper brings, from tide.toml and the files that it names."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from shapely.geometry.base import BaseGeometry

from routecheck.model.datum import UNKNOWN, datum_named
from routecheck.model.heights import ConstantHeight, HarmonicHeights, Heights, TableHeights
from routecheck.model.secondary import (
    SecondaryHeights,
    refuse_upside_down,
    secondary_of_table,
)
from routecheck.model.tide import Tide, TideStation
from routecheck.readers.geojson import read_features
from routecheck.readers.polygons import polygon_of
from routecheck.readers.strict import cleaned, finite, latitude_deg, longitude_deg, shown
from routecheck.readers.tide_constants import KEYS as CONSTANT_KEYS
from routecheck.readers.tide_constants import read_harmonic
from routecheck.readers.tide_csv import MOST_HEIGHT_M, read_series, read_table
from routecheck.readers.tide_differences import KEYS as DIFFERENCE_KEYS
from routecheck.readers.tide_differences import read_differences
from routecheck.readers.tomlfile import Table, plain_file_name, read_toml

_TIDE_KEYS = ("datum", "uncertainty", "surge_down", "surge_up", "pressure", "station")
_WHERE_KEYS = ("name", "lon", "lat", "zone", "levels")
_KINDS = {
    "constant": (),
    "table": (),
    "series": ("variable",),
    "constituents": CONSTANT_KEYS,
    "secondary_to": DIFFERENCE_KEYS,
}
"""The key that makes a kind of station, and those that go with it."""
_ALL_KEYS = (*_WHERE_KEYS, *_KINDS, *(key for more in _KINDS.values() for key in more))
_MOST_STATIONS = 1_000
_MOST_M = 1_000.0
_MOST_LEVEL_M = 30.0
_STANDARD_HPA, _METRES_PER_HPA = 1013.0, 0.01
"""About a centimetre of water for a hectopascal (common practice)."""


def read_tide(path: Path) -> Tide:
    """Heights of tide from a TOML file and the files beside it that it names.

    Raises BadInput for heights without a datum, for a station of which it is not said where it
    holds, and for whatever the files hold that cannot be used.
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
    stations = _stations(tables, path, datum)
    for table, station in zip(tables, stations, strict=True):
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
    down_m = top.length_m("surge_down", most_m=_MOST_LEVEL_M) or 0.0
    up_m = top.length_m("surge_up", most_m=_MOST_LEVEL_M) or 0.0
    pressed_m = (top.read("pressure", _pressure_hpa) or _STANDARD_HPA) - _STANDARD_HPA
    pressed_m *= _METRES_PER_HPA
    return Tide(
        datum=datum,
        uncertainty_m=uncertainty_m,
        stations=stations,
        file=str(path),
        surge_down_m=down_m + max(0.0, pressed_m),
        surge_up_m=up_m + max(0.0, -pressed_m),
    )


def _stations(tables: list[Table], path: Path, datum: str) -> tuple[TideStation, ...]:
    names: dict[str, int] = {}
    for number, table in enumerate(tables, start=1):
        table.refuse_unknown(_ALL_KEYS)
        name = table.text("name") or f"station {number}"
        if name in names:
            raise table.bad(f"another station is called {name!r} too", key="name")
        names[name] = number - 1
    # A secondary port needs its standard port first; that one stands on its own.
    heights: dict[int, Heights] = {}
    for number, table in enumerate(tables):
        if "secondary_to" not in table.values:
            heights[number] = _heights(table, path, datum)
    for number, table in enumerate(tables):
        if "secondary_to" in table.values:
            heights[number] = _secondary(table, names, heights)
    return tuple(
        _station(table, name, heights[number], path, datum)
        for (name, number), table in zip(names.items(), tables, strict=True)
    )


def _station(table: Table, name: str, heights: Heights, path: Path, datum: str) -> TideStation:
    lon, lat = _position(table)
    return TideStation(
        name=name,
        constant_m=heights.constant_m if isinstance(heights, ConstantHeight) else None,
        heights=None if isinstance(heights, ConstantHeight) else heights,
        lon_deg=lon,
        lat_deg=lat,
        zone=_zone(table, path),
        levels_m=_levels(table, datum),
    )


def _position(table: Table) -> tuple[float | None, float | None]:
    lon = table.read("lon", lambda value: longitude_deg(finite(value)))
    lat = table.read("lat", lambda value: latitude_deg(finite(value)))
    if (lon is None) != (lat is None):
        raise table.bad("it has one of lon and lat", key="lon" if lat is None else "lat")
    return lon, lat


def _heights(table: Table, path: Path, datum: str) -> Heights:
    kinds = [key for key in _KINDS if key in table.values]
    if len(kinds) != 1:
        if kinds:
            raise table.bad(f"it has both {kinds[0]} and {kinds[1]}", do="give one of them")
        raise table.bad(
            "it gives no height", do='add constant = "0.4 m", table, series or constituents'
        )
    for key in table.values:
        if key not in (*_WHERE_KEYS, *kinds, *_KINDS[kinds[0]]):
            raise table.bad(f"it does not go with {kinds[0]}", key=key)
    if kinds[0] == "constant":
        height_m = table.length_m("constant", most_m=MOST_HEIGHT_M, signed=True)
        return ConstantHeight(constant_m=height_m or 0.0)
    if kinds[0] == "constituents":
        lon, _ = _position(table)
        return read_harmonic(table, path, lon)
    file = table.read(kinds[0], plain_file_name)
    beside = path.with_name(file or "")
    if kinds[0] == "table":
        return read_table(beside)
    if beside.suffix.lower() in (".csv", ".txt"):
        return read_series(beside)
    from routecheck.readers.tide_hdf import read_hdf_series

    lon, lat = _position(table)
    return read_hdf_series(
        beside, variable=table.text("variable") or "", lon_deg=lon, lat_deg=lat, datum=datum
    )


def _secondary(table: Table, names: dict[str, int], heights: dict[int, Heights]) -> Heights:
    for key in table.values:
        if key not in (*_WHERE_KEYS, "secondary_to", *DIFFERENCE_KEYS):
            raise table.bad("it does not go with secondary_to", key=key)
    standard = table.text("secondary_to") or ""
    base = heights.get(names.get(standard, -1))
    if base is None:
        why = "is a secondary port itself" if standard in names else "is no station here"
        raise table.bad(f"{standard!r} {why}", key="secondary_to")
    differences = read_differences(table)
    if isinstance(base, HarmonicHeights):
        made = SecondaryHeights(base=base, differences=differences)
        try:
            refuse_upside_down(made)
        except ValueError as error:
            raise table.bad(str(error)) from None
        return made
    if not isinstance(base, TableHeights):
        raise table.bad(
            f"{standard!r} has no high and low waters to differ from",
            key="secondary_to",
            do="give that station a table or constituents",
        )
    try:
        return secondary_of_table(base, differences)
    except ValueError as error:
        raise table.bad(str(error)) from None


def _levels(table: Table, heights_from: str) -> dict[str, float]:
    inner = table.table("levels")
    if inner is None:
        return {}
    found: dict[str, float] = {}
    for key in inner.values:
        try:
            datum = _datum(key)
        except ValueError as error:
            raise table.bad(str(error), key="levels") from None
        level_m = inner.length_m(key, most_m=_MOST_LEVEL_M, signed=True) or 0.0
        if found.setdefault(datum, level_m) != level_m:
            raise table.bad(f"{datum} stands there twice, at two levels", key="levels")
        if datum == heights_from and level_m != 0.0:
            wrong = f"{datum} stands {level_m:g} m above itself: the heights are measured from it"
            raise table.bad(wrong, key="levels")
    return found


def _datum(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{shown(value)} is not text in quotes")
    datum = datum_named(cleaned(value, longest=60))
    if datum == UNKNOWN:
        raise ValueError("heights above an unknown datum are of no use")
    return datum


def _pressure_hpa(value: Any) -> float:
    text = value.strip() if isinstance(value, str) else ""
    if not text.lower().endswith(("hpa", "mbar")):
        raise ValueError(f'{shown(value)} is not a pressure; write it like "1033 hPa"')
    number = finite(float(text[: -3 if text.lower().endswith("hpa") else -4]))
    if not 850.0 <= number <= 1100.0:
        raise ValueError(f"{number:g} hPa is not the pressure of any weather")
    return number


def _zone(table: Table, path: Path) -> BaseGeometry | None:
    name = table.read("zone", plain_file_name)
    if name is None:
        return None
    shapes = [polygon_of(feature) for feature in read_features(path.with_name(name))]
    if len(shapes) != 1:
        raise table.bad(f"{name} holds {len(shapes)} polygons instead of one", key="zone")
    return shapes[0]
