"""The guard that every noun calls: no NaN, no infinity, no empty range."""

from __future__ import annotations

import math
from dataclasses import fields
from functools import cache


def refuse_not_finite(noun: object) -> None:
    """Raise ValueError where a float field of a dataclass is NaN or infinite."""
    for name in _names(type(noun)):  # type: ignore[arg-type]
        value = getattr(noun, name)
        if isinstance(value, float) and not math.isfinite(value):
            raise ValueError(f"{type(noun).__name__}.{name} is {value}")


@cache
def _names(noun: type) -> tuple[str, ...]:
    # Looking them up anew for each of ten thousand charted objects takes a third of their making.
    return tuple(field.name for field in fields(noun))


def refuse_position(lon_deg: float, lat_deg: float) -> None:
    """Raise ValueError where a position is not on the earth."""
    if not (math.isfinite(lon_deg) and -180.0 <= lon_deg <= 180.0):
        raise ValueError(f"longitude {lon_deg} is not between -180 and 180 degrees")
    if not (math.isfinite(lat_deg) and -90.0 <= lat_deg <= 90.0):
        raise ValueError(f"latitude {lat_deg} is not between -90 and 90 degrees")
