"""Rules of an area that do not bar the way."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model import restriction
from routecheck.model.areafinding import area_called, area_finding
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="local-restriction",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.NOTE},
)
def local_restriction(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters an area with a rule that does not bar the way.

    Rule      an area touched by the corridor whose restrictions are of speed, wake or stopping, or
              of anchoring, fishing, diving, discharge, landing and the like only: note. Out of its
              dates or season: note, which says so.
    Why       It binds the boat as she passes, or as soon as she anchors.
    Examples  in words: a limit of speed across the corridor is a note, and so is a ban on anchoring
    Settings  cross_track, eta; the departure.
    Limits    The speed that is allowed is charted in words, if at all.
    Sources   IHO S-57 ed. 3.1, RESTRN (attribute 131), and its later codes.
    """
    for met in view.areas:
        area = met.object
        if Fault.LOCAL not in faults_of(area):
            continue
        binds = restriction.UNDER_WAY & set(area.restrictions)
        finding = area_finding(
            "local-restriction",
            met,
            view,
            passage,
            severity=Severity.NOTE,
            title=f"{area_called(area)}: {restriction.words(area.restrictions)}",
            says=f"It {'binds' if binds else 'does not bind'} a boat that passes.",
        )
        if finding is not None:
            yield finding
