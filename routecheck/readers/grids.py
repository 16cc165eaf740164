"""Depth grids: GeoTIFF, NetCDF, BAG, S-102 and ASCII grids, as GDAL reads them.

Nothing that matters is guessed: a grid whose sign, unit or place no one states is refused with a
line that says what to write into its sidecar. Overviews are never used.
"""

from __future__ import annotations

import math
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from routecheck.model.chart import Grid, Problem, Severity
from routecheck.model.errors import BadInput
from routecheck.readers.beside import sidecar_path
from routecheck.readers.chart_sidecar import Sidecar, read_sidecar
from routecheck.readers.datumshift import off_of_system, told_of_cells
from routecheck.readers.gridbands import (
    Measured,
    Uncertainty,
    has_other_codes,
    is_types_name,
    types_beside,
)
from routecheck.readers.gridfacts import ELEVATION, facts_of
from routecheck.readers.gridfile import GridFile, block_is_too_large
from routecheck.readers.gridfound import Found
from routecheck.readers.gridleft import left_unread
from routecheck.readers.gridplace import place_of
from routecheck.readers.gridprocess import GRIDS
from routecheck.readers.gridvalues import Values
from routecheck.readers.strict import cleaned
from routecheck.readers.vrt import read_vrt

_SUFFIXES = {
    *(".tif", ".tiff", ".gtiff", ".nc", ".nc4", ".cdf", ".grd", ".bag", ".asc", ".vrt"),
    *(".h5", ".hdf5", ".he5", ".flt", ".xyz"),
}
_MAGIC = (
    b"II*\0",
    b"MM\0*",
    b"II+\0",
    b"MM\0+",
    b"CDF\x01",
    b"CDF\x02",
    b"CDF\x05",
    b"\x89HDF\r\n",
)
_ASCII_HEAD = re.compile(rb"\s*ncols\s+\d+\s+nrows\s+\d+", re.IGNORECASE)
ONLY_TYPES = "this holds type identifiers, which are read together with their grid"
_MOST_CELLS = 1e13
_MOST_STEPS = 1_000_000
_SAMPLED_CELLS = 1 << 26
_HIGH_M = 200.0


def looks_like_grid(path: Path) -> bool:
    """Whether a file is a raster by its first bytes or its name; cheap, opens no driver."""
    if path.suffix.lower() in _SUFFIXES:
        return True
    try:
        with path.open("rb") as stream:
            head = stream.read(512)
    except OSError:
        return False
    if head.startswith(b"SQLite format 3\0"):
        return _has_coverage(path)
    return head.startswith(_MAGIC) or bool(_ASCII_HEAD.match(head)) or b"<VRTDataset" in head


def _has_coverage(path: Path) -> bool:
    """Whether a GeoPackage holds a gridded coverage (OGC 17-066r1)."""
    query = "SELECT count(*) FROM gpkg_contents WHERE data_type = '2d-gridded-coverage'"
    try:
        with sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True) as database:
            # The table may be a view that someone has made endless.
            database.set_progress_handler(lambda: 1, _MOST_STEPS)
            return bool(database.execute(query).fetchone()[0])
    except (sqlite3.Error, UnicodeDecodeError):  # it may quote damaged text in what it says
        return False


def open_grid(path: Path) -> tuple[Grid, ...]:
    """The depth grids of a file (one, but for S-102), with its sidecar ``<file>.toml``.

    Raises BadInput, in one line that says what to do, where the file is no raster, holds no
    depths, or where its place, sign or unit is not stated or contradicts itself.
    """
    _refuse_by_sight(path)
    sidecar = read_sidecar(path)
    wanted = sidecar.columns.get("depth", "") if sidecar is not None else ""
    found = GRIDS.find(path, wanted)
    if not wanted and (is_types_name(path) or any(o.layer.name.lower() == "tid" for o in found)):
        raise BadInput(file=str(path), wrong=ONLY_TYPES)
    return tuple(_grid(path, one, sidecar) for one in found)


def _grid(path: Path, found: Found, sidecar: Sidecar | None) -> GridFile:
    _refuse_sizes(path, found)
    place = place_of(
        str(path),
        columns=found.columns,
        rows=found.rows,
        corner=found.corner,
        system=found.system,
        by_names=found.lonlat_names,
    )
    facts = facts_of(path, found.layer, sidecar)
    scale, offset = found.scale, found.offset
    if not (np.isfinite([scale, offset]).all() and scale != 0.0):
        raise BadInput(file=str(path), wrong=f"its numbers are scaled by {scale} and {offset}")
    values = Values(
        dtype=found.dtype,
        nodata=found.nodata,
        limits=found.limits,
        scale=scale,
        offset=offset,
        metres_per_unit=facts.metres_per_unit,
        elevation=facts.quantity == ELEVATION,
    )
    grid = GridFile(
        path=path, found=found, place=place, facts=facts, values=values, sidecar=sidecar
    )
    if found.doubt_opening is not None:
        opening = found.doubt_opening
        metres = found.doubts_per_unit * (found.doubt_unit_m or facts.metres_per_unit)
        otherwise = found.doubt_m is not None
        grid.uncertainty = Uncertainty(
            grid, opening, found.doubt_dtype, metres, otherwise=otherwise
        )
    notes = [(f"GDAL warned of {text}", Severity.NOTE) for text in found.said[:5]]
    notes += _types(path, grid, found)
    notes += [(text, Severity.NOT_ASSESSED) for text in left_unread(path, found)]
    if place.assumed:
        notes.append((place.assumed, Severity.NOTE))
    if found.system is not None:
        off = off_of_system(found.system, place.lattice()).told(counted=False)
        notes += [off] if off is not None else []
    notes += told_of_cells(grid.quality)
    if 0.0 in found.nodata:
        text = "declares 0 as no data: depths of exactly 0 cannot be told from gaps"
        notes.append((text, Severity.CAUTION))
    if found.resampled:
        text = "of variable resolution: each cell holds its shoalest node"
        notes.append((text, Severity.NOTE))
    notes += _sign_by_values(path, grid, stated=facts.quantity_stated)
    grid.problems = (
        *(
            Problem(source=grid.id, text=cleaned(text, longest=300), severity=severity)
            for text, severity in notes
        ),
        *grid.problems,
    )
    return grid


def _types(path: Path, grid: GridFile, found: Found) -> list[tuple[str, Severity]]:
    """Give a grid the type identifiers in it or beside it, if there are any."""
    opening, dtype, name = found.type_opening, "", path.name
    beside = types_beside(path)
    if opening is None and beside is None:
        return []
    try:
        if opening is not None:
            (other,) = GRIDS.find(path, "tid")
        else:
            assert beside is not None
            (other,) = GRIDS.find(beside, "")
            name = beside.name
    except (BadInput, ValueError) as error:
        wrong = error.wrong if isinstance(error, BadInput) else "several layers"
        text = f"the type identifiers in {name} were not used: {wrong}"
        return [(text, Severity.CAUTION)]
    opening, dtype = other.opening, other.dtype
    same = (other.columns, other.rows) == (found.columns, found.rows) and np.allclose(
        other.corner, found.corner, rtol=0.0, atol=0.01 * abs(found.corner[0])
    )
    if not same or np.dtype(dtype).kind not in "iuf" or (other.scale, other.offset) != (1.0, 0.0):
        text = f"the type identifiers in {name} are of other cells, and were not used"
        return [(text, Severity.CAUTION)]
    if has_other_codes(path):
        text = f"the codes in {name} are those of 2019: no depth counts as measured"
        grid.measured = Measured(grid, opening, dtype, other_codes=True)
        return [(text, Severity.NOTE)]
    grid.measured = Measured(grid, opening, dtype)
    return [(f"{name} tells measured from interpolated depths", Severity.NOTE)]


def _refuse_by_sight(path: Path) -> None:
    try:
        with path.open("rb") as stream:
            head = stream.read(512)
        size = path.stat().st_size
    except OSError as error:
        raise BadInput(file=str(path), wrong=f"it cannot be read ({error.strerror})") from None
    if not head.strip(b"\0 \t\r\n"):
        raise BadInput(file=str(path), wrong="the file is empty")
    if path.suffix.lower() == ".vrt" or b"<VRTDataset" in head:
        # Refuses all that would have GDAL reach beyond the folder, before GDAL sees it.
        read_vrt(path)
    ascii_head = re.match(rb"\s*ncols\s+(\d{1,18})\s+nrows\s+(\d{1,18})", head, re.IGNORECASE)
    # A number and what divides it from the next takes two characters.
    if ascii_head and 2 * int(ascii_head[1]) * int(ascii_head[2]) > size + 2:
        wrong = (
            f"its head promises {int(ascii_head[1])} x {int(ascii_head[2])} cells, it holds less"
        )
        raise BadInput(file=str(path), wrong=wrong, do="fetch it again; it may be cut short")


def _refuse_sizes(path: Path, found: Found) -> None:
    if found.columns * found.rows > _MOST_CELLS or min(found.columns, found.rows) < 1:
        wrong = f"it claims {found.columns} x {found.rows} cells"
        raise BadInput(file=str(path), wrong=wrong)
    if min(found.columns, found.rows) < 2 and found.nodes is not False:
        wrong = f"it has {found.columns} x {found.rows} nodes: nothing lies between them"
        raise BadInput(file=str(path), wrong=wrong)
    if block_is_too_large(found.block):
        height, width = found.block
        raise BadInput(
            file=str(path),
            wrong=f"it is stored in blocks of {width} x {height} cells, too many to hold at once",
            do="save it again in tiles, such as 512 x 512",
        )


def _sign_by_values(path: Path, grid: GridFile, *, stated: bool) -> list[tuple[str, Severity]]:
    """Refuse a sign that the values belie; and what else they make one wonder at."""
    shoalest_m, deepest_m, looked_at_all = _until_water(grid)
    name = sidecar_path(path).name
    if shoalest_m > deepest_m:
        where = "it" if looked_at_all else "what was sampled of it"
        return [(f"{where} holds no depth at all", Severity.NOTE)]
    if grid.quantity == ELEVATION:
        if deepest_m > 0.0:
            return []
        text = "says elevation, and none of its numbers is negative: all land, or depths misnamed"
        return [(text, Severity.CAUTION)]
    reaches = f"{shoalest_m:g} to {deepest_m:g} m"
    if deepest_m <= 0.0 and shoalest_m < 0.0:
        raise BadInput(
            file=str(path),
            wrong=f"it says depth, but all its numbers are negative ({reaches})",
            do=f'if they are elevations, state quantity = "elevation" in {name}',
        )
    if not stated and shoalest_m < -_HIGH_M and -shoalest_m > deepest_m:
        raise BadInput(
            file=str(path),
            wrong=f"it is called depth, but reaches from {reaches}: mostly high land",
            do=f'state quantity = "depth" or "elevation" in {name}',
        )
    return []


def _until_water(grid: GridFile) -> tuple[float, float, bool]:
    """(shoalest, deepest) charted depth of blocks looked at until one holds water, most often
    the first; whether all were looked at. Where there is no valid cell, (inf, -inf)."""
    across = -(-grid.columns // grid.block_columns)
    count = across * -(-grid.rows // grid.block_rows)
    shoalest_m, deepest_m, cells = np.inf, -np.inf, 0
    for number in _spread_out(count):
        depth, valid = grid.block(*divmod(number, across))
        cells += depth.size
        if valid.any():
            shoalest_m = min(shoalest_m, float(depth[valid].min()))
            deepest_m = max(deepest_m, float(depth[valid].max()))
            _sample_uncertainty(grid, valid, *divmod(number, across))
        if deepest_m > 0.0 or cells > _SAMPLED_CELLS:
            return shoalest_m, deepest_m, False
    return shoalest_m, deepest_m, True


def _sample_uncertainty(grid: GridFile, valid: NDArray[np.bool_], row: int, column: int) -> None:
    if grid.uncertainty is None:
        return
    less, stated = grid.uncertainty.block(row, column)
    if (stated & valid).any():
        here_m = -float(less[stated & valid].min())
        grid.sampled_uncertainty_m = max(here_m, grid.sampled_uncertainty_m or 0.0)


def _spread_out(count: int) -> Iterator[int]:
    """All numbers below `count`, from the middle on, each far from those before it."""
    stride = max(1, round(count * 0.618))
    while math.gcd(stride, count) != 1:
        stride += 1
    for step in range(count):
        yield (count // 2 + step * stride) % count
