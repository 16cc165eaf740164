"""Whether a NetCDF grid's rows and columns are evenly spaced.

GDAL places a grid by its ends alone. Of uneven longitudes it says nothing, of uneven latitudes it
warns. Coordinate variables: CF Conventions 1.11, section 4.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routecheck.model.errors import BadInput

_UNEVEN_CELLS = 0.25
"""How far a row may lie from its even place: coordinates are rounded to few digits, too."""
_MOST_PLACES = 4_000_000
_AXES = ("lat", "latitude", "y", "lon", "longitude", "x")
_DEGREES = {
    "lat": re.compile(r"degrees?_?n(orth)?$", re.IGNORECASE),
    "lon": re.compile(r"degrees?_?e(ast)?$", re.IGNORECASE),
}
_STANDARD = re.compile(r"(grid_)?(latitude|longitude)|projection_[xy]_coordinate")
_WARNED = re.compile(r"not\s+(be\s+)?(evenly\s+spaced|spaced\s+evenly)", re.IGNORECASE)


def refuse_uneven(path: Path, dataset: Any, said: Sequence[str]) -> None:
    """Raise BadInput where the rows or columns of an open NetCDF variable are not evenly spaced.

    `said` are GDAL's warnings: they decide where the coordinates cannot be read.
    """
    looked_at = set()
    if dataset.driver == "netCDF":
        for places in _vectors(dataset, path):
            looked_at.add(len(places))
            _refuse_if_uneven(path, places, dataset.width, dataset.height)
    warned = [text for text in said if _WARNED.search(text)]
    if warned and not looked_at >= {dataset.width, dataset.height}:
        what = "columns" if "longitude" in warned[0].lower() else "rows"
        raise _uneven(path, what)


def _uneven(path: Path, what: str) -> BadInput:
    wrong = f"its {what} are not evenly spaced"
    return BadInput(file=str(path), wrong=wrong, do="resample it to an even grid")


def _refuse_if_uneven(path: Path, places: NDArray[Any], columns: int, rows: int) -> None:
    if len(places) < 3:
        return
    places = places.astype(float)
    step = (places[-1] - places[0]) / (len(places) - 1)
    even = np.linspace(places[0], places[-1], len(places))
    # Not "more than": so is what is no number.
    if not np.abs(places - even).max() <= _UNEVEN_CELLS * abs(step) or step == 0.0:
        both = columns == rows
        raise _uneven(
            path, "rows or columns" if both else "rows" if len(places) == rows else "columns"
        )


def _vectors(dataset: Any, path: Path) -> Iterator[NDArray[Any]]:
    """The coordinates of a variable's rows and of its columns, as far as the file has them."""
    from rasterio.errors import RasterioError
    from rasterio.io import DatasetReader

    for name in _axis_names(dataset.tags()):
        try:
            opened = DatasetReader(f'NETCDF:"{path.resolve()}":{name}', driver="netCDF")
        except (RasterioError, OSError, ValueError):
            continue
        try:
            length = opened.width
            if opened.height != 1 or opened.count != 1 or length > _MOST_PLACES:
                continue
            if length in (dataset.width, dataset.height):
                yield opened.read(1)[0]
        finally:
            opened.close()


def _axis_names(tags: Mapping[str, str]) -> list[str]:
    """Names of variables that may be coordinates: by unit, standard name, axis or name."""
    found = []
    for key, text in tags.items():
        name, _, what = key.rpartition("#")
        said = text.strip()
        if (
            (what == "units" and any(one.match(said) for one in _DEGREES.values()))
            or (what == "standard_name" and _STANDARD.fullmatch(said))
            or (what == "axis" and said.upper() in ("X", "Y"))
            or name.rpartition("/")[2].lower() in _AXES
        ):
            found.append(name)
    names = list(dict.fromkeys(found))
    # Without attributes GDAL goes by the names alone.
    return names if len(names) > 1 else [*names, *(name for name in _AXES if name not in names)]


def lonlat_by_names(tags: Mapping[str, str]) -> bool:
    """Whether a NetCDF file has one axis in degrees north and one in degrees east."""
    found = {
        which
        for key, text in tags.items()
        for which, pattern in _DEGREES.items()
        if key.endswith("#units") and pattern.match(text.strip())
    }
    return found == set(_DEGREES)
