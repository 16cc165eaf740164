"""What only a chart of smaller scale shows."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called
from routecheck.model.areas import Area
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markfinding import mark_of_kind
from routecheck.model.objects import Danger, Mark, Solid, Span
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.spanfinding import span_called
from routecheck.model.view import LegView
from routecheck.units import metres_down


@check(name="only-on-the-smaller-scale", group="dangers", needs=(), gives={Severity.NOTE})
def only_on_the_smaller_scale(
    view: LegView,
    passage: Passage,  # noqa: ARG001
) -> Iterator[Finding]:
    """A danger, land, span, mark or area that only the chart of smaller scale shows.

    Rule      a rock, wreck, obstruction, land or structure of a chart cell lies in the corridor
              where a cell of larger scale counts instead, and that one shows no danger, land,
              structure or equal depth within the uncertainties of both positions: a note. So is
              what hangs over the water, where no span is shown there; a mark, where none of its
              kind is shown within them or 50 m; and an area or line that another check would
              tell, where none of its kind is shown there by which a route may do the same wrong.
    Why       The larger scale knows its water better, and mostly the smaller one only draws it
              roughly. But one of the two may have been corrected later than the other.
    Examples  in words: a rock of the coastal cell where the harbour cell shows 9 m is a note
              in words: none where the harbour cell shows a rock within both uncertainties
              in words: a cable of the coastal cell over the harbour cell's free water is a note
    Settings  smallest_scale.
    Limits    What both show differently: a clearance, a depth, a light. Marks outside the corridor,
              and objects of a class that no check knows.
    Sources   IMO Res. MSC.232(82), 11.2 (the largest scale available counts); the rest is common
              practice.
    """
    for one in view.only_smaller:
        thing, place = one.object, one.place
        depth_m = thing.charted_depth_m if isinstance(thing, Danger) else None
        with_m = "" if depth_m is None else f" with a charted depth of {metres_down(depth_m)}"
        yield Finding(
            check="only-on-the-smaller-scale",
            severity=Severity.NOTE,
            title=f"{_called(thing)} on {one.source.id}, not on {one.larger.id}",
            explanation=(
                f"{one.source.id} shows it ({thing.cls}){with_m}; {one.larger.id}, of larger "
                "scale, shows neither it nor the like near it, and counts here. See which of "
                "them was corrected last."
            ),
            leg=view.leg.number,
            object_key=thing.key,
            cls=thing.cls,
            along_m=place.along_m,
            along_to_m=place.along_to_m,
            cross_m=place.cross_m,
            lon_deg=place.lon_deg,
            lat_deg=place.lat_deg,
            sums={} if depth_m is None else {"charted_depth_m": depth_m},
            source=one.source.id,
            rests_on=f"{one.source.id} and {one.larger.id}",
        )


def _called(thing: Danger | Solid | Span | Mark | Area) -> str:
    """What to call it in a sentence: its kind, and its name if it has one."""
    if isinstance(thing, Area):
        return area_called(thing)
    if isinstance(thing, Span):
        return span_called(thing)
    kind = thing.kind.value
    return f"{mark_of_kind(kind) if isinstance(thing, Mark) else kind} {thing.name}".strip()
