"""Virtual rasters, as far as they do no more than lay whole tiles of one folder side by side.

GDAL's VRT format can also fetch from a network, run formulae, resample and reach any file: all of
that is refused, in one line. What is read is a mosaic of plain GeoTIFF files that lie in the
VRT's own folder or below it, each shown whole, at its own size, none upon another.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from routecheck.model.errors import BadInput
from routecheck.readers.beside import sidecar_path
from routecheck.readers.strict import cleaned, decimal
from routecheck.readers.xmlsafe import Element, read_xml

_KEEP = {
    "VRTDataset": ("VRTRasterBand", "SRS", "GeoTransform", "Metadata", "BlockXSize", "BlockYSize"),
    "VRTRasterBand": (
        *("NoDataValue", "Description", "UnitType", "ColorInterp", "Scale", "Offset", "Metadata"),
        *("SimpleSource", "ComplexSource", "Histograms"),
    ),
    "SimpleSource": ("SourceFilename", "SourceBand", "SourceProperties", "SrcRect", "DstRect"),
    "ComplexSource": (
        *("SourceFilename", "SourceBand", "SourceProperties", "SrcRect", "DstRect", "NODATA"),
    ),
    "Metadata": ("MDI",),
}
_ATTRIBUTES = {
    "VRTDataset": {"rasterXSize", "rasterYSize"},
    "VRTRasterBand": {"dataType", "band", "blockXSize", "blockYSize"},
    "SimpleSource": set[str](),
    "ComplexSource": set[str](),
    "SourceFilename": {"relativeToVRT", "shared"},
}
_MOST_TILES = 2_000
_TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_DO = "give the files that it points to themselves"


@dataclass(frozen=True, kw_only=True)
class Tile:
    """One file shown whole, `columns` x `rows` cells from (left, top) on."""

    path: Path
    band: int
    left: int
    top: int
    columns: int
    rows: int


@dataclass(frozen=True, kw_only=True)
class Mosaic:
    """What a virtual raster of one band shows."""

    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    blank: bool
    """It states what stands where no tile lies."""

    @property
    def files(self) -> tuple[Path, ...]:
        """The files, each once."""
        return tuple(dict.fromkeys(tile.path for tile in self.tiles))


def read_vrt(path: Path) -> Mosaic:
    """The tiles of a virtual raster. Raises BadInput for whatever is more than a plain mosaic."""
    document = read_xml(path, root="VRTDataset", keep=_KEEP, namespaces=())
    _refuse_more(path, document.root, document.left)
    top = document.root
    bands = top.all("VRTRasterBand")
    if len(bands) != 1:
        raise _bad(path, f"a virtual raster of {len(bands)} bands")
    (band,) = bands
    columns, rows = (_whole(path, top.attributes.get(f"raster{axis}Size", "")) for axis in "XY")
    sources = [*band.all("SimpleSource"), *band.all("ComplexSource")]
    if not 1 <= len(sources) <= _MOST_TILES:
        raise _bad(path, f"a virtual raster of {len(sources)} tiles")
    blank = band.first("NoDataValue") is not None
    if band.all("ComplexSource") and not blank:
        raise _bad(path, "its tiles have gaps, and it states no value for no data")
    tiles = tuple(_tile(path, source) for source in sources)
    _refuse_overlaps(path, tiles, columns, rows, blank=blank)
    return Mosaic(columns=columns, rows=rows, tiles=tiles, blank=blank)


def mosaics_first(paths: Iterable[Path]) -> list[Path]:
    """Virtual rasters before all else: what one of them shows need not be read once more."""
    return sorted(paths, key=lambda path: path.suffix.lower() != ".vrt")


def files_shown(path: Path) -> tuple[Path, ...]:
    """The files of a virtual raster, none for any other file or where it cannot be read."""
    if path.suffix.lower() != ".vrt":
        return ()
    try:
        return read_vrt(path).files
    except BadInput:
        return ()


def _bad(path: Path, wrong: str) -> BadInput:
    return BadInput(file=str(path), wrong=wrong, do=_DO)


def _refuse_more(path: Path, element: Element, left: Iterable[str]) -> None:
    for name in left:
        raise _bad(path, f"a virtual raster with <{cleaned(name, longest=40)}>, which is not read")
    allowed = _ATTRIBUTES.get(element.name)
    if allowed is not None and (more := set(element.attributes) - allowed):
        text = cleaned(sorted(more)[0], longest=40)
        raise _bad(path, f"a virtual raster whose <{element.name}> has {text!r}, which is not read")
    for child in element.children:
        _refuse_more(path, child, ())


def _tile(path: Path, source: Element) -> Tile:
    names = source.all("SourceFilename")
    if len(names) != 1:
        raise _bad(path, "one of its tiles names no file")
    file = _file(path, names[0])
    band = source.words("SourceBand").strip() or "1"
    from_rect, to_rect = (_rect(path, source, name) for name in ("SrcRect", "DstRect"))
    if from_rect[:2] != (0, 0) or from_rect[2:] != to_rect[2:]:
        raise _bad(path, f"it shows only a part of {file.name}, or at another size")
    return Tile(
        path=file,
        band=_whole(path, band),
        left=to_rect[0],
        top=to_rect[1],
        columns=to_rect[2],
        rows=to_rect[3],
    )


def _file(path: Path, name: Element) -> Path:
    """A plain file below the VRT's own folder, links followed. Never opens anything else."""
    text = name.text.strip()
    shown = cleaned(text, longest=80)
    plain = PurePosixPath(text)
    if (
        name.attributes.get("relativeToVRT") != "1"
        or not text
        or plain.is_absolute()
        or ".." in plain.parts
        or not re.fullmatch(r"[^\\:<>|*?\"\x00-\x1f]{1,400}", text)
        or plain.parts[0].startswith("vsi")
    ):
        raise _bad(path, f"it points to {shown!r}, which is no file of its own folder")
    # GDAL counts from where the file itself lies, links followed.
    folder = Path(os.path.realpath(path)).parent
    file = folder / plain
    real = Path(os.path.realpath(file))
    if folder not in real.parents:
        raise _bad(path, f"it points to {shown!r}, which is no file of its own folder")
    try:
        with real.open("rb") as stream:
            head = stream.read(4) if real.is_file() else b""
    except OSError:
        raise _bad(path, f"it points to {shown!r}, which is not there") from None
    if head not in _TIFF:
        raise _bad(path, f"it points to {shown!r}, which is no GeoTIFF")
    if sidecar_path(file).exists():
        raise _bad(path, f"{cleaned(file.name)} has a sidecar of its own")
    return file


def _rect(path: Path, source: Element, name: str) -> tuple[int, int, int, int]:
    found = source.first(name)
    words = (
        [found.attributes.get(key, "") for key in ("xOff", "yOff", "xSize", "ySize")]
        if found
        else []
    )
    if len(words) != 4:
        raise _bad(path, "it does not say what it shows of a tile, and where")
    left, top, columns, rows = (_whole(path, word) for word in words)
    return left, top, columns, rows


def _whole(path: Path, text: str) -> int:
    try:
        value = decimal(text.strip())
    except ValueError:
        value = -1.0
    if value != int(value) or not 0 <= value < 1e8:
        raise _bad(
            path, f"it places a tile by {cleaned(text, longest=40)!r}, which is no whole number"
        )
    return int(value)


def _refuse_overlaps(
    path: Path, tiles: Sequence[Tile], columns: int, rows: int, *, blank: bool
) -> None:
    for tile in tiles:
        if tile.left + tile.columns > columns or tile.top + tile.rows > rows:
            raise _bad(path, f"it cuts {cleaned(tile.path.name)} off at its edge")
    # From west to east: a tile is held against those before it that it may still touch.
    order = sorted(tiles, key=lambda tile: tile.left)
    open_tiles: list[Tile] = []
    for tile in order:
        open_tiles = [one for one in open_tiles if one.left + one.columns > tile.left]
        for one in open_tiles:
            if one.top < tile.top + tile.rows and tile.top < one.top + one.rows:
                names = f"{cleaned(one.path.name)} and {cleaned(tile.path.name)}"
                raise _bad(
                    path, f"it lays {names} upon one another: one may hide the other's shoal"
                )
        open_tiles.append(tile)
    covered = sum(tile.columns * tile.rows for tile in tiles)
    if covered < columns * rows and not blank:
        raise _bad(path, "parts of it have no tile, and it states no value for no data")
