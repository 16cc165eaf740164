"""Parts of a corridor: convex quadrilaterals, one a stretch of track and a few at each bend."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from routecheck.nav.angles import Floats
from routecheck.units import METRES_PER_NMI

STRETCH_M = 0.05 * METRES_PER_NMI
"""Findings from grids are told by stretches of this length, counted from the leg's start."""
OUTWARD_SHARE = 1e-5
OUTWARD_M = 0.001


_Width = TypeVar("_Width", float, Floats)


def outward_m(width_m: _Width) -> _Width:
    """A half-width, enlarged so that an exact touch is never lost to rounding."""
    return width_m * (1.0 + OUTWARD_SHARE) + OUTWARD_M


@dataclass(frozen=True, kw_only=True, eq=False)
class Parts:
    """n convex quadrilaterals; longitudes run on from the leg's start. Arrays (n,) and (n, 4)."""

    along_from_m: Floats
    along_to_m: Floats
    lon_deg: Floats
    lat_deg: Floats

    def some(self, which: slice | NDArray[np.intp]) -> Parts:
        """Those at some indexes."""
        return Parts(
            along_from_m=self.along_from_m[which],
            along_to_m=self.along_to_m[which],
            lon_deg=self.lon_deg[which],
            lat_deg=self.lat_deg[which],
        )


def joined_parts(parts: Sequence[Parts]) -> Parts:
    """All, one after the other."""
    return Parts(
        along_from_m=np.concatenate([part.along_from_m for part in parts]),
        along_to_m=np.concatenate([part.along_to_m for part in parts]),
        lon_deg=np.concatenate([part.lon_deg for part in parts]),
        lat_deg=np.concatenate([part.lat_deg for part in parts]),
    )


def no_parts() -> Parts:
    """None at all."""
    none = np.zeros(0)
    return Parts(
        along_from_m=none, along_to_m=none, lon_deg=np.zeros((0, 4)), lat_deg=np.zeros((0, 4))
    )
