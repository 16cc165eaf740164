"""Squat by a formula, for the fastest speed on a route."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from routecheck.model.finite import refuse_not_finite
from routecheck.nav.squat import barrass_squat_m, simple_confined_squat_m, simple_open_squat_m

FORMULAS = ("open", "confined", "barrass")
"""Barrass, simplified for open and for confined water, and his general formula."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SquatRule:
    """Which formula, the block coefficient, and for `barrass` the blockage of the channel."""

    formula: str
    block_share: float
    blockage_share: float | None = None

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if self.formula not in FORMULAS:
            raise ValueError(f"{self.formula!r} is none of {', '.join(FORMULAS)}")
        if not 0.0 < self.block_share <= 1.0:
            raise ValueError(f"block coefficient {self.block_share:g} is not between 0 and 1")
        if self.formula == "barrass":
            if self.blockage_share is None or not 0.0 < self.blockage_share < 0.9:
                raise ValueError("Barrass's formula needs a blockage between 0 and 0.9")
        elif self.blockage_share is not None:
            raise ValueError(f"the formula {self.formula!r} takes no blockage")

    def in_words(self) -> str:
        """Which formula it is, with its numbers."""
        name = {
            "open": "by Barrass's simplified formula for open water",
            "confined": "by Barrass's simplified formula for confined water",
            "barrass": f"by Barrass's general formula, blockage {self.blockage_share or 0.0:g}",
        }[self.formula]
        return f"{name}, block coefficient {self.block_share:g}"

    def squat_m(self, speeds_kn: Iterable[float]) -> float:
        """Squat at the fastest of several speeds through the water, 0 without any."""
        speed_kn = max(speeds_kn, default=0.0)
        if self.formula == "open":
            return simple_open_squat_m(block_share=self.block_share, speed_kn=speed_kn)
        if self.formula == "confined":
            return simple_confined_squat_m(block_share=self.block_share, speed_kn=speed_kn)
        return barrass_squat_m(
            block_share=self.block_share,
            blockage_share=self.blockage_share or 0.0,
            speed_kn=speed_kn,
        )
