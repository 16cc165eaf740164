"""Arriving when there is no daylight."""

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
    arrives = departures.passage.arrives
    codes = light_sweep(view, departures, view.length_m, view.length_m, arrives)
    if arrives and not departures.has_eta:
        codes[:] = code_of(Severity.NOT_ASSESSED)
    return codes


@check(
    name="arrival-in-the-dark",
    group="time",
    needs=(),
    gives={Severity.CAUTION, Severity.NOT_ASSESSED, Severity.NOTE},
    bars=True,
    clock=True,
    sweep=_sweep,
)
def arrival_in_the_dark(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The end of the route is reached in the dark.

    Rule      the sun's centre may stand more than 6 degrees below the horizon at any time within
              the ETA's uncertainty at the route's end: caution; below the horizon, but not so
              far: note. A departure, and no ETA there for want of a speed: not assessed.
    Why       Unlit dangers, marks and moorings are not seen, an unknown harbour looks like
              another, and where to anchor is anybody's guess.
    Examples  in words: arriving after dusk is a caution, in civil twilight a note, by day nothing
    Settings  eta; the departure and speeds.
    Limits    Knows no moon, no lights and no weather. Without a departure nothing is said.
    Sources   Civil twilight: The Astronomical Almanac, glossary; arriving by day: common practice.
    """
    if not passage.arrives:
        return
    end = view.leg.end
    if passage.depart_s is not None and passage.window_s(view.length_m, view.length_m) is None:
        yield Finding(
            check="arrival-in-the-dark",
            severity=Severity.NOT_ASSESSED,
            title="no time of arrival is known",
            explanation="Whether it is light at the end of the route was not judged.",
            leg=view.leg.number,
            object_key="arrival",
            along_m=view.length_m,
            along_to_m=view.length_m,
            lon_deg=end.lon_deg,
            lat_deg=end.lat_deg,
            settle="give the boat's speed, or that of every leg",
        )
    else:
        yield from light_finding(
            "arrival-in-the-dark",
            view,
            passage,
            view.length_m,
            view.length_m,
            what=f"{end.name or 'the end'} is reached",
            object_key="arrival",
        )
