"""Radii, meridian distance and isometric latitude of WGS 84 against published values."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pyproj import Geod

from routecheck.nav import ellipsoid
from routecheck.nav.ellipsoid import (
    isometric_latitude_rad,
    latitude_at_meridian_distance_deg,
    meridian_distance_m,
    meridian_radius_m,
    parallel_radius_m,
)
from tests.published.load import Published, published

GEOD = Geod(ellps="WGS84")
LATITUDES = np.linspace(-90.0, 90.0, 361)
ONE_MICROMETRE = 1e-6


def test_the_figures_of_the_ellipsoid() -> None:
    # NGA.STND.0036, version 1.0.0 (2014), Tables 3.1 and 3.5.
    assert ellipsoid.SEMI_MAJOR_M == 6378137.0
    assert abs(1.0 / ellipsoid.FLATTENING - 298.257223563) < 1e-9
    assert abs(ellipsoid.ECCENTRICITY_SQUARED - 6.694379990141e-3) < 1e-15
    semi_minor_m = ellipsoid.SEMI_MAJOR_M * (1.0 - ellipsoid.FLATTENING)
    assert semi_minor_m == pytest.approx(6356752.3142, abs=1e-4)


@pytest.mark.parametrize("value", published("ellipsoid", "meridian distance"), ids=lambda v: v.name)
def test_meridian_distance(value: Published) -> None:
    value.check(distance_m=float(meridian_distance_m(value.inputs["lat_deg"])))


@pytest.mark.parametrize("value", published("ellipsoid", "meridional parts"), ids=lambda v: v.name)
def test_meridional_parts(value: Published) -> None:
    iso_rad = float(isometric_latitude_rad(value.inputs["lat_deg"]))
    value.check(parts=iso_rad * 10800.0 / math.pi)


@pytest.mark.parametrize(
    "value", published("ellipsoid", "minute of latitude"), ids=lambda v: v.name
)
def test_a_minute_of_latitude(value: Published) -> None:
    radius_m = float(meridian_radius_m(value.inputs["lat_deg"]))
    value.check(length_m=math.radians(1.0 / 60.0) * radius_m)


@pytest.mark.parametrize(
    "value", published("ellipsoid", "minute of longitude"), ids=lambda v: v.name
)
def test_a_minute_of_longitude(value: Published) -> None:
    radius_m = float(parallel_radius_m(value.inputs["lat_deg"]))
    value.check(length_m=math.radians(1.0 / 60.0) * radius_m)


@pytest.mark.parametrize("lat_deg", [0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0])
def test_lengths_of_a_degree(lat_deg: float) -> None:
    """Series for WGS 84 in metres a degree: Wikipedia, Geographic coordinate system, Length of
    a degree, visited 2026-11 (good to a tenth of a metre)."""
    lat = math.radians(lat_deg)
    north_m = (
        111132.92 - 559.82 * math.cos(2 * lat) + 1.175 * math.cos(4 * lat)
    ) - 0.0023 * math.cos(6 * lat)
    east_m = 111412.84 * math.cos(lat) - 93.5 * math.cos(3 * lat) + 0.118 * math.cos(5 * lat)
    one_degree = math.radians(1.0)
    assert float(meridian_radius_m(lat_deg)) * one_degree == pytest.approx(north_m, abs=0.1)
    assert float(parallel_radius_m(lat_deg)) * one_degree == pytest.approx(east_m, abs=0.1)


def test_meridian_distance_is_the_geodesic_along_a_meridian() -> None:
    _, _, expected = GEOD.inv(
        np.zeros(361), np.zeros(361), np.zeros(361), LATITUDES, return_back_azimuth=True
    )
    found = meridian_distance_m(LATITUDES)
    assert np.abs(np.abs(found) - expected).max() < ONE_MICROMETRE
    assert (np.sign(found) == np.sign(LATITUDES)).all()


def test_there_and_back() -> None:
    back = latitude_at_meridian_distance_deg(meridian_distance_m(LATITUDES))
    assert np.abs(back - LATITUDES).max() < 1e-12


def test_isometric_latitude_is_the_integral_of_the_radii() -> None:
    # d(iso)/d(lat) is the meridian's radius over the parallel's: Simpson's rule over 10,000 steps.
    edges = np.radians(np.linspace(0.0, 85.0, 10_001))
    slope = meridian_radius_m(np.degrees(edges)) / parallel_radius_m(np.degrees(edges))
    weights = np.where(np.arange(10_001) % 2, 4.0, 2.0)
    weights[[0, -1]] = 1.0
    integral = float((weights * slope).sum() * (edges[1] - edges[0]) / 3.0)
    assert float(isometric_latitude_rad(85.0)) == pytest.approx(integral, abs=1e-9)
    assert float(isometric_latitude_rad(-85.0)) == pytest.approx(-integral, abs=1e-9)
