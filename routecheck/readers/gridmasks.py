"""What says, beside a grid's depths, where there are none: masks, bands of alpha and limits.

Source: GDAL raster data model and its RFC 15 (mask bands).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def alphas_beside(dataset: Any, band: int) -> tuple[int, ...]:
    """The numbers of the other bands that are above 0 where there is something.

    GDAL takes alpha for a mask in whole numbers only, and not where a "no data" is declared.
    """
    kinds = enumerate(dataset.colorinterp, start=1)
    return tuple(i for i, kind in kinds if kind.name == "alpha" and i != band)


def is_masked(dataset: Any, band: int) -> bool:
    """Whether anything but a "no data" says where a band of an open file holds nothing."""
    flags = {flag.name for flag in dataset.mask_flag_enums[band - 1]}
    # No flag at all: a mask of this band alone.
    return not flags or "per_dataset" in flags or bool(alphas_beside(dataset, band))


def limit_stated(of_band: Mapping[str, str], key: str) -> float | None:
    """`valid_min` or `valid_max`: CF Conventions 1.11, section 2.5.1. Of `valid_range` GDAL makes
    "no data" itself."""
    try:
        return float(of_band[key])
    except (KeyError, ValueError):
        return None
