"""Bridges and tunnels whose opening is too narrow for the boat."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.spanfinding import span_called, span_finding
from routecheck.model.view import LegView, Touch
from routecheck.units import metres_down


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
        name = span_called(met.object)
        if beam_m is None:
            yield span_finding(
                "span-too-narrow",
                met,
                view,
                severity=Severity.NOT_ASSESSED,
                title=f"{name}: {metres_down(width_m)} wide, and no beam given",
                says="Whether she fits through was not judged.",
                sums={"horizontal_clearance_m": width_m},
                settle="give beam",
            )
        elif width_m <= beam_m:
            near = met.place.touch is Touch.BELT
            yield span_finding(
                "span-too-narrow",
                met,
                view,
                severity=Severity.CAUTION if near else Severity.DANGER,
                title=f"{name}: narrower than the boat",
                says="She does not fit through.",
                sums={"horizontal_clearance_m": width_m, "beam_m": beam_m},
            )
