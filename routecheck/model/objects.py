"""Charted objects: what a chart says lies where. Geometry is lon/lat in degrees (WGS 84).

Readers make them, valid and finite; the survey finds which of them a corridor meets.
`key` is stable between runs and unique within a chart set: ``<source id>/<class>/<id>``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from shapely.geometry.base import BaseGeometry

from routecheck.model.finite import refuse_not_finite
from routecheck.model.source import CATZOC_QUALITY, Quality

Attribute = str | float | int | tuple[int, ...]


class Layer(StrEnum):
    """What a check has to have seen of the corridor."""

    DEPTH = "depth"
    DANGERS = "dangers"
    LAND = "land"
    MARKS = "marks"
    OVERHEAD = "overhead"
    AREAS = "areas"


@dataclass(frozen=True, kw_only=True)
class Charted:
    """What all charted objects have. `cls` is the class as the source names it (S-57 acronym)."""

    key: str
    cls: str
    source: str
    """Id of the `Source`."""
    geometry: BaseGeometry
    name: str = ""
    position_uncertainty_m: float | None = None
    """Stated by the object itself (POSACC, QUAPOS, …), else None."""
    attributes: Mapping[str, Attribute] = field(default_factory=dict)
    """What the report may want to show, already plain; never needed for the judgement."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
        if self.geometry is None or self.geometry.is_empty:
            raise ValueError(f"{self.key} has no geometry")


@dataclass(frozen=True, kw_only=True)
class DepthArea(Charted):
    """DEPARE, DRGARE and their like. `charted_depth_m` is the shoal end; None: not stated,
    and then the area is a hole in the coverage."""

    charted_depth_m: float | None
    deep_end_m: float | None = None
    depth_uncertainty_m: float | None = None
    """SOUACC of the object itself; it counts where it is worse than its zone's."""
    unreliable: bool = False
    """QUASOU says that the depth is doubtful, unknown or not kept up: of unknown quality."""


@dataclass(frozen=True, kw_only=True)
class Contour(Charted):
    """A depth contour; the water beside it may be as shoal as `charted_depth_m` on the line."""

    charted_depth_m: float


@dataclass(frozen=True, kw_only=True)
class Sounding(Charted):
    """One sounding. `unreliable` for QUASOU 3, 4, 8 or 9; `no_bottom` for 5 (a lower bound)."""

    charted_depth_m: float
    unreliable: bool = False
    no_bottom: bool = False
    depth_uncertainty_m: float | None = None


class DangerKind(StrEnum):
    """Underwater dangers."""

    ROCK = "rock"
    WRECK = "wreck"
    OBSTRUCTION = "obstruction"
    FOUL_GROUND = "foul ground"
    MARINE_FARM = "marine farm"
    FISHING_GEAR = "fishing gear"
    GROUND = "ground"
    """Seabed that is charted as not always under water."""
    SILL = "sill"
    """Of a gate or a lock."""
    LEAST_DEPTH = "stated least depth"
    """Of a fairway, a track, a swept area or the like: what the chart states beside its depths."""


@dataclass(frozen=True, kw_only=True)
class Danger(Charted):
    """A rock, wreck, obstruction or the like.

    charted_depth_m      VALSOU; None where it is not stated, stands as unknown, or does not go
                         with what else is charted of it
    depth_in_area_range  EXPSOU 1 or 3: not shoaler than the range of its depth area
    dangerous            False for foul ground (CATOBS 7) and for wrecks of CATWRK 1 and 3 that are
                         always under water: a caution where the depth is unknown
    stands_out           a part of it stands out of the water, or floats, at any height of tide
    uncovers             WATLEV 4 or 5: reaches chart datum
    default_depth_m      what the display rules of the IHO take for a depth that is not known
    """

    kind: DangerKind
    charted_depth_m: float | None
    depth_in_area_range: bool = False
    dangerous: bool = True
    stands_out: bool = False
    uncovers: bool = False
    default_depth_m: float | None = None
    water_level: str = ""
    """WATLEV in words, and what shows of a wreck; "" where not stated."""
    unreliable: bool = False
    depth_uncertainty_m: float | None = None


class SolidKind(StrEnum):
    """What no boat floats over at any tide."""

    LAND = "land"
    COASTLINE = "coastline"
    STRUCTURE = "structure"


@dataclass(frozen=True, kw_only=True)
class Solid(Charted):
    """Land, coastline, piers, piles, pontoons, dams … `kind` says which sort."""

    kind: SolidKind


@dataclass(frozen=True, kw_only=True)
class Span(Charted):
    """A bridge, overhead cable, pipe or conveyor, with the clearances that the chart states."""

    vertical_clearance_m: float | None = None
    vertical_clearance_closed_m: float | None = None
    vertical_clearance_open_m: float | None = None
    safe_vertical_clearance_m: float | None = None
    horizontal_clearance_m: float | None = None
    """Room from side to side of what is gone through; None where it is not stated."""
    clearance_datum: str = "unknown"
    opens: bool = False
    """An opening, swing, lifting, bascule or draw bridge."""
    electric: bool = False
    """A power or transmission line, or an overhead cable of which it is not said."""


class MarkKind(StrEnum):
    """Kinds of mark: IALA Maritime Buoyage System (IALA Recommendation R1001)."""

    LATERAL = "lateral"
    """Hand not stated: the region decides it from the colours."""
    PORT_HAND = "port-hand"
    STARBOARD_HAND = "starboard-hand"
    PREFERRED_TO_STARBOARD = "preferred-channel-to-starboard"
    PREFERRED_TO_PORT = "preferred-channel-to-port"
    CARDINAL = "cardinal"
    """Quadrant not stated: its colours or its top mark may tell it."""
    NORTH = "north"
    EAST = "east"
    SOUTH = "south"
    WEST = "west"
    ISOLATED_DANGER = "isolated-danger"
    SAFE_WATER = "safe-water"
    SPECIAL = "special"
    EMERGENCY_WRECK = "emergency-wreck"
    UNKNOWN = "unknown"
    """A buoy or beacon of which nothing tells the kind: it may have a side to keep."""


LATERAL_KINDS = frozenset(
    {
        MarkKind.LATERAL,
        MarkKind.PORT_HAND,
        MarkKind.STARBOARD_HAND,
        MarkKind.PREFERRED_TO_STARBOARD,
        MarkKind.PREFERRED_TO_PORT,
    }
)
WIDE_M = 20.0
"""The outline of a beacon reaches this far from its middle at most (common practice)."""
CARDINAL_KINDS = frozenset(
    {MarkKind.CARDINAL, MarkKind.NORTH, MarkKind.EAST, MarkKind.SOUTH, MarkKind.WEST}
)


@dataclass(frozen=True, kw_only=True)
class Mark(Charted):
    """A buoy or beacon. `colours` top to bottom, words ("red", "green"). `region` "A", "B" or
    "" is what the object itself states (MARSYS), which outweighs the cell's. `top_mark` and
    `light` are words for the reader ("can, red"), "" where nothing is charted."""

    kind: MarkKind
    colours: tuple[str, ...] = ()
    floating: bool = True
    region: str = ""
    top_mark: str = ""
    light: str = ""
    shape: str = ""
    """Of a buoy: "conical", "can" and so on, "" where it is not stated."""
    kind_doubt: str = ""
    """Of a mark of unknown kind: why its kind cannot be told."""
    spread_m: float = 0.0
    """Of a mark that is drawn as a line or an area: no part of it lies further from its place than
    this, metres. 0 for a point."""

    @property
    def drawn_wide(self) -> bool:
        """Drawn so wide that its place within the shape tells no side."""
        return self.spread_m > WIDE_M

    @property
    def wide_m(self) -> float:
        """How far from its place it may stand for being drawn wide, metres; else 0."""
        return self.spread_m if self.drawn_wide else 0.0

    @property
    def lon_deg(self) -> float:
        """Longitude, degrees."""
        return float(self.geometry.x)  # type: ignore[attr-defined]

    @property
    def lat_deg(self) -> float:
        """Latitude, degrees."""
        return float(self.geometry.y)  # type: ignore[attr-defined]


@dataclass(frozen=True, kw_only=True)
class Unsurveyed(Charted):
    """UNSARE: a hole in every coverage."""


@dataclass(frozen=True, kw_only=True)
class UnknownObject(Charted):
    """An object of a class that no check knows, and that is not on the list of harmless ones.
    `why` says it in words ("class XYZABC is not judged by any check")."""

    why: str


@dataclass(frozen=True, kw_only=True)
class QualityZone(Charted):
    """M_QUAL: the CATZOC (1..6) that holds inside. None: not stated, as 6.

    `depth_uncertainty_m` (SOUACC) and `position_uncertainty_m` (POSACC) are what it states beside
    it: they count where they are worse than the category's, and alone where there is no category.
    """

    catzoc: int | None
    depth_uncertainty_m: float | None = None
    surveyed: int | None = None
    """Year in which the last survey of it ended (SUREND, else SURSTA)."""

    @property
    def quality(self) -> Quality:
        """What depths and positions inside are worth."""
        vertical_m, horizontal_m = self.depth_uncertainty_m, self.position_uncertainty_m
        if self.catzoc is None and vertical_m is not None:
            return Quality(
                name=f"SOUACC {vertical_m:g} m", vertical_m=vertical_m, horizontal_m=horizontal_m
            )
        return CATZOC_QUALITY[self.catzoc or 6].at_least(vertical_m, horizontal_m)


@dataclass(frozen=True, kw_only=True)
class BuoyageZone(Charted):
    """M_NSYS or a user's zone: region "A", "B" or "" and a direction of buoyage, either alone.
    `from_user` for a zone that the user gave, which outweighs the chart's."""

    region: str = ""
    direction_of_buoyage_deg: float | None = None
    from_user: bool = False


@dataclass(frozen=True, kw_only=True)
class SteeringLine(Charted):
    """A recommended track or a leading line with a bearing. `inbound_deg` is the true course of a
    boat that comes in along it from seaward; `what` its kind in words."""

    inbound_deg: float
    what: str


@dataclass(frozen=True, kw_only=True)
class DatumZone(Charted):
    """M_SDAT: the sounding datum that holds inside, where it differs from the cell's."""

    datum: str


@dataclass(frozen=True, kw_only=True)
class CoverageArea(Charted):
    """M_COVR. `covered` False for CATCOV 2."""

    covered: bool
