"""Locks and gates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.lock_or_gate import lock_or_gate
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import LINE, POINT, across, area, beside, leg, near
from tests.checks.views import boat, met, passage, place, run

GATE = area(AreaKind.GATE, geometry=LINE, horizontal_clearance_m=9.0)


@pytest.mark.parametrize(
    ("beam_m", "severity"),
    [(None, Severity.CAUTION), (3.6, Severity.CAUTION), (9.0, Severity.DANGER),
     (11.0, Severity.DANGER)],
)  # fmt: skip
def test_through_a_gate(beam_m: float | None, severity: Severity) -> None:
    """a gate on the track is a caution, and a danger if it is narrower than the boat"""
    by = passage(replace(boat(), beam_m=beam_m))
    (finding,) = run(lock_or_gate, leg(across(GATE)), by)
    assert finding.severity is severity
    assert finding.sums["horizontal_clearance_m"] == 9.0


def test_a_lock_basin_is_a_caution_wherever_the_corridor_meets_it() -> None:
    lock = area(AreaKind.LOCK, name="Royal Dock")
    for where in (across, beside, near):
        (finding,) = run(lock_or_gate, leg(where(lock)))
        assert finding.severity is Severity.CAUTION
        assert finding.title == "lock basin Royal Dock: may be shut"


def test_a_gate_beside_the_track_stands_as_a_structure() -> None:
    (finding,) = run(lock_or_gate, leg(beside(GATE)))
    assert finding.severity is Severity.DANGER
    (belt,) = run(lock_or_gate, leg(near(GATE)))
    assert belt.severity is Severity.CAUTION


@pytest.mark.parametrize(("off_m", "severity"), [(9.0, Severity.CAUTION), (11.0, Severity.DANGER)])
def test_a_gate_drawn_as_a_point_is_gone_through_as_well_as_positions_are_known(
    off_m: float, severity: Severity
) -> None:
    # The boat's own fix holds to 10 m by default.
    thing = area(AreaKind.GATE, geometry=POINT)
    (finding,) = run(lock_or_gate, leg(met(thing, place(cross_m=off_m))))
    assert finding.severity is severity
