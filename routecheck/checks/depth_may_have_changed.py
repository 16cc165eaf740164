"""Where the bed moves, or is heaped up."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView

_DUMPED = {
    2: "Chemical waste was dumped here.",
    3: "Nuclear waste was dumped here.",
    4: "Explosives were dumped here.",
    5: "Spoil is dumped here: the water may be shoaler than charted.",
    6: "Vessels were scuttled here: the water over them may be shoaler than charted.",
}
"""CATDPG: IHO S-57 ed. 3.1, attribute 23, in our words."""


@check(
    name="depth-may-have-changed",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def depth_may_have_changed(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor crosses a dumping ground or moving sand.

    Rule      a dumping ground or sand waves touched by the corridor, or within its position
              uncertainty: caution.
    Why       The charted depth was true on the day of the survey.
    Examples  in words: a spoil ground across the corridor is a caution
    Settings  cross_track, eta; the departure.
    Limits    How much has been dumped, and how high sand waves stand.
    Sources   IHO S-57 ed. 3.1, DMPGRD with CATDPG, SNDWAV; the rest common practice.
    """
    for met in view.areas:
        if Fault.BED not in faults_of(met.object):
            continue
        finding = area_finding(
            "depth-may-have-changed",
            met,
            view,
            passage,
            severity=Severity.CAUTION,
            title=f"{area_called(met.object)}: the depth may have changed",
            says=_says(met.object),
        )
        if finding is not None:
            yield finding


def _says(area: Area) -> str:
    if area.kind is AreaKind.SAND_WAVES:
        return "Sand waves move: the water may be shoaler than charted."
    known = [_DUMPED[code] for code in area.categories if code in _DUMPED]
    return " ".join(known) or "What was dumped is not charted; the water may be shoaler."
