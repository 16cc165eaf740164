"""Ferries, and what they run on."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView

_FREE, _CABLE, _ICE = 1, 2, 3


@check(
    name="ferry-route",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def ferry_route(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor crosses a ferry route.

    Rule      one of a ferry that moves freely (CATFRY 1) touched by the corridor: note. One on a
              cable or chain, or of a kind that is not charted, touched by the corridor or within
              its position uncertainty: caution.
    Why       A cable ferry pulls its cable up from the bed, at and under the surface.
    Examples  in words: a cable ferry across the corridor is a caution, a free one a note
    Settings  cross_track, eta; the departure.
    Limits    Timetables; how far before and behind the ferry the cable comes up.
    Sources   IHO S-57 ed. 3.1, FERYRT with CATFRY (attribute 25); the rest common practice.
    """
    for met in view.areas:
        if Fault.FERRY not in faults_of(met.object):
            continue
        kinds = met.object.categories
        free = kinds == (_FREE,)
        says = "Ferries cross here."
        if kinds == (_CABLE,):
            says = "The ferry runs on a cable or chain, which may lie across the water."
        elif not free and kinds != (_ICE,):
            says = "What kind of ferry is not charted: it may run on a cable across the water."
        finding = area_finding(
            "ferry-route",
            met,
            view,
            passage,
            severity=Severity.NOTE if free else Severity.CAUTION,
            title=f"{'cable ' if kinds == (_CABLE,) else ''}{area_called(met.object)}",
            says=says,
        )
        if finding is not None:
            yield finding
