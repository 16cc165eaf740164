"""Bridges, locks and gates that open at some hours only."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.opening import Opening
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.tide_along import positions_along
from routecheck.model.view import LegView
from routecheck.units import METRES_PER_NMI


@check(
    name="shut-at-that-time",
    group="time",
    needs=(),
    gives={Severity.CAUTION, Severity.NOT_ASSESSED},
    bars=True,
    clock=True,
)
def shut_at_that_time(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A bridge, lock or gate may be shut when the boat comes there.

    Rule      the time within the ETA's uncertainty does not lie in one of the openings given for
              the place: caution; no departure or no speed: not assessed.
    Why       One waits in a narrow, or comes too late for the tide behind it.
    Examples  in words: a lock passed out of hours is a caution, within them nothing, and without a
              departure not assessed
    Settings  [[opening]] of the route's sidecar, eta; the departure and speeds.
    Limits    Knows only the hours that are given: no holidays, no signals, no queue.
    Sources   Common practice.
    """
    for number, opening in enumerate(view.leg.openings, start=1):
        finding = _judged(opening, number, view, passage)
        if finding is not None:
            yield finding


def _judged(opening: Opening, number: int, view: LegView, passage: Passage) -> Finding | None:
    from_m, to_m = 0.0, view.length_m
    if opening.along_m is not None:
        from_m = to_m = min(opening.along_m, view.length_m)
    window = passage.window_s(from_m, to_m)
    if window is None:
        severity, what = Severity.NOT_ASSESSED, "hours are given, and no time of passing is known"
    elif opening.open_throughout(*window):
        return None
    else:
        severity, what = Severity.CAUTION, "may be shut at the time of passing"
    lon, lat = positions_along(view.leg, np.array(from_m))
    return Finding(
        check="shut-at-that-time",
        severity=severity,
        title=f"{opening.name}: {what}",
        explanation=f"Open {opening.words}; {from_m / METRES_PER_NMI:.1f} nmi along the leg.",
        leg=view.leg.number,
        object_key=f"opening/{number}",
        along_m=from_m,
        along_to_m=to_m,
        lon_deg=float(lon),
        lat_deg=float(lat),
        settle="give --depart, and the boat's speed" if window is None else "another departure",
    )
