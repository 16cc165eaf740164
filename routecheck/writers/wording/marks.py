"""The mark list of a passage in words: the same on the terminal, in the brief and on the map."""

from __future__ import annotations

from dataclasses import dataclass

from routecheck.model.finding import MarkOutcome, MarkRow
from routecheck.writers.wording.lengths import Lengths, along
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.places import mark_name, side_words


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkWords:
    """One row of the list."""

    name: str
    look: str
    """Kind, colours, top mark and light."""
    place: str
    eta: str
    off: str
    passed: str
    required: str
    outcome: str
    rule: str


def mark_words(mark: MarkRow, lengths: Lengths) -> MarkWords:
    """The row in words; nothing from a file can steer the page."""
    return MarkWords(
        name=mark_name(mark),
        look=_look(mark),
        place=f"leg {mark.leg}, {along(mark.route_along_m)}",
        eta=lengths.clock(mark.eta),
        off=lengths.off(mark.distance_m),
        passed=_passed(mark.side_passed),
        required=side_words(mark.side_required) if mark.side_required else "no side stated",
        outcome=outcome_words(mark),
        rule=lengths.prose(_rule(mark)),
    )


def _look(mark: MarkRow) -> str:
    kind = "of unknown kind" if mark.kind == "unknown" else str(mark.kind)
    parts = [", ".join([kind, *(plain(colour) for colour in mark.colours)])]
    if mark.top_mark:
        parts.append(f"top mark {plain(mark.top_mark, longest=80)}")
    if mark.light:
        parts.append(f"light {plain(mark.light, longest=400)}")
    return "; ".join(parts)


def _passed(side: str) -> str:
    if not side:
        return "side not known"
    if side in ("port", "starboard"):
        return f"left to {side}"
    return f"passed {side} of it"


def _rule(mark: MarkRow) -> str:
    rule = plain(mark.rule, longest=300)
    return f"{rule} (direction of buoyage {mark.sure})" if rule and mark.sure else rule


def outcome_words(mark: MarkRow) -> str:
    """The judgement of a pass."""
    without = mark.kind in ("safe-water", "special")
    if without and mark.outcome in (MarkOutcome.RIGHT, MarkOutcome.NOT_ASSESSED):
        return "no side to keep"
    return {
        MarkOutcome.RIGHT: "right side" if mark.side_required else "well off",
        MarkOutcome.WRONG: "wrong side" if mark.side_required else "too near",
        MarkOutcome.CROSSED: "channel crossed, no side to keep",
        MarkOutcome.NOT_ASSESSED: "side not assessed",
    }[mark.outcome]
