"""The zones between a traffic separation scheme and the coast."""

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

_SMALL_M = 20.0


@check(
    name="inshore-traffic-zone",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def inshore_traffic_zone(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters an inshore traffic zone that is not for every vessel.

    Rule      an inshore traffic zone touched by the corridor: caution for a boat of 20 m and more
              or of unknown length, note for a shorter one; only within its position uncertainty:
              caution, and nothing for a shorter one.
    Why       Who can use the lane beside it shall not use the zone; sailing vessels, boats under
              20 m and fishing vessels may.
    Examples  in words: an inshore traffic zone is a note for a boat of 11 m and a caution for one
              of unknown length
    Settings  length, cross_track, eta; the departure.
    Limits    Whether the boat sails, fishes, or goes to a port or station in the zone, all of
              which may use it.
    Sources   COLREG rule 10(d) (33 CFR 83.10(d)); IHO S-57 ed. 3.1, ISTZNE; IMO Res. MSC.232(82),
              appendix 4.
    """
    length_m = passage.boat.length_m
    small = length_m is not None and length_m < _SMALL_M
    for met in view.areas:
        if Fault.INSHORE not in faults_of(met.object):
            continue
        says = "A boat under 20 m may use it."
        if not small:
            boat = (
                "Her length is not known" if length_m is None else f"She is {length_m:.1f} m long"
            )
            says = (
                f"{boat}: a vessel that can use the lane beside it shall not use it, unless she "
                "sails, fishes or is under 20 m."
            )
        finding = area_finding(
            "inshore-traffic-zone",
            met,
            view,
            passage,
            severity=Severity.NOTE if small else Severity.CAUTION,
            title=in_reach(met),
            says=says,
            settle="give the boat's length" if length_m is None else "",
        )
        if finding is not None:
            yield finding
