"""A pass of a mark: one local minimum of the distance from the whole track to the mark."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from routecheck.model.finite import refuse_not_finite
from routecheck.model.objects import Mark, MarkKind


class Sense(StrEnum):
    """How the track runs against the direction of buoyage."""

    WITH = "with"
    AGAINST = "against"
    CROSSING = "crossing"


class GroundKind(StrEnum):
    """What says the sense, in order of trust."""

    USER_ZONE = "user's zone"
    CHART = "chart"
    NUMBERS = "numbers of a run of marks"
    EDGES = "edges of a channel"
    LINE = "leading line or recommended track"
    PAIR = "facing pair"


@dataclass(frozen=True, kw_only=True, slots=True)
class Ground:
    """One reason to believe a sense. `direction_deg` (true) only for stated directions."""

    kind: GroundKind
    sense: Sense
    text: str
    """In words for the finding: "numbers 5, 7, 9 ascend along the track"."""
    direction_deg: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class GatePass:
    """The partner of a facing pair whose line, prolonged by its width, this track crosses; or,
    where marks are staggered, the two marks whose line is the other edge abreast of the mark."""

    partner_key: str
    partner_name: str
    width_m: float
    between: bool
    """The track crosses the line between the two marks."""
    lon_deg: float
    lat_deg: float
    outside_m: float = 0.0
    """How far outside the nearer mark the line is crossed; 0 between the marks."""
    nearer: bool = True
    """This mark, not its partner, is the one nearer to the crossing."""
    off_middle_m: float = 0.0
    """How far to starboard of the middle between the marks the boat is, as she goes; port is
    negative."""
    edge_key: str = ""
    """Of a staggered gate: the second mark of the other edge; the partner is the first. "" where
    two marks face each other."""
    edge_name: str = ""
    bend_m: float | None = 0.0
    """How far the other edge may lie off the straight line between its two marks, metres; None
    where nothing tells how the channel bends. 0 where two marks face each other."""

    @property
    def staggered(self) -> bool:
        """The gate of a mark and the other edge, not of two marks that face each other."""
        return self.edge_key != ""

    @property
    def other_side(self) -> str:
        """What stands on the other side, in words."""
        partner = self.partner_name or self.partner_key
        if not self.staggered:
            return partner
        return f"the other edge, between {partner} and {self.edge_name or self.edge_key}"


@dataclass(frozen=True, kw_only=True, slots=True)
class EdgeCrossed:
    """Two neighbours of one hand on the edge of a channel, between which the track crosses it."""

    first_key: str
    first_name: str
    second_key: str
    second_name: str
    hand: MarkKind
    length_m: float
    off_nearer_m: float
    """From the crossing to the nearer of the two."""
    lon_deg: float
    lat_deg: float
    enters: bool
    """The track comes into the channel here; else it leaves it."""
    numbered: bool
    """Their numbers say that they are neighbours, else their places alone."""


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkPass:
    """How one mark is passed; the facts, without a judgement.

    `cross_m` is the mark's cross-track distance (starboard positive: it is left to starboard);
    `along_m` counts from the start of `leg`, clipped to it.
    """

    mark: Mark
    leg: int
    along_m: float
    cross_m: float
    distance_m: float
    side: str
    """"port" or "starboard": the side of the boat on which the mark is left."""
    lon_deg: float
    lat_deg: float
    course_deg: float
    """The track's course at the pass, true."""
    kind: MarkKind
    """The hand after the region has been applied, the quadrant after colours and top mark have
    been; LATERAL or CARDINAL where it cannot be decided."""
    region: str
    """"A", "B" or "" where nothing states it."""
    region_from: str
    position_uncertainty_m: float
    grounds: tuple[Ground, ...] = ()
    followed_run: bool = False
    """The mark belongs to a numbered run that the track follows."""
    beside_run: bool = False
    """It does so beside the channel: both its edges stand on one side of the track."""
    gate: GatePass | None = None
    edges: tuple[EdgeCrossed, ...] = ()
    """Edges of channels that this mark stands on and the track crosses nearer to it than to the
    mark at the edge's other end."""
    in_corridor: bool = False
    contradiction: str = ""
    """What in colours, category and region does not fit together, "" where all fits."""
    conflict: str = ""
    """Sources of direction or region that differ, both named, "" where none do."""
    track_side_of_mark: str = ""
    """Compass quadrant ("north" …) of the mark in which the track passes at its closest."""
    track_bearing_deg: float = 0.0
    """True bearing of the track's closest point from the mark."""
    opposite_m: float | None = None
    """For a cardinal mark: how near to it the track comes in the quadrant opposite to the
    named one, within reach; None where it does not go there."""
    passed: bool = True
    """False where the track only begins beyond the mark or ends short of it."""
    other_channel: str = ""
    """Name of the partner in a facing pair that the track passes by: another channel's."""
    run: str = ""
    """What the names of its numbered run have in common, "" where it belongs to none."""
    doubtful: tuple[str, ...] = ()
    """What else is odd about the mark as charted: another mark of another kind in its place,
    a buoy on land or in water that dries; each in words."""
    odd_shape: str = ""
    """What in its shape or top mark does not fit its kind, in words; "" where all fits."""
    uncertain_hand: str = ""
    """Why `kind` is LATERAL or CARDINAL: hand or quadrant is not decided, "" where it is."""
    quadrant_by: str = ""
    """What tells the quadrant of a cardinal mark that is charted without one ("its colours");
    "" where the chart states it, or nothing tells."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)
