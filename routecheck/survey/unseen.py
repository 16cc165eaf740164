"""Where a grid tells nothing of a corridor: beyond its edge, and where its cells hold no depth."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Grid
from routecheck.model.shortedges import all_valid, with_short_edges
from routecheck.nav.angles import Floats
from routecheck.survey.cells import Runs, spread, touched_runs
from routecheck.survey.corridors import LegCorridor
from routecheck.survey.gridplane import GridPlane
from routecheck.survey.profile import GridProfile
from routecheck.survey.track import Indexes

Shapes = NDArray[np.object_]
_LONGEST_EDGE_M = 100.0
_ROOM_DEG = 1e-8
"""A millimetre: more than an edge of `_LONGEST_EDGE_M` bends between a projected grid's plane
and longitude and latitude (100 m: 0.7 mm at 75 degrees)."""


def unseen(
    grid: Grid, corridor: LegCorridor, which: Indexes, profile: GridProfile | None = None
) -> BaseGeometry:
    """The area of some parts that the grid does not see, lon/lat, longitudes unwrapped.

    `which` numbers parts of the leg's profile (its `any_invalid` or `off_grid` ones; others have
    no such area); without a profile, parts of `stretches` of the step that `shoalest` takes.
    An invalid cell is blind over its whole square, `reach` either side. Exact for a grid of
    longitude and latitude; for other projections up to 2 mm too large, never too small.
    """
    plane = GridPlane(grid)
    if profile is None:
        route = corridor.route
        widest_m = float(max(route.port_m.max(), route.starboard_m.max()))
        parts = corridor.stretches(plane.step_m(widest_m))
    else:
        parts = profile.parts
    which = np.asarray(which, dtype=np.intp)
    if not len(which):
        return shapely.Polygon()
    lon, lat = parts.lon_deg[which], parts.lat_deg[which]
    images = plane.images(lon.T, lat.T)
    quads = _polygons(images.column.T, images.row.T)
    found = [_beyond(plane, lon, lat, images.part, quads)]
    runs = list(
        touched_runs(
            images.column,
            images.row,
            reach=grid.reach,
            slack=0.0,
            rows=grid.rows,
            columns=grid.columns,
            block_columns=grid.block_columns,
        )
    )
    if runs:
        holes, part = _blind(grid, Runs.joined(runs), quads)
        found.append(_to_lonlat(plane, holes, lon[images.part[part], 0]))
    areas = _areas(np.concatenate(found))
    return shapely.union_all(shapely.make_valid(areas))


def _polygons(column: Floats, row: Floats) -> Shapes:
    rings = shapely.polygons(np.stack([column, row], axis=2))
    return np.asarray(shapely.make_valid(rings))


def _areas(shapes: Shapes) -> Shapes:
    """The polygons of shapes; a mere touch, a line or a point, has no area."""
    parts = shapely.get_parts(shapes)
    return np.asarray(parts[shapely.area(parts) > 0.0])


def _beyond(
    plane: GridPlane, lon_deg: Floats, lat_deg: Floats, seen: Indexes, quads: Shapes
) -> Shapes:
    """What of the parts lies beyond the grid's edge, lon/lat."""
    turn, wraps = plane.turn_columns, plane.grid.wraps_columns
    west, east = (-1e12, 1e12) if wraps else (plane.low, plane.high_column)
    rows = (plane.low, plane.high_row)
    held = shapely.union_all(
        [
            shapely.box(west + shift, rows[0], east + shift, rows[1])
            for shift in ((-turn, 0.0, turn) if turn and not wraps else (0.0,))
        ]
    )
    # An image a turn off holds nothing that the first one does not.
    first = np.diff(seen, prepend=-1) > 0
    outside = np.array(shapely.difference(quads[first], held))
    part = seen[first]
    found = [_to_lonlat(plane, outside, lon_deg[part, 0])]
    # Parts out of reach of the grid's projection have no image at all.
    lost = np.setdiff1d(np.arange(len(lon_deg)), part)
    if len(lost):
        found.append(_polygons(lon_deg[lost], lat_deg[lost]))
    return np.concatenate(found)


def _blind(grid: Grid, runs: Runs, quads: Shapes) -> tuple[Shapes, Indexes]:
    """(what of the quadrilaterals lies in invalid cells, in cell coordinates; whose it is)."""
    across = -(-grid.columns // grid.block_columns)
    block = runs.row // grid.block_rows * across + runs.first // grid.block_columns
    order = np.argsort(block, kind="stable")
    runs, block = runs.some(order), block[order]
    starts = np.flatnonzero(np.diff(block, prepend=-1))
    pieces: list[Runs] = []
    for begin, end in zip(starts, [*starts[1:], len(block)], strict=True):
        block_row, block_column = divmod(int(block[begin]), across)
        _, valid = grid.block(block_row, block_column)
        here = runs.some(slice(begin, end))
        top, left = block_row * grid.block_rows, block_column * grid.block_columns
        pieces.append(_invalid(here, valid, top, left))
    bad = Runs.joined(pieces) if pieces else runs
    if not len(bad.part):
        return np.array([], dtype=object), bad.part
    # Like runs in rows that follow one another make one box.
    order = np.lexsort((bad.row, bad.last, bad.first, bad.part))
    bad = bad.some(order)
    joins = (
        (np.diff(bad.part) == 0)
        & (np.diff(bad.first) == 0)
        & (np.diff(bad.last) == 0)
        & (np.diff(bad.row) == 1)
    )
    begins = np.flatnonzero(~np.concatenate([[False], joins]))
    ends = np.flatnonzero(~np.concatenate([joins, [False]]))
    boxes = shapely.box(
        bad.first[begins] - grid.reach,
        bad.row[begins] - grid.reach,
        bad.last[begins] + grid.reach,
        bad.row[ends] + grid.reach,
    )
    part = bad.part[begins]
    return np.asarray(shapely.intersection(quads[part], boxes)), part


def _invalid(runs: Runs, valid: NDArray[np.bool_], top: int, left: int) -> Runs:
    """The runs of invalid cells within runs of one block."""
    which, column = spread(runs.first, runs.last + 1)
    bad = ~valid[runs.row[which] - top, column - left]
    which, column = which[bad], column[bad]
    starts = np.flatnonzero((np.diff(which, prepend=-1) != 0) | (np.diff(column, prepend=-2) != 1))
    run = which[starts]
    ends = np.append(starts[1:], len(which))[: len(starts)] - 1
    return Runs(part=runs.part[run], row=runs.row[run], first=column[starts], last=column[ends])


def _to_lonlat(plane: GridPlane, shapes: Shapes, near_lon_deg: Floats) -> Shapes:
    """Shapes in cell coordinates as lon/lat ones, each within half a turn of its longitude."""
    shapes = _flattened(shapes)
    if not plane.runs_with_lonlat:
        shapes = with_short_edges(shapes, _LONGEST_EDGE_M / plane.cell_sides_m[1])
    cells, index = shapely.get_coordinates(shapes, return_index=True)
    if not len(cells):
        return shapes
    lon, lat = plane.grid.to_position(cells[:, 0], cells[:, 1])
    starts = np.flatnonzero(np.diff(index, prepend=-1))
    # One turn for the whole shape, or a shape on the seam would be torn.
    shape = index[starts]
    turn = np.zeros(len(shapes))
    turn[shape] = np.round((near_lon_deg[shape] - lon[starts]) / 360.0)
    near = lon[starts][np.searchsorted(shape, index)]
    lon = lon + 360.0 * (turn[index] + np.round((near - lon) / 360.0))
    turned = shapely.set_coordinates(shapes.copy(), np.column_stack([lon, lat]))
    if plane.runs_with_lonlat:
        return turned
    return np.array(shapely.buffer(all_valid(turned), _ROOM_DEG))


def _flattened(shapes: Shapes) -> Shapes:
    """Each shape's area alone, as one geometry."""
    level = shapely.get_dimensions(shapes) < 2
    mixed = shapely.get_type_id(shapes) == shapely.GeometryType.GEOMETRYCOLLECTION
    if not (level | mixed).any():
        return shapes
    kept = shapes.copy()
    kept[level] = shapely.Polygon()
    for index in np.flatnonzero(mixed & ~level):
        pieces = shapely.get_parts(shapes[index])
        kept[index] = shapely.union_all(pieces[shapely.get_dimensions(pieces) == 2])
    return kept
