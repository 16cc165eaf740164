"""Bridges and tunnels whose opening is too narrow for the boat."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer, Span
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met, Touch
from routecheck.units import metres_down

_WORDS = {"BRIDGE": "bridge", "TUNNEL": "tunnel"}


@check(
    name="span-too-narrow",
    group="overhead",
    needs={Layer.OVERHEAD},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED},
)
def span_too_narrow(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A bridge or tunnel whose opening is narrower than the boat.

    Rule      horizontal clearance (HORCLR) of a span in the corridor no more than the beam: danger;
              only within the position uncertainty of the span: caution. No beam given: not
              assessed. A span without a horizontal clearance says nothing here.
    Why       She does not fit through, however much air there is.
    Examples  in words: a bridge narrower than the boat is a danger
              in words: a bridge wider than the boat says nothing
              in words: a bridge with a width and a boat without a beam is not assessed
    Settings  beam.
    Limits    Takes the clearance for that of every opening of the span, whichever is passed, and
              adds no room to the beam: how true she is steered, wind and current are not judged.
              The accuracy of a width (HORACC) is not looked at.
    Sources   IHO S-57 ed. 3.1, BRIDGE, TUNNEL with HORCLR; IHO S-101, horizontal clearances; the
              rest common practice.
    """
    beam_m = passage.boat.beam_m
    for met in view.spans:
        width_m = met.object.horizontal_clearance_m
        if width_m is None:
            continue
        if beam_m is None:
            what = f"{metres_down(width_m)} wide, and no beam given"
            says = "Whether she fits through was not judged."
            yield _finding(met, view, Severity.NOT_ASSESSED, what, says, width_m, None)
        elif width_m <= beam_m:
            near = met.place.touch is Touch.BELT
            severity = Severity.CAUTION if near else Severity.DANGER
            says = "She does not fit through."
            yield _finding(met, view, severity, "narrower than the boat", says, width_m, beam_m)


def _finding(
    met: Met[Span],
    view: LegView,
    severity: Severity,
    what: str,
    says: str,
    width_m: float,
    beam_m: float | None,
) -> Finding:
    span, place = met.object, met.place
    if place.touch is Touch.BELT:
        says += (
            f" As charted it lies outside the corridor, but its position is only known to "
            f"{place.belt_m:.0f} m."
        )
    name = f"{_WORDS.get(span.cls, span.cls)} {span.name}".strip()
    return Finding(
        check="span-too-narrow",
        severity=severity,
        title=f"{name}: {what}",
        explanation=says,
        leg=view.leg.number,
        object_key=span.key,
        cls=span.cls,
        along_m=place.along_m,
        along_to_m=place.along_to_m,
        cross_m=place.cross_m,
        lon_deg=place.lon_deg,
        lat_deg=place.lat_deg,
        sums={"horizontal_clearance_m": width_m} | ({} if beam_m is None else {"beam_m": beam_m}),
        source=met.source.id,
        rests_on=met.source.id,
        settle="give beam" if beam_m is None else "",
    )
