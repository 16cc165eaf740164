"""Places that the skipper wants to pass in daylight only."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.daylight import light_finding, light_sweep
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import Codes, check, code_of
from routecheck.model.view import LegView


def _sweep(view: LegView, departures: LegDepartures) -> Codes:
    asked = view.leg.daylight_only
    codes = light_sweep(view, departures, 0.0, view.length_m, asked)
    if asked and not departures.has_eta:
        codes[:] = code_of(Severity.NOT_ASSESSED)
    return codes


@check(
    name="passed-in-the-dark",
    group="time",
    needs=(),
    gives={Severity.CAUTION, Severity.NOT_ASSESSED, Severity.NOTE},
    bars=True,
    clock=True,
    sweep=_sweep,
)
def passed_in_the_dark(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A leg marked for daylight only is sailed in the dark.

    Rule      on a leg with daylight_only, the sun's centre may stand more than 6 degrees below
              the horizon at any time from its start to its end, the ETA's uncertainty added:
              caution; below the horizon, but not so far: note; no departure or no speed: not
              assessed.
    Why       Where one steers by what one sees, the dark takes the chart's last margin.
    Examples  in words: a leg for daylight only is a caution by night and not assessed without a
              departure
    Settings  daylight_only of the route's sidecar, eta; the departure and speeds.
    Limits    Knows no moon, no lights and no weather.
    Sources   Civil twilight: The Astronomical Almanac, glossary; daylight for reefs and narrows:
              common practice.
    """
    if not view.leg.daylight_only:
        return
    if passage.window_s(0.0, view.length_m) is None:
        start = view.leg.start
        yield Finding(
            check="passed-in-the-dark",
            severity=Severity.NOT_ASSESSED,
            title="marked for daylight only, and no time of passing is known",
            explanation="Whether it is light then was not judged.",
            leg=view.leg.number,
            object_key="daylight",
            along_to_m=view.length_m,
            lon_deg=start.lon_deg,
            lat_deg=start.lat_deg,
            settle="give --depart, and the boat's speed",
        )
        return
    yield from light_finding(
        "passed-in-the-dark",
        view,
        passage,
        0.0,
        view.length_m,
        what="the leg is marked for daylight only, and is sailed",
        object_key="daylight",
    )
