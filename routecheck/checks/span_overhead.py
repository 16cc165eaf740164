"""Bridges, overhead cables and the like across the corridor."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="span-overhead",
    group="overhead",
    needs={Layer.OVERHEAD},
    gives={Severity.NOT_ASSESSED},
)
def span_overhead(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A bridge or overhead line crosses the corridor.

    Rule      any bridge, overhead cable, pipe or conveyor touched by the corridor, or within its
              position uncertainty: not assessed, with the clearances that the chart states.
    Why       Masts meet spans; the clearance depends on the highest tide at the time of passing.
    Examples  in words: a bridge across the corridor is not assessed, one beside it says nothing
    Settings  air_draught, overhead (shown, not yet judged).
    Limits    The height of tide is not yet set against the clearance.
    Sources   IHO S-57 ed. 3.1, BRIDGE, CBLOHD, PIPOHD, CONVYR with VERCLR, VERCCL, VERCOP, VERCSA.
    """
    boat = passage.boat
    for met in view.spans:
        span = met.object
        stated: dict[str, float | str] = {
            name: value
            for name, value in (
                ("vertical_clearance_m", span.vertical_clearance_m),
                ("vertical_clearance_closed_m", span.vertical_clearance_closed_m),
                ("vertical_clearance_open_m", span.vertical_clearance_open_m),
                ("safe_vertical_clearance_m", span.safe_vertical_clearance_m),
            )
            if value is not None
        }
        says = ", ".join(f"{k[:-2].replace('_', ' ')} {v} m" for k, v in stated.items())
        what = f"{_WORDS.get(span.cls, span.cls)} {span.name}".strip()
        clearance = says or "no clearance charted"
        yield Finding(
            check="span-overhead",
            severity=Severity.NOT_ASSESSED,
            title=f"{what} overhead: {clearance}",
            explanation=(
                f"Charted: {clearance} above {span.clearance_datum}. Air draught "
                + (f"{boat.air_draught_m:.1f} m" if boat.air_draught_m else "not given")
                + ". Whether the mast clears it at the time of passing was not judged."
            ),
            leg=view.leg.number,
            object_key=span.key,
            cls=span.cls,
            along_m=met.place.along_m,
            along_to_m=met.place.along_to_m,
            cross_m=met.place.cross_m,
            lon_deg=met.place.lon_deg,
            lat_deg=met.place.lat_deg,
            sums=_sums(stated, span.clearance_datum, boat.air_draught_m),
            source=met.source.id,
            rests_on=met.source.id,
            settle="work out the clearance at the highest tide of the passage by hand",
        )


def _sums(
    stated: dict[str, float | str], datum: str, air_draught_m: float | None
) -> dict[str, float | str]:
    sums = {**stated, "clearance_datum": datum}
    if air_draught_m is not None:
        sums["air_draught_m"] = air_draught_m
    return sums


_WORDS = {
    "BRIDGE": "bridge",
    "CBLOHD": "overhead cable",
    "PIPOHD": "overhead pipe",
    "CONVYR": "conveyor",
}
