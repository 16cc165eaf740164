"""Arriving when there is no daylight."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.daylight import light_finding, light_sweep
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import Codes, check
from routecheck.model.view import LegView


def _sweep(view: LegView, departures: LegDepartures) -> Codes:
    return light_sweep(view, departures, view.length_m, view.length_m, departures.passage.arrives)


@check(
    name="arrival-in-the-dark",
    group="time",
    needs=(),
    gives={Severity.CAUTION, Severity.NOTE},
    bars=True,
    sweep=_sweep,
)
def arrival_in_the_dark(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The end of the route is reached in the dark.

    Rule      the sun's centre may stand more than 6 degrees below the horizon at any time within
              the ETA's uncertainty at the route's end: caution; below the horizon, but not so
              far: note.
    Why       Unlit dangers, marks and moorings are not seen, and an unknown harbour looks like
              another.
    Examples  in words: arriving after dusk is a caution, in civil twilight a note, by day nothing
    Settings  eta; the departure and speeds.
    Limits    Knows no moon, no lights and no weather. Without a departure nothing is said.
    Sources   Civil twilight: The Astronomical Almanac, glossary; arriving by day: common practice.
    """
    if passage.arrives:
        end = view.leg.end
        yield from light_finding(
            "arrival-in-the-dark",
            view,
            passage,
            view.length_m,
            view.length_m,
            what=f"{end.name or 'the end'} is reached",
            object_key="arrival",
        )
