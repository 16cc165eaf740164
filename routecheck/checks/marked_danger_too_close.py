"""Clearance from marks that stand on a danger."""

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
    name="marked-danger-too-close",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.DANGER, Severity.CAUTION},
)
def marked_danger_too_close(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track passes too close to an isolated danger or a new wreck that is marked.

    Rule      isolated danger mark: distance - position uncertainty <= mark_near, caution; in the
              corridor or within the uncertainty, danger. Emergency wreck mark: <= mark_near or
              in the corridor, danger; <= mark_far, caution.
    Why       The mark stands on the danger or beside it, and either side may be foul.
    Examples  in words: an isolated danger mark in the corridor is a danger
              in words: an isolated danger mark far off is quiet
              in words: an emergency wreck mark within mark_far is a caution
    Settings  mark_near, mark_far, cross_track.
    Limits    How far the danger reaches is not in the mark; the depth checks know it better.
    Sources   IALA Recommendation R1001, isolated danger marks and emergency wreck marking; the
              distances: common practice.
    """
    for met in view.marks:
        judged = judge(met, passage.boat.margins, view)
        if judged.fault is Fault.TOO_NEAR:
            title = f"{mark_called(met)} {met.distance_m:.0f} m off"
            yield mark_finding("marked-danger-too-close", met, judged, view, title)
