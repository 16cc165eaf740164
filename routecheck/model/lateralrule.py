"""Lateral marks: the side required against the side passed, and how far it can be believed.

Rules: IALA Recommendation R1001 (see `nav.buoyage`). How far off a wrong side counts, and how
much it takes to believe a direction of buoyage, are ours and stand in the settings.
"""

from __future__ import annotations

from dataclasses import replace

from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markjudgement import (
    SETTLE_DIRECTION,
    SETTLE_MARK,
    SETTLE_REGION,
    Fault,
    MarkJudgement,
    no_certain_side,
    not_passed,
    right,
    unknown,
)
from routecheck.model.passes import Ground, GroundKind, MarkPass, Sense
from routecheck.nav.buoyage import HAND, PREFERRED, side_to_leave

_STATED = frozenset({GroundKind.USER_ZONE, GroundKind.CHART})
_WHY_WEAK = {
    GroundKind.USER_ZONE: "marks contradict what is stated",
    GroundKind.CHART: "marks contradict what is stated",
    GroundKind.LINE: "the direction of buoyage is inferred from two weak grounds",
}
_WEAK = frozenset({GroundKind.LINE, GroundKind.PAIR})


def lateral(met: MarkPass, near_m: float) -> MarkJudgement:
    """Judge one pass of a lateral mark; `near_m` is how near counts as near."""
    if not met.passed:
        return not_passed(met, near_m)
    doubt = met.contradiction or met.uncertain_hand
    if doubt:
        settle = SETTLE_REGION if not met.region else SETTLE_MARK
        return unknown(met, near_m, f"its hand is not certain: {doubt}", settle)
    main = main_ground(met.grounds)
    if main is None:
        why = "nothing says whether the track goes with or against the direction of buoyage"
        opposed = [g for g in met.grounds if g.kind not in _WEAK]
        line = _of_kind(met.grounds, GroundKind.LINE)
        if opposed:
            why = (
                "; ".join(f"{g.text}: {g.sense}" for g in opposed) + ": they contradict each other"
            )
        elif met.grounds:
            why += f" but a facing pair, which alone is not enough ({met.grounds[0].text})"
        if line is not None and not opposed:
            return _bare_line(met, near_m, line)
        return _bare_gate(met, near_m) or unknown(met, near_m, why, SETTLE_DIRECTION)
    by = _said(main)
    if met.distance_m <= met.position_uncertainty_m:
        return no_certain_side(met, near_m, by)
    if main.sense is Sense.CROSSING:
        return MarkJudgement(
            outcome=MarkOutcome.CROSSED,
            judged_by=by,
            severity=Severity.CAUTION if met.in_corridor else Severity.NOTE,
            fault=Fault.CROSSED,
            why=f"{main.text}: the track crosses the channel on {met.course_deg:.0f}° and has no "
            "side to keep" + ("; the mark lies in the corridor" if met.in_corridor else ""),
            near_m=near_m,
        )
    required = side_to_leave(met.kind.value, with_direction=main.sense is Sense.WITH)
    rule = f"{_rule(met, main.sense)} is left to {required}"
    if met.side == required:
        said = right(met, near_m, by, required, f"{main.text}; {rule}")
        return _beyond_other_edge(met, said)
    if met.kind.value in PREFERRED:
        return _secondary(met, near_m, by, required, main)
    return _wrong(met, near_m, required, main, rule)


def _beyond_other_edge(met: MarkPass, said: MarkJudgement) -> MarkJudgement:
    """Rightly passed, but in a staggered channel the track runs beyond the other edge here, where
    no mark stands to tell it."""
    gate = met.gate
    if gate is None or not gate.staggered or gate.between or gate.nearer or said.severity:
        return said
    # Round a bend the edge bulges beyond the straight line between its marks.
    if gate.bend_m is None or gate.outside_m <= 2.0 * gate.bend_m + met.position_uncertainty_m:
        return said
    return replace(
        said,
        severity=Severity.CAUTION,
        fault=Fault.OUTSIDE_GATE,
        why=f"{said.why}; it is passed rightly, but its gate with {gate.other_side}, "
        f"{gate.width_m:.0f} m wide, is passed outside, {gate.outside_m:.0f} m beyond that edge",
    )


def _wrong(met: MarkPass, near_m: float, required: str, main: Ground, rule: str) -> MarkJudgement:
    believed = strong(main, met.grounds)
    why = [f"{main.text}, so the track goes {main.sense} the direction of buoyage; {rule}"]
    gate = met.gate if met.gate is not None and not met.gate.between and met.gate.nearer else None
    fault = Fault.WRONG_SIDE
    severity = Severity.DANGER if believed else Severity.CAUTION
    if gate is not None:
        fault = Fault.OUTSIDE_GATE
        why.append(
            f"its gate with {gate.other_side}, {gate.width_m:.0f} m wide, is passed outside, "
            f"{gate.outside_m:.0f} m off"
        )
    elif met.distance_m > near_m and met.beside_run:
        severity = Severity.CAUTION
        why.append("both edges of its channel stand on one side of the track: it may be another's")
    elif met.distance_m > near_m and not met.followed_run:
        if met.other_channel:
            return MarkJudgement(
                outcome=MarkOutcome.NOT_ASSESSED,
                judged_by=f"faces {met.other_channel} across another channel",
                side_required=required,
                near_m=near_m,
            )
        severity = Severity.CAUTION
        why.append("it is far enough off that it may belong to another channel")
    if not believed:
        one = "the direction of buoyage is inferred from one ground alone"
        why.append(_WHY_WEAK.get(main.kind, one))
    elif main.kind not in _STATED:
        why.append("the direction of buoyage is inferred, and two grounds agree")
    if met.conflict:
        why.append(met.conflict)
    return MarkJudgement(
        outcome=MarkOutcome.WRONG,
        judged_by=_said(main),
        side_required=required,
        severity=severity,
        fault=fault,
        why="; ".join(why),
        settle="" if believed else SETTLE_DIRECTION,
        near_m=near_m,
    )


def _bare_line(met: MarkPass, near_m: float, line: Ground) -> MarkJudgement:
    """With nothing but a steering line to go by: it may warn, and never passes a mark."""
    required = side_to_leave(met.kind.value, with_direction=line.sense is Sense.WITH)
    said = (
        f"{line.text}; by that alone the track goes {line.sense} the direction of buoyage and the "
        f"mark is left to {required}"
    )
    far = met.distance_m > near_m or bool(met.other_channel)
    if met.side == required or met.kind.value in PREFERRED or far:
        why = f"{said}, which is not enough to pass it"
        return _bare_gate(met, near_m) or unknown(met, near_m, why, SETTLE_DIRECTION)
    if met.distance_m <= met.position_uncertainty_m:
        return no_certain_side(met, near_m, _said(line))
    return MarkJudgement(
        outcome=MarkOutcome.WRONG,
        judged_by=_said(line),
        side_required=required,
        severity=Severity.CAUTION,
        fault=Fault.WRONG_SIDE,
        why=f"{said}; the direction of buoyage is inferred from one weak ground alone",
        settle=SETTLE_DIRECTION,
        near_m=near_m,
    )


def _bare_gate(met: MarkPass, near_m: float) -> MarkJudgement | None:
    """Outside a gate further off than near, with nothing but the pair itself to go by.

    Whichever way the buoyage runs, the way is between the two, if they are a gate at all.
    """
    gate = met.gate
    if gate is None or gate.between or not gate.nearer or met.distance_m <= near_m:
        return None
    why = (
        f"it faces {gate.other_side}, {gate.width_m:.0f} m off, and the track crosses their line "
        f"{gate.outside_m:.0f} m outside; that they are a gate is inferred from their places alone"
    )
    return MarkJudgement(
        outcome=MarkOutcome.NOT_ASSESSED,
        judged_by=f"{'staggered gate' if gate.staggered else GroundKind.PAIR.value} alone, "
        "passed outside",
        severity=Severity.CAUTION,
        fault=Fault.OUTSIDE_GATE,
        why=why,
        settle=SETTLE_DIRECTION,
        near_m=near_m,
    )


def _secondary(
    met: MarkPass, near_m: float, by: str, preferred: str, main: Ground
) -> MarkJudgement:
    """The other side of a preferred-channel mark is the secondary channel, which is allowed."""
    why = (
        f"{main.text}; for the preferred channel it is left to {preferred}, and left to "
        f"{met.side} the track takes the secondary channel"
    )
    lapped = met.in_corridor
    return MarkJudgement(
        outcome=MarkOutcome.RIGHT,
        judged_by=f"secondary channel; {by}",
        side_required=preferred,
        severity=Severity.CAUTION if lapped else Severity.NOTE,
        fault=Fault.LAPPED if lapped else Fault.SECONDARY,
        why=why + ("; the corridor laps over the mark" if lapped else ""),
        near_m=near_m,
    )


def main_ground(grounds: tuple[Ground, ...]) -> Ground | None:
    """The most trusted ground that may stand alone; None where inferred ones contradict, or
    stated ones, which are of one standing.

    A steering line may not, but for one with which a facing pair agrees.
    """
    alone = [g for g in grounds if g.kind not in _WEAK]
    if not alone:
        line = _of_kind(grounds, GroundKind.LINE)
        pair = _of_kind(grounds, GroundKind.PAIR)
        return line if line and pair and line.sense is pair.sense else None
    senses = {g.sense for g in alone if g.kind in _STATED or alone[0].kind not in _STATED}
    if len(senses) > 1:
        return None
    return alone[0]


def _of_kind(grounds: tuple[Ground, ...], kind: GroundKind) -> Ground | None:
    return next((g for g in grounds if g.kind is kind), None)


def stated(ground: Ground) -> bool:
    """Whether a ground is a statement, not an inference from marks."""
    return ground.kind in _STATED


def strong(main: Ground, grounds: tuple[Ground, ...]) -> bool:
    """Whether the sense may bear a danger: stated and not contradicted, or two that agree."""
    inferred = [g for g in grounds if g.kind not in _STATED]
    if main.kind in _STATED:
        return all(g.sense == main.sense for g in inferred if g.kind is not GroundKind.PAIR)
    if main.kind in _WEAK:
        return False
    return sum(g.sense == main.sense for g in inferred) >= 2


def _said(ground: Ground) -> str:
    return f"{ground.kind.value}: {ground.text}"


def _rule(met: MarkPass, sense: Sense) -> str:
    region = f"region {met.region}" if met.region else "either region"
    hand = "" if met.kind.value not in HAND else f"a {met.kind.value} mark "
    return f"in {region}, going {sense} it, {hand}".rstrip()
