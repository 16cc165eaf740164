"""The engine against every cell of the grid, one by one, and the corridor drawn independently."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.nav.rhumb import rhumb_direct
from routecheck.survey import gather
from routecheck.survey import shoalest as engine
from routecheck.survey.corridors import corridors
from routecheck.survey.shoalest import GridProfile, shoalest
from tests.survey.memory_grid import MemoryGrid, route_through, true_corridors

Points = list[tuple[float, float]]


def walk(rng: np.random.Generator, lon: float, lat: float, leg_m: float, legs: int) -> Points:
    """A wandering track; whole-number courses now and then."""
    points, course = [(lon, lat)], rng.uniform(0.0, 360.0)
    for _ in range(legs):
        course += rng.normal(0.0, 60.0)
        if rng.random() < 0.2:
            course = 45.0 * round(course / 45.0)
        points.append(rhumb_direct(*points[-1], course, leg_m * rng.uniform(0.3, 1.5)))
    return points


def noise(rng: np.random.Generator, rows: int, columns: int, holes: float = 0.0) -> np.ndarray:
    """Depths without any order, so that every single cell matters; some are invalid."""
    depth = rng.permutation(rows * columns).reshape(rows, columns) / 7.0 - 40.0
    depth[rng.random((rows, columns)) < holes] = np.nan
    return depth


def profiles(grid: MemoryGrid, points: Points, half_width_m: float) -> tuple[GridProfile, ...]:
    route = route_through(points)
    return shoalest(grid, corridors(route, ((half_width_m, half_width_m),) * len(route.legs)))


def least(profile: GridProfile) -> float:
    return float(profile.charted_depth_m.min()) if len(profile.row) else float("inf")


PLACES = {
    "mid-latitude": (10.0, 54.0, None),
    "equator": (-30.0, 0.02, None),
    "75 north": (-70.0, 75.0, None),
    "south": (151.0, -34.0, None),
    "antimeridian": (179.99, 20.0, None),
    "antimeridian, south": (-179.995, -65.0, None),
    "UTM": (9.3, 54.0, 32632),
    "UTM at 75 north": (16.0, 75.0, 32633),
    "UTM, south": (-70.5, -35.0, 32719),
}


def grid_at(
    rng: np.random.Generator, place: str, cell_m: float, reach: float = 0.5, holes: float = 0.0
) -> tuple[MemoryGrid, float, float]:
    """A grid of 90 x 110 cells round a place, off its middle at random; and the place."""
    lon, lat, epsg = PLACES[place]
    depth = noise(rng, 90, 110, holes)
    if epsg is None:
        dy = cell_m / 111e3
        dx = dy / np.cos(np.radians(lat)) * rng.uniform(0.7, 1.4)
        x, y = lon - dx * rng.uniform(45, 65), lat + dy * rng.uniform(35, 55)
    else:
        dx, dy = cell_m * rng.uniform(0.7, 1.4), cell_m
        held = MemoryGrid(depth, x=0.0, y=0.0, dx=1.0, dy=1.0, epsg=epsg)
        east, north = held.to_cell(np.array([lon]), np.array([lat]))
        x, y = float(east[0]) - dx * rng.uniform(45, 65), -float(north[0]) + dy * 45
    made = MemoryGrid(depth, x=x, y=y, dx=dx, dy=dy, epsg=epsg, reach=reach)
    return made, lon, lat


@pytest.mark.parametrize("reach", [0.5, 1.0])
@pytest.mark.parametrize("place", PLACES)
def test_equal_to_a_check_of_every_cell(place: str, reach: float) -> None:
    rng = np.random.default_rng(abs(hash_of(place)) + int(reach * 10))
    equal = legs = 0
    for _ in range(6):
        cell_m = float(rng.choice([12.0, 60.0, 300.0]))
        grid, lon, lat = grid_at(rng, place, cell_m, reach, holes=0.1)
        points = walk(rng, lon, lat, cell_m * 14.0, legs=4)
        half_width_m = cell_m * float(rng.uniform(0.2, 3.0))
        found = profiles(grid, points, half_width_m)
        true = true_corridors(points, half_width_m, cell_m / 2.0)
        grown = true_corridors(points, half_width_m * 1.0012 + 0.01, cell_m / 2.0)
        for profile, leg, wide in zip(found, true, grown, strict=True):
            brute_m = grid.brute_shoalest_m(leg)
            assert least(profile) <= brute_m, "deeper than a cell that the corridor touches"
            assert least(profile) >= grid.brute_shoalest_m(wide), "a cell out of all reach"
            equal += least(profile) == brute_m
            legs += 1
    # The corridor errs outward by up to 0.1 %: a leg in a hundred or so touches one cell more.
    assert equal >= legs - 2


def hash_of(text: str) -> int:
    return sum(ord(c) * 31**i for i, c in enumerate(text)) % 2**31


@pytest.mark.parametrize("ties", [False, True])
def test_every_part_is_equal_to_a_check_of_every_cell(ties: bool) -> None:
    """Part by part, the corridor's own quadrilaterals against squares, in cell coordinates."""
    rng = np.random.default_rng(7)
    for place in PLACES:
        grid, lon, lat = grid_at(rng, place, 40.0, holes=0.2)
        if ties:
            grid.depth = np.floor(grid.depth / 300.0)
        points = walk(rng, lon, lat, 900.0, legs=3)
        squares = grid.squares()
        for profile in profiles(grid, points, 55.0):
            parts = profile.parts
            column, row = grid.to_cell(parts.lon_deg, parts.lat_deg)
            quads = shapely.polygons(np.stack([column, row], axis=2))
            for n, quad in enumerate(quads):
                touched = shapely.intersects(quad, squares)
                seen = touched & grid.valid
                least_m = grid.depth[seen].min() if seen.any() else np.inf
                assert profile.charted_depth_m[n] == least_m
                assert profile.any_invalid[n] == (touched & ~grid.valid).any()
                box = shapely.box(-0.5, -0.5, grid.columns - 0.5, grid.rows - 0.5)
                assert profile.off_grid[n] == (not box.covers(quad))
                if seen.any():
                    # Of several the first, row by row.
                    first = np.argmin(np.where(seen, grid.depth, np.inf))
                    assert profile.row[n] * grid.columns + profile.column[n] == first
                    at = grid.to_position(float(profile.column[n]), float(profile.row[n]))
                    turned = (profile.lon_deg[n] - at[0] + 180.0) % 360.0 - 180.0
                    assert abs(turned) < 1e-9
                    assert profile.lat_deg[n] == pytest.approx(float(at[1]), abs=1e-9)
                else:
                    assert (profile.row[n], profile.column[n]) == (-1, -1)


def test_whole_numbers_touch_with_closed_edges() -> None:
    """A track and a half-width on the cells' edges: cells that share an edge or a corner count."""
    step = 1.0 / 60.0
    # One column a minute of longitude, along the equator; the shoal lies where only an edge or a
    # corner touches the corridor of exactly one minute of latitude either side.
    minute_m = 1842.9046  # of latitude at the equator, WGS 84 (meridian radius 6335439.327 m)
    for shoal_row, shoal_column in ((2, 10), (5, 10), (2, 16), (5, 16), (2, 5), (5, 5)):
        depth = np.full((8, 22), 50.0)
        depth[shoal_row, shoal_column] = 3.0
        grid = MemoryGrid(depth, x=0.5 * step, y=3.5 * step, dx=step, dy=step)
        points = [(6.0 * step, 0.0), (16.0 * step, 0.0)]
        profile = profiles(grid, points, minute_m)[0]
        # Strip cells: rows 3 and 4; by an edge rows 2 and 5. The caps reach columns 5 and 16.
        found = least(profile) == 3.0
        assert found == (shoal_column in (10, 16, 5))
        part = np.flatnonzero(profile.charted_depth_m == 3.0)
        assert len(part)


@pytest.mark.parametrize("shoal_column", [2, 5])
def test_whole_numbers_touch_east_and_west(shoal_column: int) -> None:
    """As above, along a meridian: one minute of longitude at the equator either side."""
    step = 1.0 / 60.0
    minute_m = 1855.3248  # of longitude at the equator, WGS 84 (radius 6378137 m)
    depth = np.full((22, 8), 50.0)
    depth[10, shoal_column] = 3.0
    grid = MemoryGrid(depth, x=-3.5 * step, y=10.5 * step, dx=step, dy=step)
    profile = profiles(grid, [(0.0, -3.0 * step), (0.0, 3.0 * step)], minute_m)[0]
    strips = profile.along_to_m > profile.along_from_m
    assert profile.charted_depth_m[strips].min() == 3.0
    less = profiles(grid, [(0.0, -3.0 * step), (0.0, 3.0 * step)], minute_m - 0.5)[0]
    assert less.charted_depth_m.min() == 50.0


def test_a_cell_just_out_of_reach_does_not_count() -> None:
    step = 1.0 / 60.0
    depth = np.full((8, 22), 50.0)
    depth[2] = depth[5] = 3.0
    grid = MemoryGrid(depth, x=0.5 * step, y=3.5 * step, dx=step, dy=step)
    profile = profiles(grid, [(6.0 * step, 0.0), (16.0 * step, 0.0)], 1840.0)[0]
    strips = profile.along_to_m > profile.along_from_m
    assert (profile.charted_depth_m[strips] == 50.0).all()


@pytest.mark.parametrize("place", ["mid-latitude", "75 north", "UTM"])
def test_never_deeper_than_exactextract(place: str) -> None:
    """exactextract (any cell that overlaps by area) on a polygon inside the true corridor."""
    exactextract = pytest.importorskip("exactextract")
    from exactextract.raster import NumPyRasterSource

    rng = np.random.default_rng(11)
    for _ in range(4):
        grid, lon, lat = grid_at(rng, place, 50.0)
        points = walk(rng, lon, lat, 700.0, legs=4)
        half_width_m = float(rng.uniform(20.0, 150.0))
        source = NumPyRasterSource(
            grid.depth.astype(float),
            xmin=-0.5,
            ymin=-(grid.rows - 0.5),
            xmax=grid.columns - 0.5,
            ymax=0.5,
        )
        legs = true_corridors(points, half_width_m, 25.0)
        for profile, leg in zip(profiles(grid, points, half_width_m), legs, strict=True):
            flipped = shapely.transform(grid.in_cells(leg), lambda at: at * [1.0, -1.0])
            feature = {
                "type": "Feature",
                "geometry": shapely.geometry.mapping(flipped),
                "properties": {},
            }
            result = exactextract.exact_extract(source, [feature], ["min"])
            area_m = result[0]["properties"]["min"]
            assert area_m is None or least(profile) <= area_m


@st.composite
def cases(draw: st.DrawFn) -> tuple[MemoryGrid, Points, float]:
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    place = draw(st.sampled_from(sorted(PLACES)))
    cell_m = draw(st.sampled_from([10.0, 80.0, 400.0]))
    grid, lon, lat = grid_at(
        rng, place, cell_m, draw(st.sampled_from([0.5, 1.0])), draw(st.sampled_from([0.0, 0.3]))
    )
    points = walk(rng, lon, lat, cell_m * draw(st.floats(1.0, 30.0)), draw(st.integers(1, 4)))
    return grid, points, cell_m * draw(st.floats(0.1, 4.0))


@given(cases(), st.floats(1.0, 3.0))
def test_a_wider_corridor_is_never_deeper(
    case: tuple[MemoryGrid, Points, float], times: float
) -> None:
    grid, points, half_width_m = case
    narrow = profiles(grid, points, half_width_m)
    wide = profiles(grid, points, half_width_m * times)
    assert all(least(w) <= least(n) for w, n in zip(wide, narrow, strict=True))


@given(cases())
def test_a_shoal_put_in_is_never_lost_and_nothing_else_gets_deeper(
    case: tuple[MemoryGrid, Points, float],
) -> None:
    grid, points, half_width_m = case
    before = profiles(grid, points, half_width_m)
    hits = [(p, n) for p in before for n in np.flatnonzero(p.row >= 0)]
    if not hits:
        return
    profile, n = hits[len(hits) // 2]
    grid.depth[profile.row[n], profile.column[n]] = -50.0
    after = profiles(grid, points, half_width_m)
    assert min(least(p) for p in after) == -50.0
    for old, new in zip(before, after, strict=True):
        assert (new.charted_depth_m <= old.charted_depth_m).all()


@given(cases(), st.integers(1, 60), st.integers(1, 60))
def test_the_size_of_blocks_changes_nothing_and_each_is_asked_for_once(
    case: tuple[MemoryGrid, Points, float], rows: int, columns: int
) -> None:
    grid, points, half_width_m = case
    before = profiles(grid, points, half_width_m)
    grid.block_rows, grid.block_columns = rows, columns
    grid.asked.clear()
    after = profiles(grid, points, half_width_m)
    for old, new in zip(before, after, strict=True):
        for name in ("charted_depth_m", "column", "row", "any_invalid", "off_grid"):
            assert np.array_equal(getattr(old, name), getattr(new, name))
    assert all(times == 1 for times in grid.asked.values())


def test_the_size_of_batches_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(13)
    for place in PLACES:
        grid, lon, lat = grid_at(rng, place, 40.0, holes=0.1)
        grid.depth = np.floor(grid.depth / 300.0)  # with ties
        points = walk(rng, lon, lat, 900.0, legs=3)
        before = profiles(grid, points, 90.0)
        with monkeypatch.context() as patch:
            patch.setattr(gather, "_CELLS_AT_ONCE", 50)
            patch.setattr(engine, "_RUNS_AT_ONCE", 20)
            patch.setattr(engine, "_PARTS_AT_ONCE", 7)
            after = profiles(grid, points, 90.0)
        for old, new in zip(before, after, strict=True):
            for name in ("charted_depth_m", "column", "row", "any_invalid", "off_grid"):
                assert np.array_equal(getattr(old, name), getattr(new, name))


@given(cases(), st.sampled_from([-360.0, 360.0, 720.0]))
def test_a_whole_turn_of_longitude_changes_nothing(
    case: tuple[MemoryGrid, Points, float], turn: float
) -> None:
    grid, points, half_width_m = case
    before = profiles(grid, points, half_width_m)
    if grid.into is None:
        grid.x += turn
        after = profiles(grid, points, half_width_m)
        for old, new in zip(before, after, strict=True):
            assert least(old) == least(new)


def test_no_data_is_told_and_is_no_depth() -> None:
    depth = np.full((20, 20), 9.0)
    depth[:, 10:] = np.nan
    grid = MemoryGrid(depth, x=10.0, y=54.0, dx=0.01, dy=0.01)
    profile = profiles(grid, [(10.02, 53.9), (10.15, 53.9)], 300.0)[0]
    strip = profile.along_to_m > profile.along_from_m
    east = profile.parts.lon_deg.min(axis=1) > 10.0951
    assert np.isinf(profile.charted_depth_m[strip & east]).all()
    assert profile.any_invalid[strip & east].all()
    west = profile.parts.lon_deg.max(axis=1) < 10.0949
    assert (profile.charted_depth_m[strip & west] == 9.0).all()
    assert not profile.any_invalid[strip & west].any()
    assert not profile.off_grid.any()


def test_a_leg_that_leaves_the_grid_says_so_and_one_far_off_has_no_parts() -> None:
    grid = MemoryGrid(np.full((20, 20), 9.0), x=10.0, y=54.0, dx=0.01, dy=0.01)
    leaving, away = profiles(grid, [(10.1, 53.9), (10.4, 53.9), (12.0, 53.0)], 300.0)
    strip = leaving.along_to_m > leaving.along_from_m
    beyond = leaving.parts.lon_deg.max(axis=1) > 10.195
    assert (leaving.off_grid == beyond)[strip].all()
    assert np.isinf(leaving.charted_depth_m[leaving.parts.lon_deg.min(axis=1) > 10.196]).all()
    assert len(away.row) == 0


def test_a_wide_corridor_on_a_fine_grid_takes_bounded_batches() -> None:
    rng = np.random.default_rng(5)
    depth = rng.uniform(5.0, 50.0, (1500, 1500))
    depth[700, 900] = 1.0
    grid = MemoryGrid(depth, x=10.0, y=54.0, dx=0.00003, dy=0.00002, block=(256, 256))
    points = [(10.001, 53.999), (10.044, 53.971)]
    profile = profiles(grid, points, 1500.0)[0]
    assert least(profile) == 1.0
    assert set(grid.asked.values()) == {1}
    assert len(grid.asked) > 30


def test_legs_of_two_routes_are_refused() -> None:
    grid = MemoryGrid(np.full((9, 9), 30.0), x=0.0, y=0.0, dx=0.1, dy=0.1)
    legs: Sequence = [
        corridors(route_through([(0.1, -0.1), (0.3, -0.1)]), ((50.0, 50.0),))[0] for _ in range(2)
    ]
    with pytest.raises(ValueError, match="different routes"):
        shoalest(grid, legs)


def test_a_grid_that_breaks_its_word_is_an_error_and_no_clear_water() -> None:
    points = [(0.1, -0.1), (0.3, -0.1)]
    grid = MemoryGrid(np.full((9, 9), 30.0), x=0.0, y=0.0, dx=0.1, dy=0.1)
    grid.depth[1, 2] = np.nan  # and called valid
    with pytest.raises(ValueError, match="not finite"):
        profiles(grid, points, 50.0)
    grid = MemoryGrid(np.full((9, 9), 30.0), x=0.0, y=0.0, dx=0.1, dy=0.1)
    grid.rows = 20  # more than its blocks hold
    with pytest.raises(ValueError, match="block"):
        profiles(grid, points, 50.0)


@pytest.mark.parametrize("course", [45.0, 135.0, 300.0])
def test_a_very_wide_corridor_has_no_crack_at_its_waypoints(course: float) -> None:
    """Ten miles either side, at 70 north: a line of longitude and latitude from side to side
    passes the waypoint some 50 m off, and a shoal of 4 m lies right there."""
    start = (20.0, 70.0)
    end = rhumb_direct(*start, course, 9_000.0)
    points = [start, end, rhumb_direct(*end, course + 3.0, 9_000.0)]
    route = route_through(points)
    legs = corridors(route, ((18_520.0, 18_520.0),) * 2)
    dy = 4.0 / 111_500.0
    for lon, lat in points:
        for off_m in range(-120, 121, 12):
            at = rhumb_direct(lon, lat, course, float(off_m))
            depth = np.full((3, 3), 50.0)
            depth[1, 1] = 1.0
            grid = MemoryGrid(depth, x=at[0] - 3 * dy, y=at[1] + dy, dx=3 * dy, dy=dy)
            assert min(least(profile) for profile in shoalest(grid, legs)) == 1.0
