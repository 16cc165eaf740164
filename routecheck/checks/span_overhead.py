"""Bridges, overhead cables and the like across the corridor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from routecheck.model.chart import Severity
from routecheck.model.datum import UNKNOWN, is_high_water
from routecheck.model.finding import Finding
from routecheck.model.headroom import HeadroomSum, clearance_of, high_water
from routecheck.model.objects import Layer, Span
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.spanfinding import span_called, span_finding
from routecheck.model.view import LegView, Met, Touch
from routecheck.units import metres_down, metres_up


@check(
    name="span-overhead",
    group="overhead",
    needs={Layer.OVERHEAD},
    gives={Severity.DANGER, Severity.CAUTION, Severity.NOT_ASSESSED},
)
def span_overhead(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A bridge, cable, pipe or conveyor overhead with too little air under it.

    Rule      charted clearance - highest water above the clearance's own datum < air draught +
              overhead margin: danger; within the tide's uncertainty, or only within the
              position uncertainty of the span, or with the water taken to stand at a datum that
              high springs, or all high waters, exceed: caution. A bridge that opens and is too
              low closed: caution. A power line whose safe vertical clearance is not charted:
              caution at best. No clearance, no datum, no air draught, or no tide known for the
              time: not assessed.
    Why       The mast strikes; near a power line the current jumps before it touches.
    Examples  in words: a bridge too low at the highest tide of the passing is a danger
              in words: a bridge with room for the mast says nothing
              in words: a bridge without a clearance is not assessed
    Settings  air_draught, overhead, eta; tide.toml with levels of the clearance's datum.
    Limits    Takes the clearance for that of the whole span, whatever part is passed under. The
              electrical safety margin is a local matter: it is set by the line's owner. When a
              bridge opens is not charted.
    Sources   IHO S-57 ed. 3.1, BRIDGE, CBLOHD, PIPOHD, CONVYR with VERCLR, VERCCL, VERCOP, VERCSA,
              VERDAT, CATBRG, CATCBL; IMO Res. A.893(21), appraisal: clearances under bridges.
    """
    for met in view.spans:
        finding = _judged(met, view, passage)
        if finding is not None:
            yield finding


def _judged(met: Met[Span], view: LegView, passage: Passage) -> Finding | None:
    span, boat = met.object, passage.boat
    clearance_m, which = clearance_of(span)
    if clearance_m is None:
        return _finding(met, view, Severity.NOT_ASSESSED, "no clearance charted", _stated(span))
    if boat.air_draught_m is None:
        what = f"{metres_down(clearance_m)} {which}, and no air draught given"
        return _finding(
            met, view, Severity.NOT_ASSESSED, what, _stated(span), settle="give air_draught"
        )
    if span.clearance_datum == UNKNOWN:
        what = f"{metres_down(clearance_m)} {which}, above a datum that no one states"
        return _finding(met, view, Severity.NOT_ASSESSED, what, _stated(span))
    sums = HeadroomSum(
        clearance_m=clearance_m,
        datum=span.clearance_datum,
        water=high_water(
            passage,
            span.clearance_datum,
            lon_deg=met.place.lon_deg,
            lat_deg=met.place.lat_deg,
            from_m=met.place.along_from_m,
            to_m=met.place.along_to_m,
        ),
        boat=boat,
        air_draught_m=boat.air_draught_m,
    )
    if sums.water.known or sums.short:
        severity, what, says = _severity(span, sums)
    else:
        severity, what, says = Severity.NOT_ASSESSED, "the tide at that time is not known", ""
    if severity is None:
        return None
    if severity is Severity.DANGER and met.place.touch is Touch.BELT:
        severity = Severity.CAUTION
    return _finding(
        met,
        view,
        severity,
        what,
        sums.lines(),
        says=f"{metres_down(clearance_m)} {which} above {span.clearance_datum}, the water "
        f"{sums.water.height_m:+.2f} m ({sums.water.text}): {metres_down(sums.available_m)} of air "
        f"against {metres_up(sums.needed_m)} needed. {says}".strip(),
        settle="give a tide that covers the time" if not sums.water.known else "",
    )


def _severity(span: Span, sums: HeadroomSum) -> tuple[Severity | None, str, str]:
    if sums.short:
        what = f"{metres_up(-sums.margin_m)} of air too little"
        if span.opens and not _too_low_open(span, sums):
            return Severity.CAUTION, f"{what} when closed", "It opens: look up its hours."
        says = "The mast strikes." if sums.strikes else ""
        return Severity.DANGER, what, says
    if sums.margin_m - sums.water.uncertainty_m < 0.0:
        return Severity.CAUTION, f"margin {metres_down(sums.margin_m)} within its uncertainty", ""
    if span.electric and span.safe_vertical_clearance_m is None:
        says = (
            "It may carry current, and no safe vertical clearance is charted: how far to keep off "
            "is set by its owner."
        )
        return Severity.CAUTION, "a power line without a safe vertical clearance", says
    if not sums.water.bounded:
        what = "High springs, or a surge, stand"
        if not sums.water.placed and not is_high_water(sums.datum):
            what = "Every high water stands"
        says = f"{what} above {sums.datum}; no tide says how far."
        return (
            Severity.CAUTION,
            f"margin {metres_down(sums.margin_m)} with the water at {sums.datum}",
            says,
        )
    return None, "", ""


def _too_low_open(span: Span, sums: HeadroomSum) -> bool:
    """Whether the mast does not pass even the opened bridge. No clearance charted: none limits."""
    open_m = span.vertical_clearance_open_m
    return open_m is not None and open_m - sums.water.height_m < sums.needed_m


def _stated(span: Span) -> Mapping[str, float | str]:
    given = {
        "vertical_clearance_m": span.vertical_clearance_m,
        "vertical_clearance_closed_m": span.vertical_clearance_closed_m,
        "vertical_clearance_open_m": span.vertical_clearance_open_m,
        "safe_vertical_clearance_m": span.safe_vertical_clearance_m,
    }
    said: dict[str, float | str] = {k: v for k, v in given.items() if v is not None}
    return {**said, "clearance_datum": span.clearance_datum}


def _finding(
    met: Met[Span],
    view: LegView,
    severity: Severity,
    what: str,
    sums: Mapping[str, float | str],
    *,
    says: str = "",
    settle: str = "",
) -> Finding:
    span = met.object
    name = span_called(span)
    if severity is Severity.NOT_ASSESSED:
        says = f"{says} Whether the mast passes under it was not judged.".strip()
        settle = settle or "find out its clearance, and work it out for the highest tide"
    return span_finding(
        "span-overhead",
        met,
        view,
        severity=severity,
        title=f"{name} overhead: {what}",
        says=says,
        sums=sums,
        settle=settle,
    )
