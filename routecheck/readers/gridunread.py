"""What a grid's file holds beside the layer of depths that is read: bands, pages, variables.

None is taken for harmless because nobody says what it is. Runs in the grids' own process.

Sources: GDAL raster data model (band description, unit, colour interpretation); its pages "GTiff"
(subdatasets GTIFF_DIR:n, one for each further image file directory of TIFF 6.0) and "GPKG --
raster" (a subdataset for each tile table); OGC 17-066r1 (gridded coverages); CF Conventions 1.11,
sections 3.1 (units), 7.1 (bounds) and appendix C (`standard_error`, `number_of_observations`,
`status_flag`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from routecheck.readers.gridfacts import unit_named_m
from routecheck.readers.gridfound import Opening
from routecheck.readers.tiffdirs import sub_images

MOST_OTHERS = 60
_MOST_BANDS = 1000
_DOUBTS = re.compile(
    r"uncert|error|std|sigma|deviation|varian|tvu|thu|tpu|accura|confidence|precision|rms"
)
_DEPTHS = re.compile(
    r"depth|elev|bathy|altitude|height|topo|sounding|shoal|relief|draft|draught|"
    r"(^|[^a-z])(z|dem|dtm|dsm|min|max|mean|band\d*)([^a-z]|$)"
)
_HARMLESS = re.compile(
    r"tid|type|types|source|sources|contributor|contributors|id|ids|identifier|"
    r"identifiers|count|counts|density|hits|observations|flag|flags|mask|quality|"
    r"status|class|classes|category|code|codes|date|year|time|color|colour|alpha|"
    r"backscatter|intensity|slope|aspect|hillshade|resolution|index"
)
_COUNTED = re.compile(r"(number|count|num) of ")
_PLACES = re.compile(r"(grid_)?(latitude|longitude)|projection_[xy]_coordinate")
_UNCERTAINTY = re.compile(r"((total )?vertical |depth |elevation )?uncertainty|tvu")
_COLOURS = ("red", "green", "blue", "palette")
DEPTH, DOUBT, HARMLESS, UNKNOWN = "depth", "doubt", "harmless", "unknown"


@dataclass(kw_only=True)
class Beside:
    """What else a file holds: names, and where usable vertical uncertainties stand."""

    unread: tuple[str, ...] = ()
    """What may show less water."""
    doubts: tuple[str, ...] = ()
    """What names an uncertainty and is not used."""
    uncertainty: Opening | None = None
    dtype: str = ""
    scale: float = 1.0
    unit_m: float | None = None
    """Metres of its unit, None where it states none: the depths' own."""
    pages: int = 0
    """Further images of a TIFF file."""
    sub_images: int = 0
    """Those that hang below its pages."""


def bands_beside(dataset: Any, band: int, opening: Opening, *, chosen: bool) -> Beside:
    """The other bands of an open file. `chosen`: the user named the one that holds the depths."""
    made, unread, doubts = Beside(), [], []
    plain = [i for i in _others(dataset, band) if _is_uncertainty(dataset, i, _name(dataset, i))]
    for i in _others(dataset, band):
        name = _name(dataset, i)
        if [i] == plain:
            made = _used(dataset, i, Opening(**vars(opening) | {"band": i}))
            continue
        meaning = meaning_of(name)
        if meaning == DOUBT:
            doubts.append(f"band {i} ({name})")
        elif meaning == HARMLESS or (meaning == UNKNOWN and _is_colour(dataset, i)):
            continue
        elif not chosen:
            unread.append(f"band {i} ({name or 'unnamed'})")
    if dataset.count > _MOST_BANDS:
        unread.append(f"{dataset.count - _MOST_BANDS} bands more")
    made.unread, made.doubts = tuple(unread), tuple(doubts)
    if dataset.driver == "GTiff":
        # Overviews and masks are not counted.
        made.pages = max(0, len(dataset.subdatasets) - 1)
        made.sub_images = sub_images(Path(dataset.name))
    return made


def variables_beside(dataset: Any, others: Sequence[Opening], *, chosen: bool) -> Beside:
    """The other variables of a NetCDF file, or coverages and pictures of a GeoPackage."""
    made, unread, doubts, plain = Beside(), [], [], []
    bounds = {text for key, text in dataset.tags().items() if key.endswith("#bounds")}
    for opening in others[:MOST_OTHERS]:
        name, meaning, other = _opened(opening, bounds)
        if meaning == DOUBT and other is not None and other.fits(dataset):
            plain.append(other)
        if meaning == DOUBT:
            doubts.append(name)
        elif meaning and not chosen:
            unread.append(name)
    if len(plain) == 1:
        made = plain[0].used
        doubts = [name for name in doubts if name != plain[0].name]
    if len(others) > MOST_OTHERS:
        unread.append(f"{len(others) - MOST_OTHERS} more, not looked at")
    made.unread, made.doubts = tuple(unread), tuple(doubts)
    return made


def meaning_of(*texts: str) -> str:
    """What names of a layer speak of: `DEPTH`, `DOUBT`, `HARMLESS` or `UNKNOWN`."""
    said = [text.strip().lower() for text in texts if text.strip()]
    open_ones = [text for text in said if not _is_harmless(text)]
    if any(_DOUBTS.search(text) for text in open_ones):
        return DOUBT
    if any(_DEPTHS.search(text) for text in open_ones):
        return DEPTH
    return HARMLESS if len(open_ones) < len(said) else UNKNOWN


def _is_harmless(text: str) -> bool:
    words = re.findall(r"[^\W\d_]+", text)
    return bool(words) and (
        _HARMLESS.fullmatch(words[-1]) is not None or bool(_COUNTED.match(" ".join(words)))
    )


def _others(dataset: Any, band: int) -> Iterator[int]:
    return (i for i in range(1, min(dataset.count, _MOST_BANDS) + 1) if i != band)


def _name(dataset: Any, band: int) -> str:
    return (dataset.descriptions[band - 1] or "").strip()


def _is_colour(dataset: Any, band: int) -> bool:
    colour = dataset.colorinterp[band - 1].name
    return colour == "alpha" or (colour in _COLOURS and dataset.dtypes[band - 1] == "uint8")


def _is_uncertainty(dataset: Any, band: int, name: str) -> bool:
    """Whether a band holds vertical uncertainties whose unit and scale are plain."""
    words = " ".join(re.sub(r"[_\-\s]+", " ", name.lower()).split())
    scale, offset = dataset.scales[band - 1], dataset.offsets[band - 1]
    unit = _unit(dataset, band)
    return (
        bool(_UNCERTAINTY.fullmatch(words))
        and np.dtype(dataset.dtypes[band - 1]).kind in "fiu"
        and 0.0 < scale < np.inf
        and offset == 0.0
        and (not unit or unit_named_m(unit) is not None)
    )


def _unit(dataset: Any, band: int) -> str:
    return str(dataset.units[band - 1] or dataset.tags(band).get("units", "")).strip()


def _used(dataset: Any, band: int, opening: Opening) -> Beside:
    unit = _unit(dataset, band)
    return Beside(
        uncertainty=opening,
        dtype=dataset.dtypes[band - 1],
        scale=dataset.scales[band - 1],
        unit_m=unit_named_m(unit) if unit else None,
    )


@dataclass(frozen=True, kw_only=True)
class _Uncertain:
    """A variable of vertical uncertainties."""

    name: str
    shape: tuple[int, int]
    corner: tuple[float, ...]
    used: Beside

    def fits(self, dataset: Any) -> bool:
        """Whether it lies on the cells of the depths."""
        near = 0.01 * abs(dataset.transform.a)
        same = np.allclose(self.corner, tuple(dataset.transform)[:6], rtol=1e-6, atol=0.01 * near)
        return self.shape == dataset.shape and bool(same)


def _opened(opening: Opening, bounds: set[str]) -> tuple[str, str, _Uncertain | None]:
    """(name, meaning, uncertainties if it holds them); no meaning: nothing to tell."""
    from rasterio.errors import RasterioError
    from rasterio.io import DatasetReader

    name = opening.name.rpartition(":")[2]
    try:
        other = DatasetReader(opening.name, driver=opening.driver)
    except (RasterioError, OSError, ValueError):
        meaning = meaning_of(name)
        return f"{name} (it cannot be opened)", "" if meaning == HARMLESS else meaning, None
    try:
        if not other.count:
            return name, UNKNOWN, None
        tags = other.tags(1)
        name = str(tags.get("NETCDF_VARNAME", name))
        meaning = _telling(other, name, tags, bounds)
        if meaning != DOUBT or other.count > 1 or not _is_uncertainty(other, 1, name):
            return name, meaning, None
        corner = tuple(other.transform)[:6]
        used = _used(other, 1, opening)
        return name, meaning, _Uncertain(name=name, shape=other.shape, corner=corner, used=used)
    finally:
        other.close()


def _telling(other: Any, name: str, tags: dict[str, str], bounds: set[str]) -> str:
    """The meaning of an open variable or coverage, "" where it is nothing to be told."""
    standard = tags.get("standard_name", "")
    meaning = meaning_of(name, standard, tags.get("long_name", ""))
    if meaning == HARMLESS or _PLACES.fullmatch(standard.strip()):
        return ""
    if other.driver == "GPKG" or meaning == DOUBT:
        return meaning
    if min(other.shape) <= 4 and (name in bounds or name.lower().endswith(("_bnds", "_bounds"))):
        return ""
    unit = _unit(other, 1)
    if unit and unit_named_m(unit) is None:
        return meaning if meaning_of(name, standard) == DEPTH else ""
    # Texts are stored as bytes, without a unit.
    text = not unit and other.dtypes[0] in ("uint8", "int8")
    return "" if text and meaning != DEPTH else meaning
