"""Distances between marks and who is near whom, against geodesics (pyproj)."""

from __future__ import annotations

import numpy as np
import pytest

from routecheck.survey.markset import distance_m, nearby, offset_m, point_tree
from tests.buoys import GEOD

MILE_M = 1852.0
LATITUDES = [0.0, 54.3, -75.0, 89.0, -89.0]


@pytest.mark.parametrize("lat", LATITUDES)
@pytest.mark.parametrize("lon", [10.0, 179.999, -180.0])
@pytest.mark.parametrize("within_m", [50.0, MILE_M])
def test_all_round_just_within_and_just_beyond(lon: float, lat: float, within_m: float) -> None:
    """A ring of sixteen at 0.9995 of the distance and another at 1.0005; everyone is found from
    the middle, once, and the middle from everyone."""
    bearings = np.arange(0.0, 360.0, 22.5)
    rings = [
        GEOD.fwd(np.full(16, lon), np.full(16, lat), bearings, np.full(16, share * within_m))[:2]
        for share in (1.0005, 0.9995)
    ]
    ring_lon = np.concatenate([ring[0] for ring in rings])
    ring_lat = np.concatenate([ring[1] for ring in rings])
    ring_lon = (ring_lon + 180.0) % 360.0 - 180.0
    middle_lon, middle_lat = np.array([lon]), np.array([lat])
    inner = list(range(16, 32))
    found = nearby(middle_lon, middle_lat, ring_lon, ring_lat, within_m)
    assert sorted(found) == [(0, j) for j in inner]
    back = nearby(ring_lon, ring_lat, middle_lon, middle_lat, within_m)
    assert sorted(back) == [(j, 0) for j in inner]
    with_tree = nearby(
        middle_lon, middle_lat, ring_lon, ring_lat, within_m, point_tree(ring_lon, ring_lat)
    )
    assert with_tree == found


def test_the_distance_itself_is_within() -> None:
    one, other = np.array([[10.0], [54.0]]), np.array([[10.01], [54.005]])
    far_m = float(distance_m(*one, *other)[0])
    assert nearby(*one, *other, far_m) == [(0, 0)]
    assert nearby(*one, *other, far_m - 1e-6) == []
    assert nearby(*one, *one, 0.0) == [(0, 0)]


def test_every_pair_of_two_crowds() -> None:
    """Both sets across 180 degrees; each pair that the geodesic puts within half a mile."""
    draw = np.random.default_rng(5)
    lon = (179.97 + draw.uniform(0.0, 0.06, 40) + 180.0) % 360.0 - 180.0
    lat = 40.0 + draw.uniform(0.0, 0.04, 40)
    first, second = slice(0, 15), slice(15, 40)
    wanted = []
    for i in range(15):
        for j in range(15, 40):
            far_m = GEOD.inv(lon[i], lat[i], lon[j], lat[j])[2]
            assert abs(far_m - 926.0) > 0.01
            if far_m < 926.0:
                wanted.append((i, j - 15))
    found = nearby(lon[first], lat[first], lon[second], lat[second], 926.0)
    assert sorted(found) == wanted and len(wanted) > 20


@pytest.mark.parametrize("lat", LATITUDES)
@pytest.mark.parametrize("lon", [10.0, 179.999, -180.0])
@pytest.mark.parametrize("bearing_deg", [0.0, 63.0, 90.0, 200.0, 291.0])
def test_offsets_are_the_geodesics(lon: float, lat: float, bearing_deg: float) -> None:
    """Over two miles; the geodesic's bearing at its middle is the middle latitude's."""
    other_lon, other_lat, _ = GEOD.fwd(lon, lat, bearing_deg, 2 * MILE_M)
    east_m, north_m = offset_m(lon, lat, other_lon, other_lat)
    _, _, back_deg = GEOD.fwd(lon, lat, bearing_deg, MILE_M)
    middle = np.radians(back_deg + 180.0)
    assert float(distance_m(lon, lat, other_lon, other_lat)) == pytest.approx(
        2 * MILE_M, rel=3e-4 if abs(lat) > 80.0 else 1e-6
    )
    within_m = 5.0 if abs(lat) > 80.0 else 0.05
    assert float(east_m) == pytest.approx(2 * MILE_M * np.sin(middle), abs=within_m)
    assert float(north_m) == pytest.approx(2 * MILE_M * np.cos(middle), abs=within_m)


def test_many_offsets_at_once() -> None:
    east_m, north_m = offset_m(0.0, 0.0, np.array([0.01, -0.02]), np.array([0.0, 0.0]))
    # On the equator a degree of longitude is 6378137 pi / 180 = 111319.491 m (WGS 84).
    assert east_m == pytest.approx([1113.195, -2226.390], abs=1e-3)
    assert north_m.tolist() == [0.0, 0.0]
