"""Magnetic variation: the model's own test values, and the years in which it holds."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from pygeomag import GeoMag

from routecheck.nav.variation import decimal_year, variation_deg


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "declination_deg"),
    # WMM2025 Test Values (NOAA/NCEI), 2025.0, altitude 0 km: from memory.
    [(80.0, 0.0, 1.28), (0.0, 120.0, -0.16), (-80.0, 240.0, 68.78)],
)
def test_the_models_own_test_values(lat_deg: float, lon_deg: float, declination_deg: float) -> None:
    found = variation_deg(lon_deg, lat_deg, datetime(2025, 1, 1, tzinfo=UTC))
    assert found == pytest.approx(declination_deg, abs=0.006)


def test_none_outside_the_models_years() -> None:
    assert variation_deg(0.0, 50.0, datetime(2024, 12, 31, 23, 59, 59, tzinfo=UTC)) is None
    assert variation_deg(0.0, 50.0, datetime(2025, 1, 1, tzinfo=UTC)) is not None
    assert variation_deg(0.0, 50.0, datetime(2029, 12, 31, 23, 59, 59, tzinfo=UTC)) is not None
    assert variation_deg(0.0, 50.0, datetime(2030, 1, 1, tzinfo=UTC)) is None


@pytest.mark.parametrize(
    ("when", "year"),
    # By counting: noon of 2 July is the middle of 365 days, midnight before it that of 366.
    [
        (datetime(2025, 1, 1, tzinfo=UTC), 2025.0),
        (datetime(2025, 7, 2, 12, tzinfo=UTC), 2025.5),
        (datetime(2028, 7, 2, tzinfo=UTC), 2028.5),
        (datetime(2026, 1, 2, tzinfo=UTC), 2026.0 + 1 / 365),
        (datetime(2026, 1, 1, 0, 0, 0, 500_000, tzinfo=UTC), 2026.0 + 0.5 / 31_536_000),
        (datetime(2026, 1, 1, 0, 30, 30, tzinfo=UTC), 2026.0 + 1830 / 31_536_000),
    ],
)
def test_decimal_years(when: datetime, year: float) -> None:
    assert decimal_year(when) == pytest.approx(year, abs=1e-11)


@pytest.mark.parametrize(("lon_deg", "lat_deg"), [(4.0, 52.0), (-70.0, -40.0), (150.0, 60.0)])
@pytest.mark.parametrize("year", [2025, 2027, 2029])
def test_at_the_surface_of_the_sea(lon_deg: float, lat_deg: float, year: int) -> None:
    """pygeomag by itself, at no height: 1 km up it is another by 0.001 degrees or so."""
    expected = GeoMag().calculate(glat=lat_deg, glon=lon_deg, alt=0, time=float(year)).d
    found = variation_deg(lon_deg, lat_deg, datetime(year, 1, 1, tzinfo=UTC))
    assert found == pytest.approx(expected, abs=1e-9)
