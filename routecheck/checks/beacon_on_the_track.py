"""Beacons that the boat would run into."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="beacon-on-the-track",
    group="dangers",
    needs={Layer.MARKS},
    gives={Severity.DANGER},
)
def beacon_on_the_track(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A beacon stands on the track.

    Rule      distance of a fixed mark <= its position uncertainty + the boat's own position
              uncertainty + half the beam: danger, whatever its kind and side.
    Why       A beacon is a pile or a tower: the boat strikes it.
    Examples  in words: a pile on the track is a danger, one 60 m off is not
    Settings  position, beam.
    Limits    A beacon further off in the corridor is judged by mark-too-close-to-call.
    Sources   IHO S-57 ed. 3.1, BCNLAT, BCNCAR, BCNISD, BCNSAW, BCNSPP; 0.5 mm at scale: common
              practice.
    """
    boat = passage.boat
    own_m = boat.margins.position_m + (boat.beam_m or 0.0) / 2.0
    for met in view.marks:
        reach_m = met.position_uncertainty_m + own_m
        if met.mark.floating or met.distance_m > reach_m:
            continue
        name = met.mark.name or met.mark.cls
        yield Finding(
            check="beacon-on-the-track",
            severity=Severity.DANGER,
            title=f"beacon {name} stands {met.distance_m:.0f} m off the track",
            explanation=(
                f"It is fixed, and lies within {reach_m:.0f} m of the track: its own position "
                f"uncertainty of {met.position_uncertainty_m:.0f} m and the boat's {own_m:.0f} m."
            ),
            leg=view.leg.number,
            object_key=met.mark.key,
            cls=met.mark.cls,
            along_m=met.along_m,
            cross_m=met.cross_m,
            lon_deg=met.mark.lon_deg,
            lat_deg=met.mark.lat_deg,
            sums={
                "distance_m": met.distance_m,
                "position_uncertainty_m": met.position_uncertainty_m,
                "own_uncertainty_m": own_m,
            },
            source=met.mark.source,
            rests_on=met.mark.source,
        )
