"""Charted objects of a class that no check judges."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Touch


@check(
    name="class-not-judged",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.NOT_ASSESSED, Severity.CAUTION},
)
def class_not_judged(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """A charted object that no check judges.

    Rule      an object of a class that no check knows and that is not listed as harmless,
              touched by the corridor: not assessed; only within its position uncertainty: caution.
    Why       It may bar, forbid or endanger the passage; nobody has looked.
    Examples  in words: an object of a class that no table knows is not assessed
    Settings  cross_track.
    Limits    The list of harmless classes is ours.
    Sources   IHO S-57 ed. 3.1, object catalogue.
    """
    for met in view.unknown:
        thing = met.object
        touched = met.place.touch is Touch.CORRIDOR
        what = f"{thing.cls} {thing.name}".strip()
        yield Finding(
            check="class-not-judged",
            severity=Severity.NOT_ASSESSED if touched else Severity.CAUTION,
            title=f"{what} {'in the corridor' if touched else 'near the corridor'}: not judged",
            explanation=f"{thing.why[0].upper() + thing.why[1:] if thing.why else what}. "
            "Look it up on the chart.",
            leg=view.leg.number,
            object_key=thing.key,
            cls=thing.cls,
            along_m=met.place.along_m,
            along_to_m=met.place.along_to_m,
            cross_m=met.place.cross_m,
            lon_deg=met.place.lon_deg,
            lat_deg=met.place.lat_deg,
            sums={"cross_m": met.place.cross_m},
            source=met.source.id,
            rests_on=met.source.id,
            settle="look the object up on the chart",
        )
