"""The gate check: marks on both edges of a channel, and a track that goes round them."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, MarkOutcome
from routecheck.model.markfinding import mark_called, mark_finding
from routecheck.model.markrule import Fault, MarkJudgement, judge
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.passes import GatePass, MarkPass
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="outside-the-gate",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.DANGER, Severity.CAUTION},
)
def outside_the_gate(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track passes outside two marks that face each other, or outside staggered marks.

    Rule      the track crosses the line of a facing pair, prolonged by the pair's width at each
              end, outside the two marks: danger; caution where nothing but one inferred ground,
              or the pair alone, says that it is a gate. A pair whose prolonged line the track
              does not cross belongs to another channel. Where marks of the two hands alternate
              along the channel, the line from a mark square to the other edge (between two marks
              of the other hand) is its gate: the numbers of one run, or the sides on which the
              track leaves the marks before and after, say which edge. Beyond that edge, with
              the mark itself rightly passed: caution, unless a mark of the edge tells it or
              the channel bends so much there that the edge may bulge as far.
    Why       The water outside a gate is what the gate keeps boats out of.
    Examples  in words: outside a gate, going with the stated direction, is a danger
              in words: outside a pair with nothing else to go by is a caution
              in words: between the marks of a gate there is nothing to say
              in words: outside a mark of a staggered channel is told with the marks of its
              other edge
    Settings  mark_near, mark_far.
    Limits    Pairs are marks of opposite hands that are each other's nearest: on a real chart
              a third of such pairs are no gates. The other edge of a staggered channel is taken
              straight from mark to mark, no longer than 2 nmi.
    Sources   IALA Recommendation R1001, lateral marks; the prolonged line: common practice.
    """
    told = [(met, judge(met, passage.boat.margins, view)) for met in view.marks]
    wrong = {met.mark.key for met, judged in told if judged.outcome is MarkOutcome.WRONG}
    for met, judged in told:
        gate = met.gate if judged.fault is Fault.OUTSIDE_GATE else None
        if gate is None:
            continue
        if judged.outcome is MarkOutcome.RIGHT:
            if wrong & {met.mark.key, gate.partner_key, gate.edge_key}:
                continue  # told already, or by the marks of the edge that it is beyond
            wrong.add(met.mark.key)
        yield mark_finding("outside-the-gate", met, judged, view, _title(met, gate, judged))


def _title(met: MarkPass, gate: GatePass, judged: MarkJudgement) -> str:
    called = mark_called(met)
    if not gate.staggered:
        return f"outside the gate of {called} and {gate.partner_name or 'the mark that it faces'}"
    unnamed = "an unnamed mark"
    edge = f"the edge from {gate.partner_name or unnamed} to {gate.edge_name or unnamed}"
    if judged.outcome is MarkOutcome.RIGHT:
        return f"beyond {edge} of the channel of {called}"
    if not judged.side_required:
        return f"outside the staggered gate of {called} and {edge}"
    return (
        f"{called} left to {met.side}, outside its gate with {edge}: "
        f"its side is {judged.side_required}"
    )
