"""Magnetic variation by the World Magnetic Model 2025 (NOAA/BGS; package pygeomag)."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pygeomag import GeoMag


@lru_cache(maxsize=1)
def _model() -> GeoMag:
    from pygeomag import GeoMag

    return GeoMag()


def decimal_year(when: datetime) -> float:
    """The date as a decimal year."""
    start = when.replace(month=1, day=1, hour=0, minute=0, second=0, microsecond=0)
    end = start.replace(year=start.year + 1)
    return when.year + (when - start) / (end - start)


def variation_deg(lon_deg: float, lat_deg: float, when: datetime) -> float | None:
    """Magnetic variation, degrees, east positive; None outside the model's years 2025 to 2030."""
    year = decimal_year(when)
    if not 2025.0 <= year < 2030.0:
        return None
    return float(_model().calculate(glat=lat_deg, glon=lon_deg, alt=0, time=year).d)
