"""Currents that cannot be stemmed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.current_too_strong import current_too_strong
from routecheck.model.chart import Severity
from routecheck.model.clock import Clock
from routecheck.model.finding import Finding
from routecheck.model.route import Leg, Waypoint
from tests.checks.told import said
from tests.checks.views import boat, passage, run, view

LEG = Leg(
    number=1,
    start=Waypoint(name="A", lon_deg=0.0, lat_deg=50.0),
    end=Waypoint(name="B", lon_deg=0.1, lat_deg=50.0),
)


def found(set_deg: float | None, drift_kn: float | None, speed_kn: float | None) -> list[Finding]:
    of = view(leg=replace(LEG, set_deg=set_deg, drift_kn=drift_kn))
    (by,) = Clock([of], boat(speed_kn=speed_kn), None).passages(None)
    return run(current_too_strong, of, by)


def test_a_current_across() -> None:
    """a current across that is faster than the boat is a danger, a weaker one nothing"""
    (one,) = found(180.0, 5.5, 5.0)
    assert one.severity is Severity.DANGER
    assert "cannot be made good" in one.title
    assert found(180.0, 4.5, 5.0) == []


def test_a_current_ahead() -> None:
    assert len(found(270.0, 6.0, 5.0)) == 1
    assert found(90.0, 6.0, 5.0) == []


def test_without_a_current_nothing_is_said() -> None:
    assert found(None, None, 5.0) == []
    assert found(None, None, None) == []


def test_a_current_and_no_speed_is_not_assessed() -> None:
    """Found 2026-11-28: six knots of it, and "no hazard found"."""
    (one,) = found(180.0, 5.5, None)
    assert said([one]) == [
        (
            "not-assessed",
            "current setting 180° at 5.5 kn, and no speed of the boat is given",
            "Whether the course can be made good was not judged.",
        )
    ]
    assert one.settle == "give the boat's speed"
    assert one.sums == {"set_deg": 180.0, "drift_kn": 5.5}


def test_what_is_told() -> None:
    of = view(leg=replace(LEG, set_deg=180.0, drift_kn=5.5), course_deg=88.6, length_m=7000.0)
    (one,) = run(current_too_strong, of, passage(boat(speed_kn=5.0)))
    words = (
        "At 5.0 kn through the water no heading makes good a course of 89°. No ETA is known from "
        "here on."
    )
    title = "current setting 180° at 5.5 kn: the course cannot be made good"
    assert said([one]) == [("danger", title, words)]
    assert (one.along_m, one.along_to_m, one.lon_deg, one.lat_deg) == (0.0, 7000.0, 0.0, 50.0)
    assert one.sums == {"course_deg": 88.6, "speed_kn": 5.0, "set_deg": 180.0, "drift_kn": 5.5}


@pytest.mark.parametrize(
    ("leg_kn", "boat_kn", "told_kn"), [(4.0, 5.0, 4.0), (None, 5.0, 5.0), (4.0, None, 4.0)]
)
def test_the_legs_own_speed_holds_before_the_boats(
    leg_kn: float | None, boat_kn: float | None, told_kn: float
) -> None:
    of = view(leg=replace(LEG, set_deg=180.0, drift_kn=5.5, speed_kn=leg_kn))
    (one,) = run(current_too_strong, of, passage(boat(speed_kn=boat_kn)))
    assert one.sums["speed_kn"] == told_kn


def test_no_drift_is_no_current() -> None:
    of = view(leg=replace(LEG, set_deg=180.0, drift_kn=0.0))
    assert run(current_too_strong, of, passage(boat(speed_kn=5.0))) == []


def test_a_speed_over_the_ground_that_is_known_says_nothing() -> None:
    of = view(leg=replace(LEG, set_deg=180.0, drift_kn=5.5))
    by = replace(passage(boat(speed_kn=5.0)), speed_kn=1.0)
    assert run(current_too_strong, of, by) == []
