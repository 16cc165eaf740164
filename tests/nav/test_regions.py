"""Where the region of buoyage is sure: only far inside of it, edges included."""

from __future__ import annotations

import pytest

from routecheck.nav.buoyage import region_of_place

# Our own choice, well inside the regions of IALA R1001: west, south, east, north.
SURELY = [
    ("B", -125.0, 8.0, -60.0, 50.0),
    ("B", -82.0, -45.0, -35.0, 8.0),
    ("B", 133.0, 31.0, 145.0, 42.0),
    ("B", 119.5, 7.0, 126.0, 19.0),
    ("A", -15.0, 30.0, 50.0, 70.0),
    ("A", -20.0, -40.0, 55.0, 30.0),
    ("A", 55.0, -40.0, 110.0, 25.0),
    ("A", 112.0, -45.0, 155.0, -12.0),
    ("A", 165.0, -48.0, 179.0, -34.0),
]


@pytest.mark.parametrize(("region", "west", "south", "east", "north"), SURELY)
def test_edges(region: str, west: float, south: float, east: float, north: float) -> None:
    def boxed(lon: float, lat: float) -> bool:
        return any(w <= lon <= e and s <= lat <= n for _, w, s, e, n in SURELY)

    for lon, out in ((west, -0.1), (east, 0.1)):
        for lat, over in ((south, -0.1), (north, 0.1)):
            assert region_of_place(lon, lat) != ""
            for beside in ((lon + out, lat), (lon, lat + over)):
                assert bool(region_of_place(*beside)) == boxed(*beside)
    assert region_of_place((west + east) / 2.0, (south + north) / 2.0) == region


@pytest.mark.parametrize(
    ("lon_deg", "lat_deg", "region"),
    # IALA R1001: B is the Americas, Japan, Korea and the Philippines; A the rest. Coasts by eye.
    [(-74.0, 40.5, "B"), (-46.3, -24.0, "B"), (139.8, 35.5, "B"), (121.0, 14.5, "B"),
     (4.0, 52.0, "A"), (18.4, -33.9, "A"), (72.8, 18.9, "A"), (151.2, -33.9, "A"),
     (174.8, -36.8, "A"), (-155.0, 20.0, ""), (32.3, 31.3, "A"), (-9.8, 31.5, "A")],
)  # fmt: skip
def test_coasts(lon_deg: float, lat_deg: float, region: str) -> None:
    assert region_of_place(lon_deg, lat_deg) == region
