"""Where a charted fact comes from, and what its numbers are worth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from routecheck.model.finite import refuse_not_finite


class SourceKind(StrEnum):
    """What sort of file it is."""

    CHART_CELL = "chart cell"
    """A compiled chart with a scale, and coverage of its own (S-57)."""
    VECTOR = "vector file"
    """Loose depth areas, contours, soundings, marks (GeoPackage, GeoJSON, Shapefile)."""
    GRID = "depth grid"


@dataclass(frozen=True, kw_only=True, slots=True)
class Quality:
    """Vertical and horizontal uncertainty: fixed part in metres and share of the depth.

    None means that nobody states it: of unknown quality, which condemns but clears only with
    a caution. CATZOC A1 to C: IHO S-57 ed. 3.1, appendix A, attribute 72, and the table of
    REFERENCE figures at depths (0.5 m + 1 %, 1 m + 2 %, 2 m + 5 %).
    """

    name: str
    vertical_m: float | None
    vertical_share: float = 0.0
    horizontal_m: float | None = None
    horizontal_share: float = 0.0
    least_vertical_m: float = 0.0
    """What is stated beside it (SOUACC), where that is worse: never makes a quality known."""
    least_horizontal_m: float = 0.0
    by_cell: bool = False
    """A grid states it cell by cell; `vertical_m` is then the greatest where it was sampled."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @property
    def known(self) -> bool:
        """Whether a vertical uncertainty is stated."""
        return self.vertical_m is not None

    def vertical_uncertainty_m(self, charted_depth_m: float) -> float:
        """Uncertainty of a depth, metres; where unknown what is stated beside it, else 0 (the
        caution is another finding)."""
        if self.vertical_m is None:
            return self.least_vertical_m
        own_m = self.vertical_m + self.vertical_share * abs(charted_depth_m)
        return max(own_m, self.least_vertical_m)

    def belt_m(self, charted_depth_m: float) -> float:
        """How far off its charted position an object may lie, metres; 0 where unknown."""
        if self.horizontal_m is None:
            return self.least_horizontal_m
        own_m = self.horizontal_m + self.horizontal_share * abs(charted_depth_m)
        return max(own_m, self.least_horizontal_m)

    def at_least(self, vertical_m: float | None, horizontal_m: float | None = None) -> Quality:
        """The same, but no better than what is stated beside it; None says nothing."""
        vertical, horizontal = vertical_m or 0.0, horizontal_m or 0.0
        if vertical <= self.least_vertical_m and horizontal <= self.least_horizontal_m:
            return self
        words = [self.name]
        words += [f"SOUACC {vertical:g} m"] if vertical > self.least_vertical_m else []
        words += [f"POSACC {horizontal:g} m"] if horizontal > self.least_horizontal_m else []
        return replace(
            self,
            name=", ".join(words),
            least_vertical_m=max(vertical, self.least_vertical_m),
            least_horizontal_m=max(horizontal, self.least_horizontal_m),
        )


UNKNOWN_QUALITY = Quality(name="unknown", vertical_m=None)

CATZOC_QUALITY = {
    1: Quality(
        name="CATZOC A1",
        vertical_m=0.5,
        vertical_share=0.01,
        horizontal_m=5.0,
        horizontal_share=0.05,
    ),
    2: Quality(name="CATZOC A2", vertical_m=1.0, vertical_share=0.02, horizontal_m=20.0),
    3: Quality(name="CATZOC B", vertical_m=1.0, vertical_share=0.02, horizontal_m=50.0),
    4: Quality(name="CATZOC C", vertical_m=2.0, vertical_share=0.05, horizontal_m=500.0),
    5: Quality(name="CATZOC D", vertical_m=None, horizontal_m=500.0),  # worse than C
    6: Quality(name="CATZOC U (unassessed)", vertical_m=None),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """One chart file. `id` is its file name, made unique; it stands in every finding."""

    id: str
    file: str
    """Path as the user gave or the folder walk found it; shown, never opened again."""
    sha256: str
    kind: SourceKind
    format: str
    """Such as "S-57", "GeoTIFF", "GeoJSON"."""
    datum: str
    datum_from: str = ""
    """What says so: "DSID", "sidecar", "" where nothing does."""
    datum_below_msl_m: float | None = None
    depth_unit: str = ""
    """That of depths in the file ("m", "ft", "fm"), "" where nothing says; ours are metres."""
    resolution_m: float | None = None
    """Larger side of a grid cell, metres (None for vector)."""
    scale: float | None = None
    """Denominator of the compilation scale (None for grids and where not stated)."""
    quality: Quality = UNKNOWN_QUALITY
    edition: str = ""
    updates: int = 0
    issued: str = ""
    system_off_m: float = 0.0
    """What all positions may be off besides by the change to WGS 84 from another system, metres."""
    surveyed: int | None = None

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @property
    def own_position_uncertainty_m(self) -> float:
        """For land, structures, marks and spans: 0.5 mm at the compilation scale
        (common practice), else the source's own figure, else 0."""
        if self.scale is not None:
            return 0.0005 * self.scale
        return self.quality.horizontal_m or 0.0
