"""Rhumb lines at the limits: the poles, no length at all, due north by the short way."""

from __future__ import annotations

import numpy as np
import pytest
from pyproj import Geod

from routecheck.nav.ellipsoid import meridian_distance_m
from routecheck.nav.legframe import LegFrame
from routecheck.nav.rhumb import offset_positions, rhumb_direct, rhumb_inverse, rhumb_positions

GEOD = Geod(ellps="WGS84")


@pytest.mark.parametrize(
    ("lat_deg", "course_deg", "end_deg", "reached"),
    # Found 2026-11-28 by a mutant: a line that ended on the pole had no number for a longitude.
    [
        (0.0, 0.0, 90.0, False),
        (0.0, 0.0, 89.9999999, False),
        (0.0, 0.0, 89.99995, False),
        (0.0, 0.0, 89.9998, True),
        (10.0, 180.0, -89.99995, False),
        (10.0, 180.0, -89.9998, True),
        (-89.0, 180.0, -90.5, False),
    ],
)
def test_to_a_pole(lat_deg: float, course_deg: float, end_deg: float, reached: bool) -> None:
    far_m = abs(float(meridian_distance_m(end_deg)) - float(meridian_distance_m(lat_deg)))
    if abs(end_deg) > 90.0:  # half a degree beyond
        far_m = float(meridian_distance_m(90.5) - meridian_distance_m(89.0))
    if not reached:
        with pytest.raises(ValueError, match="to a pole"):
            rhumb_direct(25.0, lat_deg, course_deg, far_m)
        return
    lon, lat = rhumb_direct(25.0, lat_deg, course_deg, far_m)
    assert lon == pytest.approx(25.0, abs=1e-6)
    assert lat == pytest.approx(end_deg, abs=1e-9)


def test_a_line_of_no_length_stays_where_it_is() -> None:
    lon, lat = rhumb_positions(10.0, 54.0, 10.0, 54.0, np.array([0.0, 5.0, -7.0]))
    assert lon.tolist() == [10.0, 10.0, 10.0]
    assert lat.tolist() == [54.0, 54.0, 54.0]


def test_a_line_of_a_handbreadth_is_followed() -> None:
    """A tenth of a metre due north, and a metre along it: by the radius at the equator's meridian,
    a (1 - e**2) = 6335439 m (NGA.STND.0036, Table 3.5)."""
    end_deg = float(np.degrees(0.1 / 6335439.327))
    _, lat = rhumb_positions(10.0, 0.0, 10.0, end_deg, np.array([0.1, 1.0]))
    assert lat == pytest.approx([end_deg, 10.0 * end_deg], rel=1e-6)
    frame = LegFrame.between(10.0, 0.0, 10.0, end_deg)
    assert frame.length_m == pytest.approx(0.1, abs=1e-6)
    assert frame.course_deg == 0.0


def test_shares_of_a_parallel() -> None:
    _, length_m = rhumb_inverse(179.0, -40.0, -179.0, -40.0)
    lon, lat = rhumb_positions(179.0, -40.0, -179.0, -40.0, np.array([-0.5, 0.25, 1.0]) * length_m)
    assert lon == pytest.approx([178.0, 179.5, 181.0], abs=1e-9)
    assert lat == pytest.approx([-40.0] * 3, abs=1e-9)


def test_two_centimetres_to_the_north_north_east() -> None:
    """So near to a parallel that its radius is used: half of it goes east."""
    lon, lat = rhumb_direct(10.0, 45.0, 30.0, 0.02)
    expected_lon, expected_lat, _ = GEOD.fwd(10.0, 45.0, 30.0, 0.02)
    assert lon - 10.0 == pytest.approx(expected_lon - 10.0, rel=1e-4)
    assert lat - 45.0 == pytest.approx(expected_lat - 45.0, rel=1e-4)


@pytest.mark.parametrize("lat_deg", [-60.0, -45.0, 20.0, 45.0, 70.0])
@pytest.mark.parametrize("distance_m", [-20_000.0, 20_000.0])
def test_an_offset_due_north_is_exact(lat_deg: float, distance_m: float) -> None:
    """The radius at the middle latitude: to a millimetre in 20 km, against the geodesic."""
    lon2, lat2 = offset_positions(3.0, lat_deg, 0.0, distance_m)
    assert float(lon2) == 3.0
    _, _, expected_m = GEOD.inv(3.0, lat_deg, 3.0, float(lat2))
    assert expected_m == pytest.approx(20_000.0, abs=0.001)


@pytest.mark.parametrize("lat_deg", [-60.0, 45.0, 70.0])
def test_an_offset_to_the_north_east_is_a_rhumb_line(lat_deg: float) -> None:
    """To 4 cm in 20 km at 70 degrees (common practice: middle-latitude sailing)."""
    lon2, lat2 = offset_positions(3.0, lat_deg, 45.0, 20_000.0)
    course, length_m = rhumb_inverse(3.0, lat_deg, float(lon2), float(lat2))
    assert float(length_m) == pytest.approx(20_000.0, abs=0.04)
    assert float(course) == pytest.approx(45.0, abs=0.0003)
