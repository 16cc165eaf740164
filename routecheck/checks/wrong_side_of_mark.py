"""The lateral-mark check: marks left on the wrong side, or on a side that nobody can judge."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markfinding import mark_called, mark_finding
from routecheck.model.markrule import Fault, judge
from routecheck.model.objects import LATERAL_KINDS, Layer, MarkKind
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView

SIDES = LATERAL_KINDS | {MarkKind.UNKNOWN}
"""A mark of unknown kind may be a lateral one."""


@check(
    name="wrong-side-of-mark",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED},
)
def wrong_side_of_mark(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A lateral mark is left on the wrong side, or its proper side is not known.

    Rule      side passed = side required by kind of mark and direction of buoyage. Wrong within
              mark_near (or the corridor): danger; further off, out to mark_far: caution, unless
              the mark belongs to a run that the track follows (danger; a caution where both
              edges of the run's channel stand on one side of the track). With one inferred
              ground for the direction alone never more than a caution. Direction, hand or region
              not known, or contested by zones of which none outweighs the other (the user's; one
              chart's, none of them an exception within the other; charts of one rank): not
              assessed within mark_near. Within 20 degrees of square to a stated
              direction the track crosses, and has no side to keep: a note, or a caution if the
              mark lies in the corridor. A mark drawn
              as a line or an area that reaches more than 20 m from its middle: not assessed, where
              any part may be near. A buoy or beacon whose kind nothing tells (a word for it
              that is not known or not there, a category of a river, another system of buoyage):
              not assessed where it may be near.
    Why       Behind the mark lies what it marks: the boat grounds, or meets traffic head on.
    Examples  in words: going with a stated direction, a port-hand mark left close to starboard
              is a danger
              in words: going against it, the same mark left to starboard is right
              in words: a mark near the track whose direction of buoyage nobody states is not
              assessed
              in words: a buoy of a kind that nothing tells, near the track, is not assessed
              in words: two zones of a chart that say opposite directions of the same water leave
              its marks not assessed
              in words: a track square to the stated direction crosses, which is a note
    Settings  mark_near, mark_far, cross_track; --region, --buoyage.
    Limits    A direction of buoyage that no chart states is inferred from the numbers of the
              marks, which may restart or run on in another channel, else from rows of them
              on either side of the track; leading lines and recommended tracks with a bearing
              (from seaward) bear one of these out, and alone only warn. A mark that has moved,
              sunk or been renumbered since the chart was made is not seen.
    Sources   IALA Recommendation R1001, lateral and modified lateral marks; IHO S-57 ed. 3.1,
              BOYLAT, BCNLAT (CATLAM), M_NSYS (MARSYS, ORIENT); numbering from seaward and the
              two distances: common practice.
    """
    for met in view.marks:
        judged = judge(met, passage.boat.margins, view)
        if judged.severity is None or met.kind not in SIDES:
            continue
        called = mark_called(met)
        if judged.fault is Fault.WRONG_SIDE:
            title = f"{called} left to {met.side}: its side is {judged.side_required}"
        elif judged.fault is Fault.SIDE_UNKNOWN:
            title = f"{called} left to {met.side}: its proper side is not known"
        elif judged.fault is Fault.CROSSED:
            title = f"{called} passed while crossing the channel"
        elif judged.fault is Fault.SECONDARY:
            title = f"{called} left to {met.side}: the secondary channel"
        else:
            continue
        yield mark_finding("wrong-side-of-mark", met, judged, view, title)
