"""What a turn takes from its own two legs, and from no other; and how wide it is where it must be.

Drawn in the plane by hand, from the turn's own circle, and compared through geodesics (pyproj).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from routecheck.model.route import LegLine
from routecheck.survey.arcs import arc_between
from routecheck.survey.bends import bends
from routecheck.survey.track import track_of
from tests.buoys import GEOD, Spot, route
from tests.survey.test_arcs import away_m, legs, spaced
from tests.survey.test_bends import made
from tests.survey.tracks import zigzag

TANGENT_M = 900.0 * math.tan(math.radians(42.0))
"""Of a turn of 84 degrees with 900 m of radius: 810 m, which fits on 2000 m, not on 300 m."""


@pytest.mark.parametrize("lengths_m", [(2000.0, 2000.0, 300.0), (300.0, 2000.0, 2000.0)])
def test_a_short_leg_beyond_the_next_turn_limits_no_radius(
    lengths_m: tuple[float, float, float],
) -> None:
    """Straight on there, so that the short leg has no arc of its own."""
    at = 0 if lengths_m[0] > 300.0 else 1
    courses = (0.0, 84.0, 84.0) if at == 0 else (0.0, 0.0, 84.0)
    parts, of_leg = made(
        zigzag(lengths_m, courses), radius_m=900.0, port_m=[100.0] * 3, starboard_m=[60.0] * 3
    )
    before = np.flatnonzero(np.array(of_leg) == at)[-9:]
    after = np.flatnonzero(np.array(of_leg) == at + 1)[-9:]
    assert parts.along_from_m[before] == pytest.approx([2000.0 - TANGENT_M] * 9, abs=1e-2)
    assert parts.along_to_m[before] == pytest.approx([2000.0] * 9, abs=1e-2)
    assert parts.along_from_m[after] == pytest.approx([0.0] * 9)
    assert parts.along_to_m[after] == pytest.approx([TANGENT_M] * 9, abs=1e-2)


@pytest.mark.parametrize(
    "courses", [(90.0, 330.0, 0.0), (90.0, 330.0, 60.0), (270.0, 30.0, 330.0), (90.0, 60.0, 250.0)]
)
def test_each_part_runs_on_from_its_own_of_three_legs(courses: tuple[float, float, float]) -> None:
    """To and fro over 180 degrees, waypoints on either side of it."""
    spot = Spot(180.0, 0.0)
    start = (-1900.0, 0.0) if courses[0] == 90.0 else (1900.0, 0.0)
    places = [(start[0] + x, y) for x, y in zigzag([2000.0] * 3, courses)]
    parts, of_leg = made(
        places, radius_m=100.0, spot=spot, port_m=[100.0] * 3, starboard_m=[60.0] * 3
    )
    starts = [leg.start.lon_deg for leg in route(places, spot).legs]
    assert min(starts) < -179.0 and max(starts) > 179.0
    for number, leg in enumerate(of_leg):
        assert np.abs(parts.lon_deg[number] - starts[leg]).max() < 0.1


def test_where_no_circle_touches_both_legs_the_band_is_as_much_wider() -> None:
    """Back along a great circle where a rhumb line came, at 77 degrees: each leaves the plane's
    straight line by d^2 tan(latitude) / 2R, 48 m after d = 11.9 km, and so may the track between
    them leave the circle that stands in. 20 m are to be held to either side of it."""
    before, after = legs(77.0, 95.0, -179.9, (LegLine.RHUMB, LegLine.GREAT_CIRCLE), 10.0)
    radius_m = 11_900.0 / math.tan(math.radians(179.9 / 2.0))
    corner = replace(before.end, turn_radius_m=radius_m)
    both = replace(before, end=corner), replace(after, start=corner)
    width_m = np.array([20.0, 20.0])
    parts, of_leg = bends(both, track_of(both, width_m), width_m, width_m)
    missed_m = 11_900.0**2 * math.tan(math.radians(77.0)) / (2.0 * 6.371e6)
    assert missed_m == pytest.approx(48.0, abs=0.5)
    for leg in (0, 1):
        which = np.flatnonzero(of_leg == leg)[-18:]
        lon, lat = parts.lon_deg[which], parts.lat_deg[which]
        centre = np.full_like(lon, lon[0, 2]), np.full_like(lat, lat[0, 2])
        away_m = GEOD.inv(*centre, lon, lat)[2]
        assert away_m[:, 2:].max() < 1e-3
        # Eight metres of radius are left, where the rhumb line's course is that of its chord.
        assert away_m[:, :2].min() > 8.0 + 20.0 + missed_m


@pytest.mark.parametrize("lengths_m", [(12_000.0, 20_000.0), (20_000.0, 12_000.0)])
def test_a_band_runs_as_far_as_the_arc_and_no_further_than_its_leg(
    lengths_m: tuple[float, float],
) -> None:
    """A turn as wide as the shorter leg allows, at 77 degrees, where the arc touches the legs 50 m
    further from the waypoint than in a plane. Compared by brute force with where the circle comes
    nearest to either leg, metre by metre."""
    before, after = legs(77.0, 200.0, 157.0, (LegLine.RHUMB, LegLine.RHUMB), 10.0, lengths_m)
    corner = replace(before.end, turn_radius_m=9e4)
    both = replace(before, end=corner), replace(after, start=corner)
    width_m = np.array([20.0, 20.0])
    parts, of_leg = bends(both, track_of(both, width_m), width_m, width_m)
    radius_m = 12_000.0 / math.tan(math.radians(157.0 / 2.0))
    arc = arc_between(*both, radius_m, 157.0)
    first, second = (np.flatnonzero(of_leg == leg)[-16:] for leg in (0, 1))
    end_m = lengths_m[0]
    from_m = max(end_m - 12_100.0, 0.0)
    nearest_m = from_m + float(np.argmin(away_m(arc, *spaced(both[0], from_m, end_m))))
    assert parts.along_from_m[first] == pytest.approx([nearest_m] * 16, abs=2.0)
    assert parts.along_to_m[first] == pytest.approx([end_m] * 16, abs=0.1)
    to_m = min(12_100.0, lengths_m[1])
    nearest_m = float(np.argmin(away_m(arc, *spaced(both[1], 0.0, to_m))))
    assert parts.along_from_m[second] == pytest.approx([0.0] * 16)
    assert parts.along_to_m[second] == pytest.approx([nearest_m] * 16, abs=2.0)
