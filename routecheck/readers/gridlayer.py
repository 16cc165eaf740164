"""Opening a raster and finding the layer of depths in it: which driver, variable and band."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from routecheck.model.errors import BadInput
from routecheck.readers.chart_sidecar import Sidecar, sidecar_path
from routecheck.readers.gridfacts import Layer
from routecheck.readers.plain_gdal import plain_gdal

DRIVERS = ("GTiff", "netCDF", "BAG", "S102", "S104", "S111", "AAIGrid", "GPKG")
FORMATS = {"GTiff": "GeoTIFF", "netCDF": "NetCDF", "S102": "S-102", "AAIGrid": "ASCII grid"}
_PICKED = ("elevation", "depth", "z", "band1")
_MOST_LAYERS = 1000
_DEGREES = {
    "lat": re.compile(r"degrees?_?n(orth)?$", re.IGNORECASE),
    "lon": re.compile(r"degrees?_?e(ast)?$", re.IGNORECASE),
}
_DATUM_KEYS = ("vertical_datum", "verticaldatum", "vertical_reference", "geopotential_datum_name")


@dataclass(frozen=True, kw_only=True)
class Opening:
    """How to open one layer: what GDAL calls it, which driver may, with which options."""

    name: str
    driver: str
    options: tuple[tuple[str, str], ...] = ()
    band: int = 1

    def open(self) -> Any:
        """The dataset; inside `plain_gdal`. Raises rasterio's errors."""
        from rasterio.io import DatasetReader

        return DatasetReader(self.name, driver=self.driver, **dict(self.options))


@dataclass(frozen=True, kw_only=True)
class Found:
    """The layer of depths, and what the file says of its shape, place and cells."""

    opening: Opening
    layer: Layer
    columns: int
    rows: int
    block: tuple[int, int]
    dtype: str
    corner: tuple[float, float, float, float, float, float]
    system: str | None
    lonlat_names: bool
    nodata: tuple[float, ...]
    """All numbers that the file declares as no data."""
    scale: float
    offset: float
    has_mask: bool
    nodes: bool | None
    """Node-registered, area-registered, or None where no one says."""
    resampled: bool
    """A grid of variable resolution, drawn together on its coarsest one."""
    issued: str
    said: tuple[str, ...]


def find_layer(path: Path, sidecar: Sidecar | None) -> Found:
    """The layer of depths of a file. Raises BadInput where it has none, or several."""
    wanted = sidecar.columns.get("depth", "") if sidecar is not None else ""
    with plain_gdal() as said:
        name = str(path.resolve())
        opening = Opening(name=name, driver="")
        dataset = _open(path, name)
        try:
            opening = Opening(name=name, driver=dataset.driver)
            if dataset.driver in ("S104", "S111"):
                what = {"S104": "water levels (S-104)", "S111": "currents (S-111)"}
                wrong = f"this holds {what[dataset.driver]}, no depths"
                raise BadInput(file=str(path), wrong=wrong)
            if not dataset.count:
                opening = _variable(path, dataset, wanted)
            elif dataset.driver == "BAG" and _is_variable(dataset):
                # The shoalest node of each cell: the base grid alone may hide a shoal.
                options = {"MODE": "RESAMPLED_GRID", "RES_STRATEGY": "MAX"}
                options["VALUE_POPULATION"] = "MAX"
                opening = Opening(name=name, driver="BAG", options=tuple(options.items()))
            else:
                return _found(path, dataset, opening, wanted, said)
        finally:
            dataset.close()
        try:
            dataset = opening.open()
        except Exception as error:
            raise _unreadable(path, error) from None
        try:
            return _found(path, dataset, opening, wanted, said)
        finally:
            dataset.close()


def _open(path: Path, name: str) -> Any:
    from rasterio.errors import RasterioError
    from rasterio.io import DatasetReader

    try:
        return DatasetReader(name, driver=list(DRIVERS))
    except (RasterioError, OSError, ValueError) as error:
        raise _unreadable(path, error) from None


def _unreadable(path: Path, error: Exception) -> BadInput:
    """Why a file cannot be opened, in our words where we know better than GDAL."""
    head, tail = _ends(path)
    product = re.search(rb"INT\.IHO\.S-(\d{3})|\bS-?(1\d\d)\b", head + tail)
    if head.startswith(b"\x89HDF") and product:
        number = (product.group(1) or product.group(2)).decode()
        if number == "102":
            wrong = "an S-102 surface without uncertainties, which GDAL does not read yet"
        else:
            wrong = f"an S-{number} data set, which is no grid of depths that can be read"
        return BadInput(file=str(path), wrong=wrong)
    if head.startswith(b"\x89HDF"):
        wrong = "an HDF5 file that is neither BAG nor S-102 nor a NetCDF grid"
        return BadInput(file=str(path), wrong=wrong)
    reason = re.sub(r"\s+", " ", str(error)).replace(str(path.resolve()), "it").strip(" '\".")
    return BadInput(file=str(path), wrong=f"it cannot be read as a grid ({reason[:200]})")


def _ends(path: Path) -> tuple[bytes, bytes]:
    try:
        with path.open("rb") as stream:
            head = stream.read(1 << 18)
            stream.seek(max(0, path.stat().st_size - (1 << 18)))
            return head, stream.read(1 << 18)
    except OSError:
        return b"", b""


def _is_variable(dataset: Any) -> bool:
    tags = dataset.tags()
    return "HAS_SUPERGRIDS" in tags or "MIN_RESOLUTION_X" in tags


def _variable(path: Path, dataset: Any, wanted: str) -> Opening:
    """The variable of depths among a file's subdatasets."""
    names = [str(name) for name in dataset.subdatasets][:_MOST_LAYERS]
    if dataset.driver not in ("netCDF", "GPKG") or not names:
        raise BadInput(file=str(path), wrong="it holds no grid")
    # GDAL writes "netcdf:PATH:VARIABLE", with or without quotes round the path.
    whole = str(path.resolve())
    tails = [name.rpartition(whole)[2].strip('":') for name in names]
    chosen = tails[_choice(path, [tail.rpartition("/")[2] for tail in tails], wanted, "variables")]
    name = f'NETCDF:"{whole}":{chosen}' if dataset.driver == "netCDF" else f"GPKG:{whole}:{chosen}"
    return Opening(name=name, driver=dataset.driver)


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
    layer, system = _layer(dataset, band, tags, of_band)
    transform = dataset.transform
    resampled = bool(opening.options)
    flags = {flag.name for flag in dataset.mask_flag_enums[band - 1]}
    return Found(
        opening=Opening(
            name=opening.name, driver=opening.driver, options=opening.options, band=band
        ),
        layer=layer,
        columns=dataset.width,
        rows=dataset.height,
        block=dataset.block_shapes[band - 1],
        dtype=dataset.dtypes[band - 1],
        corner=(transform.a, transform.b, transform.c, transform.d, transform.e, transform.f),
        system=system,
        lonlat_names=dataset.driver == "netCDF" and _lonlat_by_names(tags),
        nodata=_nodata(dataset.nodatavals[band - 1], of_band),
        scale=dataset.scales[band - 1],
        offset=dataset.offsets[band - 1],
        has_mask=bool(flags & {"per_dataset", "alpha"}),
        nodes=_nodes(dataset.driver, tags, of_band, layer),
        resampled=resampled,
        issued=_issued(tags),
        said=tuple(said),
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
        system = _bag_system(xml)
    vertical_name, down, unit_m = _vertical(system)
    said = {
        key: text
        for key, text in {**tags, **of_band}.items()
        if key.rpartition("#")[2].lower() in _DATUM_KEYS
    }
    if dataset.driver == "S102":
        said["VERTICAL_DATUM_ABBREV"] = tags.get("VERTICAL_DATUM_ABBREV", "")
        said["VERTICAL_DATUM_MEANING"] = tags.get("VERTICAL_DATUM_MEANING", "")
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


def _bag_system(xml: str) -> str | None:
    """The EPSG code in a BAG's metadata, which GDAL reads only as WKT."""
    pattern = r">(\d{4,5})</gco:CharacterString>\s*</gmd:code>\s*<gmd:codeSpace>[^E]{0,80}EPSG<"
    found = re.search(pattern, xml)
    return f"EPSG:{found.group(1)}" if found else None


def _lonlat_by_names(tags: dict[str, str]) -> bool:
    """Whether a NetCDF file has one axis in degrees north and one in degrees east."""
    found = {
        which
        for key, text in tags.items()
        for which, pattern in _DEGREES.items()
        if key.endswith("#units") and pattern.match(text.strip())
    }
    return found == set(_DEGREES)


def _nodes(driver: str, tags: dict[str, str], of_band: dict[str, str], layer: Layer) -> bool | None:
    """Whether values stand at nodes, between which one interpolates, or for whole cells."""
    if driver in ("BAG", "S102") or layer.from_bag:
        return True
    if driver == "netCDF":
        offset = of_band.get("node_offset", tags.get("NC_GLOBAL#node_offset", "")).strip()
        if offset in ("0", "1"):
            return offset == "0"
        bounds = [key for key in tags if key.endswith("#bounds")]
        return False if len(bounds) >= 2 else None
    point = tags.get("AREA_OR_POINT", "").lower()
    return {"point": True, "area": False}.get(point)


def _issued(tags: dict[str, str]) -> str:
    """The date that the file gives itself, YYYY-MM-DD, else ""."""
    for key in ("issueDate", "BAG_DATETIME", "TIFFTAG_DATETIME"):
        found = re.match(r"(\d{4})[-:]?(\d\d)[-:]?(\d\d)", tags.get(key, ""))
        if found:
            return "-".join(found.groups())
    return ""
