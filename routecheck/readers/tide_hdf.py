"""Water-level series from HDF5: NetCDF-4 files and IHO S-104.

NetCDF: Climate and Forecast conventions 1.11, chapters 4.4 (time) and 3.1 (units). S-104: IHO
Water Level Information for Surface Navigation, product specification editions 1.1 to 2.0,
data coding formats 2 (regular grid) and 8 (stations).
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from routecheck.model.datum import VERDAT
from routecheck.model.errors import BadInput
from routecheck.model.heights import SeriesHeights
from routecheck.model.tide_curve import Floats
from routecheck.readers.strict import cleaned
from routecheck.readers.tide_csv import series_of
from routecheck.units import METRES_PER_FOOT

_MOST_SAMPLES = 2_000_000
_UNITS_M = {
    **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), 1.0),
    "cm": 0.01,
    "mm": 0.001,
    **dict.fromkeys(("ft", "foot", "feet"), METRES_PER_FOOT),
}
_TIME_S = {
    **dict.fromkeys(("second", "sec", "s"), 1.0),
    **dict.fromkeys(("minute", "min"), 60.0),
    **dict.fromkeys(("hour", "hr", "h"), 3600.0),
    **dict.fromkeys(("day", "d"), 86_400.0),
}
_HEIGHT_UP, _DEPTH_DOWN = 6499, 6498
"""EPSG codes of vertical coordinate systems in metres; only heights upwards are taken."""


def read_hdf_series(
    path: Path,
    *,
    variable: str = "",
    lon_deg: float | None = None,
    lat_deg: float | None = None,
    datum: str = "",
) -> SeriesHeights:
    """A series of heights. `variable` names it in a NetCDF file that has several.

    For S-104 grids the cell of `lon_deg`, `lat_deg` is taken, and the file's datum held against
    `datum`. Raises BadInput for what is not one series of heights in a known unit, and for the
    classic NetCDF format, which this cannot read.
    """
    import h5py

    file = str(path)
    if not path.is_file():
        raise BadInput(file=file, wrong="there is no such file")
    try:
        with path.open("rb") as stream:
            head = stream.read(4)
        if head[:3] == b"CDF":
            raise BadInput(
                file=file,
                wrong="this is the classic NetCDF format, which is not read",
                do="convert it to NetCDF-4 (nccopy -4) or to CSV",
            )
        with h5py.File(path, "r") as top:
            if "WaterLevel" in top:
                time_s, height_m = _s104(top, lon_deg, lat_deg, datum, file)
            else:
                time_s, height_m = _netcdf(top, variable, file)
    except (OSError, KeyError, RuntimeError, TypeError, ValueError) as error:
        says = cleaned(str(error), longest=120)
        raise BadInput(file=file, wrong=f"it cannot be read ({says})") from None
    good = np.isfinite(time_s) & np.isfinite(height_m)
    time_s, height_m = time_s[good], height_m[good]
    if (np.diff(time_s) <= 0.0).any():
        raise BadInput(file=file, wrong="its times do not rise")
    return series_of(time_s, height_m, file=file, count=len(time_s))


def _words(value: Any) -> str:
    if isinstance(value, bytes):
        return value.decode("utf-8", "replace")
    if isinstance(value, np.ndarray) and value.size == 1:
        return _words(value.ravel()[0])
    return str(value)


def _netcdf(top: Any, variable: str, file: str) -> tuple[Floats, Floats]:
    import h5py

    series = {n: v for n, v in top.items() if isinstance(v, h5py.Dataset) and v.size > 1}
    clocks = [n for n, v in series.items() if " since " in _words(v.attrs.get("units", ""))]
    if len(clocks) != 1:
        raise BadInput(file=file, wrong=f"it has {len(clocks)} variables of time instead of one")
    count = series[clocks[0]].size
    if count > _MOST_SAMPLES:
        raise BadInput(file=file, wrong=f"it has more than {_MOST_SAMPLES} heights")
    heights = {
        n: v
        for n, v in series.items()
        if n not in clocks
        and v.size == count
        and _words(v.attrs.get("units", "")).strip() in _UNITS_M
    }
    if variable:
        if variable not in heights:
            raise BadInput(
                file=file,
                wrong=f"{cleaned(variable, longest=60)!r} is no series of heights in a known unit",
                do=f"those are {', '.join(cleaned(n, longest=40) for n in heights) or 'none'}",
            )
        name = variable
    elif len(heights) != 1:
        raise BadInput(
            file=file,
            wrong=f"it has {len(heights)} series of heights instead of one",
            do='name it with variable = "…"' if heights else "give its heights a unit",
        )
    else:
        (name,) = heights
    data = heights[name]
    if _words(data.attrs.get("positive", "up")).strip().lower() == "down":
        raise BadInput(
            file=file, wrong=f"{cleaned(name, longest=60)!r} is positive downwards: no height"
        )
    scale = _UNITS_M[_words(data.attrs["units"]).strip()]
    raw = np.asarray(data[()], dtype=float).ravel()
    for fill in ("_FillValue", "missing_value"):
        if fill in data.attrs:
            raw[raw == float(np.ravel(data.attrs[fill])[0])] = np.inf
    return _clock_s(series[clocks[0]], file), _unpacked(raw, data) * scale


def _unpacked(raw: Floats, data: Any) -> Floats:
    """The numbers of a variable, which may be packed: CF conventions 1.11, chapter 8.1."""
    raw = raw * float(np.ravel(data.attrs.get("scale_factor", 1.0))[0])
    return raw + float(np.ravel(data.attrs.get("add_offset", 0.0))[0])


def _clock_s(data: Any, file: str) -> Floats:
    units = _words(data.attrs["units"])
    calendar = _words(data.attrs.get("calendar", "standard")).lower()
    found = re.fullmatch(
        r"\s*(\w+?)s?\s+since\s+(\S+?)(?:[T ]+(\S+))?(?:\s+(UTC|Z|\+?0+:?0*))?\s*", units
    )
    unit = _TIME_S.get(found.group(1).lower()) if found else None
    if (
        found is None
        or unit is None
        or calendar not in ("standard", "gregorian", "proleptic_gregorian")
    ):
        raise BadInput(file=file, wrong=f"time in {cleaned(units, longest=60)!r} is not understood")
    day, clock = found.group(2), (found.group(3) or "00:00").removesuffix("Z")
    year, month, date = (int(part) for part in day.split("-"))
    hour, minute, *rest = clock.split(":")
    start = datetime(year, month, date, int(hour), int(minute), tzinfo=UTC)
    start += timedelta(seconds=float(rest[0]) if rest else 0.0)
    counted = _unpacked(np.asarray(data[()], dtype=float).ravel(), data)
    return np.asarray(start.timestamp() + counted * unit)


def _s104(
    top: Any, lon_deg: float | None, lat_deg: float | None, datum: str, file: str
) -> tuple[Floats, Floats]:
    axis = int(top.attrs.get("verticalCS", 0))
    if axis != _HEIGHT_UP:
        why = "its vertical axis points down" if axis == _DEPTH_DOWN else "no axis is stated"
        raise BadInput(file=file, wrong=f"{why} (verticalCS {axis}), so its heights have no sign")
    code = int(top.attrs.get("verticalDatum", 0))
    stated = VERDAT.get(code, "")
    if datum and datum != "chart datum" and stated != datum:
        raise BadInput(
            file=file, wrong=f"its heights are above {stated or f'datum {code}'}, not above {datum}"
        )
    coding = int(top["WaterLevel"].attrs["dataCodingFormat"])
    if coding not in (2, 8):
        raise BadInput(file=file, wrong=f"data coding format {coding} is not read; 2 and 8 are")
    if lon_deg is None or lat_deg is None:
        raise BadInput(file=file, wrong="no place is given", do="give the station's lon and lat")
    fill = _fill(top)
    place = _grid_series if coding == 2 else _station_series
    time_s, height_m = place(top["WaterLevel"], lon_deg, lat_deg, file)
    height_m[height_m == fill] = np.inf
    return time_s, height_m


def _fill(top: Any) -> float:
    for record in top["Group_F/WaterLevel"][()]:
        if _words(record["code"]).strip() == "waterLevelHeight":
            unit = _words(record["uom.name"]).strip().lower()
            if _UNITS_M.get(unit) != 1.0:
                raise ValueError(f"heights in {unit!r}")
            return float(_words(record["fillValue"]))
    raise ValueError("no waterLevelHeight")


def _instances(level: Any) -> list[Any]:
    return [level[name] for name in sorted(level) if re.fullmatch(r"WaterLevel\.\d+", name)]


def _groups(instance: Any) -> list[Any]:
    return [instance[name] for name in sorted(instance) if re.fullmatch(r"Group_\d+", name)]


def _stamp_s(text: str) -> float:
    return datetime.strptime(text.strip(), "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC).timestamp()


def _grid_series(level: Any, lon_deg: float, lat_deg: float, file: str) -> tuple[Floats, Floats]:
    for instance in _instances(level):
        at = instance.attrs
        column = (lon_deg - float(at["gridOriginLongitude"])) / float(at["gridSpacingLongitudinal"])
        row = (lat_deg - float(at["gridOriginLatitude"])) / float(at["gridSpacingLatitudinal"])
        columns, rows = int(at["numPointsLongitudinal"]), int(at["numPointsLatitudinal"])
        if not (-0.5 <= column <= columns - 0.5 and -0.5 <= row <= rows - 0.5):
            continue
        spot = min(max(round(row), 0), rows - 1), min(max(round(column), 0), columns - 1)
        pairs = sorted(
            (_stamp_s(_words(g.attrs["timePoint"])), float(g["values"][spot]["waterLevelHeight"]))
            for g in _groups(instance)
        )
        return np.array([t for t, _ in pairs]), np.array([h for _, h in pairs])
    raise BadInput(file=file, wrong="the station does not lie on its grid")


def _station_series(level: Any, lon_deg: float, lat_deg: float, file: str) -> tuple[Floats, Floats]:
    best: tuple[float, Any] | None = None
    for instance in _instances(level):
        positions = instance["Positioning/geometryValues"][()]
        for group, spot in zip(_groups(instance), positions, strict=True):
            away = (float(spot["longitude"]) - lon_deg) ** 2 + (
                float(spot["latitude"]) - lat_deg
            ) ** 2
            if best is None or away < best[0]:
                best = away, group
    if best is None or best[0] > 0.05**2:
        raise BadInput(file=file, wrong="it has no station within 0.05 degrees")
    group = best[1]
    height = np.asarray(group["values"]["waterLevelHeight"], dtype=float).ravel()
    if len(height) > _MOST_SAMPLES:
        raise ValueError(f"more than {_MOST_SAMPLES} heights")
    start_s = _stamp_s(_words(group.attrs["startDateTime"]))
    step_s = float(group.attrs["timeRecordInterval"])
    return np.asarray(start_s + step_s * np.arange(len(height)), dtype=np.float64), height
