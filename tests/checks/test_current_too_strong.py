"""Currents that cannot be stemmed."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.current_too_strong import current_too_strong
from routecheck.model.chart import Severity
from routecheck.model.clock import Clock
from routecheck.model.finding import Finding
from routecheck.model.route import Leg, Waypoint
from tests.checks.views import boat, run, view

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


def test_no_current_or_no_speed_say_nothing() -> None:
    assert found(None, None, 5.0) == []
    assert found(180.0, 5.5, None) == []
