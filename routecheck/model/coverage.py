"""What a set of charts covers, as disjoint patches: at each place the source that counts there."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shapely.geometry.base import BaseGeometry

from routecheck.model.finite import refuse_not_finite
from routecheck.model.source import Source


class Worth(StrEnum):
    """What the depths of a place can do for a boat, the best first."""

    KNOWN = "known"
    """Stated to be within `WELL_KNOWN_M` in 10 m of water, on a datum that clears."""
    ROUGH = "rough"
    """Stated, but worse than that."""
    UNKNOWN = "unknown"
    """Nobody says how good they are: they clear with a caution only."""
    COARSE = "coarse"
    """Too small a scale, or cells too large, to show a danger."""
    NO_DATUM = "no-datum"
    """Not on a low-water datum: they may condemn, never clear."""
    HOLE = "hole"
    """Within a chart, and no depth charted."""


WELL_KNOWN_M = 1.5
"""In 10 m of water CATZOC A1, A2 and B come to 1.2 m and less, C to 2.5 m (S-57 attribute 72)."""


@dataclass(frozen=True, kw_only=True)
class Patch:
    """Water or land of one source with one quality and datum. `geometry` is lon/lat, areal."""

    source: Source
    geometry: BaseGeometry
    worth: Worth
    land: bool = False
    quality: str = ""
    """Its name, such as "CATZOC B"."""
    datum: str = ""
    year: int | None = None
    """Of the survey; of a file that is no chart cell else of the issue; None where not stated."""
    area_m2: float = 0.0
    why: str = ""
    """Of a hole: what is missing."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True)
class Coverage:
    """All patches, disjoint. `bare` are sources without any water of their own, with the sides
    (west, south, east, north) of what they hold, None where that is nothing."""

    patches: tuple[Patch, ...]
    bare: tuple[tuple[Source, tuple[float, float, float, float] | None], ...] = ()
    remarks: tuple[str, ...] = ()
