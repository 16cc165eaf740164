"""The cardinal-mark check, on the whole track within reach of the mark."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markfinding import mark_called, mark_finding
from routecheck.model.markrule import Fault, judge
from routecheck.model.objects import CARDINAL_KINDS, Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="wrong-side-of-cardinal",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED},
)
def wrong_side_of_cardinal(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track goes on the side of a cardinal mark where the danger lies.

    Rule      within mark_far the track enters the quadrant opposite to the mark's name: danger
              within mark_near (or the corridor), caution further off; passed near it on that
              half, though not in that quadrant: caution. A mark without a name has that of its
              colours or its cones, if they agree, which is said. Colours that contradict the
              name, and a mark whose quadrant nothing tells: not assessed within mark_near. One
              drawn as a line or an area: as a lateral mark.
    Why       A cardinal mark says on which side the water is good: north of a north mark. The
              danger lies opposite, south of a north mark, at a distance that the mark does not
              tell.
    Examples  in words: south of a north cardinal is a danger
              in words: north of a north cardinal is right
              in words: a track that rounds a north cardinal and comes south of it is found
              in words: black over yellow without a category is a north cardinal
              in words: a cardinal without category, colours and cones is not assessed
    Settings  mark_near, mark_far, cross_track.
    Limits    How far the danger reaches is not in the mark; the depth checks know it better.
    Sources   IALA Recommendation R1001, cardinal marks (quadrants bounded by the inter-cardinal
              bearings); IHO S-57 ed. 3.1, BOYCAR, BCNCAR (CATCAM).
    """
    for met in view.marks:
        if met.kind not in CARDINAL_KINDS:
            continue
        judged = judge(met, passage.boat.margins, view)
        if judged.severity is None:
            continue
        if judged.fault is Fault.WRONG_QUADRANT:
            title = f"{mark_called(met)}: the track goes on the wrong side of it"
        elif judged.fault is Fault.SIDE_UNKNOWN:
            title = f"{mark_called(met)}: its proper side is not known"
        else:
            continue
        yield mark_finding("wrong-side-of-cardinal", met, judged, view, title)
