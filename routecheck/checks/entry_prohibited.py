"""Areas that nobody may enter, or not without leave."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model import restriction
from routecheck.model.areafinding import area_called, area_finding, unless_near
from routecheck.model.arearule import MINEFIELD, Fault, faults_of, no_entry
from routecheck.model.areas import Area
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="entry-prohibited",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOTE},
)
def entry_prohibited(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters an area where entry is prohibited or restricted.

    Rule      an area touched by the corridor with entry prohibited (RESTRN 7), a minefield, or a
              safety zone round an offshore installation that states no restriction: danger.
              Entry restricted (8), power-driven vessels prohibited (42), or a restriction that
              cannot be read: caution. Only within its position uncertainty: caution. Out of its
              dates or season at the time of passing, ETA margin included: note; with no time
              known it counts as in force.
    Why       Fire, mines, moving gear, divers or the law are behind it; the chart shows the line.
    Examples  in words: entry prohibited across the corridor is a danger, entry restricted a caution
    Settings  cross_track, eta; the departure.
    Limits    Who may enter with leave, and temporary areas of notices to mariners.
    Sources   IHO S-57 ed. 3.1, RESTRN (attribute 131) and CATREA (56); IMO Res. MSC.232(82),
              11.3.5 and appendix 4; UN Convention on the Law of the Sea, article 60(6), and IMO
              Res. A.671(16) for safety zones.
    """
    for met in view.areas:
        area = met.object
        if Fault.ENTRY not in faults_of(area):
            continue
        severity, what, says = _judged(area)
        finding = area_finding(
            "entry-prohibited",
            met,
            view,
            passage,
            severity=unless_near(severity, met),
            title=f"{area_called(area)}: {what}",
            says=says,
        )
        if finding is not None:
            yield finding


def _judged(area: Area) -> tuple[Severity, str, str]:
    codes = set(area.restrictions)
    if restriction.ENTRY_PROHIBITED in codes:
        return Severity.DANGER, "entry prohibited", "Nobody may enter without leave."
    if no_entry(area):
        if MINEFIELD in area.categories:
            return Severity.DANGER, "minefield", "A minefield: keep out whatever else is charted."
        says = "A safety zone round an offshore installation, which all ships have to respect."
        return Severity.DANGER, "safety zone", says
    if restriction.ENTRY_RESTRICTED in codes:
        says = "Entry is restricted: to whom and when, the chart's text or its source says."
        return Severity.CAUTION, "entry restricted", says
    if restriction.POWER_DRIVEN_PROHIBITED in codes:
        says = "Vessels under power may not enter."
        return Severity.CAUTION, "power-driven vessels prohibited", says
    odd = sorted(codes - restriction.HARMLESS - {restriction.TO_BE_AVOIDED})
    says = "It may bar the way: look the restriction up on the chart."
    return Severity.CAUTION, restriction.words(odd), says
