"""What is told where no height of tide is known: from first to last, and which stations."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.checks.tide_not_known import tide_not_known
from routecheck.model.departures import LegDepartures
from routecheck.model.passage import Passage
from routecheck.model.rule import REGISTRY, code_of
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import LegView
from tests.checks.test_tide_not_known import START_S, TABLE, at
from tests.checks.told import said
from tests.checks.views import depth, place, run, view

HOUR_M = 6.0 * 1852.0
"""At 6 kn."""


def leg(*along: float, length_m: float = 100.0) -> LegView:
    """Shoals of a length that begin so far along."""
    mets = tuple(
        depth(
            4.0, key=f"cell/{n}", where=replace(place(m), along_to_m=m + length_m, lon_deg=10.0 + n)
        )
        for n, m in enumerate(along)
    )
    return view(depths=mets, length_m=20.0 * HOUR_M)


def codes(of: LegView, by: Passage, *starts_s: float) -> list[int]:
    sweep = REGISTRY["tide-not-known"].sweep
    assert sweep is not None
    bare = replace(by, depart_s=None, leg_start=None)
    return sweep(of, LegDepartures(passage=bare, depart_s=np.array(starts_s))).tolist()


BAR = "Bar has heights from 2027-05-14 00:00Z to 2027-05-14 12:00Z"
NOTHING_ADDED = ". Nothing was added to the depths there."


def test_from_the_first_to_the_last_stretch() -> None:
    # Begun at 06:00, the heights end six hours on. Order along the leg does not matter.
    of = leg(9.0 * HOUR_M, 1.0 * HOUR_M, 7.0 * HOUR_M, 8.0 * HOUR_M)
    (one,) = run(tide_not_known, of, at(6.0))
    assert said([one]) == [
        ("not-assessed", "no height of tide is known for that time at Bar", BAR + NOTHING_ADDED)
    ]
    assert (one.along_m, one.along_to_m) == (7.0 * HOUR_M, 9.0 * HOUR_M + 100.0)
    assert (one.leg, one.object_key, one.lon_deg, one.lat_deg) == (3, "tide", 12.0, 50.0)
    assert one.settle == "give a tide that covers the passage"


def test_each_station_is_named_once() -> None:
    here, there = 10.0, 11.0
    stations = [
        TideStation(name=name, heights=TABLE, lon_deg=lon, lat_deg=50.0)
        for name, lon in (("Quay", there), ("Bar", here))
    ]
    tide = Tide(datum="chart datum", uncertainty_m=0.1, stations=tuple(stations))
    (one,) = run(tide_not_known, leg(0.0, 100.0), at(20.0, tide))
    assert one.title == "no height of tide is known for that time at Bar, Quay"
    assert one.explanation == f"{BAR}; {BAR.replace('Bar', 'Quay', 1)}{NOTHING_ADDED}"


@pytest.mark.parametrize(
    ("hour", "known"),
    [
        # The shoal is passed from one to two hours on: inside the table from its first hour …
        (-1.1, False),
        (-1.0, True),
        (0.0, True),
        # … to its last.
        (10.0, True),
        (10.1, False),
        (11.5, False),
    ],
)
def test_the_whole_stretch_has_to_be_known(hour: float, known: bool) -> None:
    of = leg(HOUR_M, length_m=HOUR_M)
    assert (run(tide_not_known, of, at(hour)) == []) is known
    found = code_of(None if known else run(tide_not_known, of, at(hour))[0].severity)
    assert codes(of, at(hour), START_S + 3600.0 * hour) == [found]


def test_many_departures_of_which_some_are_known() -> None:
    of = leg(HOUR_M, 3.0 * HOUR_M)
    worst = code_of(run(tide_not_known, of, at(20.0))[0].severity)
    starts = [START_S + 3600.0 * hour for hour in (-2.0, 0.0, 8.0, 10.0)]
    assert codes(of, at(0.0), *starts) == [worst, code_of(None), code_of(None), worst]


def test_without_a_speed_no_time_is_asked_for() -> None:
    of, slow = leg(HOUR_M), replace(at(20.0), speed_kn=None)
    assert run(tide_not_known, of, slow) == []
    assert codes(of, slow, START_S) == [code_of(None)]
    assert run(tide_not_known, of, replace(at(20.0), tide=None)) == []
