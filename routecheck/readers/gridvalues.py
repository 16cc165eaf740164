"""From a file's numbers to charted depths in metres: fills, scale, unit, sign, rounding."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

DEEPEST_M = 12000.0
"""Deeper than any sea (the deepest measured is about 10.9 km): no depth."""
HIGHEST_M = 9000.0
"""Higher than any land (8849 m): no drying height."""
FILLS = (
    *(-9999.0, 9999.0, -99999.0, 99999.0, -999999.0, 999999.0, -32767.0, -32768.0, 1e6, -1e6),
    *(float(np.float32(9.969209968386869e36)), -float(np.float32(3.4028235e38))),
)
"""What writers put for "no data", whether they say so or not (common practice; 1e6 is that of
BAG and S-102, 9.96921e36 NetCDF's default). A depth of exactly such a number is not believed."""


@dataclass(frozen=True, kw_only=True)
class Values:
    """How numbers of one layer become depths."""

    dtype: str
    nodata: tuple[float, ...]
    scale: float
    offset: float
    metres_per_unit: float
    elevation: bool
    """Positive up."""
    limits: tuple[float | None, float | None] = (None, None)
    """Least and greatest of the file's own numbers, before scale and offset; None: not limited."""

    def depths(
        self, raw: NDArray[Any], mask: NDArray[np.uint8] | None = None
    ) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
        """(charted depth in metres, positive down; valid), both of the shape of `raw`.

        Depths are rounded to 32 bits towards the shoal side; those of invalid cells are 0.
        `mask` is 0 where the file's own mask says that there is nothing.
        """
        raw = np.ascontiguousarray(raw)
        times = self.metres_per_unit * (-1.0 if self.elevation else 1.0)
        metres: NDArray[Any] = raw
        low_m: float = -HIGHEST_M
        high_m: float = DEEPEST_M
        if self._plain:
            # Numbers that 32 bits hold as they are; 0 - x, so that 0 is never minus 0.
            depth = raw.astype(np.float32)
            if self.elevation:
                low_m, high_m = -DEEPEST_M, HIGHEST_M
                with np.errstate(invalid="ignore"):  # a signalling NaN
                    np.subtract(np.float32(0.0), depth, out=depth)
            if raw.dtype.kind != "f":
                low_m, high_m = int(low_m), int(high_m)  # whole numbers are compared faster so
        else:
            with np.errstate(over="ignore", invalid="ignore"):
                metres = (raw.astype(np.float64) * self.scale + self.offset) * times + 0.0
                depth = metres.astype(np.float32)
                deeper = depth > metres
                depth[deeper] = np.nextafter(depth[deeper], np.float32(-np.inf))
        with np.errstate(invalid="ignore"):
            valid = (metres <= high_m) & (metres >= low_m)  # never NaN, never infinite
        for fill in self._fills:
            valid &= raw != fill
        least, greatest = self.limits
        if least is not None:
            valid &= raw >= least
        if greatest is not None:
            valid &= raw <= greatest
        if mask is not None:
            valid &= mask != 0
        if not valid.all():
            depth[~valid] = 0.0
        return depth, valid

    @cached_property
    def _plain(self) -> bool:
        kind = np.dtype(self.dtype)
        small = kind.kind in "iu" and kind.itemsize <= 2
        unscaled = (self.scale, self.offset, self.metres_per_unit) == (1.0, 0.0, 1.0)
        return unscaled and (small or kind == np.float32)

    @cached_property
    def _fills(self) -> tuple[Any, ...]:
        """Numbers that stand for no data and would pass for a depth, as the file's own type."""
        kind = np.dtype(self.dtype)
        fills = [*FILLS, *self.nodata]
        if kind.kind in "iu":
            limits = np.iinfo(kind)
            # The ends of the range; but 0 is the least of an unsigned type, and a fair number.
            fills += [float(limits.max)] + ([float(limits.min)] if limits.min else [])
            fills = [f for f in fills if f == f and f == int(f) and limits.min <= f <= limits.max]
            held = [kind.type(int(fill)) for fill in fills]
        else:
            with np.errstate(over="ignore"):
                held = [kind.type(fill) for fill in fills if fill == fill]
        return tuple({float(fill): fill for fill in held if self._passes(float(fill))}.values())

    def _passes(self, fill: float) -> bool:
        """Whether a number would be taken for a depth."""
        metres = (fill * self.scale + self.offset) * self.metres_per_unit
        depth_m = -metres if self.elevation else metres
        return -HIGHEST_M - 1.0 <= depth_m <= DEEPEST_M + 1.0
