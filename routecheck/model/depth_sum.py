"""The sum that every depth finding shows, and what it comes to.

available = charted depth + height of tide (the lowest within the ETA's uncertainty)
needed    = draught + squat + heel and swell allowance + under-keel clearance wanted
margin    = available - needed
danger    margin < 0, or the keel would touch
caution   margin - uncertainty < 0, or the depth lies only within its position uncertainty;
          an uncertainty that no one states is more than 0: caution at a margin of 0
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routecheck.model.boat import Boat
from routecheck.model.chart import Severity
from routecheck.model.finite import refuse_not_finite
from routecheck.model.passage import HeightOfTide
from routecheck.model.source import Quality
from routecheck.model.tide_curve import Floats
from routecheck.units import metres_down, metres_up


@dataclass(frozen=True, kw_only=True, slots=True)
class DepthSum:
    """One depth of water held against one boat."""

    charted_depth_m: float
    tide: HeightOfTide
    uncertainty_m: float
    """The source's at this depth and the tide's, added."""
    boat: Boat
    known: bool = True
    """Whether the source's uncertainty is stated: if not, it is more than the 0 that is added."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @classmethod
    def of(
        cls, *, charted_depth_m: float, quality: Quality, tide: HeightOfTide, boat: Boat
    ) -> DepthSum:
        """The sum for a depth of stated or unknown quality."""
        return cls(
            charted_depth_m=charted_depth_m,
            tide=tide,
            uncertainty_m=quality.vertical_uncertainty_m(charted_depth_m) + tide.uncertainty_m,
            boat=boat,
            known=quality.known,
        )

    @property
    def available_m(self) -> float:
        """Depth of water."""
        return self.charted_depth_m + self.tide.height_m

    @property
    def margin_m(self) -> float:
        """What is left beyond what the skipper wants."""
        return self.available_m - self.boat.needed_m

    @property
    def touches(self) -> bool:
        """Whether the keel would touch the bottom."""
        return self.available_m <= self.boat.touches_at_m

    def severity(self, *, in_corridor: bool, unreliable: bool = False) -> Severity | None:
        """What the sum comes to; None where nothing is wrong. `unreliable` (a doubtful sounding)
        never counts at full depth: it cannot pass better than with a caution."""
        if self.margin_m < 0.0 or self.touches:
            return Severity.DANGER if in_corridor else Severity.CAUTION
        left_m = self.margin_m - self.uncertainty_m
        if left_m < 0.0 or (left_m <= 0.0 and not self.known):
            return Severity.CAUTION
        if unreliable and self.margin_m < self.boat.needed_m:
            return Severity.CAUTION
        return None

    def sentence(self, what: str) -> str:
        """The sum in a sentence, rounded against the boat."""
        tide = f"{self.tide.height_m:+.2f}".rstrip("0").rstrip(".")
        return (
            f"{metres_down(self.available_m)} {what} "
            f"({metres_down(self.charted_depth_m)} charted, {tide} m tide) against "
            f"{metres_up(self.boat.needed_m)} needed: margin {metres_down(self.margin_m)}, "
            f"uncertainty {uncertainty_words(self.uncertainty_m, known=self.known)}."
        )

    def lines(self) -> Mapping[str, float | str]:
        """The numbers in the order in which they are added up, names with units."""
        margins = self.boat.margins
        return {
            "charted_depth_m": self.charted_depth_m,
            "height_of_tide_m": self.tide.height_m,
            "tide": self.tide.text,
            "available_m": self.available_m,
            "draught_m": self.boat.draught_m,
            "squat_m": margins.squat_m,
            "heel_swell_m": margins.heel_swell_m,
            "under_keel_m": margins.under_keel_m,
            "needed_m": self.boat.needed_m,
            "margin_m": self.margin_m,
            # A figure that leaves out the source's share would pass for the whole.
            "uncertainty_m": self.uncertainty_m
            if self.known
            else uncertainty_words(self.uncertainty_m, known=False),
        }


def uncertainty_words(uncertainty_m: float, *, known: bool) -> str:
    """An uncertainty in metres, rounded up; of what is not stated whole no more than the least.

    >>> uncertainty_words(0.0, known=False), uncertainty_words(0.11, known=False)
    ('not known', 'not known, at least 0.11 m')
    """
    stated = metres_up(uncertainty_m)
    if known:
        return stated
    return f"not known, at least {stated}" if uncertainty_m > 0.0 else "not known"


def worst(severities: list[Severity | None]) -> Severity | None:
    """The worst of several, None where there is none."""
    order = list(Severity)
    present = [s for s in severities if s is not None]
    return min(present, key=order.index) if present else None


def severity_codes(
    charted_depth_m: Floats,
    height_m: Floats,
    uncertainty_m: Floats,
    boat: Boat,
    *,
    in_corridor: NDArray[np.bool_],
    unreliable: NDArray[np.bool_],
    known: NDArray[np.bool_],
) -> NDArray[np.int8]:
    """`DepthSum.severity` in arrays that broadcast: 0 danger, 1 caution, 4 nothing (the places of
    `Severity`). The same sums in the same order, so the same to the last bit."""
    available = charted_depth_m + height_m
    margin = available - boat.needed_m
    short = (margin < 0.0) | (available <= boat.touches_at_m)
    left = margin - uncertainty_m
    doubtful = (left < 0.0) | (~known & (left <= 0.0)) | (unreliable & (margin < boat.needed_m))
    codes = np.where(short & in_corridor, 0, np.where(short | doubtful, 1, len(Severity)))
    return codes.astype(np.int8)
