"""Findings and the report: what a check says, whole, and nothing about how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from routecheck.model.boat import Boat
from routecheck.model.chart import Severity, Unread
from routecheck.model.clockrow import ClockRow
from routecheck.model.finite import refuse_not_finite
from routecheck.model.passage import Tide
from routecheck.model.route import Route
from routecheck.model.source import Source
from routecheck.model.view import LegView

CAUTION = (
    "A planning aid only. It is no substitute for official, up-to-date charts and notices to "
    "mariners, for local rules, or for the judgement of a licensed person. What the data does "
    "not show, this report cannot show."
)
"""Stands on every output."""


class Outcome(StrEnum):
    """What a check came to on a leg."""

    FOUND = "found"
    NOTHING_FOUND = "nothing-found"
    NOT_ASSESSED = "not-assessed"


class Verdict(StrEnum):
    """Of a route, the worst first. The best is no more than that nothing was found."""

    HAZARDS = "hazards"
    INCOMPLETE = "incomplete"
    CAUTIONS = "cautions"
    NO_HAZARD_FOUND = "no hazard found"


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """Another charted object of the same shoal, or whatever else bears a finding out."""

    key: str
    cls: str
    text: str
    severity: Severity | None = None
    charted_depth_m: float | None = None
    lon_deg: float | None = None
    lat_deg: float | None = None
    along_m: float | None = None
    cross_m: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One charted object on one leg (or one gap, one conflict), with its sum.

    `along_m` counts from the leg's start. `sums` holds the numbers of the sum under names with
    units, in the order in which they are added up. `number` is given by the judgement, along
    the track, from 1; notes have none (0).
    """

    check: str
    severity: Severity
    title: str
    explanation: str
    leg: int
    object_key: str
    cls: str = ""
    along_m: float = 0.0
    along_to_m: float | None = None
    cross_m: float = 0.0
    lon_deg: float
    lat_deg: float
    sums: Mapping[str, float | str] = field(default_factory=dict)
    evidence: tuple[Evidence, ...] = ()
    source: str = ""
    rests_on: str = ""
    """What the finding stands or falls with: the source's quality, an inferred direction …"""
    settle: str = ""
    """What would settle it, "" where nothing would."""
    number: int = 0
    eta: datetime | None = None
    route_along_m: float = 0.0
    """From the route's start; filled in by the judgement."""

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @property
    def key(self) -> str:
        """Stable between runs: check, leg, object."""
        return f"{self.check}/{self.leg}/{self.object_key}"


@dataclass(frozen=True, kw_only=True)
class Assessed:
    """One cell of the table check by leg."""

    check: str
    leg: int
    outcome: Outcome
    why: str = ""
    not_seen_m2: float = 0.0
    for_want_of_clock: bool = False
    """Not assessed, and only since no departure was given or no ETA is known: no fault of the
    charts."""


@dataclass(frozen=True, kw_only=True)
class LegSummary:
    """One leg in the report. Least margin over all depths that count; None where none do."""

    number: int
    from_name: str
    to_name: str
    line: str
    course_deg: float
    course_magnetic_deg: float | None
    distance_m: float
    start_along_m: float
    port_m: float
    starboard_m: float
    speed_kn: float | None
    eta: datetime | None
    """At the leg's end."""
    shoalest_depth_m: float | None
    least_margin_m: float | None
    shoalest_source: str = ""


class MarkOutcome(StrEnum):
    """How a mark was passed."""

    RIGHT = "right"
    WRONG = "wrong"
    CROSSED = "crossed"
    NOT_ASSESSED = "not-assessed"


@dataclass(frozen=True, kw_only=True)
class MarkRow:
    """A mark in the order of meeting. Sides: see docs on findings.json."""

    key: str
    kind: str
    name: str
    colours: tuple[str, ...]
    lon_deg: float
    lat_deg: float
    leg: int
    route_along_m: float
    distance_m: float
    side_passed: str
    side_required: str
    outcome: MarkOutcome
    judged_by: str
    source: str
    eta: datetime | None = None
    top_mark: str = ""
    """In words, as is the light: "can, red"; "" where nothing is charted."""
    light: str = ""
    rule: str = ""
    """What the mark asks of a boat that goes this way, in words."""
    sure: str = ""
    """How sure the direction of buoyage is at a lateral mark; "" for others."""


@dataclass(frozen=True, kw_only=True)
class GroupVerdict:
    """One line beside the verdict: depth, dangers, marks, overhead, areas or coverage."""

    group: str
    outcome: str
    count: int
    settle: str = ""


@dataclass(frozen=True, kw_only=True)
class Report:
    """Everything that a writer may show of one route."""

    route: Route
    boat: Boat
    verdict: Verdict
    groups: tuple[GroupVerdict, ...]
    findings: tuple[Finding, ...]
    """In order along the track; numbered from 1, notes last without a number."""
    assessed: tuple[Assessed, ...]
    legs: tuple[LegSummary, ...]
    marks: tuple[MarkRow, ...]
    sources: tuple[Source, ...]
    unread: tuple[Unread, ...]
    assumptions: tuple[str, ...]
    depart: datetime | None = None
    tide_text: str = ""
    tide: Tide | None = None
    """The heights of tide that were used, for the colours of the map; None: none were given."""
    views: tuple[LegView, ...] = ()
    clock: tuple[ClockRow, ...] = ()
    """ETA, tide and light at waypoints, gates and what hangs over the route; none without a
    departure."""
    caution: str = CAUTION
