"""Hours of locks and bridges."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.shut_at_that_time import shut_at_that_time
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.opening import Hours, Opening
from routecheck.model.passage import Passage
from tests.checks.test_arrival_in_the_dark import LEG, ONE_HOUR_M, at
from tests.checks.views import boat, run, view

LOCK = Opening(name="Lock", hours=(Hours(start_s=8 * 3600, end_s=17 * 3600),), words="08:00-17:00Z")


def found(by: Passage, *openings: Opening) -> list[Finding]:
    leg = replace(LEG, openings=openings or (LOCK,))
    return run(shut_at_that_time, view(leg=leg, length_m=ONE_HOUR_M), by)


def test_hours_of_a_lock() -> None:
    """a lock passed out of hours is a caution, within them nothing, and without a departure not
    assessed"""
    (shut,) = found(at("2027-05-14T08:30"))
    assert shut.severity is Severity.CAUTION
    assert shut.title == "Lock: may be shut at the time of passing"
    assert "08:00-17:00Z" in shut.explanation
    assert found(at("2027-05-14T12:00")) == []
    (blind,) = found(Passage(boat=boat()))
    assert blind.severity is Severity.NOT_ASSESSED


def test_where_on_the_leg() -> None:
    near = replace(LOCK, along_m=0.0)
    late = replace(LOCK, along_m=ONE_HOUR_M)
    # The leg is sailed from 16:30 to 17:30.
    assert found(at("2027-05-14T17:30"), near) == []
    (one,) = found(at("2027-05-14T17:30"), late)
    # Six miles east of 0.2 W on 51.5 N: 11112 m of 69.44 km to the degree there (111.4 cos 51.5).
    assert one.lon_deg == pytest.approx(-0.2 + 11_112.0 / 69_440.0, abs=1e-4)
    both = found(at("2027-05-14T17:30"), late, replace(late, name="Bridge"))
    assert [f.object_key for f in both] == ["opening/1", "opening/2"]


def test_the_etas_uncertainty_counts() -> None:
    late = replace(LOCK, along_m=ONE_HOUR_M)
    assert found(at("2027-05-14T16:30", eta_s=1700.0), late) == []
    assert len(found(at("2027-05-14T16:30", eta_s=1900.0), late)) == 1
