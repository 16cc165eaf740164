"""The same survey, cold: a fresh grid, nothing in memory, each tile decoded once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import rasterio
from rasterio.windows import Window

from routecheck.model.route import Route
from routecheck.readers.blockcache import BLOCKS, Block
from routecheck.readers.gridfile import GridFile
from routecheck.readers.grids import open_grid
from routecheck.survey.shoalest import shoalest
from routecheck.units import METRES_PER_NMI
from tests.benchmarks.measure import Row, seconds
from tests.benchmarks.ocean import CELLS, TILE, legs_of, ocean_grid, ocean_route
from tests.benchmarks.ocean_survey import WIDTHS_NMI

GOAL = 2.0


def rows() -> Iterator[Row]:
    """One row a width."""
    path = ocean_grid()
    path.read_bytes()  # the disk is no part of it
    for width_nmi in WIDTHS_NMI:
        survey_s = decode_s = float("inf")
        decoded: Counter[tuple[int, int]] = Counter()
        for _ in range(7):
            took_s, decoded = _survey(path, ocean_route(3), width_nmi * METRES_PER_NMI)
            survey_s = min(survey_s, took_s)
            decode = partial(_decode_only, str(path), list(decoded))
            decode_s = min(decode_s, seconds(decode))
        ratio = survey_s / decode_s
        yield Row(
            what=f"survey of 100 legs at {width_nmi:g} nmi, cold, times decoding its tiles alone",
            goal=f"<= {GOAL:g}, each once",
            measured=f"{ratio:.2f} ({1e3 * survey_s:.0f} ms to {1e3 * decode_s:.0f} ms; "
            f"{len(decoded)} tiles, {sum(decoded.values())} decoded)",
            met=ratio <= GOAL and set(decoded.values()) == {1},
        )


def _survey(
    path: Path, route: Route, half_width_m: float
) -> tuple[float, Counter[tuple[int, int]]]:
    """(seconds, how often each tile was decoded) of a survey with nothing in memory."""
    (grid,) = open_grid(path)
    assert isinstance(grid, GridFile)
    BLOCKS.clear()
    decoded: Counter[tuple[int, int]] = Counter()
    decode = grid._decode

    def counted(row: int, column: int) -> Block:
        decoded[row, column] += 1
        return decode(row, column)

    grid._decode = counted  # type: ignore[method-assign]
    return seconds(lambda: shoalest(grid, legs_of(route, half_width_m))), decoded


def _decode_only(path: str, tiles: list[tuple[int, int]]) -> None:
    with rasterio.open(path) as raster:
        for row, column in tiles:
            height = min(TILE, CELLS - row * TILE)
            width = min(TILE, CELLS - column * TILE)
            raster.read(1, window=Window(column * TILE, row * TILE, width, height))
