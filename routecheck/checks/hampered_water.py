"""Ice, weed, breakers and fishing gear."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_finding, in_reach
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView

_SAYS = {
    AreaKind.ICE: "Ice is charted here.",
    AreaKind.WEED: "Weed or kelp fouls propellers and intakes, and grows on rock.",
    AreaKind.FISHING_GROUND: "Nets, lines and vessels that fish are met here.",
    AreaKind.TURBULENCE: "Breakers, eddies, overfalls or tide rips.",
}


@check(
    name="hampered-water",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def hampered_water(view: LegView, passage: Passage) -> Iterator[Finding]:
    """Ice, kelp, troubled water or fishing in the corridor.

    Rule      an ice area, weed or kelp, or troubled water touched by the corridor, or within its
              position uncertainty: caution; a fishing ground touched by the corridor: note. Out of
              its dates or season: note.
    Why       The water is deep enough, and yet not free.
    Examples  in words: overfalls in the corridor are a caution, a fishing ground is a note
    Settings  cross_track, eta; the departure.
    Limits    Wind, stream and season, on which most of it depends.
    Sources   IHO S-57 ed. 3.1, ICEARE, WEDKLP, WATTUR, FSHGRD; the rest common practice.
    """
    for met in view.areas:
        kind = met.object.kind
        if Fault.HAMPERED not in faults_of(met.object):
            continue
        finding = area_finding(
            "hampered-water",
            met,
            view,
            passage,
            severity=Severity.NOTE if kind is AreaKind.FISHING_GROUND else Severity.CAUTION,
            title=in_reach(met),
            says=_SAYS.get(kind, ""),
        )
        if finding is not None:
            yield finding
