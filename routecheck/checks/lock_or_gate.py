"""Locks, lock gates and flood barrages."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_finding, unless_near
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met
from routecheck.nav.geodesic import geodesic_inverse
from routecheck.units import metres_down


@check(
    name="lock-or-gate",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.DANGER, Severity.NOT_ASSESSED, Severity.CAUTION, Severity.NOTE},
)
def lock_or_gate(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The route goes through a lock or gate, or a gate stands in the corridor.

    Rule      a lock basin touched by the corridor, or a gate that the track goes through: caution,
              since its hours are not known; a danger where its horizontal clearance (HORCLR) is
              less than the beam, and not assessed where one is charted and no beam given. The same
              of a canal or dock area with a width, but for the hours. A gate in the corridor that
              the track does not go through stands there as a structure does: danger. Within its
              position uncertainty: caution. A sill is judged in underwater-danger, what spans a
              gate in span-overhead.
    Why       A shut gate is a wall, and opens by hours, tide and traffic.
    Examples  in words: a gate on the track is a caution, and a danger if it is narrower than the
              boat
    Settings  beam, position, cross_track, eta; the departure.
    Limits    Hours of opening, signals and the level inside.
    Sources   IHO S-57 ed. 3.1, LOKBSN, GATCON with CATGAT, CANALS, DOCARE and HORCLR; the
              rest common practice.
    """
    for met in view.areas:
        if Fault.LOCK not in faults_of(met.object):
            continue
        judged = _judged(met, view, passage)
        if judged is None:
            continue
        severity, what, says = judged
        width_m, beam_m = met.object.horizontal_clearance_m, passage.boat.beam_m
        sums = {
            name: value
            for name, value in (("horizontal_clearance_m", width_m), ("beam_m", beam_m))
            if value is not None
        }
        finding = area_finding(
            "lock-or-gate",
            met,
            view,
            passage,
            severity=unless_near(severity, met),
            title=f"{area_called(met.object)}: {what}",
            says=says,
            settle="give beam"
            if severity is Severity.NOT_ASSESSED
            else "look up its hours and signals",
            sums=sums,
        )
        if finding is not None:
            yield finding


def _judged(met: Met[Area], view: LegView, passage: Passage) -> tuple[Severity, str, str] | None:
    area, beam_m = met.object, passage.boat.beam_m
    if area.kind is AreaKind.GATE and not _through(met, view, passage):
        says = "The track does not go through it: there it stands as a structure does."
        return Severity.DANGER, "a structure in the corridor", says
    width_m = area.horizontal_clearance_m
    if width_m is not None and beam_m is not None and width_m <= beam_m:
        return Severity.DANGER, "narrower than the boat", "She does not fit through."
    says = "Hours of opening, signals and water level are not charted."
    if width_m is not None and beam_m is None:
        says = f"Whether she fits through {metres_down(width_m)} was not judged. {says}"
        return Severity.NOT_ASSESSED, "a width is charted, and no beam given", says
    if area.kind is AreaKind.NARROW:
        return None
    if width_m is None:
        says += " Neither is the width between its walls."
    return Severity.CAUTION, "may be shut", says


def _through(met: Met[Area], view: LegView, passage: Passage) -> bool:
    """Whether the track goes through, as well as positions are known."""
    if met.object.dimension > 0:
        return bool(met.runs)
    place, leg = met.place, view.leg
    room_m = max(place.belt_m, passage.boat.margins.position_m)
    if 0.0 < place.along_m < view.length_m:
        return abs(place.cross_m) <= room_m
    # Beyond the leg's end: square to its line says nothing of how far off it lies.
    end = leg.start if place.along_m <= 0.0 else leg.end
    _, off_m = geodesic_inverse(end.lon_deg, end.lat_deg, place.lon_deg, place.lat_deg)
    return float(off_m) <= room_m
