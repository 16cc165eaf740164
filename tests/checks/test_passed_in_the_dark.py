"""Legs that are for daylight only."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from routecheck.checks.passed_in_the_dark import _sweep, passed_in_the_dark
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, code_of
from tests.checks.test_arrival_in_the_dark import LEG, ONE_HOUR_M, at
from tests.checks.told import said
from tests.checks.views import boat, run, view

MARKED = replace(LEG, daylight_only=True)


def found(by: Passage, leg: Any = MARKED) -> list[Any]:
    return run(passed_in_the_dark, view(leg=leg, length_m=ONE_HOUR_M), by)


def test_a_leg_for_daylight_only() -> None:
    """a leg for daylight only is a caution by night and not assessed without a departure"""
    (dark,) = found(at("2015-12-01T20:00", arrives=False))
    assert dark.severity is Severity.CAUTION
    (blind,) = found(Passage(boat=boat()))
    assert blind.severity is Severity.NOT_ASSESSED
    assert blind.settle.startswith("give --depart")


def test_by_day_and_unmarked_legs_say_nothing() -> None:
    assert found(at("2015-12-01T13:00")) == []
    assert found(at("2015-12-01T20:00"), LEG) == []


def test_the_whole_leg_counts() -> None:
    # Ends after sunrise (07:43), begins before civil dawn (07:04).
    (dark,) = found(at("2015-12-01T07:50"))
    assert dark.severity is Severity.CAUTION
    (note,) = found(at("2015-12-01T08:10"))
    assert note.severity is Severity.NOTE


def test_the_darker_end_of_a_long_leg_counts() -> None:
    """At 07:48 the sun is up at its eastern end (sunrise 07:43), and 8 degrees to the west, half
    an hour of the sun's way, it is not yet."""
    west = replace(MARKED, start=replace(LEG.start, lon_deg=-8.13333))
    by = at("2015-12-01T08:48", arrives=False)
    assert found(by) == []
    (note,) = found(by, west)
    assert note.severity is Severity.NOTE
    eastern = found(by, replace(west, start=west.end, end=west.start))
    assert [one.severity for one in eastern] == [Severity.NOTE]


def test_many_departures_at_once_are_each_alone() -> None:
    base = at("2015-12-01T00:00", eta_s=900.0)
    assert base.depart_s is not None
    starts = base.depart_s + 600.0 * np.arange(200.0)
    bare = replace(base, depart_s=None)
    for leg in (MARKED, LEG):
        of = view(leg=leg, length_m=ONE_HOUR_M)
        codes = _sweep(of, LegDepartures(passage=bare, depart_s=starts))
        alone = []
        for start in starts:
            ones = run(passed_in_the_dark, of, replace(base, depart_s=float(start)))
            alone.append(code_of(ones[0].severity if ones else None))
        assert codes.tolist() == alone
    slow = LegDepartures(passage=replace(bare, speed_kn=None), depart_s=starts)
    assert set(_sweep(view(leg=MARKED), slow).tolist()) == {code_of(Severity.NOT_ASSESSED)}
    assert set(_sweep(view(leg=LEG), slow).tolist()) == {NOTHING}


def test_what_is_told() -> None:
    (blind,) = found(Passage(boat=boat()))
    assert said([blind]) == [
        (
            "not-assessed",
            "marked for daylight only, and no time of passing is known",
            "Whether it is light then was not judged.",
        )
    ]
    assert (blind.along_m, blind.along_to_m, blind.object_key) == (0.0, ONE_HOUR_M, "daylight")
    assert (blind.lon_deg, blind.lat_deg) == (LEG.start.lon_deg, LEG.start.lat_deg)
    (dark,) = found(at("2015-12-01T20:00"))
    assert dark.title == "the leg is marked for daylight only, and is sailed in the dark"
