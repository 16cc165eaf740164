"""A mark's rule, and how sure the direction of buoyage is, in words for the mark list.

Source of the rules: IALA Recommendation R1001 (see `nav.buoyage`).
"""

from __future__ import annotations

from routecheck.model.lateralrule import main_ground, stated, strong
from routecheck.model.objects import CARDINAL_KINDS, LATERAL_KINDS, MarkKind
from routecheck.model.passes import GroundKind, MarkPass, Sense
from routecheck.nav.buoyage import PREFERRED, a_cardinal, side_to_leave

_OTHERS = {
    MarkKind.ISOLATED_DANGER: "it stands on the danger, with water all round: keep well off",
    MarkKind.EMERGENCY_WRECK: "it marks a new wreck: keep well off, on either side",
    MarkKind.SAFE_WATER: "it has water all round and no side to keep",
    MarkKind.UNKNOWN: "no rule can be told: its kind is not known",
    MarkKind.SPECIAL: "it has no side to keep; the chart says what it marks",
}


def rule_words(met: MarkPass) -> str:
    """What the mark asks of a boat that goes the way of this track, in one sentence part."""
    if met.kind in CARDINAL_KINDS:
        if met.kind is MarkKind.CARDINAL:
            return f"no rule can be told: {met.uncertain_hand or 'its quadrant is not known'}"
        named = met.kind.value
        inferred = f" (the quadrant inferred from {met.quadrant_by})" if met.quadrant_by else ""
        return f"{a_cardinal(named)}{inferred} is passed {named} of it"
    if met.kind not in LATERAL_KINDS:
        return _OTHERS[met.kind]
    if met.contradiction:
        return "no rule can be told: what is charted of it contradicts itself"
    if met.kind is MarkKind.LATERAL:
        return f"no rule can be told: {met.uncertain_hand or 'its hand is not known'}"
    kind = met.kind.value
    ahead = side_to_leave(kind, with_direction=True)
    back = side_to_leave(kind, with_direction=False)
    main = main_ground(met.grounds)
    other = "; on its other side lies the secondary channel" if kind in PREFERRED else ""
    if main is None:
        return (
            f"a {kind} mark is left to {ahead} going with the direction of buoyage, to {back} "
            f"against it{other}"
        )
    if main.sense is Sense.CROSSING:
        return f"a {kind} mark has no side to keep for a boat that crosses the channel"
    side = ahead if main.sense is Sense.WITH else back
    return f"a {kind} mark, going {main.sense} the direction of buoyage, is left to {side}{other}"


def sureness(met: MarkPass) -> str:
    """How sure the direction of buoyage is at a lateral mark; "" for other marks."""
    if met.kind not in LATERAL_KINDS:
        return ""
    main = main_ground(met.grounds)
    if main is None:
        return "not known"
    if main.kind is GroundKind.LINE:
        return "inferred from a steering line and a pair of marks"
    if stated(main):
        return "stated" if strong(main, met.grounds) else "stated, and contradicted by marks"
    if strong(main, met.grounds):
        return "inferred, two grounds agree"
    return "inferred from one ground alone"
