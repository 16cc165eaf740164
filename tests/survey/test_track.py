"""Lines and tracks in arrays, against PROJ's geodesics and its chart of Mercator."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from pyproj import Geod, Transformer

from routecheck.model.route import Leg, LegLine, Waypoint
from routecheck.nav.rhumb import offset_positions
from routecheck.survey.track import LONGEST_CHUNK_M, Lines, Track, track_of

GEOD = Geod(ellps="WGS84")
MERCATOR = Transformer.from_crs("EPSG:4326", "+proj=merc +ellps=WGS84", always_xy=True)
Floats = NDArray[np.float64]
# Start and end: north, south, due east and west off the equator and on it, aslant either way,
# over the antimeridian.
ENDS = np.array(
    [
        (10.0, 50.0, 10.0, 50.4),
        (10.0, -50.0, 10.0, -50.4),
        (10.0, 60.0, 10.5, 60.0),
        (-20.0, 0.0, -20.5, 0.0),
        (10.0, 50.0, 10.4, 50.3),
        (-70.0, -40.0, -70.4, -39.8),
        (179.8, 20.0, -179.8, 20.3),
        (-179.9, -75.0, 179.7, -75.1),
    ]
)


def lines() -> Lines:
    return Lines.between(*ENDS.T.copy())


def leg(
    number: int,
    start: tuple[float, float],
    end: tuple[float, float],
    line: LegLine = LegLine.GREAT_CIRCLE,
) -> Leg:
    a, b = (
        Waypoint(name=n, lon_deg=x, lat_deg=y) for n, (x, y) in zip("AB", (start, end), strict=True)
    )
    return Leg(number=number, start=a, end=b, line=line)


def test_ends_of_lines() -> None:
    made = lines()
    lon, lat, end_lon, end_lat = ENDS.T
    turns = np.array([0, 0, 0, 0, 0, 0, 360, -360])
    assert made.lon_deg.tolist() == lon.tolist() and made.lat_deg.tolist() == lat.tolist()
    assert made.end_lon_deg == pytest.approx(end_lon + turns, abs=1e-10)
    assert made.end_lat_deg.tolist() == end_lat.tolist()
    assert made.along_m.tolist() == [0.0] * len(ENDS)
    # Straight on Mercator's chart.
    x, y = MERCATOR.transform(
        np.array([lon * 0.0, end_lon + turns - lon]), np.array([lat, end_lat])
    )
    course = np.degrees(np.arctan2(x[1] - x[0], y[1] - y[0])) % 360.0
    assert made.course_deg == pytest.approx(course, abs=1e-7)
    assert made.course_deg[:4] == pytest.approx([0.0, 180.0, 90.0, 270.0], abs=1e-9)


@pytest.mark.parametrize("again", [False, True])
def test_positions_along_lines(again: bool) -> None:
    """On the straight line of the chart, and as far along as the geodesics of a hundred small
    pieces add up to; so too where the lines have been put together anew and start further on."""
    made = lines()
    which = np.arange(len(ENDS))
    shift_m = 0.0
    if again:
        turned = which[::-1]
        made = Lines.joined([(made, turned[:3]), (made, turned[3:])])
        shift_m = 1000.0
        made = Lines(**{**_facts(made), "along_m": made.along_m + shift_m})
    lon0, lat0 = made.lon_deg, made.lat_deg
    before_lon, before_lat = lon0.copy(), lat0.copy()
    gone_m = np.zeros(len(ENDS))
    for part in np.linspace(0.0, 1.0, 101)[1:]:
        lon, lat = made.positions(which, shift_m + part * made.length_m)
        gone_m += GEOD.inv(before_lon, before_lat, lon, lat)[2]
        assert gone_m == pytest.approx(part * made.length_m, rel=1e-8)
        x, y = MERCATOR.transform(np.array([lon0 * 0.0, lon - lon0]), np.array([lat0, lat]))
        course = np.radians(made.course_deg)
        off_m = (x[1] - x[0]) * np.cos(course) - (y[1] - y[0]) * np.sin(course)
        assert np.abs(off_m).max() < 1e-3
        before_lon, before_lat = lon, lat
    assert before_lon == pytest.approx(made.end_lon_deg, abs=1e-9)
    assert before_lat == pytest.approx(made.end_lat_deg, abs=1e-9)


def _facts(of: Lines) -> dict[str, Floats]:
    names = ("lon_deg", "lat_deg", "end_lon_deg", "end_lat_deg", "course_deg", "length_m")
    return {name: getattr(of, name) for name in names}


@pytest.mark.parametrize("off_m", [-18_520.0, -185.2, -1.0, 0.5, 1852.0, 18_520.0])
def test_beside_a_line_as_by_the_sines_themselves(off_m: float) -> None:
    """The series of nearby sines against the same method with the sines of nearby latitudes:
    what they leave is below a hundred-thousandth of a millimetre at ten miles."""
    made = lines()
    which = np.array([4, 5, 6, 7, 2, 0, 1, 3])
    lon, lat = made.positions(which, 0.3 * made.length_m[which])
    cross = np.array([np.full(8, off_m), np.linspace(-off_m, off_m, 8)])
    found_lon, found_lat = made.beside(which, lon, lat, cross)
    assert found_lon.shape == found_lat.shape == (2, 8)
    for side, at_lon, at_lat in zip(cross, found_lon, found_lat, strict=True):
        true_lon, true_lat = offset_positions(lon, lat, made.course_deg[which] + 90.0, side)
        assert np.abs(at_lat - true_lat).max() < 1e-13 + 1e-15 * abs(off_m)
        assert np.abs(at_lon - true_lon).max() < 1e-12 + 1e-15 * abs(off_m)


def test_a_track_of_rhumb_lines() -> None:
    stops = [(10.0, 50.0), (10.2, 50.1), (10.1, 50.3)]
    legs = [leg(n + 1, stops[n], stops[n + 1], LegLine.RHUMB) for n in range(2)]
    made = track_of(legs, np.array([100.0, 100.0]))
    assert made.first.tolist() == made.last.tolist() == [0, 1]
    assert made.lines.lon_deg.tolist() == [10.0, 10.2]
    assert made.lines.end_lat_deg.tolist() == [50.1, 50.3]
    assert made.length_m.tolist() == made.lines.length_m.tolist()


def great_circle_left_by_m(made: Track, index: int, of: Leg) -> Floats:
    """How far the middle of each line of a leg is from the geodesic between the leg's ends."""
    here = np.arange(made.first[index], made.last[index] + 1)
    middle_m = made.lines.along_m[here] + made.lines.length_m[here] / 2.0
    lon, lat = made.lines.positions(here, middle_m)
    ends = of.start.lon_deg, of.start.lat_deg, of.end.lon_deg, of.end.lat_deg
    azimuth, _, length_m = GEOD.inv(*ends)
    count = len(here)
    # Lines are as long as one another along the geodesic, so their middles are its middles.
    along = (np.arange(count) + 0.5) / count * length_m
    start = (np.full(count, one) for one in (*ends[:2], azimuth))
    true_lon, true_lat, _ = GEOD.fwd(*start, along)
    return np.asarray(GEOD.inv(lon, lat, true_lon, true_lat)[2])


# A long way in high latitudes, and how far it may be left: 0.1 m, or 0.05 % of the half-width.
ROOM = [(60.0, 1.0, 0.1), (60.0, 200.0, 0.1), (60.0, 1852.0, 0.926), (-70.0, 926.0, 0.463)]


@pytest.mark.parametrize(("lat_deg", "half_width_m", "room_m"), ROOM)
def test_lines_leave_a_great_circle_by_what_they_may_and_no_more_are_made_than_that_needs(
    lat_deg: float, half_width_m: float, room_m: float
) -> None:
    one = leg(1, (-40.0, lat_deg), (40.0, lat_deg))
    made = track_of([one], np.array([half_width_m]))
    left_m = great_circle_left_by_m(made, 0, one)
    assert 0.97 * room_m < left_m.max() <= room_m


def test_lines_are_never_longer_than_five_miles() -> None:
    one = leg(1, (-40.0, 0.0), (-20.0, 0.5))
    made = track_of([one], np.array([100.0]))
    longest_m = made.lines.length_m.max()
    assert 0.99 * 9260.0 < longest_m <= 9260.0 == LONGEST_CHUNK_M


@pytest.mark.parametrize("end", [(10.0001, 50.0001), (10.001, 50.0)])
def test_a_short_great_circle_is_one_line(end: tuple[float, float]) -> None:
    made = track_of([leg(1, (10.0, 50.0), end)], np.array([100.0]))
    assert (made.first.tolist(), made.last.tolist()) == ([0], [0])
    assert (made.lines.end_lon_deg[0], made.lines.end_lat_deg[0]) == pytest.approx(end, abs=1e-10)


def test_a_great_circle_near_the_pole() -> None:
    """A degree from the pole and nearer the lines are not made shorter still: it is left by more
    than 0.05 % of the half-width there, but not by a thousandth."""
    one = leg(1, (-60.0, 88.0), (60.0, 88.0))
    made = track_of([one], np.array([2000.0]))
    assert great_circle_left_by_m(made, 0, one).max() < 2.0


def test_a_great_circle_beside_the_pole() -> None:
    """Four miles from it, where the tangent of the latitude has no meaning any more."""
    ends = (0.0, 88.0), (176.0, 88.0)
    made = track_of([leg(1, *ends)], np.array([2000.0]))
    assert made.length_m[0] == pytest.approx(GEOD.inv(*ends[0], *ends[1])[2], rel=1e-3)


def test_a_track_of_both_sorts_of_lines() -> None:
    stops = [(170.0, 50.0), (-178.0, 52.0), (-176.0, 52.0), (-170.0, 40.0), (-171.0, 39.0)]
    kinds = [LegLine.GREAT_CIRCLE, LegLine.RHUMB, LegLine.GREAT_CIRCLE, LegLine.RHUMB]
    legs = [leg(n + 1, stops[n], stops[n + 1], kinds[n]) for n in range(4)]
    made = track_of(legs, np.array([200.0, 200.0, 4000.0, 200.0]))
    assert made.first[0] == 0 and made.last[-1] == len(made.lines.lon_deg) - 1
    assert made.first[1:].tolist() == (made.last[:-1] + 1).tolist()
    counts = made.last - made.first + 1
    assert counts[0] > 100 and counts[1] == counts[3] == 1 and 100 < counts[2] < counts[0] * 3
    for n, of in enumerate(legs):
        here = slice(made.first[n], made.last[n] + 1)
        lon, lat = made.lines.lon_deg[here], made.lines.lat_deg[here]
        end_lon, end_lat = made.lines.end_lon_deg[here], made.lines.end_lat_deg[here]
        # Each begins where the one before ends, the first and last at the waypoints.
        assert (lon[0], lat[0]) == (of.start.lon_deg, of.start.lat_deg)
        assert (end_lon[-1] - of.end.lon_deg) % 360.0 == pytest.approx(0.0, abs=1e-9)
        assert end_lat[-1] == of.end.lat_deg
        assert lon[1:] == pytest.approx(end_lon[:-1], abs=1e-9)
        assert lat[1:].tolist() == end_lat[:-1].tolist()
        along = np.cumsum(made.lines.length_m[here])
        assert made.lines.along_m[here] == pytest.approx([0.0, *along[:-1]], abs=1e-6)
        assert made.length_m[n] == pytest.approx(along[-1], abs=1e-6)
        if kinds[n] is LegLine.GREAT_CIRCLE:
            room_m = 0.1 if n == 0 else 2.0
            assert great_circle_left_by_m(made, n, of).max() <= room_m


@pytest.mark.parametrize("line", list(LegLine))
@pytest.mark.parametrize("first", [True, False])
def test_a_leg_of_no_length_has_no_course(line: LegLine, first: bool) -> None:
    still, whole = leg(1, (10.0, 50.0), (10.0, 50.0), line), leg(2, (10.0, 50.0), (11.0, 50.0))
    legs = [still, whole] if first else [whole, still]
    with pytest.raises(ValueError, match="a leg of no length has no course"):
        track_of(legs, np.array([100.0, 100.0]))


def test_half_a_metre_is_a_leg() -> None:
    made = track_of([leg(1, (10.0, 0.0), (10.000005, 0.0), LegLine.RHUMB)], np.array([100.0]))
    assert made.length_m[0] == pytest.approx(0.5566, abs=1e-4)
