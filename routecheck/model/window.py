"""Departure windows: what many departures come to, and what opens and closes the good ones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from routecheck.model.boat import Boat
from routecheck.model.chart import Severity
from routecheck.model.finding import CAUTION, Finding
from routecheck.model.finite import refuse_not_finite
from routecheck.model.route import Route
from routecheck.model.tide_curve import Floats


class State(StrEnum):
    """What a departure comes to, by all that depends on its time; the worst first."""

    CLOSED = "closed"
    NOT_ASSESSED = "not-assessed"
    CAUTION = "open with cautions"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class Bar:
    """Why a departure is closed or not assessed: one finding of it."""

    finding: Finding
    depart: datetime
    """The departure of which it is a finding."""

    @property
    def margin_m(self) -> float | None:
        """The margin of its sum, None where it has none."""
        value = self.finding.sums.get("margin_m")
        return value if isinstance(value, float) else None


@dataclass(frozen=True, kw_only=True)
class Window:
    """Departures in a row that are open, with or without cautions.

    `opens` is what barred the departure before the first, `closes` what bars the one after the
    last; empty where the scan begins or ends there.
    """

    first: datetime
    last: datetime
    best: datetime
    best_margin_m: float | None
    """The least margin, of water or of air, on the best departure."""
    cautions: tuple[str, ...]
    """Titles of the time-dependent cautions on the best departure."""
    departures: int = 1
    """How many departures were judged in it."""
    with_cautions: int = 0
    """How many of them are open with cautions, each perhaps with others than the best."""
    opens: tuple[Bar, ...] = ()
    closes: tuple[Bar, ...] = ()

    def __post_init__(self) -> None:
        refuse_not_finite(self)


@dataclass(frozen=True, kw_only=True, eq=False)
class WindowPicture:
    """Margins of water, and of air under a span, by departure and distance along the route."""

    from_m: Floats
    to_m: Floats
    """Bounds of the bins, from the route's start, shape (bins,)."""
    margin_m: Floats
    """(departures, bins); no more than `most_m`, and that too where no depth is known."""
    doubtful: NDArray[np.bool_]
    """(departures, bins): the margin is less than the uncertainty of depth and tide."""
    touches: NDArray[np.bool_]
    """(departures, bins): the keel, or the mast, touches."""
    known: NDArray[np.bool_]
    """(bins,): whether any depth counts there."""
    gap: NDArray[np.bool_]
    """(bins,): whether a part of the corridor there is not covered."""
    waypoints_m: Floats
    """Where the legs begin and the last one ends."""
    most_m: float
    overhead: tuple[tuple[float, str], ...] = ()
    """Where something hangs over the route, and its name."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Windows:
    """Everything that a writer may show of a scan. Arrays have one entry a departure."""

    route: Route
    boat: Boat
    departs: tuple[datetime, ...]
    step_s: float
    states: tuple[State, ...]
    margin_m: NDArray[np.float64] | None
    """Least margin of water over all depths in the corridor, None where there are none."""
    air_m: NDArray[np.float64] | None
    """Least margin of air over the mast, None where nothing hangs over the route."""
    windows: tuple[Window, ...]
    closed: tuple[Bar, ...]
    """Without any window: what bars the departure that comes nearest to open."""
    always: tuple[Finding, ...]
    """Dangers and what was not assessed, whatever the departure; in order along the track."""
    assumptions: tuple[str, ...]
    duration_s: float | None
    """Time under way, None where a speed is missing."""
    distance_m: float
    barred: Mapping[str, NDArray[np.bool_]] = field(default_factory=dict)
    """By what (water, air, light, hours and rules) each departure is barred; only what bars any."""
    picture: WindowPicture | None = None
    always_cautions: int = 0
    """How many cautions there are whatever the departure."""
    caution: str = field(default=CAUTION)

    @property
    def always_worst(self) -> Severity | None:
        """The worst of what holds whatever the departure, no caution; None where nothing does."""
        severities = {finding.severity for finding in self.always}
        return next((one for one in Severity if one in severities), None)
