"""What the corridor of one leg meets, in that leg's own plane. It knows no boat.

Distances along are metres from the leg's start; cross-track is starboard positive.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from routecheck.model.areas import Area
from routecheck.model.chart import Problem
from routecheck.model.finite import refuse_not_finite
from routecheck.model.objects import (
    Charted,
    Danger,
    Layer,
    Mark,
    Solid,
    Span,
    UnknownObject,
    Unsurveyed,
)
from routecheck.model.passes import MarkPass
from routecheck.model.route import Leg
from routecheck.model.source import Quality, Source

Floats = NDArray[np.float64]


class Touch(StrEnum):
    """Whether the object as charted lies in the corridor, or only may lie there."""

    CORRIDOR = "corridor"
    BELT = "position belt"


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """Where on a leg: the object's point nearest the track, and its reach along the leg."""

    along_m: float
    cross_m: float
    lon_deg: float
    lat_deg: float
    along_from_m: float
    along_to_m: float
    touch: Touch = Touch.CORRIDOR
    belt_m: float = 0.0
    """Position uncertainty of the object that was allowed for."""
    hidden: bool = False
    """It is charted where a chart of larger scale counts, but may stand where that one ends."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, slots=True)
class TrackRun:
    """A part of the track on one course inside an area or along a line; of no length where the
    track only touches the area or crosses the line."""

    along_from_m: float
    along_to_m: float
    course_deg: float

    def __post_init__(self) -> None:
        refuse_not_finite(self)


Thing = TypeVar("Thing", bound=Charted)


@dataclass(frozen=True, kw_only=True, slots=True)
class Met(Generic[Thing]):
    """A charted object that the corridor meets."""

    object: Thing
    place: Place
    source: Source
    quality: Quality
    area_depth_m: float | None = None
    """For a danger: the shoal depth of the depth area that it lies in, None where none."""
    datum: str = ""
    """For a danger: what its depth is measured from."""
    shift_m: float = 0.0
    """For a danger: what brings its depth, and `area_depth_m`, to `datum`."""
    runs: tuple[TrackRun, ...] = ()
    """For an area or line: the parts of the track in it, in order along the leg."""
    course_deg: float | None = None
    """For an area or line: the course of the track where it is nearest."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OnlySmaller:
    """What a chart shows in the corridor, and the larger-scale one there does not."""

    object: Danger | Solid | Span | Mark | Area
    place: Place
    source: Source
    larger: Source


class DepthFrom(StrEnum):
    """What the depth was read off."""

    AREA = "depth area"
    CONTOUR = "depth contour"
    SOUNDING = "sounding"
    GRID = "depth grid"


@dataclass(frozen=True, kw_only=True, slots=True)
class DepthMet:
    """A charted depth that the corridor meets: the shoalest of one object in one quality zone."""

    key: str
    cls: str
    name: str
    depth_from: DepthFrom
    charted_depth_m: float
    deep_end_m: float | None
    datum: str
    place: Place
    source: Source
    quality: Quality
    counts: bool = True
    """False where a better source covers the place: then it stands in the comparison only."""
    coarse: bool = False
    """The source is too coarse to clear: it can condemn, not clear."""
    unreliable: bool = False
    reach_wkb: bytes = b""
    """The part in the corridor and belt, in the leg's plane, for grouping; b"" for grids."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, eq=False)
class DepthGridMet:
    """What one grid says along a leg: the shoalest touched cell of every part of the corridor.

    All arrays have shape (n,): parts in order of `along_from_m`, without those that touch no
    valid cell. `lon_deg`, `lat_deg` and `cross_m` are the shoalest cell's.
    """

    source: Source
    quality: Quality
    datum: str
    along_from_m: Floats
    along_to_m: Floats
    charted_depth_m: Floats
    lon_deg: Floats
    lat_deg: Floats
    along_m: Floats
    cross_m: Floats
    counts: NDArray[np.bool_]
    """False where a better source covers the part: it stands in the comparison only."""
    coarse: bool = False
    off_m: Floats | None = None
    """Vertical uncertainty of each part, the worst of its cells; None: by `quality` throughout."""
    known: NDArray[np.bool_] | None = None
    """Whether it is stated; None: by `quality` throughout."""
    measured: NDArray[np.bool_] | None = None
    """False where a touched depth was interpolated or predicted; None: nobody says."""

    def __post_init__(self) -> None:
        if not np.isfinite(self.charted_depth_m).all():
            raise ValueError(f"{self.source.id}: a depth that is not finite")
        if self.off_m is not None and not np.isfinite(self.off_m).all():
            raise ValueError(f"{self.source.id}: an uncertainty that is not finite")

    @property
    def uncertainty_m(self) -> Floats:
        """The source's vertical uncertainty of each part, metres; 0 where unknown."""
        if self.off_m is not None:
            return self.off_m
        share = self.quality.vertical_share * np.abs(self.charted_depth_m)
        return np.asarray((self.quality.vertical_m or 0.0) + share)

    @property
    def is_known(self) -> NDArray[np.bool_]:
        """Whether the uncertainty of each part is stated."""
        if self.known is not None:
            return self.known
        return np.full(len(self.charted_depth_m), self.quality.known)

    def quality_of(self, index: int) -> Quality:
        """What the depth of one part is worth."""
        if self.measured is not None and not self.measured[index]:
            name = "interpolated or predicted, not measured"
            return replace(self.quality, name=name, vertical_m=None, by_cell=False)
        if self.known is None or self.off_m is None:
            return self.quality
        if not self.known[index]:
            return replace(self.quality, name="unknown", vertical_m=None, by_cell=False)
        if not self.quality.by_cell:
            return self.quality
        return replace(self.quality, vertical_m=float(self.off_m[index]), by_cell=False)


@dataclass(frozen=True, kw_only=True, slots=True)
class CoarseWater:
    """Deep water that only a source too coarse to show a danger covers: a caution."""

    source: Source
    along_from_m: float
    along_to_m: float
    shoalest_m: float
    lon_deg: float
    lat_deg: float
    cross_m: float


UNSURVEYED = "charted as unsurveyed"
"""Why dangers are not known, where nobody has looked."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Gap:
    """A part of the corridor that no adequate source covers for a layer, and why."""

    layer: Layer
    why: str
    along_from_m: float
    along_to_m: float
    area_m2: float
    lon_deg: float
    lat_deg: float
    cross_m: float
    source: str = ""
    settle: str = ""
    """What would settle it: "give a chart that covers …"."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, slots=True)
class QualityRun:
    """A stretch of the leg where depths of unknown quality alone could clear the boat."""

    source: Source
    quality: Quality
    along_from_m: float
    along_to_m: float
    lon_deg: float
    lat_deg: float
    cross_m: float
    area_m2: float


@dataclass(frozen=True, kw_only=True, slots=True)
class SurveyRun:
    """A stretch of the leg that rests on a survey from before the skipper's oldest year."""

    source: Source
    year: int
    along_from_m: float
    along_to_m: float
    lon_deg: float
    lat_deg: float
    cross_m: float
    area_m2: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Disagreement:
    """Two sources that differ at one place by more than their uncertainties together."""

    shoaler: Source
    deeper: Source
    shoaler_depth_m: float
    deeper_depth_m: float
    uncertainty_m: float
    along_m: float
    cross_m: float
    lon_deg: float
    lat_deg: float


@dataclass(frozen=True, kw_only=True)
class LegView:
    """One leg and all that its corridor meets."""

    leg: Leg
    length_m: float
    course_deg: float
    """Course at the start, true (constant on a rhumb line)."""
    end_course_deg: float
    start_along_m: float
    """The leg's start, metres from the start of the route."""
    port_m: float
    starboard_m: float
    """Half-widths of the corridor as surveyed."""
    width_from: str
    """What set them: "route", "--cross-track", "boat", and whether they were raised."""
    depths: tuple[DepthMet, ...] = ()
    grids: tuple[DepthGridMet, ...] = ()
    coarse_water: tuple[CoarseWater, ...] = ()
    dangers: tuple[Met[Danger], ...] = ()
    solids: tuple[Met[Solid], ...] = ()
    spans: tuple[Met[Span], ...] = ()
    areas: tuple[Met[Area], ...] = ()
    unsurveyed: tuple[Met[Unsurveyed], ...] = ()
    unknown: tuple[Met[UnknownObject], ...] = ()
    marks: tuple[MarkPass, ...] = ()
    """Passes that belong to this leg."""
    gaps: tuple[Gap, ...] = ()
    quality_runs: tuple[QualityRun, ...] = ()
    old_surveys: tuple[SurveyRun, ...] = ()
    disagreements: tuple[Disagreement, ...] = ()
    only_smaller: tuple[OnlySmaller, ...] = ()
    problems: tuple[Problem, ...] = ()
    remarks: tuple[str, ...] = field(default=())
    """What the survey had to note, such as "corridor raised to 32 m"."""
