"""Rhumb lines against RhumbSolve's published answers, handbooks, and plain integration."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.nav.ellipsoid import isometric_latitude_rad
from routecheck.nav.rhumb import offset_positions, rhumb_direct, rhumb_inverse, rhumb_positions
from routecheck.units import METRES_PER_NMI
from tests.nav.quadrature import rhumb_by_quadrature
from tests.published.load import Published, published

ONE_METRE = 1.0
ONE_CENTIMETRE = 0.01


def ends(value: Published) -> tuple[float, float, float, float]:
    lon1, lat1, lon2, lat2 = (
        value.inputs[key] for key in ("lon1_deg", "lat1_deg", "lon2_deg", "lat2_deg")
    )
    return lon1, lat1, lon2, lat2


@pytest.mark.parametrize("value", published("rhumb_lines", "inverse"), ids=lambda v: v.name)
def test_inverse(value: Published) -> None:
    course, distance = rhumb_inverse(*ends(value))
    value.check(course_deg=float(course), distance_m=float(distance))


@pytest.mark.parametrize("value", published("rhumb_lines", "inverse"), ids=lambda v: v.name)
def test_the_first_500_nmi_are_exact_to_a_metre(value: Published) -> None:
    """The point 500 nmi along, found by integration from its own ends."""
    lon1, lat1, lon2, lat2 = ends(value)
    far_m = 500.0 * METRES_PER_NMI
    lon, lat = rhumb_positions(lon1, lat1, lon2, lat2, far_m)
    course, distance = rhumb_by_quadrature(lon1, lat1, float(lon), float(lat))
    assert distance == pytest.approx(far_m, abs=ONE_METRE / 1000.0)
    across_m = far_m * math.radians(course - value.expected["course_deg"])
    assert abs(across_m) < ONE_METRE / 1000.0


@pytest.mark.parametrize("value", published("rhumb_lines", "inverse"), ids=lambda v: v.name)
def test_integration_itself_is_right(value: Published) -> None:
    course, distance = rhumb_by_quadrature(*ends(value))
    value.check(course_deg=course, distance_m=distance)


@pytest.mark.parametrize("value", published("rhumb_lines", "direct"), ids=lambda v: v.name)
def test_direct(value: Published) -> None:
    lon, lat = rhumb_direct(
        *(value.inputs[key] for key in ("lon1_deg", "lat1_deg", "course_deg", "distance_m"))
    )
    value.check(lat_deg=lat, lon_deg=lon)


@pytest.mark.parametrize(
    "value", published("rhumb_lines", "mercator sailing"), ids=lambda v: v.name
)
def test_handbook_courses_and_distances(value: Published) -> None:
    """A handbook's mile is a minute of latitude: its distance is that over the course's cosine."""
    _, lat1, _, lat2 = ends(value)
    course, _ = rhumb_inverse(*ends(value))
    miles = abs((lat2 - lat1) * 60.0 / math.cos(math.radians(float(course))))
    value.check(course_deg=float(course), distance_nmi=miles)


@pytest.mark.parametrize(
    "value", published("rhumb_lines", "mercator dead reckoning"), ids=lambda v: v.name
)
def test_handbook_dead_reckoning(value: Published) -> None:
    course = math.radians(value.inputs["course_deg"])
    lat1 = value.inputs["lat1_deg"]
    lat2 = lat1 + value.inputs["distance_nmi"] * math.cos(course) / 60.0
    parts_rad = float(isometric_latitude_rad(lat2)) - float(isometric_latitude_rad(lat1))
    lon2 = value.inputs["lon1_deg"] + math.degrees(parts_rad * math.tan(course))
    value.check(lat_deg=lat2, lon_deg=lon2)


LONS = st.floats(-180.0, 180.0)
LATS = st.floats(-85.0, 85.0)


@given(lon1=LONS, lat1=LATS, dlon=st.floats(-179.9, 179.9), lat2=LATS)
def test_an_independent_library_agrees(lon1: float, lat1: float, dlon: float, lat2: float) -> None:
    lon2 = (lon1 + dlon + 180.0) % 360.0 - 180.0
    expected_deg, expected_m = rhumb_by_quadrature(lon1, lat1, lon2, lat2)
    course, distance = rhumb_inverse(lon1, lat1, lon2, lat2)
    assert float(distance) == pytest.approx(expected_m, rel=1e-8, abs=ONE_CENTIMETRE)
    if expected_m > 1.0:
        off = (float(course) - expected_deg + 180.0) % 360.0 - 180.0
        assert abs(off) < 1e-7 + 1e-6 / expected_m


@given(lon=LONS, lat=st.floats(-84.0, 84.0), exponent=st.floats(-12.0, 1.0), east=st.booleans())
def test_lines_near_a_parallel_are_exact_to_a_metre(
    lon: float, lat: float, exponent: float, east: bool
) -> None:
    """Over 8 degrees of longitude, with a northing from nothing to a degree."""
    lat2 = lat + 10.0**exponent / 10.0
    lon2 = (lon + (8.0 if east else -8.0) + 180.0) % 360.0 - 180.0
    _, expected_m = rhumb_by_quadrature(lon, lat, lon2, lat2)
    _, distance = rhumb_inverse(lon, lat, lon2, lat2)
    assert float(distance) == pytest.approx(expected_m, abs=5 * ONE_CENTIMETRE)


@given(lon=LONS, lat=LATS, course=st.floats(0.0, 360.0), nmi=st.floats(0.01, 500.0))
def test_there_and_back(lon: float, lat: float, course: float, nmi: float) -> None:
    far_m = nmi * METRES_PER_NMI
    try:
        lon2, lat2 = rhumb_direct(lon, lat, course, far_m)
    except ValueError as error:
        assert "pole" in str(error)
        assert abs(lat) + math.degrees(far_m / 6.33e6) > 89.9
        return
    if abs(lat2) > 89.0:
        return
    back, distance = rhumb_inverse(lon, lat, lon2, lat2)
    if abs((lon2 - lon + 180.0) % 360.0 - 180.0) < 170.0 and far_m < 1e5:
        assert float(distance) == pytest.approx(far_m, abs=ONE_CENTIMETRE)
        off = (float(back) - course + 180.0) % 360.0 - 180.0
        assert abs(off) < 1e-5 + 1e-5 * 1e3 / far_m


def test_the_short_way_over_the_antimeridian() -> None:
    course, distance = rhumb_inverse(179.0, 0.0, -179.0, 0.0)
    # The equator's two degrees: 2 pi a / 180.
    assert float(course) == 90.0
    assert float(distance) == pytest.approx(6378137.0 * math.radians(2.0), abs=1e-6)
    lon, lat = rhumb_positions(179.0, 60.0, -179.0, 60.0, np.array([0.0, 1e4, 1e5]))
    assert (np.diff(lon) > 0).all() and lon[-1] > 180.0
    assert lat == pytest.approx(60.0, abs=1e-12)


def test_over_a_pole_there_is_no_rhumb_line() -> None:
    with pytest.raises(ValueError, match="pole"):
        rhumb_direct(0.0, 89.0, 0.0, 200_000.0)


@given(
    lon=LONS,
    lat=st.floats(-80.0, 80.0),
    bearing=st.floats(0.0, 360.0),
    distance=st.floats(1.0, 20_000.0),
)
def test_a_short_offset_is_a_rhumb_line(
    lon: float, lat: float, bearing: float, distance: float
) -> None:
    """As near as its docstring says."""
    lon2, lat2 = offset_positions(lon, lat, bearing, distance)
    found_deg, found_m = rhumb_by_quadrature(lon, lat, float(lon2), float(lat2))
    turned = math.radians((found_deg - bearing + 180.0) % 360.0 - 180.0)
    off_m = math.hypot(found_m - distance, distance * turned)
    claimed = 1e-6 if distance <= 5_000.0 else 1.5e-5
    assert off_m < claimed * distance + 1e-6


@pytest.mark.parametrize("lat_deg", [60.0, -35.0, 0.0])
@pytest.mark.parametrize("course_deg", [90.0, 270.0])
def test_along_a_parallel_and_back(lat_deg: float, course_deg: float) -> None:
    """Found 2026-11-25 by a mutant: no test ran due east off the equator."""
    lon2, lat2 = rhumb_direct(10.0, lat_deg, course_deg, 50_000.0)
    assert lat2 == pytest.approx(lat_deg, abs=1e-9)
    expected_deg, expected_m = rhumb_by_quadrature(10.0, lat_deg, lon2, lat_deg)
    assert expected_m == pytest.approx(50_000.0, abs=ONE_CENTIMETRE)
    assert expected_deg == pytest.approx(course_deg, abs=1e-6)
