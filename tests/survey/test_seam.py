"""Grids that go round the earth, or nearly: nothing is lost where they begin and end."""

from __future__ import annotations

import numpy as np
import shapely
import shapely.affinity

from tests.survey.memory_grid import MemoryGrid, true_corridors
from tests.survey.test_shoalest import least, noise, profiles


def test_a_grid_round_the_earth_has_no_seam() -> None:
    rng = np.random.default_rng(3)
    whole = noise(rng, 40, 720)
    for west in (-180.0, 0.0, -90.25):
        shift = round((west + 180.0) / 0.5)
        grid = MemoryGrid(
            np.roll(whole, -shift, axis=1), x=west + 0.25, y=29.75, dx=0.5, dy=0.5, block=(16, 64)
        )
        assert grid.wraps_columns == 720
        found = []
        for lon in (-179.0, 0.6, -90.3, 45.0):
            points = [(lon - 1.0, 20.0), (lon + 1.0, 20.3)]
            profile = profiles(grid, points, 3000.0)[0]
            true = true_corridors(points, 3000.0)[0]
            assert least(profile) == grid.brute_shoalest_m(true, (-720.0, 0.0, 720.0))
            assert not profile.off_grid.any() and not profile.any_invalid.any()
            found.append(least(profile))
        assert len(set(found)) == 4


def test_every_part_at_the_seam_is_equal_to_a_check_of_every_cell() -> None:
    rng = np.random.default_rng(9)
    depth = noise(rng, 40, 720, holes=0.2)
    for west in (-180.0, 0.0):
        grid = MemoryGrid(depth, x=west + 0.25, y=29.75, dx=0.5, dy=0.5, block=(16, 64))
        squares = grid.squares()
        tree = shapely.STRtree(squares.ravel())
        ends = [((west + off + 180.0) % 360.0 - 180.0, 20.0 + off / 3.0) for off in (-0.7, 0.9)]
        for points in (ends, ends[::-1]):
            profile = profiles(grid, points, 20_000.0)[0]
            column = (profile.parts.lon_deg - grid.x) / grid.dx
            row = (grid.y - profile.parts.lat_deg) / grid.dy
            for n, quad in enumerate(shapely.polygons(np.stack([column, row], axis=2))):
                touched = np.zeros(squares.shape, dtype=bool)
                for turn in (-720.0, 0.0, 720.0):
                    turned = shapely.affinity.translate(quad, turn)
                    touched.flat[tree.query(turned, predicate="intersects")] = True
                seen = touched & grid.valid
                assert profile.charted_depth_m[n] == grid.depth[seen].min(initial=np.inf)
                assert profile.any_invalid[n] == (touched & ~grid.valid).any()


def test_nearly_round_the_earth_both_ends_are_looked_at() -> None:
    """Half a column is missing: the part that bridges the gap touches the cells beside it."""
    depth = np.full((40, 719), 50.0)
    depth[:, 0], depth[:, -1] = 5.0, 3.0
    grid = MemoryGrid(depth, x=-179.75, y=29.75, dx=0.5, dy=0.5)
    assert grid.wraps_columns == 0
    for points in ([(178.0, 20.0), (-178.0, 20.2)], [(-178.0, 20.0), (178.0, 20.2)]):
        profile = profiles(grid, points, 3000.0)[0]
        assert set(profile.charted_depth_m[np.isfinite(profile.charted_depth_m)]) == {3, 5, 50}
        gap = (profile.parts.lon_deg % 360.0 > 179.51).all(axis=1)
        gap &= (profile.parts.lon_deg % 360.0 < 179.99).all(axis=1)
        assert gap.any() and profile.off_grid[gap].all()
        assert np.isinf(profile.charted_depth_m[gap]).all()
