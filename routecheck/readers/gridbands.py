"""What stands beside a grid's depths, cell by cell: vertical uncertainties, and whether a depth was
measured. Each is a grid of its own in the same cells, read with the same care.

GEBCO's type identifiers (TID): The GEBCO Grid, table "TID codes"; NERC vocabulary GGT. Codes 10 to
17 are measured (single beam, multibeam, seismic, isolated sounding, ENC sounding, lidar, optical,
a combination); 0 is land; 40 and more are predicted, interpolated, from contours or unknown. The
GEBCO_2019 grid used other codes (vocabulary GGB), where 0 is predicted and 15 interpolated: none
of its depths counts as measured.
"""

from __future__ import annotations

import itertools
import re
import threading
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Problem
from routecheck.model.source import Quality, Source
from routecheck.nav.angles import Floats
from routecheck.readers.blockcache import BLOCKS, Block
from routecheck.readers.gridfound import Found, Opening
from routecheck.readers.gridvalues import DEEPEST_M

if TYPE_CHECKING:
    from routecheck.readers.gridfile import GridFile

LAND_TYPE = 0
MEASURED_TYPES = (10, 11, 12, 13, 14, 15, 16, 17)
_OTHER_CODES = "2019"
_MOST_TOKENS = 30
_TYPED_NAME = re.compile(r"(^|[_\-. ])tid($|[_\-. ])", re.IGNORECASE)
_numbers = itertools.count(start=-1, step=-1)
_lock = threading.Lock()


class _Beside:
    """Something of the same cells as a grid's depths: see `model.chart.Grid`."""

    def __init__(self, grid: GridFile) -> None:
        self.grid = grid
        self.rows, self.columns, self.reach = grid.rows, grid.columns, grid.reach
        self.block_rows, self.block_columns = grid.block_rows, grid.block_columns
        self.wraps_columns = grid.wraps_columns
        self.problems: tuple[Problem, ...] = ()
        self._number = next(_numbers)

    @property
    def source(self) -> Source:
        """The grid's."""
        return self.grid.source

    def bounds_deg(self) -> tuple[float, float, float, float]:
        """The grid's."""
        return self.grid.bounds_deg()

    def to_cell(self, lon_deg: Floats, lat_deg: Floats) -> tuple[Floats, Floats]:
        """The grid's."""
        return self.grid.to_cell(lon_deg, lat_deg)

    def to_position(self, column: Floats, row: Floats) -> tuple[Floats, Floats]:
        """The grid's."""
        return self.grid.to_position(column, row)

    def block(self, block_row: int, block_column: int) -> Block:
        """(value, valid) of one block; not to be written to."""
        depth, there = self.grid.block(block_row, block_column)
        key = (self._number, block_row, block_column)
        with _lock:
            block = BLOCKS.get(key)
            if block is None:
                value, valid = self._make(depth, there, block_row, block_column)
                value.flags.writeable = valid.flags.writeable = False
                block = value, valid
                BLOCKS.put(key, block)
        return block

    def _make(
        self, depth: NDArray[np.float32], there: NDArray[np.bool_], row: int, column: int
    ) -> Block:
        raise NotImplementedError

    def __setstate__(self, state: dict[str, object]) -> None:
        self.__dict__.update(state)
        # Another process numbers its own.
        self._number = next(_numbers)


class Uncertainty(_Beside):
    """Minus the vertical uncertainty (95 %) in metres; a figure of 0 is taken as none.

    `otherwise`: the file itself states one figure for all cells, which holds where one has none.
    """

    def __init__(
        self, grid: GridFile, opening: Opening, dtype: str, metres: float, *, otherwise: bool
    ) -> None:
        super().__init__(grid)
        self._otherwise = otherwise
        self._opening, self._dtype, self._metres = opening, dtype, metres

    def _make(
        self, depth: NDArray[np.float32], there: NDArray[np.bool_], row: int, column: int
    ) -> Block:
        raw = self.grid.read_band(self._opening, self._dtype, row, column)
        if raw is None:
            return np.zeros_like(depth), ~there
        with np.errstate(over="ignore", invalid="ignore"):
            exact = raw.astype(np.float64) * self._metres
            stated = (raw > 0) & (exact > 0.0) & (exact <= DEEPEST_M) & there
            off_m = np.where(stated, exact, 0.0).astype(np.float32)
        # Rounded up.
        less = off_m < np.where(stated, exact, 0.0)
        off_m[less] = np.nextafter(off_m[less], np.float32(np.inf))
        known = np.ones_like(there) if self._otherwise else stated | ~there
        return np.subtract(np.float32(0.0), off_m), known


class Measured(_Beside):
    """0 everywhere; invalid where a depth was not measured."""

    def __init__(
        self, grid: GridFile, opening: Opening, dtype: str, *, other_codes: bool = False
    ) -> None:
        super().__init__(grid)
        self._opening, self._dtype, self._other_codes = opening, dtype, other_codes

    def _make(
        self, depth: NDArray[np.float32], there: NDArray[np.bool_], row: int, column: int
    ) -> Block:
        raw = self.grid.read_band(self._opening, self._dtype, row, column)
        if raw is None or self._other_codes:
            return np.zeros_like(depth), ~there
        return np.zeros_like(depth), measured_cells(raw, depth) | ~there


def measured_cells(types: NDArray[Any], depth_m: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Whether each depth was measured, by GEBCO's type identifiers, shape of `types`.

    Land is as sure as a measured depth; but not where the grid shows water.
    """
    on_land = (types == LAND_TYPE) & (depth_m <= 0.0)
    return np.asarray(np.isin(types, MEASURED_TYPES) | on_land)


def types_beside(path: Path) -> Path | None:
    """The file of type identifiers beside a GEBCO grid: the same name with "tid" put in."""
    if "gebco" not in path.name.lower() or is_types_name(path):
        return None
    for suffix in dict.fromkeys((path.suffix, ".nc", ".tif", ".asc")):
        tokens = path.name.removesuffix(path.suffix).split("_")[:_MOST_TOKENS]
        for place in range(1, len(tokens) + 1):
            for word in ("tid", "TID"):
                name = "_".join([*tokens[:place], word, *tokens[place:]]) + suffix
                if path.with_name(name).is_file():
                    return path.with_name(name)
    return None


def is_types_name(path: Path) -> bool:
    """Whether a file is called like GEBCO's type identifiers."""
    return "gebco" in path.name.lower() and bool(_TYPED_NAME.search(path.stem))


def has_other_codes(path: Path) -> bool:
    """Whether a grid is of the edition whose codes mean something else."""
    return _OTHER_CODES in path.name


def grid_quality(stated: Quality, found: Found, sampled_m: float | None) -> Quality:
    """What a grid's depths are worth: the sidecar's figures, else one of the file for all cells,
    else what it states cell by cell, of which `sampled_m` is the greatest where it was sampled."""
    across_m = found.horizontal_m if stated.horizontal_m is None else stated.horizontal_m
    if stated.vertical_m is not None:
        return replace(stated, horizontal_m=across_m)
    if found.doubt_m is not None:
        return Quality(
            name="as the file states",
            vertical_m=found.doubt_m,
            vertical_share=found.doubt_share,
            horizontal_m=across_m,
        )
    if sampled_m is not None:
        return Quality(
            name="stated cell by cell", vertical_m=sampled_m, horizontal_m=across_m, by_cell=True
        )
    return replace(stated, horizontal_m=across_m)
