"""Geodesics against the published test set, and shapes that broadcast."""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.nav.geodesic import geodesic_direct, geodesic_inverse
from tests.published.load import Published, published

CASES = [*published("geodesics", "inverse and direct"), *published("geodesics", "inverse")]


def turned(value: float) -> float:
    return (value + 180.0) % 360.0 - 180.0


@pytest.mark.parametrize("value", CASES, ids=lambda v: v.name)
def test_inverse(value: Published) -> None:
    lon1, lat1, lon2, lat2 = (
        value.inputs[key] for key in ("lon1_deg", "lat1_deg", "lon2_deg", "lat2_deg")
    )
    course, distance = geodesic_inverse(turned(lon1), lat1, turned(lon2), lat2)
    assert 0.0 <= float(course) < 360.0
    value.check(course_deg=float(course), distance_m=float(distance))


@pytest.mark.parametrize(
    "value", published("geodesics", "inverse and direct"), ids=lambda v: v.name
)
def test_the_same_set_the_other_way(value: Published) -> None:
    lon, lat = geodesic_direct(
        turned(value.inputs["lon1_deg"]),
        value.inputs["lat1_deg"],
        value.expected["course_deg"],
        value.expected["distance_m"],
    )
    assert float(lat) == pytest.approx(value.inputs["lat2_deg"], abs=1e-12)
    assert float(lon) == pytest.approx(turned(value.inputs["lon2_deg"]), abs=1e-12)


@pytest.mark.parametrize("value", published("geodesics", "direct"), ids=lambda v: v.name)
def test_direct(value: Published) -> None:
    lon, lat = geodesic_direct(
        *(value.inputs[key] for key in ("lon1_deg", "lat1_deg", "course_deg", "distance_m"))
    )
    value.check(lat_deg=float(lat), lon_deg=float(lon))


def test_shapes_broadcast() -> None:
    course, distance = geodesic_inverse(np.zeros((3, 1)), 0.0, np.arange(4.0), 10.0)
    assert course.shape == distance.shape == (3, 4)
    lon, lat = geodesic_direct(0.0, 0.0, [0.0, 90.0], 1000.0)
    assert lon.shape == lat.shape == (2,)
    # North keeps the longitude, east along the equator keeps the latitude.
    assert lon[0] == pytest.approx(0.0, abs=1e-12)
    assert lat[1] == pytest.approx(0.0, abs=1e-12)
