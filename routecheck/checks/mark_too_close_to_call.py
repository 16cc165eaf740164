"""Marks so close to the track that the side on which they are left is not certain."""

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
    name="mark-too-close-to-call",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.CAUTION},
)
def mark_too_close_to_call(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A mark is passed so close that the boat may leave it on either side.

    Rule      distance <= position uncertainty of the mark (floating: 20 m, or 0.5 mm at the
              chart's scale if larger; fixed: what the chart states, else 0.5 mm at scale), or
              distance <= half-width of the corridor although the side is right: caution. Marks
              without a side to keep in the corridor: a note, fixed ones a caution.
    Why       Moorings have scope and positions have errors: within them a boat that keeps to
              its corridor may still pass on the wrong side, or strike the mark.
    Examples  in words: a buoy 10 m off the track has no certain side
              in words: a rightly passed mark inside the corridor is a caution
              in words: a rightly passed mark outside the corridor is quiet
    Settings  cross_track, position.
    Limits    Scope of a mooring at low water is not known to the chart.
    Sources   IHO S-44 ed. 6, table 2 (floating aids, order 2: 20 m); 0.5 mm at the scale of
              compilation: common practice.
    """
    for met in view.marks:
        judged = judge(met, passage.boat.margins, view)
        if judged.fault is Fault.NO_CERTAIN_SIDE:
            title = f"{mark_called(met)} {met.distance_m:.0f} m off: too close to call a side"
        elif judged.fault is Fault.LAPPED:
            title = f"{mark_called(met)} {met.distance_m:.0f} m off stands in the corridor"
        else:
            continue
        yield mark_finding("mark-too-close-to-call", met, judged, view, title)
