"""The whole reasoning about one pass of a mark, in sentences; nothing is judged anew here."""

from __future__ import annotations

from routecheck.model.markfinding import mark_called
from routecheck.model.markrule import judge
from routecheck.model.markwords import rule_words, sureness
from routecheck.model.objects import CARDINAL_KINDS, LATERAL_KINDS
from routecheck.model.passage import Passage
from routecheck.model.passes import GroundKind, MarkPass
from routecheck.model.view import LegView

_ROLE = {
    GroundKind.USER_ZONE: "stated",
    GroundKind.CHART: "stated",
    GroundKind.NUMBERS: "inferred",
    GroundKind.EDGES: "inferred",
    GroundKind.LINE: "inferred, weak, and never enough for a danger",
    GroundKind.PAIR: "inferred, and only to confirm another ground",
}


def explain(met: MarkPass, view: LegView, passage: Passage) -> tuple[str, ...]:
    """What is known of the mark, how it is passed, what each ground says, and the judgement."""
    said = judge(met, passage.boat.margins, view)
    lines = [*_mark(met), *_pass(met, said.near_m)]
    if met.kind in LATERAL_KINDS:
        lines += _grounds(met)
    lines.append(f"Rule: {rule_words(met)}.")
    for odd in (met.contradiction, met.conflict, met.uncertain_hand, *met.doubtful):
        if odd:
            lines.append(f"Doubt: {odd}.")
    outcome = f"Outcome: {said.outcome}"
    if said.side_required:
        outcome += f"; required {said.side_required}"
    lines.append(f"{outcome}; judged by {said.judged_by}.")
    if said.severity is None:
        lines.append("No finding: a row in the mark list only.")
    else:
        lines.append(f"Finding: {said.severity}, {said.fault}: {said.why}.")
    if said.settle:
        lines.append(f"To settle it: {said.settle}.")
    return tuple(lines)


def _mark(met: MarkPass) -> list[str]:
    mark = met.mark
    colours = ", ".join(mark.colours) or "not stated"
    body = "floating" if mark.floating else "fixed"
    lines = [
        f"{mark_called(met)} ({mark.cls}, {mark.key}), {body}; colours {colours}.",
        f"At {mark.lat_deg:.5f}, {mark.lon_deg:.5f} by {mark.source}, known to "
        f"{met.position_uncertainty_m:.0f} m.",
    ]
    if mark.top_mark:
        lines.append(f"Top mark: {mark.top_mark}.")
    if mark.light:
        lines.append(f"Light: {mark.light}.")
    region = f"Region {met.region} by {met.region_from}" if met.region else "Region not known"
    hand = f"; charted as {mark.kind.value}" if mark.kind is not met.kind else ""
    if met.quadrant_by:
        hand += f", the quadrant inferred from {met.quadrant_by}"
    return [*lines, f"{region}; taken as {met.kind.value}{hand}."]


def _pass(met: MarkPass, near_m: float) -> list[str]:
    near = "near" if met.distance_m <= near_m else "not near"
    where = f"Leg {met.leg}, {met.along_m:.0f} m along, on {met.course_deg:.0f}°"
    lines = [
        f"{where}: left to {met.side}, {met.distance_m:.0f} m off ({near}: {near_m:.0f} m)"
        + ("; in the corridor." if met.in_corridor else "."),
    ]
    if not met.passed:
        lines.append("The track begins beyond the mark or ends short of it.")
    if met.kind in CARDINAL_KINDS:
        lines.append(f"At its nearest the track is {met.track_side_of_mark} of the mark.")
        if met.opposite_m is not None:
            lines.append(
                f"In the quadrant opposite to its name it comes within {met.opposite_m:.0f} m."
            )
    return lines


def _grounds(met: MarkPass) -> list[str]:
    lines = [
        f"Direction of buoyage, {_ROLE[ground.kind]} ({ground.kind.value}): {ground.text}; "
        f"the track goes {_sense(ground.sense.value)}."
        for ground in met.grounds
    ]
    if not lines:
        lines.append("Direction of buoyage: nothing states it, and no marks tell it.")
    else:
        lines.append(f"How sure the direction of buoyage is: {sureness(met)}.")
    if met.run:
        follows = "follows" if met.followed_run else "does not follow"
        if met.beside_run:
            follows = "follows beside its channel"
        lines.append(f"It belongs to the run {met.run!r}, which the track {follows}.")
    gate = met.gate
    if gate is not None:
        how = "between the two" if gate.between else f"{gate.outside_m:.0f} m outside"
        lines.append(
            f"It faces {gate.other_side}, {gate.width_m:.0f} m off; their line is crossed {how}."
        )
    if met.other_channel:
        lines.append(f"It faces {met.other_channel}; their line is not crossed: another channel's.")
    return lines


def _sense(sense: str) -> str:
    return "across it" if sense == "crossing" else f"{sense} it"
