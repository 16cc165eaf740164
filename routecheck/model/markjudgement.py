"""What may be said of a pass of a mark, and the answers that all kinds of mark share."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.passes import MarkPass

SETTLE_DIRECTION = "give --buoyage, or a chart that states the direction of buoyage here"
SETTLE_REGION = "give --region or --buoyage"
SETTLE_MARK = "a chart that is right about this mark"


class Fault(StrEnum):
    """What there is to say of a pass; each is one check's to report."""

    NONE = ""
    WRONG_SIDE = "wrong side"
    SIDE_UNKNOWN = "side unknown"
    CROSSED = "crossed"
    SECONDARY = "secondary channel"
    OUTSIDE_GATE = "outside the gate"
    NO_CERTAIN_SIDE = "no certain side"
    LAPPED = "corridor laps over"
    WRONG_QUADRANT = "wrong quadrant"
    TOO_NEAR = "too near"


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkJudgement:
    """The judgement of one pass. `severity` None: only a row in the mark list."""

    outcome: MarkOutcome
    judged_by: str
    side_required: str = ""
    severity: Severity | None = None
    fault: Fault = Fault.NONE
    why: str = ""
    settle: str = ""
    near_m: float = 0.0
    """Within this distance the mark is near."""


def right(met: MarkPass, near_m: float, by: str, required: str, why: str) -> MarkJudgement:
    """Rightly passed: nothing to say, unless the corridor laps over the mark."""
    if met.in_corridor:
        return MarkJudgement(
            outcome=MarkOutcome.RIGHT,
            judged_by=by,
            side_required=required,
            severity=Severity.CAUTION,
            fault=Fault.LAPPED,
            why=f"{why}; it is passed rightly, {met.distance_m:.0f} m off, but the corridor laps "
            "over it: a boat within its limits may leave it on the wrong side",
            near_m=near_m,
        )
    return MarkJudgement(
        outcome=MarkOutcome.RIGHT, judged_by=by, side_required=required, why=why, near_m=near_m
    )


def unknown(met: MarkPass, near_m: float, why: str, settle: str) -> MarkJudgement:
    """Its proper side is not known: not assessed where it is near."""
    near = met.distance_m <= near_m
    return MarkJudgement(
        outcome=MarkOutcome.NOT_ASSESSED,
        judged_by=why,
        severity=Severity.NOT_ASSESSED if near else None,
        fault=Fault.SIDE_UNKNOWN,
        why=why,
        settle=settle,
        near_m=near_m,
    )


def no_certain_side(met: MarkPass, near_m: float, by: str) -> MarkJudgement:
    """Closer than the uncertainty of its position."""
    what = "a floating mark" if met.mark.floating else "a fixed mark"
    return MarkJudgement(
        outcome=MarkOutcome.NOT_ASSESSED,
        judged_by=f"too close to call; {by}" if by else "too close to call",
        severity=Severity.CAUTION,
        fault=Fault.NO_CERTAIN_SIDE,
        why=f"passed {met.distance_m:.0f} m off by the chart, {what} whose position is only known "
        f"to {met.position_uncertainty_m:.0f} m has no certain side",
        near_m=near_m,
    )


def not_passed(met: MarkPass, near_m: float) -> MarkJudgement:
    """Off an end of the track."""
    at = "ends short of it" if met.along_m > 0.0 else "begins beyond it"
    return MarkJudgement(
        outcome=MarkOutcome.NOT_ASSESSED,
        judged_by=f"not passed: the track {at}",
        severity=Severity.CAUTION if met.in_corridor else None,
        fault=Fault.LAPPED if met.in_corridor else Fault.NONE,
        why=f"the track {at}, and the corridor laps over it",
        near_m=near_m,
    )
