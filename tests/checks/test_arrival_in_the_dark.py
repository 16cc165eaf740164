"""Arriving by day, in twilight and at night."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from routecheck.checks.arrival_in_the_dark import _sweep, arrival_in_the_dark
from routecheck.model.boat import Margins
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.passage import Passage
from routecheck.model.route import Leg, Waypoint
from routecheck.model.rule import code_of
from tests.checks.told import said
from tests.checks.views import boat, run, view

# London, 1 December 2015: sunset 15:55, civil dusk 16:34 (a printed table; tests/nav/test_sun.py).
LEG = Leg(
    number=1,
    start=Waypoint(name="A", lon_deg=-0.2, lat_deg=51.5),
    end=Waypoint(name="Mooring", lon_deg=-0.13333, lat_deg=51.5),
)
ONE_HOUR_M = 6 * 1852.0


def at(text: str, *, eta_s: float = 0.0, arrives: bool = True) -> Passage:
    """A passage of one hour that ends at a time."""
    when = datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() - 3600.0
    mine = replace(boat(speed_kn=6.0), margins=Margins(eta_s=eta_s))
    return Passage(
        boat=mine, depart_s=when, offset_s=0.0, speed_kn=6.0, arrives=arrives,
        leg_start=datetime.fromtimestamp(when, UTC),
    )  # fmt: skip


def found(by: Passage) -> list[Any]:
    return run(arrival_in_the_dark, view(leg=LEG, length_m=ONE_HOUR_M), by)


def test_by_day_at_dusk_and_at_night() -> None:
    """arriving after dusk is a caution, in civil twilight a note, by day nothing"""
    assert found(at("2015-12-01T15:50")) == []
    (note,) = found(at("2015-12-01T16:20"))
    assert note.severity is Severity.NOTE
    (dark,) = found(at("2015-12-01T17:00"))
    assert dark.severity is Severity.CAUTION
    assert dark.title == "Mooring is reached in the dark"
    assert "Sunset 2015-12-01 15:5" in dark.explanation
    assert "Sunrise 2015-12-02 07:4" in dark.explanation


def test_the_etas_uncertainty_counts() -> None:
    (dark,) = found(at("2015-12-01T15:30", eta_s=4500.0))
    assert dark.severity is Severity.CAUTION
    assert found(at("2015-12-01T10:00", eta_s=4500.0)) == []


def test_only_at_the_end_and_only_with_an_eta() -> None:
    assert found(at("2015-12-01T17:00", arrives=False)) == []
    assert found(Passage(boat=boat(), arrives=True)) == []


def test_a_departure_without_a_speed_is_not_assessed() -> None:
    slow = replace(at("2015-12-01T12:00"), speed_kn=None)
    (blind,) = found(slow)
    assert blind.severity is Severity.NOT_ASSESSED
    assert "speed" in blind.settle
    assert found(replace(slow, arrives=False)) == []
    of = view(leg=LEG, length_m=ONE_HOUR_M)
    many = LegDepartures(passage=replace(slow, depart_s=None), depart_s=np.arange(3.0))
    assert _sweep(of, many).tolist() == [code_of(Severity.NOT_ASSESSED)] * 3


def test_polar_night_in_words() -> None:
    north = replace(LEG, end=Waypoint(name="N", lon_deg=19.0, lat_deg=70.0))
    by = at("2015-12-21T18:00")
    (dark,) = run(arrival_in_the_dark, view(leg=north, length_m=ONE_HOUR_M), by)
    assert "Polar night: the sun does not rise there." in dark.explanation
    midsummer = at("2015-06-21T00:00")
    assert run(arrival_in_the_dark, view(leg=north, length_m=ONE_HOUR_M), midsummer) == []


@pytest.mark.parametrize("eta_s", [0.0, 1800.0])
def test_many_departures_at_once_are_each_alone(eta_s: float) -> None:
    of = view(leg=LEG, length_m=ONE_HOUR_M)
    base = at("2015-12-01T00:00", eta_s=eta_s)
    assert base.depart_s is not None
    starts = base.depart_s + 600.0 * np.arange(200.0)
    codes = _sweep(of, LegDepartures(passage=replace(base, depart_s=None), depart_s=starts))
    alone = []
    for start in starts:
        ones = run(arrival_in_the_dark, of, replace(base, depart_s=float(start)))
        alone.append(code_of(ones[0].severity if ones else None))
    assert codes.tolist() == alone
    assert len(set(alone)) == 3


def test_what_is_told_without_a_time_of_arrival() -> None:
    (blind,) = found(replace(at("2015-12-01T12:00"), speed_kn=None))
    assert said([blind]) == [
        (
            "not-assessed",
            "no time of arrival is known",
            "Whether it is light at the end of the route was not judged.",
        )
    ]
    assert (blind.along_m, blind.along_to_m, blind.object_key) == (
        ONE_HOUR_M,
        ONE_HOUR_M,
        "arrival",
    )
    assert (blind.lon_deg, blind.lat_deg) == (LEG.end.lon_deg, LEG.end.lat_deg)


def test_an_end_without_a_name() -> None:
    nameless = replace(LEG, end=replace(LEG.end, name=""))
    by = at("2015-12-01T17:00")
    (dark,) = run(arrival_in_the_dark, view(leg=nameless, length_m=ONE_HOUR_M), by)
    assert dark.title == "the end is reached in the dark"
    assert (dark.along_m, dark.lon_deg) == (ONE_HOUR_M, LEG.end.lon_deg)


@pytest.mark.parametrize("speed_kn", [6.0, None])
def test_a_leg_that_is_not_the_last_is_not_swept(speed_kn: float | None) -> None:
    base = replace(at("2015-12-01T23:00", arrives=False), depart_s=None, speed_kn=speed_kn)
    of = view(leg=LEG, length_m=ONE_HOUR_M)
    codes = _sweep(of, LegDepartures(passage=base, depart_s=1.45e9 + 3600.0 * np.arange(24.0)))
    assert set(codes.tolist()) == {code_of(None)}
