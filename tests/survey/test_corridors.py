"""Corridors against geodesic distances to a densely sampled track, and their area by geometry."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from pyproj import Geod
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.nav.rhumb import rhumb_direct, rhumb_inverse, rhumb_positions
from routecheck.survey.corridors import STRETCH_M, LegCorridor, corridors
from routecheck.units import METRES_PER_NMI

GEOD = Geod(ellps="WGS84")
Floats = NDArray[np.float64]
JUST_INSIDE, JUST_OUTSIDE = 0.999, 1.002


def route(
    positions: Sequence[tuple[float, float]],
    line: LegLine = LegLine.RHUMB,
    radii_m: Sequence[float] | None = None,
) -> Route:
    radii = radii_m or [0.0] * len(positions)
    points = [
        Waypoint(name=f"W{n}", lon_deg=lon, lat_deg=lat, turn_radius_m=radius)
        for n, ((lon, lat), radius) in enumerate(zip(positions, radii, strict=True))
    ]
    legs = tuple(
        Leg(number=n, start=points[n - 1], end=points[n], line=line) for n in range(1, len(points))
    )
    return Route(name="r", legs=legs, file="r.gpx")


def from_courses(lon: float, lat: float, legs: Sequence[tuple[float, float]]) -> Route:
    """A route from (course, metres) of each leg."""
    positions = [(lon, lat)]
    for course, far_m in legs:
        positions.append(rhumb_direct(*positions[-1], course, far_m))
    return route(positions)


def made(drawn: Route, port_m: float, starboard_m: float | None = None) -> tuple[LegCorridor, ...]:
    star = port_m if starboard_m is None else starboard_m
    return corridors(drawn, ((port_m, star),) * len(drawn.legs))


def holds(shape: BaseGeometry, lon: float, lat: float) -> bool:
    """Whether a leg's outline, whose longitudes run on unwrapped, holds a position."""
    return any(bool(shape.intersects(shapely.Point(lon + turn, lat))) for turn in (-360, 0, 360))


def any_holds(legs: Sequence[LegCorridor], lon: float, lat: float) -> bool:
    return any(holds(leg.outline, lon, lat) for leg in legs)


def sampled(drawn: Route, step_m: float) -> tuple[Floats, Floats]:
    """Positions along the whole track, `step_m` apart or closer; great circles by pyproj."""
    lons, lats = [], []
    for leg in drawn.legs:
        ends = leg.start.lon_deg, leg.start.lat_deg, leg.end.lon_deg, leg.end.lat_deg
        if leg.line is LegLine.GREAT_CIRCLE:
            azimuth, _, length_m = GEOD.inv(*ends)
            along = np.linspace(0.0, length_m, math.ceil(length_m / step_m) + 1)
            count = len(along)
            lon, lat, _ = GEOD.fwd(
                np.full(count, ends[0]), np.full(count, ends[1]), np.full(count, azimuth), along
            )
        else:
            length_m = float(rhumb_inverse(*ends)[1])
            along = np.linspace(0.0, length_m, math.ceil(length_m / step_m) + 1)
            lon, lat = rhumb_positions(*ends, along)
        lons.append(np.asarray(lon))
        lats.append(np.asarray(lat))
    return np.concatenate(lons), np.concatenate(lats)


def distance_m(track: tuple[Floats, Floats], lon: float, lat: float) -> float:
    lons, lats = track
    return float(GEOD.inv(lons, lats, np.full_like(lons, lon), np.full_like(lats, lat))[2].min())


def area_m2(shape: BaseGeometry) -> float:
    return abs(float(GEOD.geometry_area_perimeter(shape)[0]))


PLACES = [(-30.0, 0.0), (10.0, 54.0), (-70.0, 75.0), (179.999, 20.0), (-179.99, -75.0)]


@pytest.mark.parametrize("width_m", [10.0, 185.2, 1852.0, 18_520.0])
@pytest.mark.parametrize("course", [0.0, 45.0, 90.0, 200.0, 271.0])
@pytest.mark.parametrize(("lon", "lat"), PLACES)
def test_half_width_is_true_to_a_thousandth(
    lon: float, lat: float, course: float, width_m: float
) -> None:
    """Either side, in the middle of the leg, by the geodesic square to the track."""
    drawn = from_courses(lon, lat, [(course, 3.0 * max(width_m, 200.0))])
    (leg,) = made(drawn, width_m, 1.5 * width_m)
    track = sampled(drawn, min(50.0, width_m / 50.0))
    middle = np.linspace(0.4, 0.6, 7) * leg.length_m
    lons, lats, courses = leg.track(middle)
    for at_lon, at_lat, at_course in zip(lons, lats, courses, strict=True):
        for side_deg, limit_m in ((-90.0, width_m), (90.0, 1.5 * width_m)):
            for share, inside in ((JUST_INSIDE, True), (JUST_OUTSIDE, False)):
                off_deg = at_course + side_deg
                there = GEOD.fwd(float(at_lon), float(at_lat), off_deg, share * limit_m)[:2]
                # The point is as far from the track as was meant.
                assert distance_m(track, *there) == pytest.approx(share * limit_m, rel=2e-4)
                assert holds(leg.outline, *there) is inside, (side_deg, share)


LEGS = st.lists(st.tuples(st.floats(0.0, 360.0), st.floats(2.0, 8.0)), min_size=1, max_size=3)


@given(
    lon=st.floats(-180.0, 180.0) | st.just(179.9999),
    lat=st.floats(-76.0, 76.0),
    legs=LEGS,
    width_m=st.floats(10.0, 2000.0),
    data=st.data(),
)
def test_what_is_near_the_track_is_in_and_what_is_far_is_out(
    lon: float, lat: float, legs: list[tuple[float, float]], width_m: float, data: st.DataObject
) -> None:
    """Bends, round ends and all, for a corridor of one width, wherever it lies."""
    drawn = from_courses(lon, lat, [(course, widths * width_m) for course, widths in legs])
    shape = made(drawn, width_m)
    track = sampled(drawn, width_m / 40.0)
    for _ in range(6):
        index = data.draw(st.integers(0, len(track[0]) - 1))
        bearing = data.draw(st.floats(0.0, 360.0))
        share = data.draw(st.sampled_from([0.3, 0.9, 0.998, 1.003, 1.1, 1.5]))
        there = GEOD.fwd(float(track[0][index]), float(track[1][index]), bearing, share * width_m)
        off_m = distance_m(track, *there[:2])
        # Samples a fortieth apart: the distance is too long by at most 8e-5 of the width.
        if off_m <= JUST_INSIDE * width_m:
            assert any_holds(shape, *there[:2])
        elif off_m >= JUST_OUTSIDE * width_m:
            assert not any_holds(shape, *there[:2])


@pytest.mark.parametrize(("lon", "lat"), PLACES)
@pytest.mark.parametrize("turn", [-150.0, -90.0, -20.0, 1.0, 45.0, 120.0, 179.0])
def test_the_outside_of_a_bend_belongs_to_the_corridor(lon: float, lat: float, turn: float) -> None:
    width_m = 200.0
    drawn = from_courses(lon, lat, [(40.0, 2000.0), (40.0 + turn, 2000.0)])
    first, second = made(drawn, width_m)
    corner = drawn.legs[0].end
    outside_deg = 40.0 + math.copysign(90.0, -turn)
    for part in np.linspace(0.02, 0.98, 13):
        bearing = outside_deg + part * turn
        for share, inside in ((JUST_INSIDE, True), (JUST_OUTSIDE, False)):
            there = GEOD.fwd(corner.lon_deg, corner.lat_deg, bearing, share * width_m)[:2]
            assert any_holds((first, second), *there) is inside
    # Each half of the bend belongs to its own leg.
    for leg, part in ((first, 0.25), (second, 0.75)):
        bearing = outside_deg + part * turn
        there = GEOD.fwd(corner.lon_deg, corner.lat_deg, bearing, 0.9 * width_m)[:2]
        assert holds(leg.outline, *there)


@pytest.mark.parametrize("turn", [-100.0, -30.0, 30.0, 100.0])
@pytest.mark.parametrize("widths", [(100.0, 300.0), (300.0, 100.0)])
def test_outside_a_bend_between_two_widths_the_wider_holds(
    turn: float, widths: tuple[float, float]
) -> None:
    """2026-11-25: the narrower one in its place was noticed by random worlds alone."""
    drawn = from_courses(10.0, 54.0, [(40.0, 2000.0), (40.0 + turn, 2000.0)])
    legs = corridors(drawn, tuple((width, width) for width in widths))
    corner = drawn.legs[0].end
    outside_deg = 40.0 + math.copysign(90.0, -turn)
    for part in (0.1, 0.4, 0.6, 0.9):
        bearing = outside_deg + part * turn
        there = GEOD.fwd(corner.lon_deg, corner.lat_deg, bearing, JUST_INSIDE * 300.0)[:2]
        assert any_holds(legs, *there)


@pytest.mark.parametrize(("lon", "lat"), PLACES)
@pytest.mark.parametrize("turn", [-120.0, -60.0, 30.0, 90.0, 120.0])
def test_the_cut_corner_of_a_turn_belongs_to_the_corridor(
    lon: float, lat: float, turn: float
) -> None:
    """A boat that turns with a radius leaves the legs where the arc touches them; all within the
    half-width of that arc is in, and without the radius it would not have been."""
    width_m, radius_m = 50.0, 600.0
    positions = [(w.lon_deg, w.lat_deg) for w in _bent(lon, lat, turn).waypoints]
    turning = made(route(positions, radii_m=[0.0, radius_m, 0.0]), width_m)
    sharp = made(route(positions), width_m)
    side = math.copysign(1.0, turn)
    # Where the arc touches each leg; its centre lies square to the leg from there. The two
    # centres differ a little, as a rhumb line is curved.
    tangent_m = radius_m * math.tan(math.radians(abs(turn)) / 2.0)
    touch = [rhumb_direct(*positions[1], course, tangent_m) for course in (220.0, 40.0 + turn)]
    centres = [
        GEOD.fwd(*at, course + side * 90.0, radius_m)
        for at, course in zip(touch, (40.0, 40.0 + turn), strict=True)
    ]
    slack_m = GEOD.inv(*centres[0][:2], *centres[1][:2])[2]
    assert slack_m < 0.5
    missed = 0
    for part in np.linspace(0.0, 1.0, 15):
        lon_c, lat_c, back_deg = centres[0 if part <= 0.5 else 1]
        bearing = back_deg + (part if part <= 0.5 else part - 1.0) * turn
        for share in (-1.0, 0.0, 1.0):
            limit_m = JUST_INSIDE * width_m - (slack_m if 0.0 < part < 1.0 else 0.0)
            there = GEOD.fwd(lon_c, lat_c, bearing, radius_m + share * limit_m)[:2]
            assert any_holds(turning, *there), (part, share)
            missed += not any_holds(sharp, *there)
    assert missed > 0 or abs(turn) <= 30.0


def _bent(lon: float, lat: float, turn: float) -> Route:
    return from_courses(lon, lat, [(40.0, 3000.0), (40.0 + turn, 3000.0)])


@pytest.mark.parametrize("widths", [(185.2, 185.2), (50.0, 300.0), (1852.0, 926.0)])
@pytest.mark.parametrize(("lon", "lat"), PLACES)
def test_the_area_of_a_straight_corridor(
    lon: float, lat: float, widths: tuple[float, float]
) -> None:
    """A strip and two round ends: (p + s) L + pi (p**2 + s**2) / 2, by geodesic polygon area."""
    port_m, starboard_m = widths
    drawn = from_courses(lon, lat, [(62.0, 20_000.0)])
    (leg,) = made(drawn, port_m, starboard_m)
    flat = (port_m + starboard_m) * 20_000.0 + math.pi * (port_m**2 + starboard_m**2) / 2.0
    # A rhumb line curves towards the pole: the side away from it is the longer one.
    bent = math.tan(math.radians(lat)) * math.sin(math.radians(62.0)) / 6.37e6
    flat += 20_000.0 * bent * (starboard_m**2 - port_m**2) / 2.0
    assert area_m2(leg.outline) == pytest.approx(flat, rel=1e-3)
    assert area_m2(leg.outline) > flat * (1.0 - 1e-5)
    assert area_m2(leg.outline) == pytest.approx(_brute_area_m2(drawn, widths), rel=1e-3)


def _brute_area_m2(drawn: Route, widths: tuple[float, float]) -> float:
    """Of one leg: its outline by geodesics square to the track every 10 m, ends every degree."""
    lons, lats = sampled(drawn, 10.0)
    ahead = float(rhumb_inverse(lons[0], lats[0], lons[-1], lats[-1])[0])
    port_m, starboard_m = widths
    rim = [GEOD.fwd(x, y, ahead - 90.0, port_m)[:2] for x, y in zip(lons, lats, strict=True)]
    for degree in range(-89, 90):
        limit_m = port_m if degree < 0 else starboard_m
        rim.append(GEOD.fwd(lons[-1], lats[-1], ahead + degree, limit_m)[:2])
    back = zip(lons[::-1], lats[::-1], strict=True)
    rim += [GEOD.fwd(x, y, ahead + 90.0, starboard_m)[:2] for x, y in back]
    for degree in range(91, 270):
        limit_m = starboard_m if degree < 180 else port_m
        rim.append(GEOD.fwd(lons[0], lats[0], ahead + degree, limit_m)[:2])
    lon, lat = zip(*rim, strict=True)
    return abs(float(GEOD.polygon_area_perimeter(lon, lat)[0]))


@pytest.mark.parametrize(("lon", "lat"), PLACES)
@pytest.mark.parametrize("turn", [-90.0, -30.0, 60.0, 110.0])
def test_the_area_of_a_bent_corridor(lon: float, lat: float, turn: float) -> None:
    """Strips, round ends, the sector outside the bend, less the kite inside it that both legs
    cover: w (2 (L1 + L2) + w (pi + t / 2 - tan(t / 2)))."""
    width_m = 300.0
    outlines = [leg.outline for leg in made(_bent(lon, lat, turn), width_m)]
    # The second leg may have begun on the other side of the antimeridian.
    here_lon = outlines[0].centroid.x
    turns = [360.0 * round((here_lon - outline.centroid.x) / 360.0) for outline in outlines]
    moved = [translate(o, xoff=turn) for o, turn in zip(outlines, turns, strict=True)]
    t = math.radians(abs(turn))
    expected = width_m * (2.0 * 6000.0 + width_m * (math.pi + t / 2.0 - math.tan(t / 2.0)))
    assert area_m2(shapely.union_all(moved)) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize(
    "ends",
    [
        [(-70.0, 41.0), (-9.0, 52.0)],
        [(170.0, 35.0), (-125.0, 48.0)],
        [(-30.0, 60.0), (60.0, 60.0)],
        [(-75.0, 60.0), (75.0, 61.0)],
        [(10.0, 74.0), (40.0, 76.0)],
        [(20.0, -35.0), (115.0, -34.0)],
    ],
)
@pytest.mark.parametrize("width_m", [185.2, 1852.0])
def test_a_great_circle_leg_follows_its_great_circle(
    ends: list[tuple[float, float]], width_m: float
) -> None:
    drawn = route(ends, LegLine.GREAT_CIRCLE)
    (leg,) = made(drawn, width_m)
    azimuth, _, length_m = GEOD.inv(*ends[0], *ends[1])
    assert leg.length_m == pytest.approx(length_m, rel=1e-6)
    outline = leg.outline
    shapely.prepare(outline)
    for along_m in np.linspace(0.0, length_m, 41)[1:-1]:
        lon, lat, back = GEOD.fwd(*ends[0], azimuth, along_m)
        for side_deg in (-90.0, 90.0):
            for share, inside in ((JUST_INSIDE, True), (JUST_OUTSIDE, False)):
                there = GEOD.fwd(lon, lat, back + 180.0 + side_deg, share * width_m)[:2]
                assert holds(outline, *there) is inside, (along_m, side_deg, share)


@given(
    lon=st.floats(-180.0, 180.0),
    lat=st.floats(-75.0, 75.0),
    legs=LEGS,
    widths=st.tuples(st.floats(0.0, 3000.0), st.floats(0.0, 3000.0)),
)
def test_stretches_are_whole_and_convex(
    lon: float, lat: float, legs: list[tuple[float, float]], widths: tuple[float, float]
) -> None:
    """They cover the leg from end to end, none longer than the step, each a convex ring."""
    assume(max(widths) > 1.0)
    drawn = from_courses(lon, lat, [(course, far * 300.0) for course, far in legs])
    for leg in made(drawn, *widths):
        parts = leg.stretches()
        begins, ends = parts.along_from_m, parts.along_to_m
        assert begins.min() == 0.0 and ends.max() == pytest.approx(leg.length_m)
        assert (ends - begins <= STRETCH_M + 1e-6).all()
        rings = np.stack([parts.lon_deg * np.cos(np.radians(lat)), parts.lat_deg], axis=2)
        edges = np.roll(rings, -1, axis=1) - rings
        after = np.roll(edges, -1, axis=1)
        turns = edges[..., 0] * after[..., 1] - edges[..., 1] * after[..., 0]
        slack = 1e-9 * np.abs(edges).max() ** 2
        assert ((turns >= -slack).all(axis=1) | (turns <= slack).all(axis=1)).all()


def test_a_mile_is_where_a_stretch_of_a_twentieth_says() -> None:
    drawn = from_courses(10.0, 54.0, [(90.0, METRES_PER_NMI)])
    (leg,) = made(drawn, 100.0)
    begins = np.unique(leg.stretches().along_from_m)
    assert begins[:20] == pytest.approx(np.arange(20) * METRES_PER_NMI / 20.0, abs=1e-6)


def test_a_leg_of_no_length_is_refused() -> None:
    with pytest.raises(ValueError, match="no length"):
        made(route([(10.0, 54.0), (10.0, 54.0)]), 100.0)
