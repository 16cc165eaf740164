"""The plane of a leg: along and cross against geodesic distances to a densely sampled track."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from routecheck.nav.legframe import LegFrame
from routecheck.nav.rhumb import rhumb_direct
from routecheck.units import METRES_PER_NMI

GEOD = Geod(ellps="WGS84")
LONS = st.floats(-180.0, 180.0)
COURSES = st.floats(0.0, 360.0) | st.sampled_from([0.0, 90.0, 180.0, 270.0])
CROSSES = st.floats(0.5, 20_000.0)


def nearest(frame: LegFrame, lon: float, lat: float, about_m: float) -> tuple[float, float]:
    """(along, geodesic distance) of the track's nearest point: sampled, then sampled finer.

    The sampled track may run on beyond the leg's ends, as the plane does.
    """
    half_m = 5_000.0
    for _ in range(5):
        along = about_m + np.linspace(-half_m, half_m, 401)
        track_lon, track_lat = frame.from_frame(along, 0.0)
        _, _, apart = GEOD.inv(track_lon, track_lat, np.full(401, lon), np.full(401, lat))
        best = int(apart.argmin())
        assert 0 < best < 400
        about_m, half_m = float(along[best]), half_m / 50.0
    return about_m, float(apart.min())


def frame_from(lon: float, lat: float, course: float, nmi: float) -> LegFrame | None:
    try:
        lon2, lat2 = rhumb_direct(lon, lat, course, nmi * METRES_PER_NMI)
    except ValueError:
        return None
    if abs(lat2) > 78.0 or abs((lon2 - lon + 180.0) % 360.0 - 180.0) > 100.0:
        return None
    return LegFrame.between(lon, lat, lon2, lat2)


@given(
    lon=LONS,
    lat=st.floats(-75.0, 75.0),
    course=COURSES,
    nmi=st.floats(0.1, 500.0),
    share=st.floats(0.0, 1.0),
    cross=CROSSES,
    starboard=st.booleans(),
)
def test_cross_track_is_the_distance_to_the_track(
    lon: float,
    lat: float,
    course: float,
    nmi: float,
    share: float,
    cross: float,
    starboard: bool,
) -> None:
    """To 1e-4 of the distance, out to 20 km, and on the right side."""
    frame = frame_from(lon, lat, course, nmi)
    if frame is None:
        return
    along_m = share * frame.length_m
    track_lon, track_lat = frame.from_frame(along_m, 0.0)
    # A point off to one side, by a geodesic square to the track: not by the frame itself.
    off_deg = frame.course_deg + (90.0 if starboard else -90.0)
    lon2, lat2, _ = GEOD.fwd(float(track_lon), float(track_lat), off_deg, cross)
    found_along, found_cross = (float(v) for v in frame.to_frame(lon2, lat2))
    near_along, near_m = nearest(frame, lon2, lat2, along_m)
    assert abs(found_cross) == pytest.approx(near_m, rel=1e-4)
    assert (found_cross > 0.0) is starboard
    steepest = math.tan(math.radians(max(abs(lat2), abs(float(track_lat)))))
    foot_m = 1.05 * cross**2 * steepest / (2.0 * 6.34e6)
    assert found_along == pytest.approx(near_along, abs=0.2 + foot_m)


@pytest.mark.parametrize("cross", [-18_520.0, -1852.0, -50.0, 50.0, 1852.0, 18_520.0])
@pytest.mark.parametrize("course", [0.0, 30.0, 89.9, 90.0, 135.0, 270.0, 300.0])
def test_at_75_north_over_the_antimeridian(course: float, cross: float) -> None:
    frame = frame_from(179.9 if course < 180.0 else -179.9, 75.0, course, 30.0)
    assert frame is not None
    track_lon, track_lat = frame.from_frame(frame.length_m / 2.0, 0.0)
    off_deg = frame.course_deg + math.copysign(90.0, cross)
    lon2, lat2, _ = GEOD.fwd(float(track_lon), float(track_lat), off_deg, abs(cross))
    assert -180.0 <= lon2 <= 180.0
    _, found = frame.to_frame(lon2, lat2)
    _, near_m = nearest(frame, lon2, lat2, frame.length_m / 2.0)
    claimed = 3e-5 if abs(cross) > 2000.0 else 3e-7
    assert float(found) == pytest.approx(math.copysign(near_m, cross), rel=claimed)


@given(
    lon=LONS,
    lat=st.floats(-75.0, 75.0),
    course=COURSES,
    nmi=st.floats(0.1, 500.0),
    share=st.floats(-0.1, 1.1),
    cross=st.floats(-20_000.0, 20_000.0),
)
def test_there_and_back(
    lon: float, lat: float, course: float, nmi: float, share: float, cross: float
) -> None:
    frame = frame_from(lon, lat, course, nmi)
    if frame is None or abs(frame.end_lat_deg) > 77.0:
        return
    along = share * frame.length_m
    found_along, found_cross = frame.to_frame(*frame.from_frame(along, cross))
    assert float(found_cross) == pytest.approx(cross, abs=0.001 + 3e-5 * abs(cross))
    assert float(found_along) == pytest.approx(along, abs=0.001 + 3e-5 * abs(cross))


def test_its_ends() -> None:
    frame = LegFrame.between(179.5, -17.0, -179.5, -18.0)
    along, cross = frame.to_frame([179.5, -179.5], [-17.0, -18.0])
    assert along == pytest.approx([0.0, frame.length_m], abs=1e-6)
    assert cross == pytest.approx([0.0, 0.0], abs=1e-6)
    with pytest.raises(ValueError, match="no length"):
        LegFrame.between(10.0, 54.0, 10.0, 54.0)
