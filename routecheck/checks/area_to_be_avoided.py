"""Areas that the International Maritime Organization wants ships to keep out of."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding, unless_near
from routecheck.model.arearule import MANDATORY, Fault, faults_of
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="area-to-be-avoided",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOTE},
)
def area_to_be_avoided(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters an area that ships should avoid.

    Rule      an area to be avoided (RESTRN 14) touched by the corridor: caution, and a danger
              where it is charted as mandatory (STATUS 9); only within its position uncertainty:
              caution. Out of its dates or season: note.
    Why       Navigation is particularly hazardous there, or a casualty would do particular harm.
              Most are recommendations, many for certain ships only, and whom they address stands
              in words: so it cannot be said that this route breaks a rule.
    Examples  in words: an area to be avoided across the corridor is a caution, a mandatory one a
              danger
    Settings  cross_track, eta; the departure.
    Limits    Whether the boat belongs to the ships that are addressed.
    Sources   IMO Res. A.572(14), General provisions on ships' routeing, definition of an area to
              be avoided; IMO Res. MSC.232(82), appendix 4; IHO S-57 ed. 3.1, RESTRN 14.
    """
    for met in view.areas:
        area = met.object
        if Fault.TO_BE_AVOIDED not in faults_of(area):
            continue
        binding = MANDATORY in area.status
        finding = area_finding(
            "area-to-be-avoided",
            met,
            view,
            passage,
            severity=unless_near(Severity.DANGER if binding else Severity.CAUTION, met),
            title=f"{area_called(area)}: area to be avoided",
            says=(
                "To be avoided by all ships, or by the classes of ship that its text names: "
                "navigation there is particularly hazardous, or casualties must not happen there."
            ),
            settle="look up which ships it addresses",
        )
        if finding is not None:
            yield finding
