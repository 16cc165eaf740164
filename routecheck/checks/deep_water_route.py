"""Routes that are made for big ships."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_finding, in_reach
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="deep-water-route",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.NOTE},
)
def deep_water_route(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters a deep-water route or a two-way route of big ships.

    Rule      one touched by the corridor: note.
    Why       Ships in it may have no water beside it to give way in.
    Examples  in words: a two-way deep-water route across the corridor is a note
    Settings  cross_track, eta; the departure.
    Limits    One-way routes are judged in against-one-way-traffic.
    Sources   IMO Res. A.572(14), definitions of a deep-water route and a two-way route (33 CFR
              167.5); IHO S-57 ed. 3.1, DWRTPT, TWRTPT.
    """
    for met in view.areas:
        if Fault.SHIPS_ROUTE not in faults_of(met.object):
            continue
        finding = area_finding(
            "deep-water-route",
            met,
            view,
            passage,
            severity=Severity.NOTE,
            title=in_reach(met),
            says="Meant for ships that need it for their draught: keep out of their way.",
        )
        if finding is not None:
            yield finding
