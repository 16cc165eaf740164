"""Where traffic crosses, meets or turns."""

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
    AreaKind.PRECAUTIONARY: "Ships have to navigate with particular caution here.",
    AreaKind.ROUNDABOUT: "Traffic goes round counter-clockwise, and leaves to all sides.",
    AreaKind.LANE_CROSSING: "Lanes cross here: traffic comes from more than one side.",
}


@check(
    name="precautionary-area",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def precautionary_area(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters a precautionary area, a roundabout or a crossing of traffic lanes.

    Rule      one touched by the corridor, or within its position uncertainty: caution. Out of its
              dates or season: note.
    Why       Ships converge there, and some of them cannot get out of the way.
    Examples  in words: a precautionary area across the corridor is a caution
    Settings  cross_track, eta; the departure.
    Limits    Which way round a roundabout the track goes.
    Sources   IMO Res. A.572(14), definitions of a precautionary area and of a roundabout; IHO
              S-57 ed. 3.1, PRCARE, TSSCRS, TSSRON.
    """
    for met in view.areas:
        if Fault.MEETING not in faults_of(met.object):
            continue
        finding = area_finding(
            "precautionary-area",
            met,
            view,
            passage,
            severity=Severity.CAUTION,
            title=in_reach(met),
            says=_SAYS.get(met.object.kind, ""),
        )
        if finding is not None:
            yield finding
