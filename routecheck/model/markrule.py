"""How a pass of a mark is judged: the side required against the side passed. Pure; no geometry.

Rules: IALA Recommendation R1001 (see `nav.buoyage`). How far off a wrong side counts, and how
much it takes to believe a direction of buoyage, are ours and stand in the settings.
"""

from __future__ import annotations

from routecheck.model.boat import Margins
from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome, MarkRow
from routecheck.model.lateralrule import lateral
from routecheck.model.markjudgement import (
    SETTLE_MARK,
    Fault,
    MarkJudgement,
    no_certain_side,
    not_passed,
    right,
    unknown,
)
from routecheck.model.markwords import rule_words, sureness
from routecheck.model.objects import CARDINAL_KINDS, LATERAL_KINDS, MarkKind
from routecheck.model.passage import Passage
from routecheck.model.passes import MarkPass
from routecheck.model.view import LegView
from routecheck.nav.angles import turn_deg
from routecheck.nav.buoyage import CARDINAL_DEG, OPPOSITE, a_cardinal

__all__ = ["Fault", "MarkJudgement", "judge", "mark_row"]


def judge(met: MarkPass, margins: Margins, view: LegView) -> MarkJudgement:
    """Judge one pass. `view` is the leg that it belongs to, for the corridor's half-widths."""
    width_m = view.starboard_m if met.side == "starboard" else view.port_m
    near_m = max(margins.mark_near_m, width_m)
    if met.kind is MarkKind.UNKNOWN:
        return _of_no_kind(met, near_m)
    if met.mark.drawn_wide and met.kind in LATERAL_KINDS | CARDINAL_KINDS:
        why = (
            "it is drawn as a line or an area, and may stand anywhere within "
            f"{met.mark.spread_m:.0f} m of its middle"
        )
        return unknown(met, near_m + met.mark.spread_m, why, SETTLE_MARK)
    if met.kind in LATERAL_KINDS:
        return lateral(met, near_m)
    if met.kind in CARDINAL_KINDS:
        return _cardinal(met, near_m)
    if met.kind in (MarkKind.ISOLATED_DANGER, MarkKind.EMERGENCY_WRECK):
        return _danger(met, near_m, max(margins.mark_far_m, width_m))
    return _no_side(met, near_m)


def mark_row(met: MarkPass, view: LegView, passage: Passage) -> MarkRow:
    """One line of the mark list."""
    judged = judge(met, passage.boat.margins, view)
    cardinal = met.kind in CARDINAL_KINDS
    return MarkRow(
        key=met.mark.key,
        kind=met.kind.value,
        name=met.mark.name,
        colours=met.mark.colours,
        lon_deg=met.mark.lon_deg,
        lat_deg=met.mark.lat_deg,
        leg=met.leg,
        route_along_m=view.start_along_m + met.along_m,
        distance_m=met.distance_m,
        side_passed=met.track_side_of_mark if cardinal else met.side,
        side_required=judged.side_required,
        outcome=judged.outcome,
        judged_by=judged.judged_by,
        source=met.mark.source,
        eta=passage.eta(met.along_m),
        top_mark=met.mark.top_mark,
        light=met.mark.light,
        rule=rule_words(met),
        sure=sureness(met),
    )


def _of_no_kind(met: MarkPass, near_m: float) -> MarkJudgement:
    """It may have a side, or stand on a danger: near as soon as any part of it may be."""
    why = f"its kind is not known: {met.mark.kind_doubt or 'nothing tells it'}"
    return unknown(met, near_m + met.position_uncertainty_m + met.mark.wide_m, why, SETTLE_MARK)


def _cardinal(met: MarkPass, near_m: float) -> MarkJudgement:
    doubt = met.contradiction or met.uncertain_hand
    if doubt or met.kind is MarkKind.CARDINAL:
        why = f"its quadrant is not certain: {doubt or 'nothing tells it'}"
        return unknown(met, near_m, why, SETTLE_MARK)
    named = met.kind.value
    inferred = f", its quadrant inferred from {met.quadrant_by}," if met.quadrant_by else ""
    rule = (
        f"{a_cardinal(named)}{inferred} is passed to the {named} of it, for the danger lies "
        f"{OPPOSITE[named]} of the mark"
    )
    opposite_m = met.opposite_m
    judged_by = f"cardinal mark{inferred.rstrip(',')}: the track passes "
    judged_by += f"{met.track_side_of_mark} of it"
    if met.distance_m <= met.position_uncertainty_m:
        return no_certain_side(met, near_m, "cardinal mark")
    off_deg = abs(turn_deg(CARDINAL_DEG[named], met.track_bearing_deg))
    if opposite_m is not None or (met.passed and off_deg >= 90.0 and met.distance_m <= near_m):
        nearest_m = met.distance_m if opposite_m is None else opposite_m
        deep = opposite_m is not None and opposite_m <= near_m
        return MarkJudgement(
            outcome=MarkOutcome.WRONG,
            judged_by=judged_by,
            side_required=named,
            severity=Severity.DANGER if deep else Severity.CAUTION,
            fault=Fault.WRONG_QUADRANT,
            why=f"{rule}; on that side the track comes within {nearest_m:.0f} m of it",
            near_m=near_m,
        )
    if not met.passed:
        return not_passed(met, near_m)
    if off_deg >= 90.0:
        return MarkJudgement(
            outcome=MarkOutcome.NOT_ASSESSED,
            judged_by=f"{judged_by}, well off",
            side_required=named,
            near_m=near_m,
        )
    return right(met, near_m, judged_by, named, rule)


def _danger(met: MarkPass, near_m: float, far_m: float) -> MarkJudgement:
    wreck = met.kind is MarkKind.EMERGENCY_WRECK
    what = "an emergency wreck mark" if wreck else "an isolated danger mark"
    wanted_m = far_m if wreck else near_m
    room_m = met.position_uncertainty_m + met.mark.wide_m
    clear_m = met.distance_m - room_m
    danger = met.in_corridor or clear_m <= 0.0 or (wreck and clear_m <= near_m)
    if danger or clear_m <= wanted_m:
        return MarkJudgement(
            outcome=MarkOutcome.WRONG,
            judged_by=f"clearance from {what}",
            severity=Severity.DANGER if danger else Severity.CAUTION,
            fault=Fault.TOO_NEAR,
            why=f"{what} stands on or close to the danger: the track passes {met.distance_m:.0f} m "
            f"from it, its position known to {room_m:.0f} m, where "
            f"{wanted_m:.0f} m are wanted"
            + (", and the corridor laps over it" if met.in_corridor else ""),
            near_m=near_m,
        )
    return MarkJudgement(
        outcome=MarkOutcome.RIGHT, judged_by=f"clearance from {what}", near_m=near_m
    )


def _no_side(met: MarkPass, near_m: float) -> MarkJudgement:
    """Safe-water and special marks have no side to keep; what they mark is on the chart."""
    safe_water = met.kind is MarkKind.SAFE_WATER
    by = "safe-water mark: no side to keep" if safe_water else "special mark: no side to keep"
    struck = (
        not met.mark.floating or met.mark.drawn_wide or met.distance_m <= met.position_uncertainty_m
    )
    return MarkJudgement(
        outcome=MarkOutcome.RIGHT if safe_water else MarkOutcome.NOT_ASSESSED,
        judged_by=by,
        severity=(Severity.CAUTION if struck else Severity.NOTE) if met.in_corridor else None,
        fault=Fault.LAPPED if met.in_corridor else Fault.NONE,
        why=f"a mark of kind {met.kind.value} has no side to keep, and the corridor laps over it",
        near_m=near_m,
    )
