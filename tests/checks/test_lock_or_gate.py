"""Locks and gates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.lock_or_gate import lock_or_gate
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.view import Met
from tests.checks.areaviews import LINE, POINT, across, area, beside, leg, near
from tests.checks.views import boat, met, passage, place, run

GATE = area(AreaKind.GATE, geometry=LINE, horizontal_clearance_m=9.0)


@pytest.mark.parametrize(
    ("beam_m", "severity"),
    [(None, Severity.NOT_ASSESSED), (3.6, Severity.CAUTION), (9.0, Severity.DANGER),
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


@pytest.mark.parametrize(("along_m", "end_lon_deg"), [(0.0, 10.0), (7000.0, 10.1)])
@pytest.mark.parametrize(("off_deg", "severity"), [(0.0001, Severity.CAUTION), (0.0004, Severity.DANGER)])  # fmt: skip  # noqa: E501
def test_a_gate_beyond_the_end_of_a_leg_is_as_far_off_as_it_lies(
    along_m: float, end_lon_deg: float, off_deg: float, severity: Severity
) -> None:
    """7 m and 29 m east or west of the leg's end, in line with it: 0 m to the side."""
    thing = area(AreaKind.GATE, geometry=POINT)
    off_deg = -off_deg if along_m == 0.0 else off_deg
    where = replace(place(along_m=along_m), lon_deg=end_lon_deg + off_deg, lat_deg=50.0)
    (finding,) = run(lock_or_gate, leg(met(thing, where)))
    assert finding.severity is severity


@pytest.mark.parametrize("from_end_m", [0.5, 0.9])
@pytest.mark.parametrize("at_end", [False, True])
def test_a_gate_abeam_of_the_leg_is_as_far_off_as_it_lies_to_the_side(
    from_end_m: float, at_end: bool
) -> None:
    """10 m to the side is within the boat's fix; from the leg's end it is a hair more."""
    thing = area(AreaKind.GATE, geometry=POINT)
    along_m = 7000.0 - from_end_m if at_end else from_end_m
    where = replace(place(along_m=along_m, cross_m=10.0), lon_deg=10.05, lat_deg=50.0)
    (finding,) = run(lock_or_gate, leg(met(thing, where)))
    assert finding.severity is Severity.CAUTION


LOCKED = "Hours of opening, signals and water level are not charted."
NO_WIDTH = " Neither is the width between its walls."
STANDS = "The track does not go through it: there it stands as a structure does."
POINT_GATE = area(AreaKind.GATE, geometry=POINT)


@pytest.mark.parametrize(
    ("where", "severity", "what", "says"),
    [
        (across(GATE), Severity.NOT_ASSESSED, "a width is charted, and no beam given",
         "Whether she fits through 9.0 m was not judged. " + LOCKED),
        (across(POINT_GATE), Severity.CAUTION, "may be shut", LOCKED + NO_WIDTH),
        (beside(GATE), Severity.DANGER, "a structure in the corridor", STANDS),
        # The boat's own fix holds to 10 m, whichever side of the track the gate is drawn on.
        (met(POINT_GATE, place(cross_m=10.0)), Severity.CAUTION, "may be shut", LOCKED + NO_WIDTH),
        (met(POINT_GATE, place(cross_m=-9.0)), Severity.CAUTION, "may be shut", LOCKED + NO_WIDTH),
        (met(POINT_GATE, place(cross_m=-11.0)), Severity.DANGER, "a structure in the corridor",
         STANDS),
        # Or the chart's, where that is worse.
        (met(POINT_GATE, place(cross_m=30.0, belt_m=40.0)), Severity.CAUTION, "may be shut",
         LOCKED + NO_WIDTH),
        # What is drawn as a line is gone through where the track crosses it, and nowhere else.
        (met(GATE, place(cross_m=5.0)), Severity.DANGER, "a structure in the corridor", STANDS),
    ],
)  # fmt: skip
def test_what_is_told(where: Met[Area], severity: Severity, what: str, says: str) -> None:
    (finding,) = run(lock_or_gate, leg(where))
    assert (finding.severity, finding.title) == (severity, f"gate: {what}")
    assert finding.explanation.startswith(says + " The ")


def test_too_narrow_says_so_and_shows_both_widths() -> None:
    by = passage(replace(boat(), beam_m=9.0))
    (finding,) = run(lock_or_gate, leg(across(GATE)), by)
    assert finding.title == "gate: narrower than the boat"
    assert finding.explanation.startswith("She does not fit through. The ")
    assert (finding.sums["horizontal_clearance_m"], finding.sums["beam_m"]) == (9.0, 9.0)
    (bare,) = run(lock_or_gate, leg(across(POINT_GATE)))
    assert {"horizontal_clearance_m", "beam_m"} & set(bare.sums) == set()
    (wide,) = run(lock_or_gate, leg(across(POINT_GATE)), by)
    assert (wide.severity, wide.sums["beam_m"]) == (Severity.CAUTION, 9.0)


@pytest.mark.parametrize(
    ("beam_m", "severity"),
    [(None, Severity.NOT_ASSESSED), (3.6, None), (9.0, Severity.DANGER), (11.0, Severity.DANGER)],
)
def test_a_canal_or_dock_with_a_width(beam_m: float | None, severity: Severity | None) -> None:
    """Its hours are no lock's: wide enough it says nothing."""
    dock = area(AreaKind.NARROW, horizontal_clearance_m=9.0)
    found = run(lock_or_gate, leg(across(dock)), passage(replace(boat(), beam_m=beam_m)))
    assert [one.severity for one in found] == ([severity] if severity else [])
    assert all(one.title.startswith("canal or dock: ") for one in found)
