"""Two sources that tell different depths of one place."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.depth_sum import uncertainty_words
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView
from routecheck.units import metres_down, metres_up


@check(name="sources-disagree", group="depth", needs=(), gives={Severity.NOTE})
def sources_disagree(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Two sources give different depths.

    Rule      |depth of one - depth of the other| > their uncertainties together, at one place;
              the widest difference of each pair of sources on the leg: a note.
    Why       One of them is out of date or wrong; the shoaler of two adequate ones counts.
    Examples  in words: a grid cell of 40 m in a depth area of 2 to 5 m is told with both
    Settings  none.
    Limits    Compares the depth areas of charts with one another (the shoal end of the one with
              the deep end of the other, where they overlap by more than the charts' scales can
              place an edge), a grid's shoalest cells with the depth areas that they lie in, and
              with the cells of other grids in their place. Only depths on a usable datum are
              compared.
    Sources   Common practice.
    """
    for one in view.disagreements:
        known = one.shoaler.quality.known and one.deeper.quality.known
        room = metres_up(one.uncertainty_m) if known else "as far as these are known"
        stated = one.uncertainty_m
        yield Finding(
            check="sources-disagree",
            severity=Severity.NOTE,
            title=(
                f"{one.shoaler.id} shows {metres_down(one.shoaler_depth_m)} where {one.deeper.id} "
                f"shows {metres_down(one.deeper_depth_m)}"
            ),
            explanation=(
                f"They differ by {metres_down(one.deeper_depth_m - one.shoaler_depth_m)}, more "
                f"than their uncertainties together ({room}). Where both "
                "are adequate the shoaler counts."
            ),
            leg=view.leg.number,
            object_key=f"{one.shoaler.id}<{one.deeper.id}",
            cls="comparison",
            along_m=one.along_m,
            cross_m=one.cross_m,
            lon_deg=one.lon_deg,
            lat_deg=one.lat_deg,
            sums={
                "shoaler_depth_m": one.shoaler_depth_m,
                "deeper_depth_m": one.deeper_depth_m,
                "uncertainty_m": stated if known else uncertainty_words(stated, known=False),
            },
            source=one.shoaler.id,
            rests_on=f"{one.shoaler.id} and {one.deeper.id}",
        )
