"""What only a chart of smaller scale shows."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView
from routecheck.units import metres_down


@check(name="only-on-the-smaller-scale", group="dangers", needs=(), gives={Severity.NOTE})
def only_on_the_smaller_scale(
    view: LegView,
    passage: Passage,  # noqa: ARG001
) -> Iterator[Finding]:
    """A danger or land that only the chart of smaller scale shows.

    Rule      a rock, wreck, obstruction, land or structure of a chart cell lies in the corridor
              where a cell of larger scale counts instead, and that one shows no danger, land,
              structure or equal depth within the uncertainties of both positions: a note.
    Why       The larger scale knows its water better, and mostly the smaller one only draws it
              roughly. But one of the two may have been corrected later than the other.
    Examples  in words: a rock of the coastal cell where the harbour cell shows 9 m is a note
              in words: none where the harbour cell shows a rock within both uncertainties
    Settings  smallest_scale.
    Limits    Marks, spans and regulated areas that only the smaller scale shows are not told.
    Sources   IMO Res. MSC.232(82), 11.2 (the largest scale available counts); the rest is common
              practice.
    """
    for one in view.only_smaller:
        thing, place = one.object, one.place
        depth_m = thing.charted_depth_m if isinstance(thing, Danger) else None
        what = f"{thing.kind.value} {thing.name}".strip()
        with_m = "" if depth_m is None else f" with a charted depth of {metres_down(depth_m)}"
        yield Finding(
            check="only-on-the-smaller-scale",
            severity=Severity.NOTE,
            title=f"{what} on {one.source.id}, not on {one.larger.id}",
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
