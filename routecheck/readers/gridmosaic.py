"""The tiles of a virtual raster, held against what the virtual raster says of them.

Runs in the grids' own process, after `vrt` has refused whatever is more than a plain mosaic.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from routecheck.model.errors import BadInput
from routecheck.readers.gridfound import Opening
from routecheck.readers.gridmasks import is_masked
from routecheck.readers.gridunread import Beside, bands_beside
from routecheck.readers.vrt import read_vrt

_DO = "give the files that it points to themselves"


def tiles_alike(
    path: Path, dataset: Any, *, chosen: bool
) -> tuple[dict[str, str], tuple[float, ...], Beside]:
    """(what all tiles say alike: name, unit, area or point; what any declares as no data; what
    they hold beside what is shown of them, unless the user has `chosen` the band).

    Raises BadInput where a tile is not the one that the virtual raster takes it for.
    """
    from rasterio.errors import RasterioError
    from rasterio.io import DatasetReader

    mosaic = read_vrt(path)
    said: list[dict[str, str]] = []
    nothing: dict[float, None] = {}
    held: list[Beside] = []
    shape = (mosaic.columns, mosaic.rows)
    if shape != (dataset.width, dataset.height):
        raise BadInput(file=str(path), wrong="it is not of the size that it states", do=_DO)
    for tile in mosaic.tiles:
        try:
            with DatasetReader(str(tile.path), driver=["GTiff"]) as source:
                _refuse_other(path, dataset, source, tile)
                band = tile.band
                said.append(
                    {
                        "name": source.descriptions[band - 1] or "",
                        "unit": source.units[band - 1] or "",
                        "kind": source.tags().get("AREA_OR_POINT", ""),
                    }
                )
                if source.nodatavals[band - 1] is not None:
                    nothing[float(source.nodatavals[band - 1])] = None
                opening = Opening(name=str(tile.path), driver="GTiff", band=band)
                held.append(bands_beside(source, band, opening, chosen=chosen))
        except RasterioError as error:
            wrong = f"its tile {tile.path.name} cannot be read ({error})"
            raise BadInput(file=str(path), wrong=wrong, do=_DO) from None
    alike = {key: said[0][key] for key in said[0] if len({one[key] for one in said}) == 1}
    return alike, tuple(nothing), _beside(held)


def _refuse_other(path: Path, dataset: Any, source: Any, tile: Any) -> None:
    if not 1 <= tile.band <= source.count or (source.width, source.height) != (
        tile.columns,
        tile.rows,
    ):
        raise BadInput(file=str(path), wrong=f"{tile.path.name} is of another size", do=_DO)
    index = tile.band - 1
    whole, own = dataset.transform, source.transform
    corner = whole * (tile.left, tile.top)
    near = 0.01 * abs(whole.a)
    placed = (
        np.allclose((own.a, own.b, own.d, own.e), (whole.a, whole.b, whole.d, whole.e), rtol=1e-6)
        and np.allclose((own.c, own.f), corner, rtol=0.0, atol=near)
        and source.crs == dataset.crs
    )
    if not placed:
        raise BadInput(file=str(path), wrong=f"{tile.path.name} lies elsewhere", do=_DO)
    scaled = (source.scales[index], source.offsets[index])
    if is_masked(source, tile.band) or scaled != (dataset.scales[0], dataset.offsets[0]):
        wrong = f"{tile.path.name} has a mask or a scale that it leaves out"
        raise BadInput(file=str(path), wrong=wrong, do=_DO)
    if source.dtypes[index] != dataset.dtypes[0]:
        wrong = f"{tile.path.name} holds {source.dtypes[index]}, it {dataset.dtypes[0]}"
        raise BadInput(file=str(path), wrong=wrong, do=_DO)


def _beside(held: Sequence[Beside]) -> Beside:
    """What all tiles hold beside what is shown of them; of uncertainties nothing is."""
    plain = [f"band {one.uncertainty.band} (uncertainty)" for one in held if one.uncertainty]
    return Beside(
        unread=tuple(dict.fromkeys(name for one in held for name in one.unread)),
        doubts=tuple(dict.fromkeys([*plain, *(name for one in held for name in one.doubts)])),
        pages=sum(one.pages for one in held),
        sub_images=sum(one.sub_images for one in held),
    )
