"""The gate check: two marks that face each other, and a track that goes round them."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markfinding import mark_called, mark_finding
from routecheck.model.markrule import Fault, judge
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="outside-the-gate",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.DANGER, Severity.CAUTION},
)
def outside_the_gate(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track passes outside two marks that face each other.

    Rule      the track crosses the line of a facing pair, prolonged by the pair's width at each
              end, outside the two marks: danger; caution where nothing but one inferred ground,
              or the pair alone, says that it is a gate. A pair whose prolonged line the track
              does not cross belongs to another channel.
    Why       The water outside a gate is what the gate keeps boats out of.
    Examples  in words: outside a gate, going with the stated direction, is a danger
              in words: outside a pair with nothing else to go by is a caution
              in words: between the marks of a gate there is nothing to say
    Settings  mark_near, mark_far.
    Limits    Pairs are marks of opposite hands that are each other's nearest: on a real chart
              a third of such pairs are no gates. Staggered marks are not paired.
    Sources   IALA Recommendation R1001, lateral marks; the prolonged line: common practice.
    """
    for met in view.marks:
        judged = judge(met, passage.boat.margins, view)
        if judged.severity is None or judged.fault is not Fault.OUTSIDE_GATE or met.gate is None:
            continue
        partner = met.gate.partner_name or "the mark that it faces"
        title = f"outside the gate of {mark_called(met)} and {partner}"
        yield mark_finding("outside-the-gate", met, judged, view, title)
