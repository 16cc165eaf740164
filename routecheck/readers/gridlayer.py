"""Opening a raster and finding the layer of depths in it: which driver, variable and band."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Protocol

from routecheck.model.errors import BadInput
from routecheck.readers.beside import sidecar_path
from routecheck.readers.cdf_classic import promised_bytes
from routecheck.readers.gridaxes import lonlat_by_names, refuse_uneven
from routecheck.readers.gridbag import SIGMAS_OF_95, bag_system, is_variable, worst_refinement_m
from routecheck.readers.gridfacts import Layer, issued
from routecheck.readers.gridfound import Found, Opening, Window
from routecheck.readers.gridmasks import alphas_beside, is_masked, limit_stated
from routecheck.readers.gridunread import Beside, bands_beside, variables_beside
from routecheck.readers.plain_gdal import plain_gdal
from routecheck.readers.s102 import S102Reader, find_s102

DRIVERS = ("GTiff", "netCDF", "BAG", "S104", "S111", "AAIGrid", "GPKG")
TYPES = "tid"
"""What a variable of type identifiers is called (GEBCO's, from 2020 on)."""
_PICKED = ("elevation", "depth", "z", "band1")
_MOST_LAYERS = 1000
_DATUM_KEYS = ("vertical_datum", "verticaldatum", "vertical_reference", "geopotential_datum_name")


class Reader(Protocol):
    """An open file."""

    def read(self, band: int, window: Window, *, mask: bool) -> tuple[bytes, bytes]:
        """(numbers, mask) of a window. Raises whatever its library raises."""
        ...

    def close(self) -> None:
        """Let the file go."""
        ...


class _Raster:
    """A file that GDAL reads; inside `plain_gdal`."""

    def __init__(self, opening: Opening) -> None:
        self.dataset = _opened(opening)

    def read(self, band: int, window: Window, *, mask: bool) -> tuple[bytes, bytes]:
        from rasterio.windows import Window as Part

        part = Part(window.left, window.top, window.width, window.height)
        data = self.dataset.read(band, window=part).tobytes()
        if not mask:
            return data, b""
        there = self.dataset.read_masks(band, window=part)
        for i in alphas_beside(self.dataset, band):
            there[~(self.dataset.read(i, window=part) > 0)] = 0
        return data, there.tobytes()

    def close(self) -> None:
        self.dataset.close()


def reader_of(opening: Opening) -> Reader:
    """An open file, for one or more bands. Raises whatever its library raises."""
    return S102Reader(opening) if opening.driver == "S102" else _Raster(opening)


def _opened(opening: Opening) -> Any:
    from rasterio.io import DatasetReader

    return DatasetReader(opening.name, driver=opening.driver, **dict(opening.options))


def find_layers(path: Path, wanted: str) -> tuple[Found, ...]:
    """The layers of depths of a file: one, but for S-102, which may hold several coverages.

    `wanted` names the layer where the sidecar does. Raises BadInput where there is none, or where
    it is in doubt which it is.
    """
    _refuse_cut_short(path)
    surfaces = find_s102(path)
    if surfaces:
        return surfaces
    with plain_gdal() as said:
        name = str(path.resolve())
        opening = Opening(name=name, driver="")
        others: tuple[Opening, ...] = ()
        virtual = path.suffix.lower() == ".vrt"
        if virtual:
            from routecheck.readers.vrt import read_vrt

            read_vrt(path)
        dataset = _open(path, name, ("VRT",) if virtual else DRIVERS)
        try:
            opening = Opening(name=name, driver=dataset.driver)
            if dataset.driver in ("S104", "S111"):
                what = {"S104": "water levels (S-104)", "S111": "currents (S-111)"}
                wrong = f"this holds {what[dataset.driver]}, no depths"
                raise BadInput(file=str(path), wrong=wrong)
            if not dataset.count:
                opening, typed, others = _variable(path, dataset, wanted)
            elif dataset.driver == "BAG" and is_variable(dataset):
                # The shoalest node of each cell: the base grid alone may hide a shoal.
                options = {"MODE": "RESAMPLED_GRID", "RES_STRATEGY": "MAX"}
                options["VALUE_POPULATION"] = "MAX"
                opening = Opening(name=name, driver="BAG", options=tuple(options.items()))
                typed = None
            else:
                return (_found(path, dataset, opening, wanted, said),)
        finally:
            dataset.close()
        try:
            dataset = _opened(opening)
        except Exception as error:
            raise _unreadable(path, error) from None
        try:
            found = _found(path, dataset, opening, wanted, said)
            if others:
                beside = variables_beside(dataset, others, chosen=bool(wanted))
                found = _with(found, beside)
            return (replace(found, type_opening=typed),)
        finally:
            dataset.close()


def _refuse_cut_short(path: Path) -> None:
    try:
        promised, size = promised_bytes(path), path.stat().st_size
    except ValueError as error:
        raise BadInput(file=str(path), wrong=f"it is no sound NetCDF file: {error}") from None
    if promised is not None and promised > size:
        wrong = f"it is cut short: its head promises {promised} bytes, it has {size}"
        raise BadInput(file=str(path), wrong=wrong, do="fetch it again")


def _open(path: Path, name: str, drivers: Sequence[str]) -> Any:
    from rasterio.errors import RasterioError
    from rasterio.io import DatasetReader

    try:
        return DatasetReader(name, driver=list(drivers))
    except (RasterioError, OSError, ValueError) as error:
        raise _unreadable(path, error) from None


def _unreadable(path: Path, error: Exception) -> BadInput:
    """Why a file cannot be opened, in our words where we know better than GDAL."""
    head, tail = _ends(path)
    product = re.search(rb"INT\.IHO\.S-(\d{3})|\bS-?(1\d\d)\b", head + tail)
    if head.startswith(b"\x89HDF") and product:
        number = (product.group(1) or product.group(2)).decode()
        wrong = f"an S-{number} data set, which is no grid of depths that can be read"
        return BadInput(file=str(path), wrong=wrong)
    if head.startswith(b"\x89HDF"):
        wrong = "an HDF5 file that is neither BAG nor S-102 nor a NetCDF grid"
        return BadInput(file=str(path), wrong=wrong)
    said = re.sub(r"\s+", " ", str(error)).replace(f"'{path.resolve()}'", "it")
    reason = said.replace(str(path.resolve()), "it").strip(" '\".")
    return BadInput(file=str(path), wrong=f"it cannot be read as a grid ({reason[:200]})")


def _ends(path: Path) -> tuple[bytes, bytes]:
    try:
        with path.open("rb") as stream:
            head = stream.read(1 << 18)
            stream.seek(max(0, path.stat().st_size - (1 << 18)))
            return head, stream.read(1 << 18)
    except OSError:
        return b"", b""


def _variable(
    path: Path, dataset: Any, wanted: str
) -> tuple[Opening, Opening | None, tuple[Opening, ...]]:
    """The variable of depths among a file's subdatasets, that of type identifiers, and the
    others."""
    names = [str(name) for name in dataset.subdatasets]
    if len(names) > _MOST_LAYERS:
        raise BadInput(file=str(path), wrong=f"it holds {len(names)} variables")
    if dataset.driver not in ("netCDF", "GPKG") or not names:
        raise BadInput(file=str(path), wrong="it holds no grid")
    # GDAL writes "netcdf:PATH:VARIABLE", with or without quotes round the path.
    whole = str(path.resolve())
    tails = [name.rpartition(whole)[2].strip('":') for name in names]
    short = [tail.rpartition("/")[2] for tail in tails]
    types = [tail for tail, last in zip(tails, short, strict=True) if last.lower() == TYPES]
    if types and not wanted:
        tails = [tail for tail, last in zip(tails, short, strict=True) if last.lower() != TYPES]
        short = [last for last in short if last.lower() != TYPES]
    chosen = tails[_choice(path, short, wanted, "variables")]

    def opening(variable: str) -> Opening:
        name = f'NETCDF:"{whole}":{variable}'
        if dataset.driver != "netCDF":
            name = f"GPKG:{whole}:{variable}"
        return Opening(name=name, driver=dataset.driver)

    others = tuple(opening(tail) for tail in tails if tail != chosen)
    return opening(chosen), opening(types[0]) if len(types) == 1 else None, others


def _choice(path: Path, names: Sequence[str], wanted: str, what: str) -> int:
    """Which of several layers holds the depths."""
    lower = [name.strip().lower() for name in names]
    do = f'name it in {sidecar_path(path).name}: columns = {{ depth = "…" }}'
    if wanted:
        if wanted.lower() in lower:
            return lower.index(wanted.lower())
        if wanted.isdigit() and 1 <= int(wanted) <= len(names) and what == "bands":
            return int(wanted) - 1
        listed = ", ".join(name or "unnamed" for name in names)[:200]
        raise BadInput(
            file=str(path), wrong=f"of its {what} none is called {wanted!r}", do=f"it has {listed}"
        )
    for name in _PICKED:
        if lower.count(name) == 1:
            return lower.index(name)
    if len(names) == 1:
        return 0
    listed = ", ".join(name or "unnamed" for name in names)[:200]
    raise BadInput(file=str(path), wrong=f"which of its {what} holds the depths? ({listed})", do=do)


def _found(path: Path, dataset: Any, opening: Opening, wanted: str, said: list[str]) -> Found:
    band = _band(path, dataset, wanted)
    tags, of_band = dataset.tags(), dataset.tags(band)
    if dataset.gcps[0] or dataset.rpcs is not None:
        wrong = "it lies askew, placed by single points, which is not read"
        raise BadInput(file=str(path), wrong=wrong, do="warp it to a coordinate system first")
    warned = tuple(said)
    refuse_uneven(path, dataset, warned)
    layer, system = _layer(dataset, band, tags, of_band)
    transform = dataset.transform
    opening = replace(opening, band=band)
    beside = bands_beside(dataset, band, opening, chosen=bool(wanted))
    if dataset.driver == "BAG" or layer.from_bag:
        # All its layers are known (BAG format specification 1.6). In a grid of variable
        # resolution the uncertainty is the shoalest node's, not the worst one's.
        none = Beside() if opening.options else beside
        beside = replace(none, unread=(), doubts=())
    nodata = _nodata(dataset.nodatavals[band - 1], of_band)
    kind = _nodes(dataset.driver, tags, of_band, layer)
    if dataset.driver == "VRT":
        from routecheck.readers.gridmosaic import tiles_alike

        alike, nothing, beside = tiles_alike(path, dataset, chosen=bool(wanted))
        nodata = tuple(dict.fromkeys((*nodata, *nothing)))
        layer = replace(
            layer,
            name=layer.name or alike.get("name", ""),
            unit=layer.unit or alike.get("unit", ""),
        )
        kind = {"Area": False, "Point": True}.get(alike.get("kind", ""))
    found = Found(
        opening=opening,
        layer=layer,
        columns=dataset.width,
        rows=dataset.height,
        block=dataset.block_shapes[band - 1],
        dtype=dataset.dtypes[band - 1],
        corner=(transform.a, transform.b, transform.c, transform.d, transform.e, transform.f),
        system=system,
        lonlat_names=dataset.driver == "netCDF" and lonlat_by_names(tags),
        nodata=nodata,
        limits=(limit_stated(of_band, "valid_min"), limit_stated(of_band, "valid_max")),
        scale=dataset.scales[band - 1],
        offset=dataset.offsets[band - 1],
        has_mask=is_masked(dataset, band),
        nodes=kind,
        resampled=bool(opening.options),
        issued=issued(tags),
        said=warned,
        doubt_m=worst_refinement_m(path) if opening.options else None,
    )
    return _with(found, beside)


def _with(found: Found, beside: Beside) -> Found:
    """A layer with what stands beside it."""
    return replace(
        found,
        unread=(*found.unread, *beside.unread),
        unread_doubts=(*found.unread_doubts, *beside.doubts),
        pages=found.pages + beside.pages,
        sub_images=found.sub_images + beside.sub_images,
        doubt_opening=beside.uncertainty,
        doubt_dtype=beside.dtype,
        doubt_unit_m=beside.unit_m,
        # A BAG's are those of one standard deviation, or do not say which.
        doubts_per_unit=SIGMAS_OF_95 * beside.scale,
    )


def _nodata(declared: float | None, of_band: dict[str, str]) -> tuple[float, ...]:
    """NetCDF may declare two, of which GDAL tells one."""
    found = [] if declared is None else [float(declared)]
    for key in ("_FillValue", "missing_value"):
        try:
            found.append(float(of_band.get(key, "")))
        except ValueError:
            continue
    return tuple(dict.fromkeys(found))


def _band(path: Path, dataset: Any, wanted: str) -> int:
    count, driver = dataset.count, dataset.driver
    kinds = [dataset.colorinterp[i].name for i in range(min(count, 4))]
    picture = {"red", "green", "blue"} <= set(kinds) or "palette" in kinds
    if picture and not wanted:
        raise BadInput(file=str(path), wrong="this is a picture, no grid of depths")
    if any("complex" in str(kind) for kind in dataset.dtypes):
        raise BadInput(file=str(path), wrong="its numbers are complex: no depths")
    if driver == "netCDF" and count > 1:
        name = dataset.tags(1).get("NETCDF_VARNAME", "its variable")
        wrong = f"{name} has {count} layers over the same place"
        raise BadInput(file=str(path), wrong=wrong, do="give a file with the one that holds")
    if count == 1 and driver == "netCDF":
        return 1
    names = [description or "" for description in dataset.descriptions[:_MOST_LAYERS]]
    return _choice(path, names, wanted, "bands") + 1


def _layer(
    dataset: Any, band: int, tags: dict[str, str], of_band: dict[str, str]
) -> tuple[Layer, str | None]:
    """(what is said of the layer, WKT of the coordinate system)."""
    system = dataset.crs.to_wkt() if dataset.crs else None
    xml = dataset.tags(ns="xml:BAG").get("xml:BAG", "") if dataset.driver == "BAG" else ""
    if system is None and xml:
        system = bag_system(xml)
    vertical_name, down, unit_m = _vertical(system)
    said = {
        key: text
        for key, text in {**tags, **of_band}.items()
        if key.rpartition("#")[2].lower() in _DATUM_KEYS
    }
    if xml:
        found = re.search(
            r"verticalDatum>.{0,300}?<code>\s*([^<]{1,60}?)\s*</code>", xml, re.DOTALL
        )
        said["verticalDatum"] = found.group(1) if found else ""
    name = of_band.get("NETCDF_VARNAME", "") or dataset.descriptions[band - 1] or ""
    return (
        Layer(
            driver=dataset.driver,
            name=name,
            standard_name=of_band.get("standard_name", ""),
            long_name=of_band.get("long_name", ""),
            positive=of_band.get("positive", ""),
            unit=dataset.units[band - 1] or of_band.get("units", ""),
            vertical_name=vertical_name,
            vertical_down=down,
            vertical_unit_m=unit_m,
            from_bag="BagVersion" in tags and name.lower() == "elevation",
            said=said,
        ),
        system,
    )


def _vertical(system: str | None) -> tuple[str, bool | None, float | None]:
    """(name, whether its axis runs down, metres of its unit) of the vertical part, if any."""
    if system is None or "VERT" not in system.upper():
        return "", None, None
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        crs = CRS.from_user_input(system)
    except CRSError:
        return "", None, None
    for part in crs.sub_crs_list if crs.is_compound else [crs]:
        if part.is_vertical and part.axis_info:
            axis = part.axis_info[0]
            down = {"down": True, "up": False}.get(axis.direction.lower())
            return part.name, down, axis.unit_conversion_factor or None
    return "", None, None


def _nodes(driver: str, tags: dict[str, str], of_band: dict[str, str], layer: Layer) -> bool | None:
    """Whether values stand at nodes, between which one interpolates, or for whole cells."""
    if driver == "BAG" or layer.from_bag:
        return True
    if driver == "netCDF":
        offset = of_band.get("node_offset", tags.get("NC_GLOBAL#node_offset", "")).strip()
        if offset in ("0", "1"):
            return offset == "0"
        bounds = [key for key in tags if key.endswith("#bounds")]
        return False if len(bounds) >= 2 else None
    point = tags.get("AREA_OR_POINT", "").lower()
    return {"point": True, "area": False}.get(point)
