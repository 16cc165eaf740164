"""A depth grid in a file, decoded a block at a time."""

from __future__ import annotations

import hashlib
import itertools
import threading
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Problem, Severity
from routecheck.model.source import UNKNOWN_QUALITY, Quality, Source, SourceKind
from routecheck.nav.angles import Floats
from routecheck.readers.blockcache import BLOCKS, Block, all_valid
from routecheck.readers.chart_sidecar import Sidecar
from routecheck.readers.gridbands import Measured, Uncertainty, grid_quality
from routecheck.readers.gridfacts import Facts
from routecheck.readers.gridfound import Found, Opening, Window
from routecheck.readers.gridplace import GridPlace
from routecheck.readers.gridprocess import GRIDS, GridFault
from routecheck.readers.gridvalues import Values
from routecheck.readers.strict import cleaned
from routecheck.readers.vrt import files_shown
from routecheck.units import METRES_PER_FATHOM, METRES_PER_FOOT

_WHOLE_HASH_BYTES = 256 * 2**20
_CELLS_WANTED = 1 << 18
_FEWEST_CELLS = 1 << 16
_MOST_UNREADABLE = 20
_MOST_BREAKDOWNS = 3
FORMATS = {
    **{"GTiff": "GeoTIFF", "netCDF": "NetCDF", "S102": "S-102", "AAIGrid": "ASCII grid"},
    "VRT": "virtual raster",
}
_UNIT_WORDS = {"m": 1.0, "ft": METRES_PER_FOOT, "fm": METRES_PER_FATHOM, "cm": 0.01}
_numbers = itertools.count()
_lock = threading.Lock()


def block_shape(native: tuple[int, int], rows: int, columns: int) -> tuple[int, int]:
    """Rows and columns of our blocks: the file's own, several together where they are small."""
    height, width = native
    while height * width < _FEWEST_CELLS and (height < rows or width < columns):
        if (height <= width and height < rows) or width >= columns:
            height *= 2
        else:
            width *= 2
        if height * width > _CELLS_WANTED:
            break
    return min(height, -(-rows // native[0]) * native[0]), min(
        width, -(-columns // native[1]) * native[1]
    )


@dataclass(frozen=True, kw_only=True)
class _Parts:
    """What a grid is made of, and can be made of again in another process."""

    path: Path
    found: Found
    place: GridPlace
    facts: Facts
    values: Values
    sidecar: Sidecar | None


class GridFile:
    """One layer of depths in a file: see `model.chart.Grid`.

    `problems` grows when a block cannot be read: its cells are then invalid. Reach: 0.5 where the
    file says that values stand for whole cells, 1.0 where they stand at nodes or it does not say.
    """

    def __init__(
        self,
        *,
        path: Path,
        found: Found,
        place: GridPlace,
        facts: Facts,
        values: Values,
        sidecar: Sidecar | None,
    ) -> None:
        self._parts = _Parts(
            path=path, found=found, place=place, facts=facts, values=values, sidecar=sidecar
        )
        self.rows, self.columns = found.rows, found.columns
        self.reach = 0.5 if found.nodes is False else 1.0
        if found.resampled:
            # A node of a finer grid lies up to half a cell off, and is used a cell further.
            self.reach = 1.5
        self.block_rows, self.block_columns = block_shape(found.block, found.rows, found.columns)
        self.wraps_columns = place.wraps_columns
        self.problems: tuple[Problem, ...] = ()
        self.id = cleaned(path.name) or "grid"
        self._source: Source | None = None
        self._number = next(_numbers)
        self._unreadable = self._breakdowns = 0
        self._given_up = ""
        self.uncertainty: Uncertainty | None = None
        """Minus the vertical uncertainty of every cell, metres, invalid where a depth has none;
        None where none are stated cell by cell."""
        self.measured: Measured | None = None
        """Invalid where a depth was not measured but interpolated or predicted; None: unknown."""
        self.sampled_uncertainty_m: float | None = None
        """The greatest of `uncertainty` where it was sampled."""

    @property
    def source(self) -> Source:
        """Where it comes from. The file is read through once for its hash, when first asked."""
        if self._source is None:
            self._source = self._make_source()
        return self._source

    @source.setter
    def source(self, source: Source) -> None:
        self._source, self.id = source, source.id
        self.problems = tuple(replace(problem, source=source.id) for problem in self.problems)

    @property
    def quality(self) -> Quality:
        """What its depths and places are worth, as far as it has been sampled."""
        sidecar = self._parts.sidecar
        stated = sidecar.quality if sidecar is not None else UNKNOWN_QUALITY
        return grid_quality(stated, self._parts.found, self.sampled_uncertainty_m)

    def _make_source(self) -> Source:
        parts, sidecar, found = self._parts, self._parts.sidecar, self._parts.found
        said = sidecar.surveyed if sidecar is not None else None
        return Source(
            id=self.id,
            file=str(parts.path),
            sha256=_digest_with_tiles(parts.path),
            kind=SourceKind.GRID,
            format=FORMATS.get(found.layer.driver, found.layer.driver),
            datum=parts.facts.datum,
            datum_from=parts.facts.datum_from,
            datum_below_msl_m=sidecar.datum_below_msl_m if sidecar is not None else None,
            depth_unit=_unit_word(parts.facts.metres_per_unit),
            resolution_m=parts.place.cell_sides_m[1],
            quality=self.quality,
            edition=found.edition,
            issued=found.issued,
            surveyed=said if said is not None else found.surveyed,
        )

    def bounds_deg(self) -> tuple[float, float, float, float]:
        """(west, south, east, north) that hold the grid; east may pass 180."""
        return self._bounds_deg

    @cached_property
    def _bounds_deg(self) -> tuple[float, float, float, float]:
        return self._parts.place.bounds_deg(self.reach)

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        """(column, row) of positions, any shape."""
        return self._parts.place.to_cell(lon_deg, lat_deg)

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        """(longitude, latitude) of cell coordinates, any shape."""
        return self._parts.place.to_position(column, row)

    def block(self, block_row: int, block_column: int) -> Block:
        """(charted depth in metres, positive down; valid) of one block; not to be written to."""
        key = (self._number, block_row, block_column)
        with _lock:
            block = BLOCKS.get(key)
            if block is None:
                block = self._decode(block_row, block_column)
                BLOCKS.put(key, block)
        return block

    def _decode(self, block_row: int, block_column: int) -> Block:
        parts = self._parts
        window = self._window(block_row, block_column)
        shape = window.height, window.width
        got = self._read(parts.found.opening, window, parts.found.dtype, mask=parts.found.has_mask)
        if got is None:
            return np.zeros(shape, dtype=np.float32), np.zeros(shape, dtype=bool)
        raw, mask = got
        depth, valid = parts.values.depths(raw, mask)
        depth.flags.writeable = False
        if valid.all():
            return depth, all_valid(depth.shape)
        valid.flags.writeable = False
        return depth, valid

    def _window(self, block_row: int, block_column: int) -> Window:
        top, left = block_row * self.block_rows, block_column * self.block_columns
        height = min(self.block_rows, self.rows - top)
        return Window(
            top=top,
            left=left,
            height=height,
            width=min(self.block_columns, self.columns - left),
        )

    def read_band(
        self, opening: Opening, dtype: str, block_row: int, block_column: int
    ) -> NDArray[Any] | None:
        """The numbers of a like layer in the place of one block, None where unreadable."""
        got = self._read(opening, self._window(block_row, block_column), dtype, mask=False)
        return None if got is None else got[0]

    def _read(
        self, opening: Opening, window: Window, dtype: str, *, mask: bool
    ) -> tuple[NDArray[Any], NDArray[np.uint8] | None] | None:
        """(numbers, mask) of a window; None, and a problem noted, where it cannot be read."""
        kind = np.dtype(dtype)
        cells = window.height * window.width
        try:
            if self._given_up:
                raise GridFault(self._given_up)
            got = GRIDS.read(opening, window, mask=mask)
            if len(got.data) != cells * kind.itemsize or len(got.mask) != (cells if mask else 0):
                raise GridFault("it holds less than it claims")
        except GridFault as fault:
            self._breakdowns += fault.broke
            if fault.hung or self._breakdowns >= _MOST_BREAKDOWNS:
                # A file that takes its reader down again and again would take all day.
                self._given_up = self._given_up or f"given up, since {fault}"
            self._note(window, f"this part cannot be read ({fault})")
            return None
        if got.said:
            self._note(window, f"GDAL warned of {'; '.join(got.said)}")
        shape = window.height, window.width
        masked = np.frombuffer(got.mask, dtype=np.uint8).reshape(shape) if mask else None
        return np.frombuffer(got.data, dtype=kind).reshape(shape), masked

    def _note(self, window: Window, text: str) -> None:
        """A problem of one block; of very many the last one is told for the whole grid."""
        self._unreadable += 1
        if self._unreadable > _MOST_UNREADABLE:
            return
        column = window.left + np.array([-0.5, window.width - 0.5])
        row = window.top + np.array([-0.5, window.height - 0.5])
        lon, lat = self.to_position(*np.meshgrid(column, row))
        bounds = (float(lon.min()), float(lat.min()), float(lon.max()), float(lat.max()))
        many = self._unreadable == _MOST_UNREADABLE
        self.problems += (
            Problem(
                source=self.id,
                text=cleaned(text, longest=300) + (", and more like it" if many else ""),
                severity=Severity.NOT_ASSESSED,
                bounds=None if many or not np.isfinite(bounds).all() else bounds,
            ),
        )

    def __setstate__(self, state: dict[str, object]) -> None:
        self.__dict__.update(state)
        # Another process numbers its own grids.
        self._number = next(_numbers)

    @property
    def quantity(self) -> str:
        """What the file's own numbers are: "depth" or "elevation"."""
        return self._parts.facts.quantity


def _digest_with_tiles(path: Path) -> str:
    """Of a virtual raster one of its tiles too."""
    tiles = files_shown(path)
    if not tiles:
        return digest_of(path)
    whole = " ".join([digest_of(path), *(digest_of(tile) for tile in tiles)])
    return hashlib.sha256(whole.encode()).hexdigest()


def _unit_word(metres_per_unit: float) -> str:
    for word, unit_m in _UNIT_WORDS.items():
        if abs(metres_per_unit / unit_m - 1.0) < 1e-5:
            return word
    return f"{metres_per_unit:g} m"


def digest_of(path: Path) -> str:
    """SHA-256 of a file of up to 256 MB; of a larger one that of its size, its first megabyte and
    its last, marked as such, since reading it through would take longer than the vetting.
    """
    size = path.stat().st_size
    with path.open("rb") as stream:
        if size <= _WHOLE_HASH_BYTES:
            return hashlib.file_digest(stream, "sha256").hexdigest()
        part = hashlib.sha256(str(size).encode() + stream.read(2**20))
        stream.seek(size - 2**20)
        part.update(stream.read(2**20))
    return f"size-and-ends:{part.hexdigest()}"


def block_is_too_large(native: tuple[int, int]) -> bool:
    """Whether one block of the file is more than can be held in memory."""
    return native[0] * native[1] > 1 << 23
