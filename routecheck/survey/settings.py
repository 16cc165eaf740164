"""What the survey must be told: how wide to look, and what is too coarse to clear."""

from __future__ import annotations

from dataclasses import dataclass

from routecheck.model.finite import refuse_not_finite
from routecheck.model.route import Leg
from routecheck.model.source import Source, SourceKind

CLEARED_BELOW_M = 200.0
"""A source too coarse to show a danger clears nothing charted shoaler than this (common
practice: seamounts and banks that matter to a keel do not rise unseen from deeper)."""

MEASURED_ABOVE_M = 50.0
"""A depth that was interpolated or predicted, not measured, clears nothing shoaler than this
(common practice)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SurveySettings:
    """Half-widths in metres; `floor_m` is what the corridor may never be narrower than."""

    cross_track_m: float
    cross_track_from: str = "boat"
    floor_m: float = 0.0
    floor_from: str = "position uncertainty and half the beam"
    coarsest_grid_m: float = 100.0
    smallest_scale: float = 180000.0
    oldest_survey_year: float = 1970.0
    mark_far_m: float = 740.8
    region: str = ""

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    def half_widths_m(self, leg: Leg) -> tuple[float, float, str]:
        """(port, starboard, what set them) for a leg, raised to the floor where they are less."""
        port = self.cross_track_m if leg.xtd_port_m is None else leg.xtd_port_m
        starboard = self.cross_track_m if leg.xtd_starboard_m is None else leg.xtd_starboard_m
        own = leg.xtd_port_m is not None or leg.xtd_starboard_m is not None
        said = "route" if own else self.cross_track_from
        if min(port, starboard) < self.floor_m:
            said += f", raised to {self.floor_m:.1f} m ({self.floor_from})"
        return max(port, self.floor_m), max(starboard, self.floor_m), said

    def too_coarse(self, source: Source) -> bool:
        """Whether a source cannot show a danger, and so clears no water shoaler than 200 m."""
        if source.kind is SourceKind.GRID:
            return source.resolution_m is None or source.resolution_m > self.coarsest_grid_m
        if source.scale is None:
            # A compiled chart that hides its scale cannot be known to show a danger.
            return source.kind is SourceKind.CHART_CELL
        return source.scale > self.smallest_scale


def rank(source: Source) -> tuple[float, float, str]:
    """Sort key: the source that counts at a place comes first.

    Charts: largest scale, then quality, then date. Grids: quality, then resolution, then date.
    """
    quality = source.quality.vertical_m if source.quality.vertical_m is not None else 1e9
    # Later dates first: the digits of an ISO date, each turned round.
    date = "".join(chr(0x10000 - ord(c)) for c in source.issued or str(source.surveyed or ""))
    if source.kind is SourceKind.GRID:
        resolution = source.resolution_m if source.resolution_m is not None else 1e9
        return (quality, resolution, date or "\U0010ffff")
    scale = source.scale if source.scale is not None else 1e9
    return (scale, quality, date or "\U0010ffff")
