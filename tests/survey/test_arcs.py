"""The circle of a turn touches both legs as they run on the ellipsoid.

Compared by brute force: distances from its centre to places a metre apart, or less, along each leg,
rhumb lines by Karney's figures (nav.rhumb, tested against RhumbSolve), great circles by pyproj.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.route import Leg, LegLine, Waypoint
from routecheck.nav.rhumb import rhumb_inverse, rhumb_positions
from routecheck.nav.turning import radius_that_fits_m
from routecheck.survey.arcs import Arc, arc_between
from routecheck.survey.corridors import corridors
from routecheck.survey.marktrack import mark_track
from tests.survey.charts import route

GEOD = Geod(ellps="WGS84")
RHUMB, CIRCLE = LegLine.RHUMB, LegLine.GREAT_CIRCLE


def legs(
    lat_deg: float,
    in_deg: float,
    turn_deg: float,
    lines: tuple[LegLine, LegLine],
    lon_deg: float,
    lengths_m: tuple[float, float] = (12_000.0, 12_000.0),
) -> tuple[Leg, Leg]:
    """Two legs, drawn from the waypoint between them; courses of rhumb lines or great circles
    there."""
    points = []
    for course_deg, line, length_m in (
        (in_deg + 180.0, lines[0], lengths_m[0]),
        (in_deg + turn_deg, lines[1], lengths_m[1]),
    ):
        lon, lat, _ = GEOD.fwd(lon_deg, lat_deg, course_deg, length_m)
        if line is RHUMB:  # turned until the course is right
            for _ in range(5):
                off = float(rhumb_inverse(lon_deg, lat_deg, lon, lat)[0]) - course_deg
                course = GEOD.inv(lon_deg, lat_deg, lon, lat)[0] - (off + 180.0) % 360.0 + 180.0
                lon, lat, _ = GEOD.fwd(lon_deg, lat_deg, course, length_m)
        points.append(Waypoint(name="", lon_deg=lon, lat_deg=lat))
    corner = Waypoint(name="", lon_deg=lon_deg, lat_deg=lat_deg, turn_radius_m=1.0)
    return (
        Leg(number=1, start=points[0], end=corner, line=lines[0]),
        Leg(number=2, start=corner, end=points[1], line=lines[1]),
    )


def spaced(
    leg: Leg, from_m: float, to_m: float, step_m: float = 1.0
) -> tuple[np.ndarray, np.ndarray]:
    """Places so far apart, and so far along a leg."""
    ends = leg.start.lon_deg, leg.start.lat_deg, leg.end.lon_deg, leg.end.lat_deg
    along = np.arange(from_m, to_m, step_m)
    if leg.line is RHUMB:
        return rhumb_positions(*ends, along)
    course, _, _ = GEOD.inv(*ends)
    full = np.ones(len(along))
    lon, lat, _ = GEOD.fwd(full * ends[0], full * ends[1], full * course, along)
    return lon, lat


def away_m(arc: Arc, lon: np.ndarray, lat: np.ndarray) -> np.ndarray:
    ones = np.ones(len(lon))
    return np.asarray(GEOD.inv(ones * arc.lon_deg, ones * arc.lat_deg, lon, lat)[2])


@pytest.mark.parametrize("lat_deg", [-77.0, -40.0, 0.0, 60.0, 81.5])
@pytest.mark.parametrize("lines", [(RHUMB, RHUMB), (CIRCLE, CIRCLE), (RHUMB, CIRCLE)])
@pytest.mark.parametrize(
    ("in_deg", "turn_deg", "radius_m"),
    [
        (20.0, 156.9, 1550.0),
        (250.0, -147.0, 2337.0),
        (95.0, 90.0, 300.0),
        (300.0, -3.0, 20000.0),
        (0.0, 0.2, 900.0),
        # Touched less than a metre from the waypoint; and near the far ends of the legs.
        (140.0, -45.0, 1.0),
        (140.0, 90.0, 11_900.0),
    ],
)
def test_the_circle_touches_both_legs(
    lat_deg: float,
    in_deg: float,
    turn_deg: float,
    radius_m: float,
    lines: tuple[LegLine, LegLine],
) -> None:
    before, after = legs(lat_deg, in_deg, turn_deg, lines, -179.9)
    arc = arc_between(before, after, radius_m, turn_deg)
    tangent_m = radius_m * math.tan(math.radians(abs(turn_deg) / 2.0))
    assert arc.off_m < 1e-3
    ends = before.start.lon_deg, before.start.lat_deg, -179.9, lat_deg
    length_m = float(rhumb_inverse(*ends)[1] if lines[0] is RHUMB else GEOD.inv(*ends)[2])
    for leg, at_m, share in (
        (before, length_m - arc.before_m, 0.0),
        (after, arc.after_m, 1.0),
    ):
        step_m = min(1.0, radius_m / 100.0)
        lon, lat = spaced(leg, max(at_m - 400.0 * step_m, 0.0), at_m + 400.0 * step_m, step_m)
        far_m = away_m(arc, lon, lat)
        assert far_m.min() == pytest.approx(radius_m, abs=2e-3)
        # Where it touches, the arc begins or ends.
        lon, lat = spaced(leg, at_m, at_m + 0.5)
        there = arc.places(np.array([share]), radius_m)
        assert GEOD.inv(lon[0], lat[0], float(there[0][0]), float(there[1][0]))[2] < 0.05
    assert arc.before_m == pytest.approx(tangent_m, rel=0.02)
    assert arc.after_m == pytest.approx(tangent_m, rel=0.02)
    assert arc.sweep_deg == pytest.approx(turn_deg, abs=2.5)


@pytest.mark.parametrize("turn_deg", [179.9, -179.9, 179.999])
def test_where_none_touches_both_it_says_how_far_off_it_may_be(turn_deg: float) -> None:
    """Back along a great circle where a rhumb line came: they part by more than the turn opens."""
    before, after = legs(77.0, 95.0, turn_deg, (RHUMB, CIRCLE), 10.0)
    radius_m = 11_900.0 / math.tan(math.radians(abs(turn_deg) / 2.0))
    arc = arc_between(before, after, radius_m, turn_deg)
    if arc.off_m < 1.0:  # found: then it touches both
        for leg in (before, after):
            assert away_m(arc, *spaced(leg, 0.0, 12_000.0)).min() == pytest.approx(
                radius_m, abs=0.5
            )
    else:
        # d^2 tan(latitude) / 2R for d = 11.9 km: 48 m; allowed for twice.
        assert 90.0 < arc.off_m < 110.0


def test_straight_back_it_turns_on_the_spot() -> None:
    """No circle but one without a radius fits between a line and itself."""
    before, after = legs(54.0, 70.0, 180.0, (RHUMB, RHUMB), 10.0)
    radius_m = radius_that_fits_m(300.0, 180.0, [12_000.0, 12_000.0])
    arc = arc_between(before, after, radius_m, 180.0)
    assert radius_m < 0.001
    assert max(arc.before_m, arc.after_m) < 0.001
    assert away_m(arc, np.array([10.0]), np.array([54.0]))[0] < 0.001


@pytest.mark.parametrize("turn_deg", [179.979, -179.979])
def test_from_the_equator_a_rhumb_line_bends_later(turn_deg: float) -> None:
    """There tan(latitude) is 0: not at the waypoint, but where the legs are touched it says by how
    much they bend. s^3 sin(course) cos(course) / 6R^2 is 440 m after 600 km at 45 degrees."""
    before, after = legs(0.0, 45.0, turn_deg, (RHUMB, CIRCLE), 10.0, (600_000.0, 600_000.0))
    radius_m = 600_000.0 / math.tan(math.radians(abs(turn_deg) / 2.0))
    arc = arc_between(before, after, radius_m, turn_deg)
    missed_m = [
        abs(away_m(arc, *spaced(leg, from_m, from_m + 20_000.0, 10.0)).min() - radius_m)
        for leg, from_m in ((before, 600_000.0 - arc.before_m), (after, arc.after_m - 10_000.0))
    ]
    assert max(missed_m) <= arc.off_m + 0.1
    assert (arc.off_m > 1.0) == (max(missed_m) > 100.0)


def test_the_corridor_holds_the_arc_and_its_width_seven_kilometres_from_the_waypoint() -> None:
    """A turn of 157 degrees with 1.55 km of radius at 77 degrees south, 20 m to either side."""
    before, after = legs(-77.0, 20.0, 157.0, (RHUMB, RHUMB), 30.0)
    arc = arc_between(before, after, 1550.0, 157.0)
    assert arc.before_m > 7000.0
    one = route(
        [
            (before.start.lon_deg, before.start.lat_deg),
            (30.0, -77.0),
            (after.end.lon_deg, after.end.lat_deg),
        ],
        turn_radius_m=1550.0,
    )
    found = corridors(one, ((20.0, 20.0),) * 2)
    parts = [corridor.bends for corridor in found]
    rings = np.concatenate([np.stack([some.lon_deg, some.lat_deg], axis=2) for some in parts])
    shape = shapely.union_all(shapely.polygons(rings))
    share = np.linspace(0.001, 0.999, 200)
    for off_m, inside in ((-19.9, True), (0.0, True), (19.9, True), (-22.0, False), (22.0, False)):
        points = shapely.points(np.stack(arc.places(share, 1550.0 + off_m), axis=1))
        assert (shapely.intersects(shape, points) == inside).all()
    # The track on which marks are met runs along the same arc: no step where they join.
    track = mark_track(found)
    lon, lat = track.lines.positions(np.arange(len(track)), track.begin_m)
    end_lon, end_lat = track.lines.positions(np.arange(len(track)), track.end_m)
    gaps = GEOD.inv(end_lon[:-1], end_lat[:-1], lon[1:], lat[1:])[2]
    assert len(track) > 30
    assert max(gaps) < 0.01
